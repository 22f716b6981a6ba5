"""Lines of a card in blocks of different weight: where there is no room for all, the lightest go first."""

from collections.abc import Iterable, Sequence

from attrs import frozen

from pourdeck.deck.spans import Spans, line, say, wrap

NAME = 11
"""Cells of the column of names."""

MUST = 0
"""The weight of what is never left out."""


@frozen
class Block:
    """`weight` 0 stays; the higher it is, the sooner the block goes."""

    rows: tuple[Spans, ...]
    weight: int = MUST


def keep_blocks(blocks: Iterable[Block], room: int, least: int = 1) -> list[Block]:
    """As many blocks as `room` lines hold. What weighs less than `least` stays, even beyond that."""
    kept = [block for block in blocks if block.rows]
    while sum(len(block.rows) for block in kept) > room:
        heaviest = max((block.weight for block in kept), default=MUST)
        if heaviest < max(least, MUST + 1):
            break
        del kept[max(n for n, block in enumerate(kept) if block.weight == heaviest)]
    return kept


def rows_of(kept: Iterable[Block], among: Sequence[Block]) -> list[Spans]:
    """The lines of those blocks that were kept of some."""
    mine = {id(block) for block in among}
    return [row for block in kept if id(block) in mine for row in block.rows]


def least_rows(blocks: Iterable[Block]) -> int:
    """The lines that stay in any case."""
    return sum(len(block.rows) for block in blocks if block.weight == MUST)


def named(name: str, value: str, width: int, ink: str = "text") -> list[Spans]:
    """A name and its value, broken under the value where it is long."""
    return named_spans(name, line((value, ink)), width) if value else []


def named_spans(name: str, value: Spans, width: int) -> list[Spans]:
    """The same for a value in several inks."""
    head, blank = say(f"{name:<{NAME}}", "quiet"), (" " * NAME, "text")
    rows = wrap(value, max(8, width - NAME))
    return [((head if number == 0 else blank), *row) for number, row in enumerate(rows)]


def cut_rows(rows: Sequence[Spans], most: int, rest: str) -> list[Spans]:
    """At most so many lines, the last of them saying `rest` where some had to go."""
    if len(rows) <= most:
        return list(rows)
    return [*rows[: most - 1], line((rest, "quiet"))]
