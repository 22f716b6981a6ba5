"""`log`: the site log, and whether it is whole. It reads the files alone and needs no plan."""

from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.outcome import COULD_NOT, DONE, FAULTY, CannotDoError, say_why, show
from pourdeck.paper.documents import Document
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.merge import unite
from pourdeck.sitelog.verify import HeadCheck, StationReport, check_head, verify

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where a file is damaged or torn, or a noted head is not in the log."""
    folder = Path(arguments.job)
    if not folder.is_dir():
        raise CannotDoError(f"there is no folder {folder}.", "Name the folder of a job.")
    try:
        reports = verify(folder)
    except OSError as error:
        raise CannotDoError(
            "the log cannot be read.", f"{folder / 'log'}: {error.strerror or error}."
        ) from error
    head = None
    if arguments.head:
        try:
            head = check_head(reports, arguments.head)
        except ValueError as error:
            say_why("that is no head of a log.", f"{error}.")
            return COULD_NOT
    entries = [] if arguments.verify else unite(one.scan for one in reports)
    show(
        arguments,
        lambda: log_document(reports, entries, head),
        lambda console: log_page(console, reports, entries, head, arguments.verify),
    )
    whole = all(one.whole and not one.torn for one in reports)
    return DONE if whole and (head is None or head.found) else FAULTY


def entry_document(entry: Entry) -> Document:
    return {
        "station": entry.station,
        "n": entry.n,
        "at": entry.at.isoformat(),
        "by": entry.by,
        "kind": entry.kind,
        "data": entry.data,
        "prev": entry.prev,
        "seal": entry.seal,
    }


def log_document(
    reports: Sequence[StationReport], entries: Sequence[Entry], head: HeadCheck | None
) -> Document:
    found: Document = {
        "stations": [
            {
                "file": one.file,
                "entries": one.entries,
                "head": one.head,
                "whole": one.whole and not one.torn,
                "torn": one.torn,
                "faults": [
                    {
                        "line": fault.line,
                        "offset": fault.offset,
                        "code": fault.code,
                        "message": fault.message,
                    }
                    for fault in one.faults
                ],
            }
            for one in reports
        ],
        "entries": [entry_document(entry) for entry in entries],
    }
    if head is not None:
        found["head"] = {"found": head.found, "message": head.message, "after": head.after}
    return found


def log_page(
    console: "Console",
    reports: Sequence[StationReport],
    entries: Sequence[Entry],
    head: HeadCheck | None,
    only_verify: bool,
) -> None:
    """Entries as a diary, then what is to be said of each file."""
    from pourdeck.paper.console import table, words
    from pourdeck.paper.diary import diary_line

    if not only_verify:
        table(
            console,
            "",
            (">no.", "at", "by", "kind", "panel", "what"),
            [
                (
                    entry.n,
                    f"{entry.at:%Y-%m-%d %H:%M:%S %z}",
                    entry.by,
                    entry.kind,
                    entry.panel or "",
                    diary_line(entry),
                )
                for entry in entries
            ],
        )
    if not reports:
        console.print(words("There is no log yet."))
    for one in reports:
        state = "whole" if one.whole and not one.torn else "not whole"
        seal = one.head[:12] if one.head else "none"
        console.print(words(f"{one.file}: {one.entries} entries, head {seal}, {state}"))
        for fault in one.faults:
            console.print(words(f"  line {fault.line}: {fault.message}"), soft_wrap=True)
        if one.torn:
            console.print(words("  the last line is incomplete: it was never said to be saved"))
    if head is not None:
        console.print(words(head.message), soft_wrap=True)
