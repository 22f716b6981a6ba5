"""A panel of a pile: its body, its mark, and what stands beside it; the heading of a pile and its bed."""

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.drawing.pile_column import LEFT, Column, short
from pourdeck.deck.drawing.pile_view import POURED, STATE_INKS, STATE_SIGNS, PilePanel
from pourdeck.deck.spans import cells, say

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
    """What stands beside a panel: mark of the row, number, lift, state in sign and word, and more."""
    ink = "cursor" if sign else "text"
    canvas.text(column.x, y, sign or " ", "key")
    canvas.text(column.x + 1, y, f"{panel.number:>2}", ink)
    at = column.x + LEFT + column.drawing + 1
    end = column.x + column.width - 1
    lift = "–" if panel.lift is None else str(panel.lift)
    state = "✗ rejected" if panel.rejected else f"{STATE_SIGNS[panel.state]} {panel.state}"
    room = end - at
    if room >= len(state) + 3:
        canvas.text(at, y, f"{lift:>2}"[-3:], ink)
        at += 3
    ink = "cursor" if sign else "failed" if panel.rejected else STATE_INKS[panel.state]
    at += canvas.text(at, y, state, ink, end - at)
    for words, piece_ink in ((panel.flag, "error"), (panel.tail, "quiet")):
        size = cells((say(words),))
        if words and at + 1 + size <= end:
            canvas.text(at + 1, y, words, piece_ink)
            at += 1 + size
