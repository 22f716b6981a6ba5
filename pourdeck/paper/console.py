"""A console for people: coloured on a terminal, plain text when piped, nothing coloured with NO_COLOR.

On a terminal long lines are broken between words and go on indented. Piped, a line stays one line, so
that other tools can look for words in it.
"""

import re
import sys
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TextIO

from attrs import frozen
from rich.box import SIMPLE_HEAD, Box
from rich.cells import cell_len
from rich.console import Console
from rich.table import Table
from rich.text import Text

from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.messages import Finding, literal, with_place
from pourdeck.plan.records import Units

PIPED_WIDTH = 10_000
"""Columns when there is no terminal: no table is ever so wide."""

NARROWEST = 40
"""On a terminal with fewer columns lines are broken as if it had so many."""

_BREAK = re.compile(r"(?<!\d') (?!(?:mm|m|m[²³]|ft|ft²|yd³|kg|lb|MPa|psi|km/h|mph|h|min|°[CF])\b)")
"""A space, but not one in feet and inches or before a unit."""

HYPHENS = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
"""As SIMPLE_HEAD, where only ASCII can be shown or other programs read along."""


class People(Console):
    def on_broken_pipe(self) -> None:
        """Let whoever prints decide what it means that nobody reads on."""
        raise BrokenPipeError


def people(stream: TextIO | None = None) -> Console:
    """Never reads markup, emoji names or numbers out of what it prints."""
    file = stream or sys.stdout
    piped = not file.isatty()
    return People(
        file=file,
        markup=False,
        emoji=False,
        highlight=False,
        width=PIPED_WIDTH if piped else None,
        no_color=True if piped else None,
        force_terminal=False if piped else None,
        legacy_windows=False,
    )


def words(value: object, style: str = "") -> Text:
    """Text that shows as it is, control and direction characters spelled out."""
    return Text(literal(str(value)), style=style)


def say(console: Console, value: object, style: str = "") -> None:
    """One line, never cut; on a terminal broken between words."""
    flow(console, "", pieces(str(value)), style=style)


def pieces(text: str) -> list[str]:
    """The words of a line, a length with its unit as one."""
    return _BREAK.split(text)


def title(console: Console, text: str) -> None:
    """The heading of a part of a page, after an empty line."""
    console.print()
    say(console, text, "bold")


def flow(
    console: Console,
    lead: str,
    parts: Iterable[object],
    *,
    joint: str = " ",
    style: str = "",
    lead_style: str = "",
) -> None:
    """A lead, then parts that are never broken; lines that follow start under the first part."""
    room = max(console.width, NARROWEST)
    start = words(lead, lead_style)
    used = start.cell_len
    indent = min(used, room // 2)
    line = ""
    said = [literal(str(part)) for part in parts]
    for number, piece in enumerate(said, 1):
        after = joint if number < len(said) else ""
        if line and used + cell_len(piece + after.rstrip()) > room:
            _line(console, start, line, style)
            start, line, used = Text(" " * indent), "", indent
        line += piece + after
        used += cell_len(piece + after)
    _line(console, start, line, style)


def _line(console: Console, start: Text, rest: str, style: str) -> None:
    line = Text.assemble(start, (rest, style))
    line.rstrip()
    console.print(line, soft_wrap=True)


def table(console: Console, heads: Sequence[str], rows: Iterable[Sequence[object] | None]) -> None:
    """A table; nothing where there are no rows. None among the rows is a gap.

    A head that starts with `>` is a column of numbers, set to the right. No cell is cut or broken: on
    a terminal that is too narrow the lines run over.
    """
    there = [None if row is None else [_cell(one) for one in row] for row in rows]
    if not any(there):
        return
    plain = not console.is_terminal or console.options.ascii_only
    headed = any(heads)
    made = Table(
        box=(HYPHENS if plain else SIMPLE_HEAD) if headed else None,
        show_header=headed,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0) if headed else (0, 2, 0, 0),
    )
    for head in heads:
        right = head.startswith(">")
        made.add_column(Text(head.removeprefix(">")), justify="right" if right else "left")
    for row in there:
        if row is None:
            made.add_section()
        else:
            made.add_row(*row)
    _print_table(console, made)


def _cell(value: object) -> Text:
    return value if isinstance(value, Text) else words(value)


def _print_table(console: Console, made: Table) -> None:
    for column in made.columns:
        column.no_wrap = True
    options = console.options.update(width=PIPED_WIDTH)
    for segments in console.render_lines(made, options, pad=False):
        line = Text.assemble(*((one.text, one.style or "") for one in segments))
        line.rstrip()
        console.print(line, soft_wrap=True)


def findings_page(console: Console, findings: Sequence[Finding]) -> None:
    """Each finding with its severity in a word, where it is, and its message."""
    for finding in findings:
        flow(
            console,
            f"{finding.severity:<9}",
            (finding.code, *pieces(with_place(finding))),
            lead_style="bold red" if finding.is_error else "yellow",
        )


@frozen
class Lengths:
    """Write lengths for a page: in a table the head has the unit, feet and inches their own marks."""

    units: Units

    @property
    def mm(self) -> str:
        """Give the line that ends a head of a column of lengths; "" in an imperial job."""
        return "\nmm" if self.units == "metric" else ""

    def bare(self, value: Decimal) -> str:
        return format_bare(value, self.units)

    def whole(self, value: Decimal, decimals: int | None = None) -> str:
        return format_length(value, self.units, decimals=decimals)

    def signed(self, value: Decimal) -> str:
        return f"+{self.bare(value)}" if value > 0 else self.bare(value)
