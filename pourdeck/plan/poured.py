"""What the log says of a panel that has been poured, as the set-out needs it."""

from decimal import Decimal

from attrs import field, frozen

from pourdeck.plan.sides import Sides


@frozen(kw_only=True)
class Poured:
    """A panel whose pour has begun: it cannot be revised, and its anchors are what they are.

    `anchors` and `extra_anchors`: positions along each side in the panel's own coordinates, mm, rising.
    `measured`: as-cast values by their key (mm; `rl_*` in m).
    """

    mark: str
    anchors: Sides[tuple[Decimal, ...]]
    extra_anchors: Sides[tuple[Decimal, ...]]
    measured: dict[str, Decimal] = field(factory=dict)

    @property
    def surface_rl(self) -> Decimal | None:
        """Mean of the finished-surface heights that were read at the corners, m; None if none was."""
        read = [rl for key, rl in self.measured.items() if key.startswith("rl_")]
        return sum(read, Decimal(0)) / len(read) if read else None
