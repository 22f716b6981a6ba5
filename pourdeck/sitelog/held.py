"""Read what a job folder, or a backup of one, holds: its plan, its records and every file of its log."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from attrs import field, frozen

from pourdeck.plan.messages import Finding, JobUnreadable
from pourdeck.plan.reader import FILE_NAME, decode, parse
from pourdeck.sitelog.disk import Disk, reason
from pourdeck.sitelog.entries import FORK
from pourdeck.sitelog.scan import Scan
from pourdeck.sitelog.union import TEMPORARY, Union, Unread, look, union_of

LOG, RECORD = "log/", "record/"


@frozen(kw_only=True, eq=False, repr=False)
class Held:
    """`files`: the bytes of each by its path in the folder, with `/`. `scans` are those of the log, by path.

    `number` and `name` of the job are as its plan has them, "" where that does not say. `plan_fault`: why the
    plan is none, "" where it is one. `wrong`: what could not be read.
    """

    files: dict[str, bytes] = field(factory=dict)
    scans: dict[str, Scan] = field(factory=dict)
    union: Union = field(factory=Union)
    number: str = ""
    name: str = ""
    plan_fault: str = ""
    wrong: tuple[Finding, ...] = ()

    @property
    def begins(self) -> set[str]:
        """The seals of the first entries: no other job has them."""
        return {one.seal for entries in self.union.lines.values() for one in entries if one.n == 1}

    @property
    def unreadable(self) -> list[str]:
        """List what is there and could not be read."""
        faults = [str(one) for one in self.union.faults if one.code == "unreadable"]
        return [*faults, *(one.message for one in self.wrong)]

    @property
    def seals(self) -> set[str]:
        return {entry.seal for entry in self.union.entries}

    def of(self, kind: str) -> Iterator[tuple[str, bytes]]:
        """The files of the log or the records."""
        return ((path, data) for path, data in self.files.items() if path.startswith(kind))


def hold(folder: Path, disk: Disk, read: Callable[[Path], bytes] | None = None) -> Held:
    """Read all that a backup of `folder` is about. Nothing is written.

    A file that is just being written is left out. Raises OSError where a folder cannot be listed.
    """
    read = read or disk.read
    files: dict[str, bytes] = {}
    wrong: list[Finding] = []

    def take(path: str) -> bytes:
        files[path] = read(folder / path)
        return files[path]

    def take_plain(path: str) -> None:
        try:
            take(path)
        except FileNotFoundError:
            return
        except OSError as error:
            wrong.append(_unread(path, error))

    take_plain(FILE_NAME)
    for name, kind in disk.listing(folder / "record"):
        if kind == "file" and not TEMPORARY.fullmatch(name):
            take_plain(RECORD + name)
    scans: dict[str, Scan] = {}
    unread: list[Unread] = []
    for name, kind in disk.listing(folder / "log"):
        path = LOG + name
        found = look(name, kind, partial(take, path))
        if isinstance(found, Scan):
            scans[path] = found
        else:
            unread.append(found)
            if path not in files and kind == "file" and not TEMPORARY.fullmatch(name):
                take_plain(path)
    number, title, fault = _job_words(files.get(FILE_NAME, b""))
    return Held(
        files=files,
        scans=scans,
        union=union_of(list(scans.values()), unread),
        number=number,
        name=title,
        plan_fault=fault,
        wrong=tuple(wrong),
    )


def _unread(path: str, error: OSError) -> Finding:
    message = f"{path} cannot be read, and is not copied: {reason(error)}."
    return Finding(code="not-copied", severity="error", message=message, file=path)


def _job_words(plan: bytes) -> tuple[str, str, str]:
    """Number and name of a job, as far as its plan can be read, and why it cannot."""
    try:
        job = parse(decode(plan, FILE_NAME)).get("job")
    except JobUnreadable as error:
        return "", "", error.title
    if not isinstance(job, dict):
        return "", "", "it has no table [job]"
    number, name = (str(job.get(key) or "") for key in ("number", "name"))
    return number, name, ""


def same_words(one: Held, other: Held) -> bool:
    """Whether the plans of two folders have the same number and name."""
    words = (one.number, one.name)
    return any(words) and words == (other.number, other.name)


def apart(one: Held, other: Held) -> bool:
    """Whether two logs have nothing in common and cannot be of one job: files of a name began differently.

    So it is with a copy of a job to train on, whose plan is the same.
    """
    return not one.begins & other.begins and bool(_chains(one) & _chains(other))


def same_job(one: Held, other: Held) -> bool:
    """Whether two folders are of one job: by the first entries of their logs, or else by their plans."""
    return bool(one.begins & other.begins) or (same_words(one, other) and not apart(one, other))


def _chains(one: Held) -> set[str]:
    return {name.partition(FORK)[0] for name in one.union.lines}


def is_blank(one: Held) -> bool:
    """Whether nothing in it says which job it is of."""
    return not (one.number or one.name or one.begins)
