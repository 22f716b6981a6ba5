"""Rows of a list, and how they fall into lines."""

from attrs import evolve, frozen

from pourdeck.deck.spans import Spans, cells, cut, justify, wrap

GUTTER = 2
"""Cells at the left of every line, for the mark of the row."""


@frozen(kw_only=True)
class Row:
    """One row. `key` None: a heading or a note, that the mark passes over.

    `right` stands at the right end of the first line and is never cut for `left`. `wrap`: as many lines as
    `left` needs, the later ones indented by `indent`; otherwise one line that ends in `…`.
    """

    left: Spans
    key: str | None = None
    right: Spans = ()
    wrap: bool = False
    indent: int = 0


@frozen(eq=False, repr=False)
class Placed:
    """A line of a list: the row it belongs to, and whether it is that row's first."""

    row: int
    first: bool
    spans: Spans


def _in_flow(row: Row, width: int) -> Row:
    """What would take more than a third of the width at the right goes with the rest of the words."""
    if row.wrap and cells(row.right) * 3 > width:
        return evolve(row, left=(*row.left, ("  ", "text"), *row.right), right=())
    return row


def place(rows: tuple[Row, ...], width: int, spread: int = 1) -> list[Placed]:
    """The lines of the rows in `width` cells, the gutter left out; `spread` of a keyed row at the least."""
    placed: list[Placed] = []
    for index, row in enumerate(rows):
        placed += _lines(index, row, width)
        if row.key is not None:
            taken = sum(one.row == index for one in placed[-spread:])
            placed += [Placed(index, False, ())] * (spread - taken)
    return placed


def _lines(index: int, row: Row, width: int) -> list[Placed]:
    row = _in_flow(row, width)
    right = cut(row.right, max(0, width - 8))
    room = width - cells(right) - 1 if right else width
    if not row.wrap:
        return [Placed(index, True, justify(row.left, right, width))]
    placed: list[Placed] = []
    for number, spans in enumerate(wrap(row.left, max(1, room), row.indent)):
        first = number == 0
        whole = justify(spans, right, width) if first else spans
        placed.append(Placed(index, first, whole))
    return placed
