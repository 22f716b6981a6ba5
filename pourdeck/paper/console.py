"""A console for people: coloured on a terminal, plain text when piped, nothing coloured with NO_COLOR."""

import sys
from collections.abc import Iterable, Sequence
from typing import TextIO

from rich.box import ASCII2, SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal

PIPED_WIDTH = 120
"""Columns when there is no terminal to ask."""


def people(stream: TextIO | None = None) -> Console:
    """Never reads markup, emoji names or numbers out of what it prints."""
    file = stream or sys.stdout
    piped = not file.isatty()
    return Console(
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


def table(
    console: Console, title: str, heads: Sequence[str], rows: Iterable[Sequence[object]]
) -> None:
    """A table; a head that starts with `>` is a column of numbers, set to the right."""
    box = SIMPLE_HEAD if console.is_terminal and not console.options.ascii_only else ASCII2
    found = Table(
        title=words(title) if title else None,
        title_justify="left",
        box=box,
        show_edge=False,
        pad_edge=False,
    )
    for head in heads:
        if head.startswith(">"):
            found.add_column(words(head[1:]), justify="right", no_wrap=True)
        else:
            found.add_column(words(head), overflow="fold")
    for row in rows:
        found.add_row(*(cell if isinstance(cell, Text) else words(cell) for cell in row))
    console.print(found)


def findings_page(console: Console, findings: Sequence[Finding]) -> None:
    """One finding a line: severity in a word, where, and the message."""
    for finding in findings:
        style = "bold red" if finding.is_error else "yellow"
        line = words(f"{finding.severity:<8}", style)
        line.append_text(words(f"{finding.code:<17} {place_of(finding)}: {finding.message}"))
        console.print(line, soft_wrap=True)


def place_of(finding: Finding) -> str:
    """Stack, panel and mark, or file and line, whichever is known."""
    parts = []
    if finding.stack is not None:
        parts.append(f"stack {finding.stack}")
    if finding.panel is not None:
        parts.append(f"panel {finding.panel}")
    if finding.mark is not None:
        parts.append(finding.mark)
    if finding.file is not None:
        parts.append(finding.file if finding.line is None else f"{finding.file}:{finding.line}")
    return " ".join(parts) or "job"
