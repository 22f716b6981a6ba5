"""From millimetres of a panel to cells: a cell is about twice as high as it is wide."""

from decimal import ROUND_HALF_UP, Decimal

from attrs import frozen

_ONE = Decimal(1)
ASPECT = 2
"""Height of a cell in its widths."""

LEAST_COLUMNS = 9
LEAST_ROWS = 3


@frozen(kw_only=True)
class Bounds:
    """A rectangle in a panel's own coordinates, mm."""

    left: Decimal
    base: Decimal
    right: Decimal
    head: Decimal

    def joined(self, other: "Bounds") -> "Bounds":
        """The smallest rectangle that holds both."""
        return Bounds(
            left=min(self.left, other.left),
            base=min(self.base, other.base),
            right=max(self.right, other.right),
            head=max(self.head, other.head),
        )


@frozen(kw_only=True)
class Scale:
    """Lengths to cells. `true`: up and across are at the same scale, but for the shape of a cell.

    `across` and `up` are mm for one column and one row. `x`, `y` are the cells of the bounds' left and base.
    """

    bounds: Bounds
    x: int
    y: int
    columns: int
    rows: int
    across: Decimal
    up: Decimal
    true: bool

    def column(self, x: Decimal) -> int:
        return self.x + int(((x - self.bounds.left) / self.across).to_integral_value(ROUND_HALF_UP))

    def row(self, y: Decimal) -> int:
        return self.y - int(((y - self.bounds.base) / self.up).to_integral_value(ROUND_HALF_UP))


def fit(bounds: Bounds, x: int, y: int, width: int, height: int) -> Scale:
    """The bounds as large as they go in `width` by `height` cells from x, y, and in their middle.

    A strip too thin to be drawn at its own scale is drawn wider across it: `true` is then False.
    """
    width, height = max(2, width), max(2, height)
    wide = max(bounds.right - bounds.left, _ONE)
    high = max(bounds.head - bounds.base, _ONE)
    across = max(wide / (width - 1), high / (ASPECT * (height - 1)))
    columns = _cells(wide / across)
    rows = _cells(high / (across * ASPECT))
    least_columns, least_rows = min(width, LEAST_COLUMNS), min(height, LEAST_ROWS)
    true = columns >= least_columns and rows >= least_rows
    columns = min(width, max(columns, least_columns))
    rows = min(height, max(rows, least_rows))
    return Scale(
        bounds=bounds,
        x=x + (width - columns) // 2,
        y=y + (height - rows) // 2 + rows - 1,
        columns=columns,
        rows=rows,
        across=across if true else wide / (columns - 1),
        up=across * ASPECT if true else high / (rows - 1),
        true=true,
    )


def _cells(length: Decimal) -> int:
    return int(length.to_integral_value(ROUND_HALF_UP)) + 1
