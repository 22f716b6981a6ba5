"""The backups of one job as this computer makes them, and what it remembers of the last one.

Beside drafts and locks in the state folder stands when the last backup was, where, and how far each station's
file was then, so that the deck can say what came since. What cannot be kept there stops nobody.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from attrs import asdict, evolve, field, frozen

from pourdeck.sitelog.backup import BackedUp, NotBackedUp, Progress, back_up
from pourdeck.sitelog.disk import DISK, Disk, path_digest, reason, replace_file
from pourdeck.sitelog.entries import Entry, Head, moment_of, time_text
from pourdeck.sitelog.lock import StationLock
from pourdeck.sitelog.own import installation_id
from pourdeck.sitelog.restore import Restored, restore

WORTH_ASKING = timedelta(hours=4)
"""Work of so long that is in no backup is worth a question at the end of the day."""


def nothing_told(number: int, of: int, path: str) -> None:
    """Stands for telling nobody."""


@frozen(kw_only=True)
class LastBackup:
    """`at` is None before the first one. `heads`: the number of the last entry of each station in it.

    `folder` is where it went. `asked`: the day on which a backup was offered last.
    """

    at: datetime | None = None
    folder: str = ""
    heads: Mapping[str, int] = field(factory=dict)
    asked: str = ""

    def has(self, entry: Entry) -> bool:
        return entry.n <= self.heads.get(entry.station, 0)

    def since(self, heads: Iterable[Head]) -> int:
        """Count the entries that came since, by the last entry of each station now."""
        return sum(max(0, head.n - self.heads.get(head.station, 0)) for head in heads)


def worth_asking(last: LastBackup, entries: Sequence[Entry], now: datetime) -> bool:
    """Whether today's work began hours ago and is in no backup, and nobody was asked today."""
    today = now.date()
    if last.asked == today.isoformat():
        return False
    for entry in reversed(entries):
        if entry.at.astimezone(now.tzinfo).date() < today:
            return False
        if not last.has(entry) and now - entry.at >= WORTH_ASKING:
            return True
    return False


class Backups:
    """Makes backups of the job in `folder`, and brings back from them. One run at a time on a computer.

    `last` is what is remembered of the last one. `installation` tells this computer's backups from those of
    others: 16 hexadecimal digits, made by `new_id` where there are none yet.
    """

    def __init__(
        self,
        state_folder: Path,
        folder: Path,
        *,
        clock: Callable[[], datetime],
        new_id: Callable[[], str] | None = None,
        host: str = "",
        user: str = "",
        disk: Disk = DISK,
    ) -> None:
        self.folder = folder
        self._state = state_folder
        self._path = state_folder / "backups" / f"{path_digest(folder)}.json"
        self._clock = clock
        self._new_id = new_id
        self._me = {"host": host, "user": user}
        self._disk = disk
        self.last = self._load()

    def make(
        self, folder: str, known: Iterable[Head], progress: Progress = nothing_told
    ) -> BackedUp:
        """Back the job up to `folder`, and remember it. Raises NotBackedUp."""
        there = Path(folder).expanduser().absolute()
        lock = self._lock()
        try:
            done = back_up(
                self.folder, there, installation=self._installation(), known=known,
                now=self._clock(), host=self._me["host"], disk=self._disk, progress=progress,
            )  # fmt: skip
        finally:
            lock.release()
        heads = {head.station: head.n for head in done.heads}
        self._keep(evolve(self.last, at=done.at, folder=str(there), heads=heads))
        return done

    def bring_back(
        self, folder: str, known: Iterable[Head], progress: Progress = nothing_told
    ) -> Restored:
        """Bring back what the job lacks from the backups in `folder`. Raises NotBackedUp."""
        lock = self._lock()
        try:
            return restore(
                self.folder, Path(folder).expanduser(), known=known, disk=self._disk, progress=progress
            )  # fmt: skip
        finally:
            lock.release()

    def asked(self, day: date) -> None:
        """Remember that a backup was offered on that day."""
        self._keep(evolve(self.last, asked=day.isoformat()))

    def _lock(self) -> StationLock:
        lock = StationLock(self._state, self.folder / "backup", disk=self._disk)
        try:
            taken = lock.take(**self._me, since=time_text(self._clock()))
        except OSError as error:
            raise NotBackedUp(
                f"Not begun: {reason(error)}", f"{self._state} is needed to keep two runs apart."
            ) from error
        if not taken:
            raise NotBackedUp(
                "A backup of this job is running already", f"It is that of {lock.holder()}. Wait for it."
            )  # fmt: skip
        return lock

    def _installation(self) -> str:
        try:
            return installation_id(self._state, self._disk, self._new_id)
        except OSError:
            return ""

    def _load(self) -> LastBackup:
        try:
            note: Any = json.loads(self._disk.read(self._path))
            return LastBackup(
                at=moment_of(note["at"]),
                folder=str(note["folder"]),
                heads={str(station): int(n) for station, n in note["heads"].items()},
                asked=str(note["asked"]),
            )
        except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return LastBackup()

    def _keep(self, last: LastBackup) -> None:
        self.last = last
        note = asdict(last) | {"at": time_text(last.at) if last.at else None}
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(self._path, json.dumps(note).encode(), disk=self._disk)
        except OSError:
            return
