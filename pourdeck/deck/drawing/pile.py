"""Stacks as the piles they are, drawn from the bed up.

Concrete that is there is solid grey, a panel still to come is an outline, the one in hand is full. One scale
for all stacks, so that two piles can be compared; a step is true to one cell.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.deck.drawing.canvas import Canvas, Hits
from pourdeck.deck.paint import ELLIPSIS, cells, say
from pourdeck.walk.records import PanelPhase

# What the drawing of the piles is made from.


@frozen(kw_only=True, eq=False, repr=False)
class PilePanel:
    """One panel in its pile. `x`, `width` in the stack's coordinates, mm. `tail`: words after the state.

    `flag` is the sign of the worst finding, empty where there is none. `rejected`: for how it came out.
    `conflict`: stations said different things of it.
    """

    number: int
    mark: str
    x: Decimal
    width: Decimal
    state: PanelPhase
    lift: int | None
    in_hand: bool = False
    flag: str = ""
    tail: str = ""
    rejected: bool = False
    conflict: bool = False


@frozen(kw_only=True, eq=False, repr=False)
class PileStack:
    """One stack, its panels from the bed up. `bed` is the height of the bed in words."""

    id: str
    bed: str
    panels: tuple[PilePanel, ...]


STATE_SIGNS: dict[PanelPhase, str] = {
    "waiting": "·",
    "ready": "○",
    "forming": "□",
    "released": "►",
    "pouring": "▼",
    "curing": "≈",
    "cast": "■",
    "lifted": "↑",
}

STATE_INKS: dict[PanelPhase, str] = {
    "waiting": "quiet",
    "ready": "text",
    "forming": "hand",
    "released": "done",
    "pouring": "hand",
    "curing": "text",
    "cast": "done",
    "lifted": "quiet",
}

POURED: frozenset[PanelPhase] = frozenset({"pouring", "curing", "cast"})


# One stack's part of the drawing of the piles, and how lengths become cells in it.

LEFT = 4
"""Cells before the pile: the mark of the row, the number, a gap."""

RIGHT = 15
"""Cells after it: a gap, the lift number, a gap, sign, gap and the longest state."""


@frozen(eq=False, repr=False)
class Column:
    """`x` and `width` of the part, cells; `drawing` of them are the pile's. `scale`: mm for one cell."""

    stack: PileStack
    x: int
    width: int
    drawing: int
    scale: Decimal
    origin: Decimal
    boxes: bool

    def cell(self, at: Decimal) -> int:
        return (
            self.x
            + LEFT
            + int(((at - self.origin) / self.scale).to_integral_value("ROUND_HALF_UP"))
        )

    def edges(self, panel: PilePanel) -> tuple[int, int]:
        """First and last cell of a panel, at least one."""
        left, end = self.cell(panel.x), self.cell(panel.x + panel.width)
        return left, max(left, end - 1)


def short(text: str, room: int) -> str:
    """As much as fits in `room` cells, with `…` where something went."""
    shown, _ = say(text)
    if cells(((shown, ""),)) <= room:
        return shown
    kept = ""
    for char in shown:
        if cells(((kept + char, ""),)) > room - 1:
            break
        kept += char
    return kept + ELLIPSIS if room > 0 else ""


# A panel of a pile: its body, its mark, and what stands beside it; the heading of a pile and its bed.

_BODY = {"future": " ", "concrete": "▒", "hand": "█"}


def draw_heading(canvas: Canvas, column: Column, sign: str) -> None:
    name = f"Stack {column.stack.id}"
    room = column.width - 1
    canvas.text(column.x, 0, sign, "key")
    lift = column.x + LEFT + column.drawing + 1
    words_end = column.width if lift + 3 > column.x + room else lift - column.x - 2
    canvas.text(column.x + 2, 0, short(name, words_end - 2), "heading", words_end - 2)
    canvas.text(lift, 0, "lift", "quiet", column.x + room - lift)


def draw_bed(canvas: Canvas, column: Column, y: int) -> None:
    """The bed as a line under the whole pile, and its height."""
    edges = [column.edges(panel) for panel in column.stack.panels]
    left = min((start for start, _ in edges), default=column.x + LEFT) - 1
    right = max((end for _, end in edges), default=left) + 1
    canvas.fill(left, y, right - left + 1, 1, "▔", "bed")
    room = column.x + column.width - 1 - right - 2
    words = f"bed {column.stack.bed}"
    # A height that has lost its unit reads as another.
    words = words if len(words) <= room else short(column.stack.bed, room)
    canvas.text(right + 2, y, words, "quiet", room)


def _kind(panel: PilePanel) -> str:
    if panel.in_hand:
        return "hand"
    return "concrete" if panel.state in POURED else "future"


def draw_bar(canvas: Canvas, column: Column, panel: PilePanel, y: int) -> None:
    """A panel in one row."""
    left, right = column.edges(panel)
    kind = _kind(panel)
    if kind == "future":
        canvas.across(left, right, y, "future")
        if right > left:
            canvas.put(left, y, "├", "future")
            canvas.put(right, y, "┤", "future")
    else:
        canvas.fill(left, y, right - left + 1, 1, _BODY[kind], kind)
    _mark(canvas, panel, left, right, y, spaced=kind != "future")


def draw_box(canvas: Canvas, column: Column, panel: PilePanel, y: int) -> None:
    """A panel in a row of its own between two lines, shared with the panels above and below."""
    left, right = column.edges(panel)
    kind = _kind(panel)
    canvas.box(left, y - 1, right, y + 1, "edge")
    if panel.number == 1:
        canvas.across(left, right, y + 1, "edge")
    if right - left > 1:
        canvas.fill(left + 1, y, right - left - 1, 1, _BODY[kind], kind)
        _mark(canvas, panel, left + 1, right - 1, y, spaced=kind != "future")


def _mark(canvas: Canvas, panel: PilePanel, left: int, right: int, y: int, *, spaced: bool) -> None:
    """The mark in the middle of its panel; a narrow panel shows as much of it as fits."""
    room = right - left + 1
    words = short(panel.mark, room)
    size = cells((say(words),))
    if not size:
        return
    at = left + (room - size) // 2
    if spaced and room >= size + 4:
        words, at = f" {words} ", at - 1
    canvas.text(at, y, words, "mark")


def draw_words(canvas: Canvas, column: Column, panel: PilePanel, y: int, sign: str) -> None:
    """Write the words beside a panel: mark of the row, number, lift, state in sign and word, and more."""
    ink = "cursor" if sign else "text"
    canvas.text(column.x, y, sign or " ", "key")
    canvas.text(column.x + 1, y, f"{panel.number:>2}", ink)
    at = column.x + LEFT + column.drawing + 1
    end = column.x + column.width - 1
    lift = "–" if panel.lift is None else str(panel.lift)
    failed = "✗ rejected" if panel.rejected else "✗ conflict" if panel.conflict else ""
    state = failed or f"{STATE_SIGNS[panel.state]} {panel.state}"
    room = end - at
    if room >= len(state) + 3:
        canvas.text(at, y, f"{lift:>2}"[-3:], ink)
        at += 3
    ink = "cursor" if sign else "failed" if failed else STATE_INKS[panel.state]
    at += canvas.text(at, y, state, ink, end - at)
    for words, piece_ink in ((panel.flag, "error"), (panel.tail, "quiet")):
        size = cells((say(words),))
        if words and at + 1 + size <= end:
            canvas.text(at + 1, y, words, piece_ink)
            at += 1 + size


# The stacks from the side: every panel at its place and to scale in width, from the bed up.

Where = tuple[str, int]
"""A stack's id and a panel's number."""

LEAST_DRAWING = 10
MOST_DRAWING = 34


@frozen(kw_only=True, eq=False, repr=False)
class PileDrawing:
    """The drawing, what a click in it means, and how many mm one cell is.

    `parts`: heading, bed and the air above a stack stand for its panel in hand.
    """

    canvas: Canvas
    hits: Hits[Where]
    parts: Hits[Where]
    scale: Decimal
    shown: tuple[str, ...]


def pile(
    stacks: tuple[PileStack, ...],
    width: int,
    height: int,
    selected: Where | None = None,
    *,
    focused: bool = True,
) -> PileDrawing:
    """The piles in `width` by `height` cells: side by side as many as fit, those round the selected one.

    The mark of the selected panel is `▸`, or `›` where the piles have not the focus.
    """
    canvas = Canvas(width, height)
    hits: Hits[Where] = Hits()
    parts: Hits[Where] = Hits()
    shown, first = _page(stacks, width, selected)
    room = width // max(1, len(shown))
    drawing = max(1, min(room - LEFT - RIGHT - 1, MOST_DRAWING))
    scale = max((_reach(stack) for stack in stacks), default=Decimal(1)) / drawing
    paged = len(shown) < len(stacks)
    rows = height - (1 if paged else 0)
    boxes = max((len(stack.panels) for stack in shown), default=0) * 2 + 3 <= rows
    for index, stack in enumerate(shown):
        column = Column(stack, index * room, room, drawing, scale, _origin(stack), boxes)
        _draw(canvas, hits, column, rows, selected, "▸" if focused else "›")
        if stack.panels:
            parts.add(column.x, 0, column.width, rows, (stack.id, _in_hand(stack)))
    if paged and height > 0:
        _pager(canvas, hits, stacks, shown, first)
    return PileDrawing(
        canvas=canvas,
        hits=hits,
        parts=parts,
        scale=scale,
        shown=tuple(stack.id for stack in shown),
    )


def _page(
    stacks: tuple[PileStack, ...], width: int, selected: Where | None
) -> tuple[tuple[PileStack, ...], int]:
    """The stacks that fit side by side, the selected one among them."""
    most = max(1, width // (LEFT + LEAST_DRAWING + RIGHT + 1))
    at = next((n for n, stack in enumerate(stacks) if selected and stack.id == selected[0]), 0)
    first = at - at % most
    first = max(0, min(first, len(stacks) - most))
    return stacks[first : first + most], first


def _origin(stack: PileStack) -> Decimal:
    return min((panel.x for panel in stack.panels), default=Decimal(0))


def _reach(stack: PileStack) -> Decimal:
    """From the leftmost to the rightmost face of a stack, mm."""
    right = max((panel.x + panel.width for panel in stack.panels), default=Decimal(0))
    return max(right - _origin(stack), Decimal(1))


def _draw(
    canvas: Canvas,
    hits: Hits[Where],
    column: Column,
    height: int,
    selected: Where | None,
    sign: str,
) -> None:
    stack = column.stack
    count = len(stack.panels)
    chosen = selected[1] if selected and selected[0] == stack.id else None
    draw_heading(canvas, column, sign if chosen is not None else " ")
    room = height - 2
    if room < 1:
        return
    per = 2 if column.boxes else 1
    fits = min(count, room // per)
    if fits < count and (room - fits * per) < 1:
        fits = max(1, fits - 1)
    low = _window(count, fits, chosen or _in_hand(stack))
    bed = height - 1
    if low > 0:
        canvas.text(column.x + LEFT, bed, f"▼ {low} more below", "quiet", column.drawing)
    else:
        draw_bed(canvas, column, bed)
    part = stack.panels[low : low + fits]
    for index, panel in enumerate(part):
        body = bed - 1 - index * per
        draw = draw_box if column.boxes else draw_bar
        draw(canvas, column, panel, body)
        draw_words(canvas, column, panel, body, sign if panel.number == chosen else "")
        hits.add(column.x, body - per + 1, column.width, per, (stack.id, panel.number))
    above = count - low - fits
    if above > 0 and bed - fits * per - 1 > 0:
        canvas.text(
            column.x + LEFT, bed - fits * per - 1, f"▲ {above} more", "quiet", column.drawing
        )


def _in_hand(stack: PileStack) -> int:
    return next((panel.number for panel in stack.panels if panel.in_hand), 1)


def _window(count: int, fits: int, wanted: int) -> int:
    """Index of the lowest panel shown, the wanted one in the middle where there is a choice."""
    return max(0, min(wanted - 1 - fits // 2, count - fits))


def _pager(
    canvas: Canvas,
    hits: Hits[Where],
    stacks: tuple[PileStack, ...],
    shown: tuple[PileStack, ...],
    first: int,
) -> None:
    """Which stacks are out of sight, and where to click for them."""
    y = canvas.height - 1
    last = first + len(shown)
    if first > 0:
        before = stacks[first - 1]
        took = canvas.text(1, y, f"◄ Stack {short(before.id, 12)}", "key")
        hits.add(0, y, took + 2, 1, (before.id, _in_hand(before)))
    middle = f"stacks {first + 1} to {last} of {len(stacks)}"
    canvas.text(max(0, (canvas.width - len(middle)) // 2), y, middle, "quiet")
    if last < len(stacks):
        after = stacks[last]
        words = f"Stack {short(after.id, 12)} ►"
        at = max(0, canvas.width - cells((say(words),)) - 1)
        took = canvas.text(at, y, words, "key")
        hits.add(at, y, took + 1, 1, (after.id, _in_hand(after)))
