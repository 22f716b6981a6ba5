"""Copy a job's plan, log and records to a stick or share, and read the copy back.

Each job folder of each computer has a folder of its own there: nobody writes where another does. It is laid
out as a job folder, with `backup.json` (what was copied when, and its digests) and `older/`.

**Never less.** A log file only grows: it takes the place of one that it begins with. One that has more in
the backup stays as it is there. Of two that went apart both stay, the backup's under a second name. Of a plan
or a record that changed the older one goes to `older/`, under a name with the time.

**Verified.** A file is written as `.pourdeck.part`, synced and read back past the cache; only then does it
get its name. At the end every file is read back once more, and compared with what was read from the job. A
run that does not end leaves what was there before, and such parts, which the next run takes away.
"""

import contextlib
import errno
import hashlib
import json
import re
from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from attrs import frozen

from pourdeck.plan.messages import Finding, file_name
from pourdeck.plan.reader import FILE_NAME
from pourdeck.sitelog.disk import (
    Disk,
    path_digest,
    reason,
    replace_patiently,
    write_new,
)
from pourdeck.sitelog.entries import Head
from pourdeck.sitelog.held import LOG, Held, hold
from pourdeck.sitelog.known import log_findings, recorded_ends, what_is_gone
from pourdeck.sitelog.scan import Scan
from pourdeck.sitelog.state import replay, unknown_findings

NOTE = "backup.json"
OLDER = "older/"
PART = ".pourdeck.part"
DIFFERS = "backup-differs"
SAME_DISK = "On the same disk as the job: what is lost with that disk is lost with it."
BRING_BACK = "Bring them back: pourdeck backup JOB FOLDER --restore."

_NO_FOLDER_SYNC = frozenset({errno.EINVAL, errno.ENOSYS, errno.ENOTSUP})
"""A share that cannot sync a folder says so; that the name is there is read back all the same."""

Progress = Callable[[int, int, str], None]
"""Told before each file is written: its number, how many there are, its path."""


class NotBackedUp(Exception):  # noqa: N818 - it is an answer to the one who asked
    """Nothing was said to be copied: `title` in one line, `body` why and what to do."""

    def __init__(self, title: str, body: str) -> None:
        super().__init__(f"{title}. {body}")
        self.title = title
        self.body = body


class NotAsWrittenError(OSError):
    """A file that was read back is not what was written."""


@frozen(kw_only=True, eq=False, repr=False)
class Copied:
    """A file that was written, by its path in the backup. `how`: `new`, `grown`, `changed`, `kept` beside."""

    file: str
    bytes: int
    how: str


@frozen(kw_only=True, eq=False, repr=False)
class BackedUp:
    """A backup that was verified. `findings` are of the log that was copied, and of the backup itself.

    `scans` are the files of the log, `entries` counts those of all, `heads` are the last ones of stations.
    `same_disk`: what is lost with the disk that the job is on is lost with it.
    """

    into: Path
    at: datetime
    copied: tuple[Copied, ...]
    files: int
    scans: tuple[Scan, ...]
    heads: tuple[Head, ...]
    entries: int
    findings: tuple[Finding, ...]
    same_disk: bool

    @property
    def bytes(self) -> int:
        return sum(one.bytes for one in self.copied)


def check_place(job: Path, folder: Path) -> None:
    """Raises NotBackedUp where a backup of `job` cannot be in `folder`."""
    try:
        here, there = job.resolve(), folder.resolve()
        fits = there.is_dir() or (not there.exists() and there.parent.is_dir())
    except (OSError, ValueError, RuntimeError) as error:
        raise NotBackedUp(f"{folder} cannot be used", f"{error}.") from error
    if not fits:
        raise NotBackedUp(
            f"There is no folder {folder}",
            "Is the stick in, and the share connected?",
        )
    if there.is_relative_to(here) or here.is_relative_to(there):
        inside = "in the job's own folder" if there.is_relative_to(here) else "round the job"
        raise NotBackedUp(
            f"{folder} is {inside}",
            "What is lost with the job would be lost with it. Name a folder on a stick or a share.",
        )


def back_up(
    job: Path,
    folder: Path,
    *,
    installation: str,
    known: Iterable[Head],
    now: datetime,
    host: str,
    disk: Disk,
    progress: Progress,
) -> BackedUp:
    """Copy the job in `job` into its own folder in `folder`. `known` are the ends that this computer knows.

    Nothing in `job` is written. Raises NotBackedUp: then the backup is what it was, or has some files more.
    """
    check_place(job, folder)
    ends = [*known, *recorded_ends(job, disk)]
    try:
        source = hold(job, disk)
    except OSError as error:
        raise NotBackedUp(f"{job} cannot be read", _sentence(error)) from error
    if not source.files:
        raise NotBackedUp(f"There is no job in {job}", "Name the folder that holds job.toml.")
    try:
        if not disk.exists(folder):
            disk.make_folder(folder)
        into = _own_folder(folder, job, source, installation, disk)
        copy = _Copy(into, disk, now)
        copy.bring_up_to_date(source, job, host, progress)
        heads = _heads(source)
        copy.verify(source, heads)
    except OSError as error:
        raise _not_written(folder, error) from error
    return BackedUp(
        into=into,
        at=now,
        copied=tuple(copy.copied),
        files=len(source.files),
        scans=source.union.scans,
        heads=heads,
        entries=len(source.union.entries),
        findings=(*_findings(source, ends), *copy.findings),
        same_disk=job.stat().st_dev == folder.stat().st_dev,
    )


def _findings(source: Held, known: Iterable[Head]) -> tuple[Finding, ...]:
    """List what is wrong with the log that was copied."""
    union = source.union
    gone = what_is_gone(known, union.lines)
    return (
        *source.wrong,
        *log_findings(union, gone, union.waiting),
        *unknown_findings(replay(union.entries)),
    )


def _heads(held: Held) -> tuple[Head, ...]:
    """The last entry of each station, of each branch of a fork too."""
    return tuple(
        Head(station, entries[-1].n, entries[-1].seal)
        for station, entries in held.union.lines.items()
    )


def _own_folder(folder: Path, job: Path, source: Held, installation: str, disk: Disk) -> Path:
    """Where this computer's backup of this job is, by the end of its name: the plan may change."""
    key = hashlib.sha256(f"{installation} {path_digest(job)}".encode()).hexdigest()[:8]
    if folder.name.endswith(f"-{key}"):
        return folder
    names = disk.listing(folder)
    if any(name == NOTE for name, _ in names):
        raise NotBackedUp(
            f"{folder} is a backup itself", f"Name the folder it is in: {folder.parent}."
        )
    found = [name for name, kind in names if name.endswith(f"-{key}") and kind == "a folder"]
    title = (
        re.sub(r"[^a-z0-9]+", "-", f"{source.number} {source.name}".lower())[:60].strip("-")
        or "job"
    )
    return folder / (found[0] if found else f"{title}-{key}")


# The copy itself.


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def put(disk: Disk, path: Path, data: bytes, *, new: bool = False) -> None:
    """Write a file that is read back before it gets its name; the one before stays until then.

    `new`: there must be none of that name. Raises OSError, FileExistsError, NotAsWrittenError.
    """
    named: Path | None = None
    part = path.with_name(f"{path.name}{PART}")
    with contextlib.suppress(FileNotFoundError):
        disk.unlink(part)
    write_new(disk, part, data)
    try:
        compare(disk, part, data)
        if new:
            # Takes the name, so that nobody else can meanwhile.
            disk.close(disk.open_new(path))
            named = path
        replace_patiently(disk, part, path)
    except BaseException:
        for one in (part, named):
            with contextlib.suppress(OSError):
                if one is not None:
                    disk.unlink(one)
        raise
    sync_names(disk, path.parent)


def compare(disk: Disk, path: Path, data: bytes) -> None:
    """Read a file back, and raise NotAsWrittenError where it is other. Raises OSError."""
    if digest(disk.read_back(path)) != digest(data):
        raise NotAsWrittenError(f"{path.name} is not what was written when it is read back")


def make_folder(disk: Disk, folder: Path) -> None:
    """Make a folder where there is none. Raises OSError."""
    if not disk.exists(folder):
        disk.make_folder(folder)
    sync_names(disk, folder.parent)


def sync_names(disk: Disk, folder: Path) -> None:
    """Make the names in a folder last, where its file system can. Raises OSError."""
    try:
        disk.sync_folder(folder)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise


def clean(disk: Disk, folder: Path) -> None:
    """Take away the parts that a run left which did not end. Raises OSError."""
    for name, kind in disk.listing(folder):
        if name.endswith(PART) and kind == "file":
            disk.unlink(folder / name)


def read_note(disk: Disk, folder: Path) -> dict[str, Any]:
    """Read what `backup.json` of a backup says; empty where there is none that can be read."""
    try:
        note = json.loads(disk.read_back(folder / NOTE))
    except (OSError, ValueError, RecursionError):
        return {}
    return note if isinstance(note, dict) else {}


def noted_digests(note: dict[str, Any], path: str) -> list[str]:
    """The digests a file of the backup may have; none where it is not noted."""
    files = note.get("files")
    found = files.get(path) if isinstance(files, dict) else None
    return [one for one in found if isinstance(one, str)] if isinstance(found, list) else []


class _Copy:
    """The backup in one folder, as it is brought up to date."""

    def __init__(self, into: Path, disk: Disk, now: datetime) -> None:
        self.into = into
        self.copied: list[Copied] = []
        self.findings: list[Finding] = []
        self._disk = disk
        self._now = now
        self._there = Held()
        self._before: dict[str, Any] = {}
        self._note: dict[str, Any] = {}
        self._puts: list[tuple[str, bytes, str]] = []
        self._after: dict[str, bytes] = {}
        """What each file of the backup has in the end."""

    def bring_up_to_date(self, source: Held, job: Path, host: str, progress: Progress) -> None:
        """Write what is other. Raises OSError."""
        disk = self._disk
        make_folder(disk, self.into)
        for name in ("", "log", "record", "older"):
            clean(disk, self.into / name)
        self._there = hold(self.into, disk, disk.read_back)
        if self._there.unreadable:
            raise OSError(errno.EIO, self._there.unreadable[0])
        self._before = read_note(disk, self.into)
        self._find_rot()
        spoilt = source.plan_fault and self._there.files and not self._there.plan_fault
        for path, to in _safe_paths(source.files).items():
            if path == FILE_NAME and spoilt:
                self._say(DIFFERS, path, f"{source.plan_fault}; the backup keeps the one before")
            else:
                self._plan(path, to, source.files[path])
        self._note = {
            "format": 1, "number": source.number, "name": source.name, "job": str(job.resolve()),
            "computer": host, "at": self._before.get("at"), "heads": self._before.get("heads", []),
        }  # fmt: skip
        if self._puts:
            # Before any file is: of a run that does not end both the old and the new ones are right.
            self._write_note(whole=False)
        for number, (path, data, how) in enumerate(self._puts, 1):
            progress(number, len(self._puts), path)
            if "/" in path:
                make_folder(disk, (self.into / path).parent)
            put(disk, self.into / path, data)
            self.copied.append(Copied(file=path, bytes=len(data), how=how))

    def _find_rot(self) -> None:
        """Find what is not as it was written there."""
        for path, data in self._there.files.items():
            noted = noted_digests(self._before, path)
            if noted and digest(data) not in noted:
                what = "in the backup it is not what was written there. The stick may be failing"
                self._say("backup-damaged", path, what)

    def _plan(self, path: str, to: str, data: bytes) -> None:
        """Plan what is written so that the backup has this file too."""
        there = self._there.files.get(to)
        if there is not None and there.startswith(data) and (there == data or path.startswith(LOG)):
            self._after[to] = there
            if there != data:
                more = len(there) - len(data)
                self._say(DIFFERS, path, f"the backup has {more} bytes more, and stays as it is")
            return
        if there is None:
            how = "new"
        elif not path.startswith(LOG):
            how = "changed"
            stamp = self._now.astimezone(UTC).strftime("%Y%m%dt%H%M%Sz")
            older = f"{Path(to).stem}.{stamp}-{digest(there)[:8]}{Path(to).suffix}"
            self._put(f"{OLDER}{older}", there, "kept")
        elif _grew(there, self._there.scans.get(to), data):
            how = "grown"
        else:
            how = "changed"
            second = f"{to.removesuffix('.jsonl')}.other-{digest(there)[:8]}.jsonl"
            self._say(DIFFERS, path, f"the backup has another one, which stays there as {second}")
            if second not in self._there.files:
                self._put(second, there, "kept")
        self._put(to, data, how)

    def _put(self, to: str, data: bytes, how: str) -> None:
        self._puts.append((to, data, how))
        self._after[to] = data

    def _say(self, code: str, path: str, what: str) -> None:
        found = Finding(code=code, severity="error", message=f"{path}: {what}.", file=path)
        self.findings.append(found)

    def _write_note(self, *, whole: bool) -> None:
        """Note the digest of every file; until it is `whole` those before too. Raises OSError."""
        files = {}
        for path in {**self._there.files, **self._after}:
            held = self._there.files.get(path)
            now = self._after.get(path, held)
            noted = noted_digests(self._before, path) or (
                [digest(held)] if held is not None else []
            )
            if path not in self._after:
                files[path] = noted
            elif now is not None:
                files[path] = [digest(now)] if whole else [*noted, digest(now)]
        note = self._note | {"files": files}
        put(self._disk, self.into / NOTE, json.dumps(note, indent=1).encode() + b"\n")

    def verify(self, source: Held, heads: Iterable[Head]) -> None:
        """Read everything back, then note that it is complete. Raises OSError."""
        for path, data in self._after.items():
            compare(self._disk, self.into / path, data)
        seals = {one.seal for each in self._there.scans.values() for one in each.entries}
        if more := len(seals - source.seals):
            entries = "1 entry" if more == 1 else f"{more} entries"
            message = f"The backup has {entries} that the job has not. {BRING_BACK}"
            self.findings.append(Finding(code="backup-has-more", severity="error", message=message))
        self._note["at"] = self._now.isoformat(timespec="seconds")
        self._note["heads"] = [{"station": h.station, "n": h.n, "seal": h.seal} for h in heads]
        self._write_note(whole=True)


def _safe_paths(paths: Iterable[str]) -> dict[str, str]:
    """For each path one that every file system takes, no two the same but for capitals."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for path in sorted(paths):
        folder, slash, name = path.rpartition("/")
        safe = f"{folder}{slash}{file_name(name)}"
        if safe.lower() in taken:
            safe = f"{folder}{slash}{file_name(name, '2')}"
        taken.add(safe.lower())
        found[path] = safe
    return found


def _grew(there: bytes, was: Scan | None, now: bytes) -> bool:
    """Whether the file now begins with all the backup has, but for the torn end of an interrupted write."""
    if now.startswith(there):
        return True
    return was is not None and not was.faults and now.startswith(there[: was.end])


# Words for what failed.

_REMEDY = {
    errno.ENOSPC: "It is full. Make room, or take another stick, and do it again.",
    errno.EDQUOT: "There is no room left for you. Make room, and do it again.",
    errno.EROFS: "It is read only: look for a switch on the stick, or take another.",
    errno.EACCES: "You may not write there. Ask whoever owns it, or name another folder.",
    errno.EPERM: "You may not write there. Ask whoever owns it, or name another folder.",
}


def _sentence(error: OSError) -> str:
    return f"{reason(error)[:1].upper()}{reason(error)[1:]}."


def _not_written(folder: Path, error: OSError) -> NotBackedUp:
    """Say what failed on the stick or share, and what to do about it."""
    if isinstance(error, NotAsWrittenError):
        body = f"{_sentence(error)} The stick may be failing: take another."
        return NotBackedUp(f"NOT verified: {folder} gives back something else", body)
    remedy = _REMEDY.get(error.errno or 0, "Was it pulled out, or the share cut off? Do it again.")
    body = f"{_sentence(error)} {remedy} The job is untouched, and so is what was backed up before."
    return NotBackedUp(f"Not backed up to {folder}", body)
