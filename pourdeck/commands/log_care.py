"""Build records anew, go on after damage, confirm the time: `log` with `--records` and the like."""

from argparse import Namespace
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import open_desk
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.plan.messages import has_error

if TYPE_CHECKING:
    from pourdeck.sitelog.entries import Entry
    from pourdeck.walk.desk import Desk


def write_records(arguments: Namespace) -> int:
    """Write the record of every finished panel anew, from plan and log."""
    from pourdeck.paper.record_files import build_records

    desk = open_desk(arguments, read_only=True)
    try:
        written = build_records(desk)
        log = desk.log_findings()
    except OSError as error:
        raise CannotDoError(
            "the records cannot be written.",
            f"{desk.job.folder / 'record'}: {error.strerror or error}.",
        ) from error
    finally:
        desk.close()
    told = [one.kept or f"record/{one.name}" for one in written]
    told = told or ["No panel is finished yet: no records."]
    names = [one.name for one in written]
    show(arguments, lambda: {"records": names}, lambda console: _say(console, told), log)
    return FAULTY if has_error(log) else DONE


def decide(arguments: Namespace) -> int:
    """Record what somebody decides: to go on beside a damaged file, or that the time is right."""
    from pourdeck.plan.messages import Refusal
    from pourdeck.walk.words import name_of, who

    if not arguments.by or (arguments.go_on and not arguments.reason):
        raise CannotDoError(
            "somebody decides that: it takes a name, and going on after damage a reason too.",
            "Add --by NAME, and --reason TEXT.",
        )
    desk = open_desk(arguments, read_only=False)
    try:
        someone = who(desk.job, arguments.by)
        if isinstance(someone, Refusal):
            raise CannotDoError(someone.title, someone.body)
        name = name_of(someone)
        entry, told = _go_on(desk, name, arguments) if arguments.go_on else _confirm(desk, name)
        document = {"file": desk.log.file, "n": entry.n, "seal": entry.seal}
    finally:
        desk.close()
    show(arguments, lambda: document, lambda console: _say(console, [told]))
    return DONE


def _go_on(desk: "Desk", name: str, arguments: Namespace) -> "tuple[Entry, str]":
    """Begin the next file of a station beside its damaged one."""
    entry = desk.log.go_on(name, arguments.reason)
    told = f"{desk.log.file} goes on from here (no. {entry.n}, {entry.seal[:12]}). "
    return entry, f"{told}The damaged file stays as it is."


def _confirm(desk: "Desk", name: str) -> "tuple[Entry, str]":
    from pourdeck.plan.messages import Refusal
    from pourdeck.walk.acts import confirm_time

    act = confirm_time(desk.clocks(), name, desk.now())
    if isinstance(act, Refusal):
        raise CannotDoError(act.title, act.body)
    entry = desk.record(act)
    return entry, f"Recorded, no. {entry.n}: {act.says}."


def _say(console: object, lines: list[str]) -> None:
    from rich.console import Console

    from pourdeck.paper.console import say

    assert isinstance(console, Console)
    for line in lines:
        say(console, line)
