"""Two ways to the height of a form top at a corner, and the thickness between two surfaces.

By instrument keeps planes level and lets the thickness vary; by gauge, the depth from the surface below,
keeps the thickness and lets errors of level add up. They disagree by what is wrong with the surface below.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.sides import Corner
from pourdeck.setout.heights import MM_PER_M


@frozen(kw_only=True)
class CornerHeights:
    """What is known at one corner: heights m, `depth` mm; None where it was not read.

    `form_top` by staff, `below` the surface the form stands on, `depth` from form top to that surface,
    `surface` the finished one. `below_from` says where `below` is from.
    """

    corner: Corner
    form_top: Decimal | None
    below: Decimal | None
    below_from: str
    depth: Decimal | None
    surface: Decimal | None

    @property
    def by_gauge(self) -> Decimal | None:
        """Height of the form top from the surface below and the depth, m."""
        if self.below is None or self.depth is None:
            return None
        return self.below + self.depth / MM_PER_M

    @property
    def difference(self) -> Decimal | None:
        """By instrument above by gauge, mm."""
        if self.form_top is None or self.by_gauge is None:
            return None
        return (self.form_top - self.by_gauge) * MM_PER_M

    @property
    def thickness(self) -> Decimal | None:
        """Between the finished surface and the one below, mm."""
        if self.surface is None or self.below is None:
            return None
        return (self.surface - self.below) * MM_PER_M
