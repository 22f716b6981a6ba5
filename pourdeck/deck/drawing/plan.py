"""The plan of a panel: drawn to scale, or a sketch where there is no room, with words round it."""

from collections.abc import Sequence
from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.deck.drawing.canvas import Bounds, Canvas, Hits, Scale, fit
from pourdeck.deck.drawing.plan_body import (
    Frame,
    Spot,
    bounds_below,
    cells_of,
    draw_body,
    draw_castin,
    draw_hand,
    draw_marks,
    draw_props,
    draw_spots,
    in_hand,
    own_bounds,
    step_seen,
)
from pourdeck.deck.paint import Spans, cells, cut, line
from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import SIDES, Side, Units
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.walk.records import Place

# The words round a drawing of a panel: mirrored or not, offsets in the job's units, what signs mean.


def offset_text(offset: Decimal, units: Units) -> str:
    """`300 mm in`, `15 mm over`, `flush`."""
    if offset == 0:
        return "flush"
    return f"{format_length(abs(offset), units)} {'in' if offset > 0 else 'over'}"


def offset_words(setout: SetOut, side: Side, units: Units) -> Spans:
    """The name of a side and how far it stands in from the panel below."""
    if setout.offsets is None:
        return line((side, "quiet"))
    return line((f"{side} ", "quiet"), (offset_text(setout.offsets[side], units), "offset"))


def side_lines(setout: SetOut, side: Side, units: Units) -> tuple[str, ...]:
    """Give the name of a side and its offset in lines that go beside an upright side."""
    if setout.offsets is None:
        return (side,)
    offset = setout.offsets[side]
    if offset == 0:
        return side, "flush"
    return side, format_length(abs(offset), units), "in" if offset > 0 else "over"


def short_offsets(setout: SetOut, units: Units, width: int) -> Spans:
    """Base, left and right in one line, for a drawing without room beside it."""
    if setout.offsets is None:
        return line(("base", "quiet"))
    full = _joined(setout, units, ("base", "left", "right"))
    if cells(full) <= width:
        return full
    return cut(_joined(setout, units, ("left", "right")), width)


def _joined(setout: SetOut, units: Units, sides: tuple[Side, ...]) -> Spans:
    pieces: list[tuple[str, str]] = []
    for side in sides:
        pieces += offset_words(setout, side, units)
        pieces.append(("  ", "quiet"))
    return line(*pieces[:-1])


def caption(
    setout: SetOut, place: Place, units: Units, width: int
) -> tuple[tuple[int, str, str], ...]:
    """The first row: mirrored or not, and the place in hand in words. Column, words and ink of each."""
    if setout.mirrored:
        panel = setout.panel
        full = f"MIRRORED: drawn from {panel.drawn_from}, {panel.face_up} is up"
        face = full if len(full) <= width else "MIRRORED"
        ink = "highlight"
    else:
        face, ink = f"{setout.panel.face_up} face up", "quiet"
    found = place_words(setout, place, units)
    if len(found) > width - len("MIRRORED") - 2:
        found = short_words(setout, place, units) or found
    room = width - len(face) - 2
    if found and room < len(found) and setout.mirrored and len("MIRRORED") + 2 < width:
        face, room = "MIRRORED", width - len("MIRRORED") - 2
    if found and not setout.mirrored and room < len(found):
        face, room = "", width
    words = cut(line((found, "strong")), max(0, room))
    pieces = [(0, face, ink)] if face else []
    at = max(0, width - cells(words))
    return (*pieces, *((at, text, piece_ink) for text, piece_ink in words if text))


def place_words(setout: SetOut, place: Place, units: Units) -> str:
    """The place in hand: `R4, 3500 mm up the right side: 300 mm in, bolt inner`."""
    if place.bracket is not None:
        for bracket in setout.all_brackets():
            if bracket.label == place.bracket:
                bolt = f"bolt {bracket.bolt}" if bracket.bolt else "no bolt reaches"
                where = f"{format_length(bracket.at, units)} {_along(bracket.side)}"
                return f"{bracket.label}, {where}: {offset_text(bracket.offset, units)}, {bolt}"
        return place.bracket
    if place.corner is not None:
        up = "base" if place.corner[0] == "b" else "head"
        return f"corner {place.corner}: {up} {'left' if place.corner[1] == 'l' else 'right'}"
    name = f"{place.name}, " if place.name is not None else ""
    if place.side is not None and place.at is not None:
        reach = "" if place.end is None else f" to {format_length(place.end, units)}"
        return f"{name}{format_length(place.at, units)}{reach} {_along(place.side)}"
    if place.x is not None and place.y is not None:
        x, y = format_length(place.x, units), format_length(place.y, units)
        return f"{name}{x} from the left, {y} up"
    if place.side is not None:
        return f"{name}{place.side} side"
    return place.name or ""


def short_words(setout: SetOut, place: Place, units: Units) -> str:
    """A bracket without its offset, which stands beside its side: `R4, 3500 mm up the right side`."""
    for bracket in setout.all_brackets():
        if place.bracket is not None and bracket.label == place.bracket:
            where = f"{format_length(bracket.at, units)} {_along(bracket.side)}"
            return f"{bracket.label}, {where}"
    return ""


def _along(side: Side) -> str:
    return f"up the {side} side" if side in ("left", "right") else f"along the {side}"


def legend_rows(setout: SetOut, width: int, most: int) -> int:
    """Count the rows that the legend may take, none where the drawing has no signs at all."""
    bare = setout.below is None and not setout.castins and not any(setout.anchors.values())
    if bare or width < 24:
        return 0
    return most if width < 100 else 1


def draw_legend(frame: Frame, top: int, most: int) -> None:
    """Draw what the signs mean, as many as fit whole in the rows."""
    x, row = 0, top
    items = [line((f"{sign} ", ink), (words, "quiet")) for sign, (words, ink) in frame.used.items()]
    if not frame.scale.true:
        items.insert(0, line(("not to scale across", "warning")))
    for item in items:
        size = cells(item)
        if x and x + size > frame.canvas.width:
            x, row = 0, row + 1
        if row >= top + most:
            return
        item = cut(item, frame.canvas.width - x)
        for text, piece_ink in item:
            x += frame.canvas.text(x, row, text, piece_ink)
        x += 2


# A panel in plan where there is little room: a few large strokes, not to scale, the place in hand marked.
#
# What a true drawing of a few rows would run together is left out: arms of brackets, anchors, cast-ins. The
# sides have their names, brackets are marks on the outline, and the one in hand stands out.

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
    """Draw what stands on the panel and beside it, the body being drawn."""
    draw_props(frame)
    for castin in frame.setout.castins:
        if castin.name == frame.place.name:
            draw_castin(frame, castin)
    for side in SIDES:
        mine = frame.setout.brackets[side]
        for bracket in sorted(mine, key=lambda one: in_hand(frame, one)):
            _bracket(frame, bracket)
    draw_hand(frame)
    _sketched_sides(frame)


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


def _sketched_sides(frame: Frame) -> None:
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
        for index, sideline in enumerate(lines):
            canvas.text(max(0, x), top + index, sideline, ("quiet", "offset", "quiet")[index])


# A panel in plan and to scale: base at the bottom, left at the left, the face line below behind it.

NOWHERE = Place()

_LABEL = 4
"""Cells for the name of a bracket at the left or the right."""

LEAST_SKETCH = 6
"""Rows of a window that a sketch needs; in fewer there is only the true outline."""

_WIDE = 60
"""From this width on the offsets of left and right stand beside their sides."""


@frozen(kw_only=True)
class PlanDrawing:
    """The drawing, what a click in it means, and its scale; None where there was no room for one."""

    canvas: Canvas
    hits: Hits[Place]
    scale: Scale | None


@frozen
class _Room:
    """Rows and columns kept free round the drawing."""

    left: int
    top: int
    right: int
    bottom: int
    legend: int
    labels: bool
    aside: bool


def plan(
    setout: SetOut,
    width: int,
    height: int,
    place: Place | None = None,
    *,
    units: Units = "metric",
    legend: bool = True,
    spots: Sequence[Spot] = (),
) -> PlanDrawing:
    """The panel in `width` by `height` cells, the `place` in hand marked; `spots` have signs of their own.

    What does not fit is left out, in this order: legend, names of brackets, offsets at the sides; what would
    come out too low to be read is sketched. The words MIRRORED never go.
    """
    canvas = Canvas(width, height)
    hits: Hits[Place] = Hits()
    place = place or NOWHERE
    if width < 12 or height < 5:
        _caption(canvas, setout, place, units)
        return PlanDrawing(canvas=canvas, hits=hits, scale=None)
    room = _room(setout, width, height, units, legend)
    own, below = own_bounds(setout), bounds_below(setout)
    whole = own.joined(below) if below else own
    down = height - room.top - room.bottom - 2
    scale = fit(whole, room.left + 1, room.top + 1, width - room.left - room.right - 2, down)
    sketched = down < LEAST_TRUE_ROWS and height >= LEAST_SKETCH
    if sketched:
        scale = sketch_scale(setout, whole, units, width, height)
    panel = cells_of(scale, own)
    frame = Frame(
        setout=setout,
        place=place,
        units=units,
        canvas=canvas,
        hits=hits,
        scale=scale,
        panel=panel,
        below=step_seen(panel, cells_of(scale, below), setout) if below else None,
    )
    draw_body(frame)
    if sketched:
        draw_sketch(frame)
    else:
        draw_marks(frame, labels=room.labels)
        draw_spots(frame, spots)
        _sides(frame, room)
        if room.legend:
            draw_legend(frame, height - room.legend, room.legend)
    # Last, so that no arm of a bracket stands in it where there is little room.
    _caption(canvas, setout, place, units)
    return PlanDrawing(canvas=canvas, hits=hits, scale=scale)


def _caption(canvas: Canvas, setout: SetOut, place: Place, units: Units) -> None:
    for x, words, ink in caption(setout, place, units, canvas.width):
        canvas.text(x, 0, words, ink)


def _room(setout: SetOut, width: int, height: int, units: Units, legend: bool) -> _Room:
    has = any(setout.brackets.values())
    wide = width >= _WIDE
    labels = has and height >= 13 and width >= 30
    words = max(len(word) for side in ("left", "right") for word in side_lines(setout, side, units))
    margin = (_LABEL + 1 if labels else 0) + (words + 1 if wide else 0)
    rows = 0
    if legend and height >= 12:
        rows = legend_rows(setout, width, 2 if height >= 18 else 1)
    side = 1 if height >= 7 else 0
    names = 1 if labels else 0
    steps = setout.offsets
    return _Room(
        left=margin,
        top=1 + side + names + (names if steps and steps.head > 0 else 0),
        right=margin,
        bottom=side + names + rows + (names if steps and steps.base > 0 else 0),
        legend=rows,
        labels=labels,
        aside=wide,
    )


def _sides(frame: Frame, room: _Room) -> None:
    """Names and offsets of the four sides, in words."""
    canvas, setout, units = frame.canvas, frame.setout, frame.units
    middle = (frame.panel.left + frame.panel.right) // 2
    if canvas.height < 7:
        return
    base_row = canvas.height - room.legend - 1
    head = offset_words(setout, "head", units)
    base = offset_words(setout, "base", units)
    if not room.aside:
        base = short_offsets(setout, units, canvas.width - 2)
    for row, words in ((1, head), (base_row, base)):
        size = cells(words)
        at = max(0, min(middle - size // 2, canvas.width - size))
        for text, ink in words:
            at += canvas.text(at, row, text, ink)
    if room.aside:
        _beside(frame, room)


def _beside(frame: Frame, room: _Room) -> None:
    """The words of left and right, one below the other beside the middle of their sides."""
    canvas = frame.canvas
    middle = (frame.panel.top + frame.panel.bottom) // 2
    for side in ("left", "right"):
        lines = side_lines(frame.setout, side, frame.units)
        inks = ("quiet", "offset", "quiet")
        widest = max(len(words) for words in lines)
        gap = _LABEL + 1 if room.labels else 1
        edge = frame.outside(side)
        x = edge - gap - widest if side == "left" else edge + gap + 1
        for index, words in enumerate(lines):
            canvas.text(max(0, x), middle - 1 + index, words, inks[index])
