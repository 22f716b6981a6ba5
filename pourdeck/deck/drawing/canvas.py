"""A drawing in characters: cells, scale, and what was drawn where a click comes.

x counts cells from the left, y rows from the top. What falls outside is left out, so that a drawing may be
larger than its canvas. Strokes that meet join: a cell remembers in which directions lines leave it.
"""

from decimal import ROUND_HALF_UP, Decimal
from typing import Generic, TypeVar

from attrs import define, field, frozen
from rich.cells import cell_len

from pourdeck.deck.paint import Spans
from pourdeck.plan.messages import literal

# A canvas of cells: a character and the name of its ink in each.

_UP, _DOWN, _LEFT, _RIGHT = 1, 2, 4, 8
_LINES = {
    _UP: "│", _DOWN: "│", _UP | _DOWN: "│",
    _LEFT: "─", _RIGHT: "─", _LEFT | _RIGHT: "─",
    _DOWN | _RIGHT: "┌", _DOWN | _LEFT: "┐", _UP | _RIGHT: "└", _UP | _LEFT: "┘",
    _UP | _DOWN | _RIGHT: "├", _UP | _DOWN | _LEFT: "┤",
    _LEFT | _RIGHT | _DOWN: "┬", _LEFT | _RIGHT | _UP: "┴",
    _UP | _DOWN | _LEFT | _RIGHT: "┼",
}  # fmt: skip

CONTINUED = ""
"""In the second cell of a character that is two cells wide."""


class Canvas:
    """`width` by `height` cells, all blank at first."""

    def __init__(self, width: int, height: int) -> None:
        self.width = max(0, width)
        self.height = max(0, height)
        self._cells: list[list[tuple[str, str]]] = [
            [(" ", "text")] * self.width for _ in range(self.height)
        ]
        self._joins: dict[tuple[int, int], int] = {}

    def holds(self, x: int, y: int) -> bool:
        return 0 <= x < self.width and 0 <= y < self.height

    def char(self, x: int, y: int) -> str:
        """Read the character of a cell; a blank outside."""
        return self._cells[y][x][0] if self.holds(x, y) else " "

    def put(self, x: int, y: int, char: str, ink: str = "text") -> None:
        """One character of one cell; what was there goes, lines too."""
        if self.holds(x, y):
            self._part(x, y)
            self._cells[y][x] = (char, ink)
            self._joins.pop((x, y), None)

    def text(self, x: int, y: int, text: str, ink: str = "text", most: int | None = None) -> int:
        """Words from x on, in at most `most` cells; gives the cells they took."""
        at = x
        end = self.width if most is None else min(self.width, x + most)
        last: tuple[int, str] | None = None
        for char in literal(text):
            size = cell_len(char)
            if last is not None and cell_len(last[1] + char) == cell_len(last[1]):
                # What only changes the character before it stands in the cell of that character.
                last = (last[0], last[1] + char)
                if self.holds(last[0], y):
                    self._cells[y][last[0]] = (last[1], ink)
                continue
            if size == 0:
                continue
            if at + size > end:
                break
            if at >= 0:
                self.put(at, y, char, ink)
                if size == 2 and self.holds(at + 1, y):
                    self.put(at + 1, y, " ", ink)
                    self._cells[y][at] = (char, ink)
                    self._cells[y][at + 1] = (CONTINUED, ink)
            last = (at, char)
            at += size
        return at - x

    def fill(self, x: int, y: int, width: int, height: int, char: str, ink: str = "text") -> None:
        """A rectangle of one character."""
        for row in range(max(0, y), min(self.height, y + height)):
            for column in range(max(0, x), min(self.width, x + width)):
                self.put(column, row, char, ink)

    def ink(self, x: int, y: int, ink: str) -> None:
        """Another ink for what stands in a cell."""
        if self.holds(x, y):
            self._cells[y][x] = (self._cells[y][x][0], ink)

    def across(self, x: int, end: int, y: int, ink: str = "edge") -> None:
        """A stroke from x to end, both included, joined to what it meets."""
        if x >= end:
            self._join(x, y, _LEFT | _RIGHT, ink)
        for column in range(max(x, -1), min(end, self.width) + 1):
            leaves = (_LEFT if column > x else 0) | (_RIGHT if column < end else 0)
            self._join(column, y, leaves, ink)

    def down(self, x: int, y: int, end: int, ink: str = "edge") -> None:
        """A stroke from y down to end, both included, joined to what it meets."""
        if y >= end:
            self._join(x, y, _UP | _DOWN, ink)
        for row in range(max(y, -1), min(end, self.height) + 1):
            leaves = (_UP if row > y else 0) | (_DOWN if row < end else 0)
            self._join(x, row, leaves, ink)

    def box(self, x: int, y: int, right: int, bottom: int, ink: str = "edge") -> None:
        """The outline of a rectangle, its last column and row included."""
        self.across(x, right, y, ink)
        self.across(x, right, bottom, ink)
        self.down(x, y, bottom, ink)
        self.down(right, y, bottom, ink)

    def _join(self, x: int, y: int, leaves: int, ink: str) -> None:
        if leaves and self.holds(x, y):
            joined = self._joins.get((x, y), 0) | leaves
            self._part(x, y)
            self._cells[y][x] = (_LINES[joined], ink)
            self._joins[x, y] = joined

    def _part(self, x: int, y: int) -> None:
        """Half of a wide character cannot stay when the other half goes."""
        if self._cells[y][x][0] == CONTINUED and x > 0:
            self._cells[y][x - 1] = (" ", self._cells[y][x - 1][1])
        if x + 1 < self.width and self._cells[y][x + 1][0] == CONTINUED:
            self._cells[y][x + 1] = (" ", self._cells[y][x + 1][1])

    def lines(self) -> list[str]:
        """The drawing as plain text, one line for each row."""
        return ["".join(char for char, _ in row) for row in self._cells]

    def rows(self) -> list[Spans]:
        """All rows as pieces."""
        return [self.spans(y) for y in range(self.height)]

    def spans(self, y: int) -> Spans:
        """A row as pieces of one ink each."""
        if not 0 <= y < self.height:
            return ()
        pieces: list[tuple[str, str]] = []
        for char, ink in self._cells[y]:
            if pieces and pieces[-1][1] == ink:
                pieces[-1] = (pieces[-1][0] + char, ink)
            else:
                pieces.append((char, ink))
        return tuple(pieces)


# From millimetres of a panel to cells: a cell is about twice as high as it is wide.

_ONE = Decimal(1)
ASPECT = 2
"""Height of a cell in its widths."""

LEAST_COLUMNS = 9
LEAST_ROWS = 3


@frozen(kw_only=True, repr=False)
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


@frozen(kw_only=True, repr=False)
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


# What a click on a drawing means: rectangles of cells, the last one on top.

What = TypeVar("What")


@frozen(eq=False, repr=False)
class Hit(Generic[What]):
    """A rectangle of cells, and what it stands for."""

    x: int
    y: int
    width: int
    height: int
    what: What

    def holds(self, x: int, y: int) -> bool:
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


@define(eq=False, repr=False)
class Hits(Generic[What]):
    """All of a drawing's."""

    found: list[Hit[What]] = field(factory=list)

    def add(self, x: int, y: int, width: int, height: int, what: What) -> None:
        self.found.append(Hit(x, y, width, height, what))

    def at(self, x: int, y: int) -> What | None:
        """Find what stands at a cell, the last one put there; None where nothing does."""
        return next((hit.what for hit in reversed(self.found) if hit.holds(x, y)), None)
