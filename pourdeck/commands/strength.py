"""`strength`: how strong a panel is, and what stands between it and its climb and its lift."""

from argparse import Namespace
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk, record
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, mention, show
from pourdeck.plan.messages import Refusal, has_error
from pourdeck.walk.strength import strength

if TYPE_CHECKING:
    from rich.console import Console

    from pourdeck.walk.desk import Desk
    from pourdeck.walk.logger_cells import Given


def run(arguments: Namespace) -> int:
    """Exit 1 where a finding is an error; what is not met yet is none."""
    from pourdeck.paper.strength_document import strength_document
    from pourdeck.plan.messages import Spot
    from pourdeck.walk.strength_findings import strength_findings

    recording = arguments.temperatures is not None
    with closing(open_desk(arguments, read_only=not recording)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        now = desk.now()
        at = now if arguments.at is None else read_at(arguments.at, now)
        notes = _record(desk, arguments, now) if recording else desk.messages
        walk = desk.walk(arguments.stack, arguments.number)
        out = walk.clocks.left_out(walk.record.pour_end) if arguments.at is None else timedelta()
        found = strength(desk.job, walk.record, at, out)
        log = desk.log_findings(arguments.stack)

    def print_page(console: "Console") -> None:
        from pourdeck.paper.strength_page import strength_page

        strength_page(console, walk, found)

    mention(notes)
    show(arguments, lambda: strength_document(walk, found), print_page, log)
    spot = Spot(stack=walk.stack, panel=walk.number, mark=walk.mark)
    wrong = strength_findings(desk.job, spot, found)
    return FAULTY if has_error((*wrong, *log)) else DONE


def read_at(typed: str, now: datetime) -> datetime:
    """A time in the zone of the site, to come or past. Raises CannotDoError."""
    try:
        at = datetime.fromisoformat(typed.strip())
    except ValueError as error:
        raise CannotDoError(
            f"--at: {typed} is not a time.",
            "Write day and time, such as 2026-11-26T07:00 or 2026-11-26T07:00+10:00.",
        ) from error
    try:
        at = at.replace(tzinfo=now.tzinfo) if at.tzinfo is None else at.astimezone(now.tzinfo)
    except OverflowError as error:
        raise CannotDoError(f"--at: {typed} is too far away.", "Look at its year.") from error
    if not 1990 <= at.year <= 2200:
        raise CannotDoError(f"--at: {typed} is too far away.", "Look at its year.")
    return at


def _record(desk: "Desk", arguments: Namespace, now: datetime) -> tuple[str, ...]:
    """Record the readings of a file, and give back what people should know. Raises CannotDoError."""
    from pourdeck.walk.strength_import import (
        import_of,
        import_words,
        read_file,
        temperatures_read,
    )

    if not arguments.by:
        raise CannotDoError("--temperatures needs --by NAME.", "Say who read the logger.")
    path = Path(arguments.temperatures)
    walk = desk.walk(arguments.stack, arguments.number)
    read = read_file(walk, path, now, _given(arguments, now))
    if isinstance(read, Refusal):
        raise CannotDoError(f"{path}: {read.title}", f"{read.body}{_option(read)}")
    found = import_of(walk, read, now)
    if isinstance(found, Refusal):
        raise CannotDoError(f"{path}: {found.title}", found.body)
    act = temperatures_read(walk, found, path.name, arguments.by, now, arguments.reason or "")
    notes = record(desk, act)
    return (*notes, f"{import_words(walk, found)} recorded.", *found.said, *found.gaps)


def _given(arguments: Namespace, now: datetime) -> "Given":
    """Read the options that say how to read a logger's file. Raises CannotDoError."""
    from pourdeck.walk.logger_cells import Given, order_named, unit_named
    from pourdeck.walk.logger_days import read_start

    unit = order = start = None
    if arguments.unit is not None:
        unit = unit_named(arguments.unit)
        if unit is None:
            raise CannotDoError(f"--unit: {arguments.unit} is no unit.", "Write C, F or K.")
    if arguments.dates is not None:
        order = order_named(arguments.dates)
        if order is None:
            raise CannotDoError(
                f"--dates: {arguments.dates} is no order.",
                "Write dmy, mdy or ymd: day, month, year.",
            )
    if arguments.start is not None:
        begun = read_start(arguments.start, now)
        if isinstance(begun, Refusal):
            raise CannotDoError(f"--start: {begun.title}", begun.body)
        start = begun
    return Given(unit=unit, column=arguments.column or "", dates=order, start=start)


def _option(asked: Refusal) -> str:
    """By which option a question is answered."""
    from pourdeck.walk.logger_cells import Question

    if not isinstance(asked, Question):
        return ""
    if asked.about == "start":
        return " Say it with --start, such as --start 2026-11-25T14:00."
    ways = [f"--{asked.about} {key}" for key, _ in asked.choices]
    words = ", ".join(ways[:-1]) + f" or {ways[-1]}" if len(ways) > 1 else "".join(ways)
    return f" Say it with {words}."
