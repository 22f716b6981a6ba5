"""`ascast`: record what a poured panel measures."""

from argparse import Namespace
from collections.abc import Mapping
from decimal import Decimal
from difflib import get_close_matches
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.commands.recording import record
from pourdeck.paper.documents import Document, number
from pourdeck.plan.ascast import AS_CAST_KEYS, is_height, is_signed
from pourdeck.plan.lengths import format_length, format_rl, parse_length, parse_rl
from pourdeck.plan.records import Units
from pourdeck.walk.ascast import as_cast, judged_as_cast
from pourdeck.walk.records import Verdict, Walk

if TYPE_CHECKING:
    from rich.console import Console


Verdicts = Mapping[str | None, Verdict | None]
"""The verdict on each as-cast key; recorded where nothing judges it."""


def run(arguments: Namespace) -> int:
    """Exit 1 where a value that was just recorded is outside its tolerance."""
    desk = open_desk(arguments, read_only=False)
    find_panel(desk.job, arguments.stack, arguments.number)
    values = dict(read_value(text, desk.job.units) for text in arguments.values)
    record(desk, as_cast(desk.walk(arguments.stack, arguments.number), values, arguments.by))
    walk = desk.walk(arguments.stack, arguments.number)
    verdicts = {item.cast_key: item.verdict for item in judged_as_cast(walk)}
    show(
        arguments,
        lambda: ascast_document(walk, verdicts),
        lambda console: ascast_page(console, walk, values, verdicts),
    )
    return FAULTY if any(verdicts.get(key) == "fail" for key in values) else DONE


def read_value(text: str, units: Units) -> tuple[str, Decimal]:
    """Key and value of KEY=VALUE; mm, or m for a height."""
    key, equals, typed = text.partition("=")
    if not equals:
        raise CannotDoError(f"{text} is no KEY=VALUE.", "Write for example width_base=7201.")
    if key not in AS_CAST_KEYS:
        near = get_close_matches(key, AS_CAST_KEYS, n=1)
        raise CannotDoError(
            f"{key} is no as-cast measurement.",
            f"Did you mean {near[0]}?" if near else f"Take one of {', '.join(AS_CAST_KEYS)}.",
        )
    if is_height(key):
        return key, parse_rl(typed, units)
    return key, parse_length(typed, units, signed=is_signed(key))


def ascast_document(walk: Walk, verdicts: Verdicts) -> Document:
    measured = walk.record.measured
    return {
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "values": {key: number(value) for key, value in measured.items()},
        "verdicts": {key: verdicts.get(key) or "recorded" for key in measured},
    }


def ascast_page(
    console: "Console",
    walk: Walk,
    values: dict[str, Decimal],
    verdicts: Verdicts,
) -> None:
    from pourdeck.paper.console import table

    units = walk.job.units
    table(
        console,
        f"{walk.mark}, as cast",
        ("measurement", ">value", "", ""),
        [
            (
                key,
                format_rl(value, units) if is_height(key) else format_length(value, units),
                verdicts.get(key) or "recorded",
                "now" if key in values else "before",
            )
            for key, value in walk.record.measured.items()
        ],
    )
