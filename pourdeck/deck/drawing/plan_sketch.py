"""A panel in plan where there is little room: a few large strokes, not to scale, the place in hand marked.

What a true drawing of a few rows would run together is left out: arms of brackets, anchors, cast-ins. The
sides have their names, brackets are marks on the outline, and the one in hand stands out.
"""

from decimal import Decimal

from attrs import evolve

from pourdeck.deck.drawing.plan_frame import Frame
from pourdeck.deck.drawing.plan_marks import draw_castin, draw_hand, draw_props, in_hand
from pourdeck.deck.drawing.plan_words import offset_words, short_offsets, side_lines
from pourdeck.deck.drawing.scale import Bounds, Scale, fit
from pourdeck.deck.spans import cells
from pourdeck.plan.records import SIDES, Side, Units
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.walk.records import Place

LEAST_TRUE_ROWS = 8
"""Where there are fewer rows for a panel it is sketched."""

GOOD_COLUMNS = 27
LEAST_ASIDE = 40
"""From this width on left and right have their words beside them."""

NAME = 4
"""Cells for the name of the bracket in hand at the left or the right."""

ON_SIDE = {"base": "╫", "head": "╫", "left": "╪", "right": "╪"}
ARROWS = {"left": "→", "right": "←", "base": "↑", "head": "↓"}


def sketch_scale(setout: SetOut, whole: Bounds, units: Units, width: int, height: int) -> Scale:
    """The bounds stretched to what the window gives, words left room for."""
    margin = NAME + (_words(setout, units) + 1 if width >= LEAST_ASIDE else 0)
    across, down = width - 2 * margin - 2, height - 3
    own = fit(whole, margin + 1, 2, max(9, across), max(3, down))
    columns = max(2, min(across, max(own.columns, GOOD_COLUMNS)))
    rows = max(2, min(down, max(own.rows, 5)))
    wide = max(whole.right - whole.left, Decimal(1))
    high = max(whole.head - whole.base, Decimal(1))
    return evolve(
        own,
        x=(width - columns) // 2,
        y=2 + (down - rows) // 2 + rows - 1,
        columns=columns,
        rows=rows,
        across=wide / (columns - 1),
        up=high / (rows - 1),
        true=False,
    )


def _words(setout: SetOut, units: Units) -> int:
    return max(len(word) for side in ("left", "right") for word in side_lines(setout, side, units))


def draw_sketch(frame: Frame) -> None:
    """What stands on the panel and beside it, the body being drawn."""
    draw_props(frame)
    for castin in frame.setout.castins:
        if castin.name == frame.place.name:
            draw_castin(frame, castin)
    for side in SIDES:
        mine = frame.setout.brackets[side]
        for bracket in sorted(mine, key=lambda one: in_hand(frame, one)):
            _bracket(frame, bracket)
    draw_hand(frame)
    _sides(frame)


def _bracket(frame: Frame, bracket: Bracket) -> None:
    chosen = in_hand(frame, bracket)
    x, y = frame.on_side(bracket.side, bracket.at)
    frame.canvas.put(
        x, y, "█" if chosen else ON_SIDE[bracket.side], "highlight" if chosen else "bracket"
    )
    flat = bracket.side in ("base", "head")
    frame.hits.add(
        x - (0 if flat else 1),
        y,
        1 if flat else 3,
        1,
        Place(side=bracket.side, at=bracket.at, bracket=bracket.label),
    )
    if chosen:
        _name(frame, bracket.side, bracket.label, x, y)


def _name(frame: Frame, side: Side, label: str, x: int, y: int) -> None:
    """The arrow against the face line and the name behind it, across the panel below."""
    arrow = ARROWS[side]
    if side == "left":
        frame.canvas.text(max(0, x - len(label) - 1), y, f"{label}{arrow}", "highlight")
    elif side == "right":
        frame.canvas.text(x + 1, y, f"{arrow}{label}", "highlight")
    else:
        # Inside, so that it covers no words of the side.
        row = y + (1 if side == "head" else -1)
        turned = "↑" if side == "head" else "↓"
        at = max(frame.panel.left + 1, min(x, frame.panel.right - len(label) - 1))
        frame.canvas.text(at, row, f"{turned}{label}", "highlight")


def _sides(frame: Frame) -> None:
    """Names and offsets of the four sides."""
    canvas, setout, units = frame.canvas, frame.setout, frame.units
    aside = canvas.width >= LEAST_ASIDE
    middle = (frame.panel.left + frame.panel.right) // 2
    base = (
        offset_words(setout, "base", units) if aside else short_offsets(setout, units, canvas.width)
    )
    head = ((" ", "quiet"), *offset_words(setout, "head", units), (" ", "quiet"))
    for row, words in ((1, head), (canvas.height - 1, base)):
        at = max(0, min(middle - cells(words) // 2, canvas.width - cells(words)))
        for text, ink in words:
            at += canvas.text(at, row, text, ink)
    if not aside:
        return
    canvas.text(0, canvas.height - 1, "not to scale", "quiet", middle - cells(base) // 2 - 1)
    for side in ("left", "right"):
        lines = side_lines(setout, side, units)
        size = max(len(line) for line in lines)
        edge = frame.outside(side)
        x = edge - NAME - size if side == "left" else edge + NAME
        top = (frame.panel.top + frame.panel.bottom - len(lines) + 1) // 2
        for index, line in enumerate(lines):
            canvas.text(max(0, x), top + index, line, ("quiet", "offset", "quiet")[index])
