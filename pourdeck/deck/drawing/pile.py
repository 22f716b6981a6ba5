"""The stacks from the side: every panel at its place and to scale in width, from the bed up.

Concrete that is there is solid grey, a panel still to come is an outline, the one in hand is full. One scale
for all stacks, so that two piles can be compared; a step is true to one cell.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.drawing.hits import Hits
from pourdeck.deck.drawing.pile_column import LEFT, RIGHT, Column, short
from pourdeck.deck.drawing.pile_panel import draw_bar, draw_bed, draw_box, draw_heading, draw_words
from pourdeck.deck.drawing.pile_view import PileStack
from pourdeck.deck.spans import cells, say

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
