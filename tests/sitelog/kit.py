"""A clock, a disk that fails on demand, and small logs, for the tests of the site log."""

import hashlib
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from pourdeck.sitelog.disk import Disk
from pourdeck.sitelog.entries import Entry, Unsealed, compose
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.state import replay

ZONE = timezone(timedelta(hours=11))
MORNING = datetime(2025, 11, 3, 6, 30, tzinfo=ZONE)


class Clock:
    """Goes on by a minute whenever it is read."""

    def __init__(self, now: datetime = MORNING) -> None:
        self.now = now

    def __call__(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now


class FakeDisk(Disk):
    """The real disk, which notes each call that changes it and may be made to fail. It syncs nothing.

    `before[call]` is asked before a call with its number of times so far, from 1, and may raise.
    """

    def __init__(self) -> None:
        self.calls: list[str] = []
        self.before: dict[str, Callable[[int], None]] = {}
        self.most = 1 << 30

    def _note(self, call: str) -> None:
        self.calls.append(call)
        if call in self.before:
            self.before[call](self.calls.count(call))

    def open_append(self, path: Path) -> int:
        self._note("open")
        return super().open_append(path)

    def open_new(self, path: Path) -> int:
        self._note("create")
        return super().open_new(path)

    def write(self, fd: int, data: bytes | memoryview) -> int:
        self._note("write")
        return super().write(fd, data[: self.most])

    def fsync(self, fd: int) -> None:
        self._note("fsync")

    def truncate(self, fd: int, size: int) -> None:
        self._note("truncate")
        super().truncate(fd, size)

    def replace(self, source: Path, target: Path) -> None:
        self._note("replace")
        super().replace(source, target)

    def unlink(self, path: Path) -> None:
        super().unlink(path)
        self.calls.append("unlink")

    def make_folder(self, folder: Path) -> None:
        self._note("make folder")
        super().make_folder(folder)

    def sync_folder(self, folder: Path) -> None:
        self._note("sync folder")


def fail(error: OSError, *, at: int = 1, times: int = 1) -> Callable[[int], None]:
    """Raises from the call of number `at` on, so many times."""

    def before(number: int) -> None:
        if at <= number < at + times:
            raise error

    return before


def answer(number: int = 1, *, panel: str = "W07", value: str = "300") -> dict[str, Any]:
    return {"panel": panel, "item": f"forms.offset/right-{number}", "value": value}


def open_log(folder: Path, station: str = "shed", **changes: Any) -> LogFile:
    """The log of `folder`, its locks under the same folder; nothing is synced, to be quick."""
    given: dict[str, Any] = {
        "job": "QL-31",
        "clock": Clock(),
        "state_folder": folder / "state",
        "host": "shed-laptop",
        "user": "sam",
        "disk": FakeDisk(),
    }
    return LogFile.open(folder, station, **given | changes)


def log_path(folder: Path, station: str = "shed") -> Path:
    return folder / "log" / f"{station}.jsonl"


def put_log(folder: Path, data: bytes, station: str = "shed") -> Path:
    """A log file of these bytes, as a copy would bring it."""
    path = log_path(folder, station)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def make_log(
    *acts: Unsealed, station: str = "shed", start: datetime = MORNING, step: float = 60
) -> tuple[list[Entry], bytes]:
    """A start and some acts, one every `step` seconds, without a file."""
    opening = Unsealed(
        kind="start", by="sam", data={"format": 1, "job": "QL-31", "station": station}
    )
    entries: list[Entry] = []
    data = b""
    for act in (opening, *acts):
        at = start + timedelta(seconds=step * len(entries))
        n, head = (entries[-1].n, entries[-1].seal) if entries else (0, "")
        more, line = compose([act], station=station, at=at, clock="", n=n, head=head)
        entries += more
        data += line
    return entries, data


def act(kind: str, by: str = "sam", **data: Any) -> Unsealed:
    """An act; underscores in the kind stand for hyphens."""
    return Unsealed(kind=kind.replace("_", "-"), by=by, data=data)


class Site:
    """A job on several computers, each with a copy of the folder, a state folder and a clock of its own."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.clocks: dict[str, Clock] = {}
        self._ids = 0

    def _new_id(self, name: str) -> str:
        self._ids += 1
        return hashlib.sha256(f"{name} {self._ids}".encode()).hexdigest()[:16]

    def folder(self, name: str) -> Path:
        folder = self.root / name
        folder.mkdir(exist_ok=True)
        return folder

    def open(self, name: str, station: str = "shed", **changes: Any) -> LogFile:
        """The log on that computer; its files are those in its folder."""
        given = {
            "state_folder": self.root / f"state of {name}",
            "new_id": lambda: self._new_id(name),
            "clock": self.clocks.setdefault(name, Clock()),
        }
        return open_log(self.folder(name), station, **given | changes)

    def say(self, name: str, *acts: Unsealed, station: str = "shed", **changes: Any) -> list[Entry]:
        """Record some acts there, with all in view that lies in its folder."""
        with self.open(name, station, **changes) as log:
            assert not log.read_only, log.messages
            own = {each.chain for each in log.scans}
            heads = replay(log.union.entries).heads
            log.look_out_for(head for head in heads if head.station not in own)
            return [log.append(one.kind, one.by, one.data) for one in acts]

    def bring(self, source: str, target: str) -> None:
        """Copy every log file that is new or longer, as a sync program or a stick would."""
        for path in sorted((self.folder(source) / "log").glob("*.jsonl")):
            there = self.folder(target) / "log" / path.name
            there.parent.mkdir(exist_ok=True)
            if not there.exists() or there.stat().st_size < path.stat().st_size:
                shutil.copyfile(path, there)


def small_log(count: int) -> bytes:
    """The bytes of a start and so many answers."""
    return make_log(*(Unsealed(kind="answer", by="sam", data=answer(i)) for i in range(count)))[1]
