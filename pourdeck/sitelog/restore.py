"""Bring back from a backup what a job lacks: files of its log, records, and the plan where there is none.

Nothing in the job is overwritten or shortened. A log file is brought where it has an entry that the job has
not: under its own name where that is free, else beside it. The union reads every sealed file by its content
(`union.py`), and a deck that is open goes on with its own. All backups of the job in the folder are looked
at, those of other computers too.
"""

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from itertools import combinations
from pathlib import Path
from typing import Any

from attrs import frozen

from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.reader import FILE_NAME
from pourdeck.sitelog.backup import (
    NOTE,
    NotAsWrittenError,
    NotBackedUp,
    Progress,
    check_place,
    clean,
    digest,
    make_folder,
    noted_digests,
    put,
    read_note,
)
from pourdeck.sitelog.disk import Disk, reason
from pourdeck.sitelog.entries import Head
from pourdeck.sitelog.held import (
    LOG,
    RECORD,
    Held,
    apart,
    hold,
    is_blank,
    same_job,
    same_words,
)
from pourdeck.sitelog.known import log_findings
from pourdeck.sitelog.verify import LogReport, verify

_DAMAGED = "-damaged.toml"
"""End of the name of a record that stood beside the right one, as long as the log was damaged."""


@frozen(kw_only=True, eq=False, repr=False)
class Brought:
    """A file that was brought back, by its path in the job, with the entries that the job did not have."""

    file: str
    bytes: int
    entries: int = 0


@frozen(kw_only=True, eq=False, repr=False)
class Restored:
    """`sources`: the backups it came from. `report` is of the log as it is now, `before` counts what it had.

    `plan_differs`: a backup with another plan than the job's, which stayed.
    """

    sources: tuple[Path, ...]
    brought: tuple[Brought, ...]
    before: int
    report: LogReport
    findings: tuple[Finding, ...]
    plan_differs: Path | None = None


@frozen(kw_only=True, eq=False, repr=False)
class _Backup:
    folder: Path
    held: Held
    note: dict[str, Any]

    @property
    def at(self) -> str:
        try:
            return datetime.fromisoformat(str(self.note.get("at"))).astimezone(UTC).isoformat()
        except (ValueError, OverflowError, OSError):
            return ""

    @property
    def origin(self) -> str:
        """Which folder of which computer it was made of, as far as that was noted."""
        words = f"{self.note.get('computer') or ''} {self.note.get('job') or ''}".strip()
        return words or "an unknown folder"

    def is_right(self, path: str) -> bool:
        """Whether a file is still what was written there, as far as that was noted."""
        noted = noted_digests(self.note, path)
        return not noted or digest(self.held.files[path]) in noted


def restore(
    job: Path, folder: Path, *, known: Iterable[Head], disk: Disk, progress: Progress
) -> Restored:
    """Bring back into `job`, which may be empty or missing, what the backups of it in `folder` have more.

    Raises NotBackedUp: then the job has what it had, or some files more.
    """
    check_place(job, folder)
    try:
        mine = hold(job, disk)
        backups = _of_job(mine, list(_backups(folder, disk)), folder)
    except OSError as error:
        raise NotBackedUp("Nothing was brought back", f"{folder}: {reason(error)}.") from error
    work = _Restore(job, mine, backups, disk)
    try:
        work.run(progress)
        report = verify(job, known=known, disk=disk)
    except NotAsWrittenError as error:
        raise NotBackedUp(
            "NOT verified: the job's disk gives back something else", f"{error}."
        ) from error
    except OSError as error:
        raise NotBackedUp(
            f"Not all was brought back to {job}",
            f"{reason(error).capitalize()}. What came is whole. Do it again when the cause is put right.",
        ) from error
    found = log_findings(report.union, report.gone, report.union.waiting)
    return Restored(
        sources=tuple(one.folder for one in backups),
        brought=tuple(work.brought),
        before=len(mine.union.entries),
        report=report,
        findings=(*found, *work.findings),
        plan_differs=work.plan_differs,
    )


# Which backups are meant.


def _backups(folder: Path, disk: Disk) -> Iterator[_Backup]:
    """The backup that `folder` is, or those that lie in it. Raises OSError."""
    names = dict(disk.listing(folder))
    if FILE_NAME in names or "log" in names:
        folders = [folder]
    else:
        folders = [folder / name for name, kind in names.items() if kind == "a folder"]
        folders = [one for one in folders if disk.exists(one / NOTE)]
    for one in folders:
        held = hold(one, disk, disk.read_back)
        yield _Backup(folder=one, held=held, note=read_note(disk, one))


def _of_job(mine: Held, found: list[_Backup], folder: Path) -> list[_Backup]:
    """Those of the job, the latest first. Raises NotBackedUp where there is none, or several jobs."""
    shown = literal(str(folder))
    if not found:
        raise NotBackedUp(
            f"There is no backup in {shown}", "Name the folder that was backed up to."
        )
    known = found
    if not is_blank(mine):
        # Of a backup that is named itself the plan is enough.
        is_named = found[0].folder == folder
        found = [
            one
            for one in found
            if same_job(mine, one.held) or (is_named and same_words(mine, one.held))
        ]
    if not found:
        raise NotBackedUp(f"There is no backup of this job in {shown}", f"It has {_listed(known)}.")
    first = found[0].held
    mixed = is_blank(mine) and not all(same_job(first, one.held) for one in found)
    if mixed or any(apart(one.held, other.held) for one, other in combinations(found, 2)):
        raise NotBackedUp(
            f"There are several jobs in {shown}",
            f"Name the folder of the one you mean: {_listed(found)}.",
        )
    return sorted(found, key=lambda one: one.at, reverse=True)


def _listed(found: Iterable[_Backup]) -> str:
    return "; ".join(
        f"{literal(f'{one.held.number} {one.held.name}'.strip()) or 'a job without a plan'}, "
        f"{len(one.held.union.entries)} entries, from {literal(one.origin)}: {literal(str(one.folder))}"
        for one in found
    )


class _Restore:
    """Brings back what one job lacks."""

    def __init__(self, job: Path, mine: Held, backups: list[_Backup], disk: Disk) -> None:
        self.brought: list[Brought] = []
        self.findings: list[Finding] = []
        self.plan_differs: Path | None = None
        self._job = job
        self._mine = mine
        self._backups = backups
        self._disk = disk

    def run(self, progress: Progress) -> None:
        """Raises OSError. The plan comes last: as long as it is missing nobody opens half a job."""
        wanted = [*self._log(), *self._records(), *self._plan()]
        for one in self._backups:
            self._tell_unreadable(one)
        make_folder(self._disk, self._job)
        for folder in ("", "log", "record"):
            clean(self._disk, self._job / folder)
        for number, (path, data, entries) in enumerate(wanted, 1):
            progress(number, len(wanted), path)
            self._bring(path, data, entries)

    def _log(self) -> list[tuple[str, bytes, int]]:
        """The files of the log that have what the job has not, those with most first."""
        seals = self._mine.seals
        contents = {data for _, data in self._mine.of(LOG)}
        files = [
            (path, data, one.held.scans[path].entries if path in one.held.scans else ())
            for one in self._backups
            for path, data in one.held.of(LOG)
        ]
        found = []
        for path, data, entries in sorted(files, key=lambda one: -len(one[2])):
            more = {entry.seal for entry in entries} - seals
            if more or (not entries and data and data not in contents):
                found.append((path, data, len(more)))
                seals |= more
                contents.add(data)
        return found

    def _records(self) -> list[tuple[str, bytes, int]]:
        """The records that are missing, each as it was backed up last."""
        found: dict[str, bytes] = {}
        there = {path.lower() for path, _ in self._mine.of(RECORD)}
        for one in self._backups:
            for path, data in one.held.of(RECORD):
                name = path.lower()
                beside = f"{name.removesuffix(_DAMAGED)}.toml" if name.endswith(_DAMAGED) else name
                if not {name, beside} & there and self._is_right(one, path):
                    found[path] = data
                    there.add(name)
        return [(path, data, 0) for path, data in found.items()]

    def _plan(self) -> list[tuple[str, bytes, int]]:
        plans = [one for one in self._backups if FILE_NAME in one.held.files]
        if FILE_NAME in self._mine.files:
            mine = self._mine.files[FILE_NAME]
            other = [one.folder for one in plans if one.held.files[FILE_NAME] != mine]
            self.plan_differs = other[0] if other else None
            return []
        right = [one for one in plans if self._is_right(one, FILE_NAME)]
        return [(FILE_NAME, right[0].held.files[FILE_NAME], 0)] if right else []

    def _is_right(self, one: _Backup, path: str) -> bool:
        """Whether a plan or record may be brought; where it may not that is said."""
        if not one.is_right(path):
            message = (
                f"{one.folder.name}/{path} is not what was written there, and is not brought back: the stick "
                "may be failing. Look for another backup."
            )
            self.findings.append(
                Finding(code="backup-damaged", severity="error", message=message, file=path)
            )
            return False
        return True

    def _tell_unreadable(self, one: _Backup) -> None:
        self.findings += (
            Finding(code="not-copied", severity="error", message=f"In {one.folder.name}, {message}")
            for message in one.held.unreadable
        )

    def _bring(self, path: str, data: bytes, entries: int) -> None:
        """Under its own name, or beside what has that name. Raises OSError."""
        if "/" in path:
            make_folder(self._disk, (self._job / path).parent)
        beside = f"{path.removesuffix('.jsonl')}.restored-{digest(data)[:8]}"
        # A run that did not end may have left such a name, with nothing in it.
        more = (f"{beside}-{number}.jsonl" for number in range(2, 100))
        for name in (path, f"{beside}.jsonl", *more):
            try:
                put(self._disk, self._job / name, data, new=True)
            except FileExistsError:
                continue
            self.brought.append(Brought(file=name, bytes=len(data), entries=entries))
            return
        raise FileExistsError(f"{beside}.jsonl is there already")
