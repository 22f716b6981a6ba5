"""A job with plan, log and records, a stick that can fail, and what lies where, for tests of backups."""

import errno
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pourdeck.sitelog.backup import BackedUp
from pourdeck.sitelog.backups import Backups
from pourdeck.sitelog.restore import Restored
from tests.sitelog.kit import Clock, FakeDisk, Site, act

PLAN = b'format = 1\n[job]\nnumber = "QL-31"\nname = "Quarry Lane"\n'
NOTE = act("note", panel="W07", text="x")
PULLED = OSError(errno.EIO, "Input/output error")
FULL = OSError(errno.ENOSPC, "No space left on device")

Files = dict[str, bytes]


class Stick(FakeDisk):
    """The disk with its reads noted too. `flip` says which files come back with a bit flipped."""

    def __init__(self, flip: Callable[[Path], bool] = lambda _: False) -> None:
        super().__init__()
        self._flip = flip

    def read_back(self, path: Path) -> bytes:
        self._note("read back")
        data = super().read_back(path)
        return data[:-1] + bytes([data[-1] ^ 1]) if data and self._flip(path) else data

    def unlink(self, path: Path) -> None:
        self._note("take away")
        super().unlink(path)

    def listing(self, folder: Path) -> list[tuple[str, str]]:
        self._note("list")
        return super().listing(folder)


_CALLS = (
    "create", "write", "fsync", "replace", "make folder", "sync folder", "read back", "list", "take away",
)  # fmt: skip


def fails_for_good(disk: FakeDisk, at: int, error: OSError) -> None:
    """From the call of that number on, whatever it is: the stick was pulled out."""

    def before(_: int) -> None:
        if len(disk.calls) >= at:
            raise error

    for call in _CALLS:
        disk.before[call] = before


def a_job(root: Path, name: str = "one", notes: int = 3) -> tuple[Site, Path]:
    """A site with a computer of that name, and its job folder."""
    root.mkdir(exist_ok=True)
    site = Site(root)
    site.say(name, *[NOTE] * notes)
    folder = site.folder(name)
    (folder / "job.toml").write_bytes(PLAN)
    (folder / "record").mkdir()
    (folder / "record/A-1-W07.toml").write_bytes(b'mark = "W07"\n')
    (root / "stick").mkdir(exist_ok=True)
    return site, folder


def backups_of(job: Path, state: str = "", **changes: Any) -> Backups:
    """The backups of a job as the computer with that state folder makes them."""
    given: dict[str, Any] = {
        "clock": Clock(),
        "new_id": lambda: "0123456789abcdef",
        "host": "shed-laptop",
        "disk": FakeDisk(),
    }
    state_folder = job.parent / (state or f"state of {job.name}")
    return Backups(state_folder, job, **given | changes)


def back_up(job: Path, **changes: Any) -> BackedUp:
    return backups_of(job, **changes).make(str(job.parent / "stick"), ())


def restore(job: Path, **changes: Any) -> Restored:
    return backups_of(job, **changes).bring_back(str(job.parent / "stick"), ())


def files(folder: Path) -> Files:
    """All files of a folder by their paths in it."""
    found = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def job_files(folder: Path) -> Files:
    """Those that a backup is about."""
    kinds = ("job.toml", "log/", "record/")
    return {name: data for name, data in files(folder).items() if name.startswith(kinds)}


def own_log(folder: Path) -> Path:
    return min((folder / "log").glob("*.jsonl"))
