"""`log --records` and `log --continue`: building records anew, and going on after damage."""

from argparse import Namespace

from pourdeck.commands.jobs import job_folder, open_to_read, open_to_write, station
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.plan.messages import has_error


def write_records(arguments: Namespace) -> int:
    """Write the record of every finished panel anew, from plan and log."""
    from pourdeck.paper.record_files import build_records

    desk = open_to_read(job_folder(arguments), station(arguments))
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


def go_on(arguments: Namespace) -> int:
    """Begin the next file of a station beside its damaged one: somebody decides so, by name and reason."""
    from pourdeck.plan.messages import Refusal
    from pourdeck.walk.words import name_of, who

    if not (arguments.by and arguments.reason):
        raise CannotDoError(
            "going on after damage takes a name and a reason.", "Add --by NAME and --reason TEXT."
        )
    desk = open_to_write(job_folder(arguments), station(arguments))
    try:
        someone = who(desk.job, arguments.by)
        if isinstance(someone, Refusal):
            raise CannotDoError(someone.title, someone.body)
        entry = desk.log.go_on(name_of(someone), arguments.reason)
        told = (
            f"{desk.log.file} goes on from here (no. {entry.n}, {entry.seal[:12]}). "
            "The damaged file stays as it is."
        )
        document = {"file": desk.log.file, "n": entry.n, "seal": entry.seal}
    finally:
        desk.close()
    show(arguments, lambda: document, lambda console: _say(console, [told]))
    return DONE


def _say(console: object, lines: list[str]) -> None:
    from rich.console import Console

    from pourdeck.paper.console import say

    assert isinstance(console, Console)
    for line in lines:
        say(console, line)
