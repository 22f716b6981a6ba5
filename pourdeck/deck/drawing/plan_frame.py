"""What stands where in the drawing of a panel: its scale, and where its lines and those below it fall."""

from decimal import Decimal

from attrs import define, field, frozen

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.drawing.hits import Hits
from pourdeck.deck.drawing.scale import Bounds, Scale
from pourdeck.plan.records import Corner, Side, Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place


@frozen(kw_only=True)
class Cells:
    """A rectangle of cells, its last column and row included."""

    left: int
    top: int
    right: int
    bottom: int


@frozen(kw_only=True)
class Spot:
    """A sign of its own in the drawing, and what it means. x, y in the panel's own coordinates, mm."""

    x: Decimal
    y: Decimal
    sign: str
    words: str


@define(kw_only=True)
class Frame:
    """What the parts of the drawing share. `used` are the signs that a legend explains."""

    setout: SetOut
    place: Place
    units: Units
    canvas: Canvas
    hits: Hits[Place]
    scale: Scale
    panel: Cells
    below: Cells | None
    used: dict[str, tuple[str, str]] = field(factory=dict)

    def explain(self, sign: str, words: str, ink: str) -> None:
        self.used.setdefault(sign, (words, ink))

    def column(self, x: Decimal) -> int:
        """The column of an x, kept on the panel."""
        return max(self.panel.left, min(self.panel.right, self.scale.column(x)))

    def row(self, y: Decimal) -> int:
        """The row of a y, kept on the panel."""
        return max(self.panel.top, min(self.panel.bottom, self.scale.row(y)))

    def on_side(self, side: Side, at: Decimal) -> tuple[int, int]:
        """The cell on the face line of a side, so far along it."""
        if side in ("base", "head"):
            return self.column(at), self.panel.bottom if side == "base" else self.panel.top
        return self.panel.left if side == "left" else self.panel.right, self.row(at)

    def corner(self, corner: Corner) -> tuple[int, int]:
        """The cell of a face corner."""
        x = self.panel.left if corner[1] == "l" else self.panel.right
        return x, self.panel.bottom if corner[0] == "b" else self.panel.top

    def outside(self, side: Side) -> int:
        """The first row or column outside both this panel and the one below, on that side."""
        panel, below = self.panel, self.below
        if side == "left":
            return min(panel.left, below.left if below else panel.left) - 1
        if side == "right":
            return max(panel.right, below.right if below else panel.right) + 1
        if side == "head":
            return min(panel.top, below.top if below else panel.top) - 1
        return max(panel.bottom, below.bottom if below else panel.bottom) + 1


def own_bounds(setout: SetOut) -> Bounds:
    zero = Decimal(0)
    return Bounds(left=zero, base=zero, right=setout.panel.width, head=setout.panel.height)


def bounds_below(setout: SetOut) -> Bounds | None:
    """The panel below in this panel's own coordinates."""
    if setout.below is None or setout.position_below is None:
        return None
    x = setout.position_below[0] - setout.position[0]
    y = setout.position_below[1] - setout.position[1]
    return Bounds(left=x, base=y, right=x + setout.below.width, head=y + setout.below.height)


def cells_of(scale: Scale, bounds: Bounds) -> Cells:
    return Cells(
        left=scale.column(bounds.left),
        top=scale.row(bounds.head),
        right=scale.column(bounds.right),
        bottom=scale.row(bounds.base),
    )


def step_seen(panel: Cells, below: Cells, setout: SetOut) -> Cells:
    """The panel below, each step at least one cell: what stands in by 20 mm must not look flush."""
    if setout.offsets is None:
        return below
    steps = setout.offsets

    def aside(mine: int, other: int, offset: Decimal, outward: int) -> int:
        if offset > 0 and (other - mine) * outward < 1:
            return mine + outward
        if offset < 0 and (other - mine) * outward > -1:
            return mine - outward
        return mine if offset == 0 else other

    return Cells(
        left=aside(panel.left, below.left, steps.left, -1),
        top=aside(panel.top, below.top, steps.head, -1),
        right=aside(panel.right, below.right, steps.right, 1),
        bottom=aside(panel.bottom, below.bottom, steps.base, 1),
    )
