"""`ascast`: record what a poured panel measures."""

from argparse import Namespace
from collections.abc import Iterable, Mapping
from contextlib import closing
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, mention, show
from pourdeck.commands.recording import record
from pourdeck.paper.documents import Document, number
from pourdeck.plan.ascast import AS_CAST_KEYS, is_height, is_signed
from pourdeck.plan.lengths import NotALength, parse_length, parse_rl
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.walk.ascast import as_cast, judged_as_cast
from pourdeck.walk.records import ItemView, Walk

if TYPE_CHECKING:
    from rich.console import Console

Judged = Mapping[str | None, ItemView]
"""The item of the walk that judges a measurement, by its key; not every one is judged."""


def run(arguments: Namespace) -> int:
    """Exit 1 where a value that was just recorded is outside its tolerance."""
    with closing(open_desk(arguments, read_only=False)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        values = read_values(arguments.values, desk.job.units)
        here = desk.walk(arguments.stack, arguments.number)
        notes = record(desk, as_cast(here, values, arguments.by, arguments.reason))
        walk = desk.walk(arguments.stack, arguments.number)
    judged = {item.cast_key: item for item in judged_as_cast(walk)}
    mention(notes)
    show(
        arguments,
        lambda: ascast_document(walk, judged),
        lambda console: ascast_page(console, walk, values, judged),
    )
    return FAULTY if any(_verdict(key, judged) == "fail" for key in values) else DONE


def read_values(texts: Iterable[str], units: Units) -> dict[str, Decimal]:
    """All KEY=VALUE, each key once; mm, or m for a height. Raises CannotDoError."""
    values: dict[str, Decimal] = {}
    for text in texts:
        key, value = read_value(text, units)
        if key in values:
            raise CannotDoError(f"{key} is given twice.", "Give each measurement once.")
        values[key] = value
    return values


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
    try:
        if is_height(key):
            return key, parse_rl(typed, units)
        return key, parse_length(typed, units, signed=is_signed(key))
    except NotALength as error:
        raise CannotDoError(f"{key}: {error.title}.", error.body) from error


def _verdict(key: str, judged: Judged) -> str:
    item = judged.get(key)
    return (item.verdict if item else None) or "recorded"


def ascast_document(walk: Walk, judged: Judged) -> Document:
    """Every measurement of the panel there is, in the order of its keys."""
    measured = _in_order(walk)
    return {
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "values": {key: number(value) for key, value in measured.items()},
        "verdicts": {key: _verdict(key, judged) for key in measured},
    }


def _in_order(walk: Walk) -> dict[str, Decimal]:
    measured: dict[str, Decimal] = walk.record.measured
    known = [key for key in AS_CAST_KEYS if key in measured]
    return {key: measured[key] for key in (*known, *(key for key in measured if key not in known))}


def ascast_page(
    console: "Console", walk: Walk, values: Mapping[str, Decimal], judged: Judged
) -> None:
    """What is measured, beside what was expected and by what it is judged."""
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
