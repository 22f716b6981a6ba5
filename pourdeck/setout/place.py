"""Rule 1: where each panel sits, in stack coordinates.

The origin is the bl face corner of panel 1; x runs right along the base, y from base to head.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.records import Align, Panel, Stack
from pourdeck.plan.sides import Side

Point = tuple[Decimal, Decimal]

ZERO = Decimal(0)
TWO = Decimal(2)


@frozen(eq=False, repr=False)
class Rect:
    """Left, bottom, right and top edge, mm."""

    x0: Decimal
    y0: Decimal
    x1: Decimal
    y1: Decimal

    @property
    def area(self) -> Decimal:
        return (self.x1 - self.x0) * (self.y1 - self.y0)


def footprint(panel: Panel, at: Point) -> Rect:
    """The panel's face lines in stack coordinates."""
    return Rect(at[0], at[1], at[0] + panel.width, at[1] + panel.height)


def split_align(align: Align) -> tuple[str, str]:
    """Along the height (base, centre, head) and along the width (left, centre, right)."""
    if align == "centre":
        return "centre", "centre"
    up, across = align.split("-")
    return up, across


def place(panel: Panel, below: Panel, below_at: Point) -> Point:
    """Position of a panel's bl corner on the panel below, from `align` and `shift`."""
    up, across = split_align(panel.align)
    spare_x = below.width - panel.width
    spare_y = below.height - panel.height
    x = below_at[0] + {"left": ZERO, "centre": spare_x / TWO, "right": spare_x}[across]
    y = below_at[1] + {"base": ZERO, "centre": spare_y / TWO, "head": spare_y}[up]
    return x + panel.shift[0], y + panel.shift[1]


def positions(stack: Stack) -> tuple[Point, ...]:
    """Of every panel of a stack. Panel 1 is the origin, whatever its own align and shift say."""
    at: Point = (ZERO, ZERO)
    found = [at]
    for below, panel in zip(stack.panels, stack.panels[1:], strict=False):
        at = place(panel, below, at)
        found.append(at)
    return tuple(found)


def start_shift(side: Side, at: Point, below_at: Point) -> Decimal:
    """How far the start of a side lies beyond the start of the same side of the panel below, mm."""
    axis = 0 if side in ("base", "head") else 1
    return at[axis] - below_at[axis]
