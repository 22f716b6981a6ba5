"""A panel in plan with its tape lines, and each measurement where it is taken.

The six tapes are the four sides and the two diagonals. Heights of the surface and thicknesses stand in the
corners, offsets from marks outside them. What is measured stands bare, what is assumed as planned in round
brackets, what is in hand in square ones: so no colour is needed to tell them apart.
"""

from attrs import frozen

from pourdeck.deck.drawing.canvas import Canvas, Hits, fit
from pourdeck.deck.drawing.plan import caption
from pourdeck.deck.drawing.plan_body import own_bounds
from pourdeck.deck.paint import cells, line
from pourdeck.plan.ascast import DIAGONALS, OUTS, is_height
from pourdeck.plan.lengths import format_bare, format_rl, rounded
from pourdeck.plan.records import CORNERS, Corner, Units
from pourdeck.setout.adjust import DISTANCES, OUTWARDS
from pourdeck.walk.ascast import CastLine, CastSheet
from pourdeck.walk.records import Place

GOOD_COLUMNS = 30
LEAST_COLUMNS = 18
LEAST_ROWS = 5
ROOMY_COLUMNS, ROOMY_ROWS = 32, 13
"""From this size of the panel on, in cells, every corner has its height and thickness in it."""

ASIDE = 7
"""Cells for an offset beside the left and the right side."""

NOTES = ("( ) as planned, not measured", "[ ] in hand", "! suspect", "✗ out of limits")


@frozen(kw_only=True)
class CastDrawing:
    """The drawing, and which measurement a click in it takes in hand."""

    canvas: Canvas
    hits: Hits[str]


@frozen(kw_only=True, eq=False, repr=False)
class _Frame:
    """The panel in cells, its last column and row included."""

    sheet: CastSheet
    hand: str | None
    typed: str
    canvas: Canvas
    hits: Hits[str]
    left: int
    top: int
    right: int
    bottom: int
    roomy: bool

    @property
    def units(self) -> Units:
        return self.sheet.walk.job.units

    def corner(self, corner: Corner) -> tuple[int, int]:
        return (
            self.left if corner[1] == "l" else self.right,
            self.bottom if corner[0] == "b" else self.top,
        )

    def text(self, key: str) -> str:
        """The value of a measurement, between the brackets that say what it is."""
        one = self.sheet.line(key)
        value = bare_value(one, self.units)
        if one.found is None:
            value = f"({value})"
        if key == self.hand:
            return f"[{self.typed or value}]"
        if one.found is None:
            return value
        return f"{value}{'!' if one.suspect else ''}{'✗' if one.verdict == 'fail' else ''}"

    def ink(self, key: str) -> str:
        one = self.sheet.line(key)
        if key == self.hand:
            return "highlight"
        if one.suspect or one.verdict == "fail":
            return "failed"
        return "quiet" if one.found is None else "value"

    def write(self, key: str, x: int, y: int, words: str = "") -> None:
        """A value from x on, a click on which takes it in hand."""
        text = f"{words}{self.text(key)}"
        x = max(0, min(x, self.canvas.width - len(text)))
        self.canvas.text(x, y, text, self.ink(key))
        self.hits.add(x, y, len(text), 1, key)


def bare_value(one: CastLine, units: Units) -> str:
    """Write what was found, or what is assumed, without its unit: the foot of the drawing has it."""
    value = one.expected if one.found is None else one.found
    if value is None:
        return ""
    if is_height(one.key):
        return format_rl(value, units).removesuffix(" m").removesuffix(" ft")
    if units == "metric":
        value = rounded(value, 1)
    text = format_bare(value, units)
    return f"+{text}" if one.key in OUTS and value > 0 else text


def cast_plan(
    sheet: CastSheet, width: int, height: int, hand: str | None = None, typed: str = ""
) -> CastDrawing:
    """The panel in `width` by `height` cells, `hand` in hand with what is `typed` for it.

    Where there is little room it is not to scale, and only the corner in hand has its values.
    """
    canvas = Canvas(width, height)
    hits: Hits[str] = Hits()
    setout = sheet.walk.setout
    place = sheet.line(hand).place if hand else Place()
    for x, words, ink in caption(setout, place, sheet.walk.job.units, width):
        canvas.text(x, 0, words, ink)
    margin = ASIDE if width >= GOOD_COLUMNS + 2 * ASIDE else 2
    notes = 1 if height >= 10 else 0
    # Caption, the values of head and base outside the panel, and the notes.
    across, down = width - 2 * margin, height - 3 - notes
    if across < LEAST_COLUMNS or down < LEAST_ROWS:
        return CastDrawing(canvas=canvas, hits=hits)
    scale = fit(own_bounds(setout), 0, 0, across, down)
    columns = min(across, max(scale.columns, GOOD_COLUMNS))
    rows = min(down, max(scale.rows, 9))
    left, top = margin + (across - columns) // 2, 2 + (down - rows) // 2
    frame = _Frame(
        sheet=sheet, hand=hand, typed=typed, canvas=canvas, hits=hits,
        left=left, top=top, right=left + columns - 1, bottom=top + rows - 1,
        roomy=columns >= ROOMY_COLUMNS and rows >= ROOMY_ROWS,
    )  # fmt: skip
    _diagonals(frame)
    _sides(frame)
    _corners(frame)
    _offsets(frame)
    if notes:
        true = scale.true and (columns, rows) == (scale.columns, scale.rows)
        _notes(frame, "" if true else "not to scale")
    return CastDrawing(canvas=canvas, hits=hits)


def _diagonals(frame: _Frame) -> None:
    """Dotted, close where measured, and their values each on its own half, one above the other."""
    steps = 2 * max(frame.right - frame.left, frame.bottom - frame.top)
    for key in sorted(DIAGONALS, key=lambda one: one == frame.hand):
        (x0, y0), (x1, y1) = (frame.corner(corner) for corner in DISTANCES[key])
        taped = frame.sheet.line(key).found is not None
        sign = "•" if key == frame.hand else "·"
        cells_on = {
            (round(x0 + (x1 - x0) * n / steps), round(y0 + (y1 - y0) * n / steps))
            for n in range(1, steps)
        }
        for x, y in cells_on:
            if taped or key == frame.hand or x % 2 == 0:
                frame.canvas.put(x, y, sign, frame.ink(key) if key != frame.hand else "hand")
            frame.hits.add(x, y, 1, 1, key)
    quarter = max(1, (frame.bottom - frame.top) // 4)
    for key, share in (("diagonal_bl_hr", 1), ("diagonal_br_hl", -1)):
        y = frame.top + quarter if share > 0 else frame.bottom - quarter
        (x0, y0), (x1, y1) = (frame.corner(corner) for corner in DISTANCES[key])
        x = round(x0 + (x1 - x0) * (y - y0) / (y1 - y0))
        size = len(frame.text(key))
        x = max(frame.left + 1, min(x - size // 2, frame.right - size))
        frame.write(key, x, y)


def _sides(frame: _Frame) -> None:
    """The four sides as tape lines, whole where measured and broken where not, with their values."""
    canvas = frame.canvas
    for key, y in (("width_head", frame.top), ("width_base", frame.bottom)):
        sign = _stroke(frame, key, "─┄═")
        canvas.fill(frame.left + 1, y, frame.right - frame.left - 1, 1, sign, _line_ink(frame, key))
        frame.hits.add(frame.left + 1, y, frame.right - frame.left - 1, 1, key)
    for key, x in (("height_left", frame.left), ("height_right", frame.right)):
        sign = _stroke(frame, key, "│┊║")
        canvas.fill(x, frame.top + 1, 1, frame.bottom - frame.top - 1, sign, _line_ink(frame, key))
        frame.hits.add(x, frame.top + 1, 1, frame.bottom - frame.top - 1, key)
    for corner, sign in zip(CORNERS, "└┘┐┌", strict=True):
        canvas.put(*frame.corner(corner), sign, "edge")
    middle = (frame.left + frame.right + 1) // 2
    for key, y in (("width_head", frame.top - 1), ("width_base", frame.bottom + 1)):
        words = "head " if key == "width_head" else "base "
        size = len(frame.text(key)) + len(words)
        frame.write(key, middle - size // 2, y, words)
    halfway = (frame.top + frame.bottom) // 2
    frame.write("height_left", frame.left + 1, halfway)
    frame.write("height_right", frame.right - len(frame.text("height_right")), halfway)


def _stroke(frame: _Frame, key: str, signs: str) -> str:
    if key == frame.hand:
        return signs[2]
    return signs[0 if frame.sheet.line(key).found is not None else 1]


def _line_ink(frame: _Frame, key: str) -> str:
    return "hand" if key == frame.hand else "edge"


def _corners(frame: _Frame) -> None:
    """Height of the surface and thickness in each corner; with little room only what is in hand."""
    for corner in CORNERS:
        x, y = frame.corner(corner)
        inward = 1 if y == frame.top else -1
        pairs = ((f"rl_{corner}", "RL "), (f"thickness_{corner}", "t "))
        frame.hits.add(x - 1, y, 3, 1, f"thickness_{corner}")
        for row, (key, words) in enumerate(pairs):
            if not frame.roomy and key != frame.hand:
                continue
            size = len(words) + len(frame.text(key))
            line_of = y + inward * (1 + (row if frame.roomy else 0))
            at = x + 2 if x == frame.left else x - 1 - size
            frame.write(key, max(frame.left + 1, at), line_of, words)


def _offsets(frame: _Frame) -> None:
    """A mark outside each end of each side, with how far the face is out there where it was measured."""
    for key in OUTS:
        corner, (outx, outy) = OUTWARDS[key]
        x, y = frame.corner(corner)
        one = frame.sheet.line(key)
        shown = "○" if one.found is None and key != frame.hand else frame.text(key)
        size = len(shown)
        inward = 1 if corner[1] == "l" else -1
        if outx:
            row = y + (1 if y == frame.top else -1)
            at = x - 1 - size if outx < 0 else x + 2
        else:
            row = y - int(outy)
            at = x + inward if inward > 0 else x - size
        at = max(0, min(at, frame.canvas.width - size))
        frame.canvas.text(at, row, shown, frame.ink(key))
        frame.hits.add(at - 1, row, size + 2, 1, key)


def _notes(frame: _Frame, scale: str) -> None:
    """The unit and what the signs mean, as many as fit whole."""
    x, y = 0, frame.canvas.height - 1
    unit = "in mm" if frame.units == "metric" else "feet, inches"
    for words in (unit, *NOTES[:2], "○ offset mark", *NOTES[2:], *((scale,) if scale else ())):
        if x + cells(line(words)) > frame.canvas.width:
            return
        x += frame.canvas.text(x, y, words, "quiet") + 2
