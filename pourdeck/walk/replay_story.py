"""A copy of an example job whose log ends now, so that what waits for the clock still waits.

Every entry is written again, and so sealed anew, with all times moved by one whole offset. Records
rest on seals: they are left out, and whoever makes the copy builds them again.
"""

import re
import shutil
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from attrs import frozen

from pourdeck.sitelog.disk import DISK, Disk
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.union import read_union

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d)")
_OF_DAY = re.compile(r"\d\d?:\d\d")
_NOT_COPIED = ("log", "record", "out")
PLAN = "job.toml"


class StoryUnfitError(Exception):
    """The job cannot be told again; the message says why and what to do."""


@frozen
class Move:
    """Times later by `offset`, shown in the zone of `now`."""

    offset: timedelta
    now: datetime

    def time(self, at: datetime) -> datetime:
        return (at + self.offset).astimezone(self.now.tzinfo)

    def data(self, value: Any) -> Any:
        """Move every time in the data, and the time of day as it was typed."""
        if isinstance(value, dict):
            moved = {key: self.data(each) for key, each in value.items()}
            at = _time_of(value.get("value"))
            typed = value.get("typed")
            if at and isinstance(typed, str) and _OF_DAY.fullmatch(typed):
                moved["typed"] = self.time(at).strftime("%H:%M")
            return moved
        if isinstance(value, list):
            return [self.data(each) for each in value]
        at = _time_of(value)
        return self.time(at).isoformat(timespec="seconds") if at else value


def copy_example(source: Path, target: Path, now: datetime, *, state_folder: Path) -> Path:
    """Copy a job folder to `target`, its log moved so that the last entry comes just before `now`.

    `now` is in the zone of the site; `state_folder` holds the lock while the log is written. Raises
    StoryUnfitError where the target is taken or the log of the example is damaged, OSError and
    NotSaved where the copy cannot be written.
    """
    if target.exists() and any(target.iterdir()):
        raise StoryUnfitError(f"{target} is not empty. Name a new folder, or empty this one.")
    union = read_union(source)
    if union.faults or union.waiting:
        raise StoryUnfitError(f"The log of the example {source} is damaged. Install again.")
    target.mkdir(parents=True, exist_ok=True)
    if union.entries:
        last = max(entry.at for entry in union.entries)
        move = Move(_whole_minutes(now - last), now)
        for scan in union.scans:
            _tell_again(scan.entries, target, move, state_folder)
    # The plan comes last: a folder without one is no job, so that half a copy is not taken for one.
    for each in sorted(source.iterdir(), key=lambda path: (path.name == PLAN, path.name)):
        if each.is_file():
            shutil.copyfile(each, target / each.name)
        elif each.name not in _NOT_COPIED:
            shutil.copytree(each, target / each.name)
    return target


def _whole_minutes(offset: timedelta) -> timedelta:
    """Rounded down, so that nothing in the copy happens after its now."""
    return timedelta(minutes=offset // timedelta(minutes=1))


def _tell_again(entries: Iterable[Entry], folder: Path, move: Move, state_folder: Path) -> None:
    """Write one station's entries anew. Its file comes out with the same numbers."""
    start, *acts = entries
    clock = Clock(move.time(start.at))
    with LogFile.open(
        folder,
        start.station,
        job=str(start.data.get("job", "")),
        clock=clock.time,
        monotonic=clock.seconds,
        state_folder=state_folder,
        disk=_OneSync(),
    ) as log:
        for entry in acts:
            clock.at = move.time(entry.at)
            again = log.append(entry.kind, entry.by, move.data(entry.data))
            if again.n != entry.n:
                raise StoryUnfitError(f"{log.file}: entry {entry.n} came out as {again.n}.")
        path = folder / log.file
    _sync(path)


class Clock:
    """A clock that stands at a time until it is set. Nobody's clock jumped in between."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def time(self) -> datetime:
        return self.at

    def seconds(self) -> float:
        return self.at.timestamp()


class _OneSync(Disk):
    """Writes without waiting for the disk: a copy that is cut short is made again."""

    def fsync(self, fd: int) -> None:
        pass


def _sync(path: Path) -> None:
    fd = DISK.open_append(path)
    try:
        DISK.fsync(fd)
    finally:
        DISK.close(fd)
    DISK.sync_folder(path.parent)


def _time_of(value: object) -> datetime | None:
    if isinstance(value, str) and _TIME.fullmatch(value):
        return datetime.fromisoformat(value)
    return None
