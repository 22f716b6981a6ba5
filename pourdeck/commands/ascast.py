"""`ascast`: record what a poured panel measures."""

from argparse import Namespace
from collections.abc import Collection, Iterable, Mapping
from contextlib import closing
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk, record
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, mention, show
from pourdeck.paper.documents import Document, cast_document, number
from pourdeck.plan.ascast import AS_CAST_KEYS, is_height, is_signed
from pourdeck.plan.messages import Refusal, has_error
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.setout.adjust import BEARING, Adjusted
from pourdeck.walk.answers import readings_in
from pourdeck.walk.ascast import (
    CastSheet,
    as_cast,
    cast_sheet,
    judged_as_cast,
    mm_text,
    signed_text,
    slip_text,
    state_words,
)
from pourdeck.walk.items import last_measured
from pourdeck.walk.quantities import QUANTITIES, number_read
from pourdeck.walk.records import ItemView, Walk

if TYPE_CHECKING:
    from rich.console import Console

Judged = Mapping[str | None, ItemView]
"""The item of the walk that judges a measurement, by its key; not every one is judged."""


def run(arguments: Namespace) -> int:
    """Exit 1 where a value that was just recorded is outside its tolerance."""
    with closing(open_desk(arguments, read_only=False)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        once, twice = read_values(arguments.values, desk.job.units)
        values = (*once, *twice)
        here = desk.walk(arguments.stack, arguments.number)
        notes = record(desk, as_cast(here, once, arguments.by, arguments.reason, twice))
        walk = desk.walk(arguments.stack, arguments.number)
        log = desk.log_findings(arguments.stack)
    judged = {item.cast_key: item for item in judged_as_cast(walk)}
    mention(notes)
    show(
        arguments,
        lambda: ascast_document(walk, judged),
        lambda console: ascast_page(console, walk, values, judged),
        log,
    )
    failed = any(_verdict(key, judged) == "fail" for key in values)
    return FAULTY if failed or has_error(log) else DONE


def read_values(
    texts: Iterable[str], units: Units
) -> tuple[dict[str, Decimal], dict[str, tuple[Decimal, Decimal]]]:
    """All KEY=VALUE: what is given once, and both readings of what is given twice. mm, heights m.

    Raises CannotDoError.
    """
    values: dict[str, list[Decimal]] = {}
    for text in texts:
        key, value = read_value(text, units)
        values.setdefault(key, []).append(value)
        if len(values[key]) > 2:
            raise CannotDoError(
                f"{key} is given more than twice.",
                "Give one reading, or the two of what was measured twice.",
            )
    once = {key: given[0] for key, given in values.items() if len(given) == 1}
    twice = {key: (given[0], given[1]) for key, given in values.items() if len(given) == 2}
    return once, twice


def read_value(text: str, units: Units) -> tuple[str, Decimal]:
    """Key and value of KEY=VALUE; mm, or m for a height. Raises CannotDoError."""
    key, equals, typed = text.partition("=")
    key = key.strip()
    if not equals:
        raise CannotDoError(f"{text} is no KEY=VALUE.", "Write for example width_base=7201.")
    if key not in AS_CAST_KEYS:
        from pourdeck.plan.wording import nearest

        near = nearest(key, AS_CAST_KEYS)
        raise CannotDoError(
            f"{key} is no as-cast measurement.",
            f"Did you mean {near}?" if near else f"Take one of {', '.join(AS_CAST_KEYS)}.",
        )
    name = "height" if is_height(key) else "face" if is_signed(key) else "size"
    found = number_read(QUANTITIES[name].in_job(units), typed)
    if isinstance(found, Refusal):
        raise CannotDoError(f"{key}: {found.title.removesuffix('.')}.", found.body)
    return key, found


def _verdict(key: str, judged: Judged) -> str:
    item = judged.get(key)
    return (item.verdict if item else None) or "recorded"


def ascast_document(walk: Walk, judged: Judged) -> Document:
    """Every measurement of the panel there is, in the order of its keys."""
    measured = _in_order(walk)
    sheet = cast_sheet(walk)
    return {
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "values": {key: number(value) for key, value in measured.items()},
        "verdicts": {key: _verdict(key, judged) for key in measured},
        "readings": {key: [number(one) for one in both] for key, both in _readings(walk).items()},
        "adjustment": cast_document(
            sheet.adjusted if isinstance(sheet.adjusted, Adjusted) else None
        ),
        "shows": {line.key: line.shows for line in sheet.lines if line.key in BEARING},
        "suspects": [line.key for line in sheet.suspects],
        "says": state_words(sheet),
    }


def _readings(walk: Walk) -> dict[str, tuple[Decimal, ...]]:
    """Both readings of what was measured twice, by its key."""
    last = {key: last_measured(walk.record, key) for key in _in_order(walk)}
    both = {key: readings_in(entry.data, key) for key, entry in last.items() if entry}
    return {key: readings for key, readings in both.items() if readings}


def _in_order(walk: Walk) -> dict[str, Decimal]:
    measured: dict[str, Decimal] = walk.record.measured
    known = [key for key in AS_CAST_KEYS if key in measured]
    return {key: measured[key] for key in (*known, *(key for key in measured if key not in known))}


def ascast_page(console: "Console", walk: Walk, values: Collection[str], judged: Judged) -> None:
    """Print what is measured, beside what was expected and its verdict; then how it fits together."""
    from pourdeck.paper.console import say, table
    from pourdeck.walk.words import expected_text, logged_text

    units = walk.job.units
    say(
        console,
        f"{walk.mark}, panel {walk.number} of {walk.of} of stack {walk.stack}, as cast",
        "bold",
    )
    rows = []
    for key, value in _in_order(walk).items():
        item = judged.get(key)
        rows.append(
            (
                key,
                logged_text(plain(value), "m" if is_height(key) else "mm", units),
                expected_text(item, units) if item else "",
                _verdict(key, judged),
                "now" if key in values else "before",
            )
        )
    table(console, ("measurement", ">value", "expected", "verdict", "recorded"), rows)
    _fit_page(console, cast_sheet(walk))


def _fit_page(console: "Console", sheet: CastSheet) -> None:
    """Print what each measurement of the corners tells of the others, then what all of them tell."""
    from pourdeck.paper.console import say, table, title

    units = sheet.walk.job.units
    title(console, "How they fit together")
    table(
        console,
        ("measurement", ">residual", ">checked", ">a slip shows above", "if it alone is wrong"),
        [
            (
                line.key,
                signed_text(line.checked.residual, units),
                f"{100 * line.checked.redundancy:.1f} %",
                "cannot tell" if line.checked.shows is None else mm_text(line.checked.shows, units),
                f"{slip_text(line.checked, units)}, suspect" if line.suspect else "",
            )
            for line in sheet.lines
            if line.checked is not None
        ],
    )
    for words in state_words(sheet):
        say(console, words)
