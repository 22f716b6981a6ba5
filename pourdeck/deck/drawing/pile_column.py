"""One stack's part of the drawing of the piles, and how lengths become cells in it."""

from decimal import Decimal

from attrs import frozen

from pourdeck.deck.drawing.pile_view import PilePanel, PileStack
from pourdeck.deck.spans import ELLIPSIS, cells, say

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
