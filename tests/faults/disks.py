"""Disks that fail at one call, or are full at any byte: what was acknowledged is there, the rest refused."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import define, field

from pourdeck.sitelog.disk import Disk
from pourdeck.sitelog.logfile import LogFile, NotSaved
from pourdeck.sitelog.union import read_union
from tests.faults.promise import Promise, workplace
from tests.sitelog.kit import FakeDisk, log_path, open_log, put_log, small_log

CALLS = tuple(name for name in vars(Disk) if not name.startswith("_"))
ERRORS = ("EIO", "ENOSPC", "EINTR")

TORN = b'{"n":4,"at":"20'
BEGUN = {"new": b"", "going on": small_log(2), "torn": small_log(2) + TORN}
"""What lies there when the script begins."""


class FailingDisk(FakeDisk):
    """Counts every call, and fails the one of number `at`, from 1. A write takes `most` bytes at most."""

    def __init__(self, at: int = 0, error: str = "EIO", most: int = 1 << 30) -> None:
        super().__init__()
        self.at, self.most = at, most
        self.count = 0
        self.error = getattr(errno, error)

    def one_more(self) -> None:
        self.count += 1
        if self.count == self.at:
            raise OSError(self.error, os.strerror(self.error))


def _counted(name: str) -> Callable[..., Any]:
    def call(disk: FailingDisk, *given: Any) -> Any:
        if name == "close":
            # A file is closed even where closing it says that something failed.
            FakeDisk.close(disk, *given)
            return disk.one_more()
        disk.one_more()
        return getattr(FakeDisk, name)(disk, *given)

    return call


for _name in CALLS:
    setattr(FailingDisk, _name, _counted(_name))


@define
class Script:
    """Four notes, each tried until it is said to be saved, through a disk that fails at one call."""

    folder: Path
    disk: FailingDisk
    saved: list[str] = field(factory=list)
    refused: int = 0

    def run(self) -> None:
        log = self._open()
        for number in range(4):
            for _ in range(4):
                if self._note(log, f"note {number}"):
                    break
                self.refused += 1
                assert texts(self.folder) == self.saved, "what was refused is in the log"
                if log.read_only:
                    log.close()
                    log = self._open()
        log.close()

    def _open(self) -> LogFile:
        try:
            return open_log(self.folder, disk=self.disk)
        except OSError:
            # The folder cannot be listed; it is opened again.
            self.refused += 1
            return open_log(self.folder, disk=self.disk)

    def _note(self, log: LogFile, text: str) -> bool:
        try:
            log.append("note", "kim", {"panel": "W07", "item": None, "text": text})
        except NotSaved:
            return False
        self.saved.append(text)
        return True


def texts(folder: Path) -> list[str]:
    return [each.data["text"] for each in read_union(folder).entries if each.kind == "note"]


def _begun(folder: Path, begin: str) -> Path:
    if data := BEGUN[begin]:
        put_log(folder, data)
    return folder


def _fail_once(case: str, folder: Path) -> int:
    """Case: what lies there, error, most bytes a write, number of the call."""
    begin, error, most, at = case.split("/")
    disk = FailingDisk(int(at), error, int(most))
    script = Script(_begun(folder, begin), disk)
    script.run()
    assert script.saved == [f"note {number}" for number in range(4)], "work does not go on"
    assert script.refused <= 2
    assert texts(folder) == script.saved
    assert read_union(folder).faults == ()
    kept = {path.read_bytes() for path in (folder / "log").glob("*.torn-*")}
    assert kept == ({TORN} if begin == "torn" else set())
    with open_log(folder) as again:
        assert not again.read_only, again.messages
        again.append("note", "kim", {"panel": "W07", "item": None, "text": "note 4"})
    assert texts(folder) == [*script.saved, "note 4"]
    return 1


def _calls(begin: str, most: int) -> int:
    """Count the calls of a script that nothing fails."""
    with workplace() as folder:
        disk = FailingDisk(most=most)
        Script(_begun(folder, begin), disk).run()
        return disk.count


def _every_call(full: bool) -> list[str]:
    found = [
        f"{begin}/{error}/{most}/{at}"
        for begin in BEGUN
        for most in (1 << 30, 100)
        for at in range(1, _calls(begin, most) + 1)
        for error in ERRORS
    ]
    # Three errors a call: in a short run each call is failed with one of them.
    return found if full else found[::4]


class FullDisk(FakeDisk):
    """Has room for so many more bytes, then none: the last write is a short one."""

    def __init__(self) -> None:
        super().__init__()
        self.room = 1 << 30

    def write(self, fd: int, data: bytes | memoryview) -> int:
        if not self.room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        count = super().write(fd, data[: self.room])
        self.room -= count
        return count


def _fill(case: str, folder: Path) -> int:
    """Full at this byte of an append: refused, the file as it was, and work goes on when there is room."""
    begin, room = case.split("/")
    disk = FullDisk()
    with open_log(_begun(folder, begin), disk=disk) as log:
        before = log_path(folder).read_bytes() if begin != "new" else b""
        disk.room = int(room)
        with pytest.raises(NotSaved, match="no space left"):
            log.append("note", "kim", {"panel": "W07", "item": None, "text": "note 1"})
        assert log_path(folder).read_bytes() == before
        assert log.read_only is False
        disk.room = 1 << 30
        log.append("note", "kim", {"panel": "W07", "item": None, "text": "note 1"})
    assert texts(folder) == ["note 1"]
    with open_log(folder) as again:
        assert not again.read_only
        assert again.messages == []
    return 1


def _every_byte(full: bool) -> list[str]:
    first = len(small_log(0))
    line = len(small_log(1)) - first - 40
    return [
        f"{begin}/{room}"
        for begin, size in (("new", first + line), ("going on", line))
        for room in range(0, size, 1 if full else 7)
    ]


PROMISES = (
    Promise(
        name="calls",
        words="a disk that fails once, at any call: what was acknowledged is there, the rest is not said",
        cases=_every_call,
        attempt=_fail_once,
    ),
    Promise(
        name="full",
        words="a disk that is full at any byte of an append: refused, and work goes on with room",
        cases=_every_byte,
        attempt=_fill,
    ),
)
