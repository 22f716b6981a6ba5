"""`backup`: a verified copy of plan, log and records, and bringing back what a job lacks."""

from argparse import Namespace
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import job_folder, known_ends, open_backups, station
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.paper.documents import Document, findings_document
from pourdeck.plan.messages import has_error
from pourdeck.plan.reader import FILE_NAME
from pourdeck.sitelog.backup import SAME_DISK, BackedUp, NotBackedUp
from pourdeck.sitelog.restore import Restored
from pourdeck.sitelog.scan import Scan
from pourdeck.walk.words import count_of

if TYPE_CHECKING:
    from rich.console import Console

SHORT_SEAL = 12


def run(arguments: Namespace) -> int:
    """Exit 1 where the log has errors, or the backup has something that the job lacks."""
    job = job_folder(arguments)
    job = job.parent if job.name == FILE_NAME else job
    backups = open_backups(job)
    known = known_ends(job, station(arguments))
    try:
        if arguments.restore:
            back = backups.bring_back(arguments.folder, known)
            show(arguments, partial(restored_document, job, back), partial(restored_page, back))
            findings = back.findings
        else:
            done = backups.make(arguments.folder, known)
            show(arguments, partial(backup_document, job, done), partial(backup_page, done))
            findings = done.findings
    except NotBackedUp as error:
        title = error.title
        title = title if title.startswith("NOT") else f"{title[:1].lower()}{title[1:]}"
        raise CannotDoError(f"{title}.", error.body) from error
    return FAULTY if has_error(findings) else DONE


def backup_document(job: Path, done: BackedUp) -> Document:
    return {
        "job": str(job),
        "backup": str(done.into),
        "at": done.at.isoformat(timespec="seconds"),
        "verified": True,
        "files": done.files,
        "entries": done.entries,
        "bytes": done.bytes,
        "same_disk": done.same_disk,
        "copied": [
            {"file": one.file, "bytes": one.bytes, "how": one.how} for one in done.copied
        ],
        "log": [
            {"file": one.file, "entries": len(one.entries), "head": one.head} for one in done.scans
        ],
        "findings": findings_document(done.findings),
    }  # fmt: skip


_HOW = {
    "new": "new",
    "grown": "has grown",
    "changed": "has changed",
    "kept": "the older one, kept beside",
}


def backup_page(done: BackedUp, console: "Console") -> None:
    """Print what was copied, the head of each file of the log, and that it was read back."""
    from pourdeck.paper.console import findings_page, say

    for one in done.copied:
        say(console, f"{one.file}: {_HOW[one.how]}, {_size(one.bytes)}")
    _say_heads(console, done.scans)
    findings_page(console, done.findings)
    if done.same_disk:
        say(console, SAME_DISK)
    files = count_of(done.files, "file")
    copied = count_of(len(done.copied), "file")
    say(
        console,
        f"Verified {done.at:%Y-%m-%d %H:%M:%S}: {files} with {count_of(done.entries, 'entry', 'entries')} "
        f"read back; {copied} written, {_size(done.bytes)}. In {done.into}",
        "bold",
    )


def restored_document(job: Path, done: Restored) -> Document:
    return {
        "job": str(job),
        "from": [str(one) for one in done.sources],
        "verified": True,
        "before": done.before,
        "entries": len(done.report.union.entries),
        "brought": [
            {"file": one.file, "bytes": one.bytes, "entries": one.entries} for one in done.brought
        ],
        "log": [
            {"file": one.file, "entries": one.entries, "head": one.head}
            for one in done.report.stations
        ],
        "findings": findings_document(done.findings),
    }


def restored_page(done: Restored, console: "Console") -> None:
    """Print what was brought back, and how the log is now."""
    from pourdeck.paper.console import findings_page, say

    for source in done.sources:
        say(console, f"From {source}")
    for one in done.brought:
        more = (
            f", {count_of(one.entries, 'entry', 'entries')} that were missing"
            if one.entries
            else ""
        )
        say(console, f"{one.file}: brought back, {_size(one.bytes)}{more}")
    if not done.brought:
        say(console, "The job has all that the backup has: nothing was brought back.")
    if done.plan_differs is not None:
        where = done.plan_differs / FILE_NAME
        say(console, f"job.toml stays as it is; the one that was backed up is another: {where}")
    _say_heads(console, done.report.union.scans)
    findings_page(console, done.findings)
    now = len(done.report.union.entries)
    say(
        console,
        f"The log has {count_of(now, 'entry', 'entries')} now, and had {done.before}.",
        "bold",
    )


def _say_heads(console: "Console", scans: Iterable[Scan]) -> None:
    from pourdeck.paper.console import say

    for each in scans:
        last = each.entries[-1] if each.entries else None
        head = f"head {last.n}:{last.seal[:SHORT_SEAL]}" if last else "no head"
        say(console, f"{each.file}: {count_of(len(each.entries), 'entry', 'entries')}, {head}")


def _size(count: int) -> str:
    return f"{count} bytes" if count < 10_000 else f"{count / 1000:,.0f} kB"
