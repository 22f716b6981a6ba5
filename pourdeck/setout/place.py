"""Rule 1: where each panel sits, in stack coordinates.

The origin is the bl face corner of panel 1; x runs right along the base, y from base to head.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.records import Align, Panel
from pourdeck.plan.sides import Side, Sides

Point = tuple[Decimal, Decimal]

ZERO = Decimal(0)
ORIGIN: Point = (ZERO, ZERO)
"""Where panel 1 is, whatever its own align and shift say."""

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


def faces(rect: Rect) -> Sides[Decimal]:
    """Where each face line is, across its side: y of base and head, x of right and left."""
    return Sides(base=rect.y0, right=rect.x1, head=rect.y1, left=rect.x0)


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


def start_shift(side: Side, at: Point, below_at: Point) -> Decimal:
    """How far the start of a side lies beyond the start of the same side of the panel below, mm."""
    axis = 0 if side in ("base", "head") else 1
    return at[axis] - below_at[axis]
