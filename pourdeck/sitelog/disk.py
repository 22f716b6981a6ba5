"""Every call that touches a record file, in one place, so that a test can make any of them fail.

`Disk` holds the calls themselves; the functions below it put them in the order that survives a
loss of power: write, sync the file, replace, sync the folder. The log itself is never rewritten.
"""

import contextlib
import hashlib
import json
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

# Every call that touches a record file, in one place, so that a test can make any of them fail.

_BUSY_ON_WINDOWS = frozenset({5, 32, 33})
"""Access denied, sharing violation, lock violation: a scanner or sync program holds the file."""

_WAITS = (0.05, 0.1, 0.2, 0.4, 0.8, 0.95)
"""Seconds between attempts to replace a file that is held on Windows: 2.5 s in all."""

_FLAGS = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOINHERIT", 0)


Identity = tuple[int, int]
"""Device and number of a file."""


class Disk:
    """The calls. Every one raises OSError as the system gives it."""

    def read(self, path: Path) -> bytes:
        return path.read_bytes()

    def read_back(self, path: Path) -> bytes:
        """Read, asking the system to forget what it keeps of the file in memory, where it can be
        asked.
        """
        fd = os.open(path, os.O_RDONLY | _FLAGS)
        try:
            if hasattr(os, "posix_fadvise"):
                os.posix_fadvise(fd, 0, 0, os.POSIX_FADV_DONTNEED)
            with open(fd, "rb", closefd=False) as file:
                return file.read()
        finally:
            os.close(fd)

    def listing(self, folder: Path) -> list[tuple[str, str]]:
        """List a folder by name: `file`, or what it is instead. Nothing where there is no folder."""
        try:
            with os.scandir(folder) as found:
                return sorted((entry.name, _kind(entry)) for entry in found)
        except FileNotFoundError:
            if folder.is_symlink():
                raise
            return []

    def marks(self, folder: Path) -> dict[str, tuple[int, int, int]]:
        """By name what changes when a file is written or replaced; nothing where there is no folder."""
        found = {}
        with contextlib.suppress(FileNotFoundError), os.scandir(folder) as names:
            for entry in names:
                try:
                    held = entry.stat()
                except OSError:
                    found[entry.name] = (-1, 0, 0)
                else:
                    found[entry.name] = (held.st_size, held.st_mtime_ns, held.st_ino)
        return found

    def exists(self, path: Path) -> bool:
        return path.exists()

    def make_folder(self, folder: Path) -> None:
        folder.mkdir()

    def open_append(self, path: Path) -> int:
        return os.open(path, os.O_RDWR | os.O_APPEND | _FLAGS)

    def open_new(self, path: Path) -> int:
        """Open for appending a file that must not exist yet."""
        return os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL | _FLAGS, 0o666)

    def write(self, fd: int, data: bytes | memoryview) -> int:
        return os.write(fd, data)

    def fsync(self, fd: int) -> None:
        os.fsync(fd)

    def truncate(self, fd: int, size: int) -> None:
        os.ftruncate(fd, size)

    def close(self, fd: int) -> None:
        os.close(fd)

    def replace(self, source: Path, target: Path) -> None:
        source.replace(target)

    def unlink(self, path: Path) -> None:
        path.unlink()

    def sync_folder(self, folder: Path) -> None:
        """Make the names in a folder last. Windows cannot open a folder, and there is nothing to
        do.
        """
        if os.name == "nt":
            return
        fd = os.open(folder, os.O_RDONLY | _FLAGS)
        try:
            self.fsync(fd)
        finally:
            os.close(fd)

    def identity(self, fd: int) -> Identity:
        """Tell an open file from any other, as long as it is open."""
        held = os.fstat(fd)
        return held.st_dev, held.st_ino

    def size_here(self, path: Path, identity: Identity) -> int | None:
        """Size of the file at `path`, None where it is not the one of that identity."""
        try:
            named = os.stat(path)  # noqa: PTH116 - asked before every write, and quicker so
        except FileNotFoundError:
            return None
        return named.st_size if (named.st_dev, named.st_ino) == identity else None


def _kind(entry: "os.DirEntry[str]") -> str:
    try:
        if entry.is_file():
            return "file"
        if entry.is_dir():
            return "a folder"
        entry.stat()
    except FileNotFoundError:
        return "a link to nothing"
    except OSError as error:
        return f"a link that cannot be followed: {reason(error)}"
    return "no ordinary file"


DISK = Disk()


class Watched:
    """A folder that is looked at again and again."""

    def __init__(self, path: Path, disk: Disk) -> None:
        self._path = path
        self._disk = disk
        self._marks: dict[str, tuple[int, int, int]] = {}
        self._own: set[str] = set()
        """Files that we wrote to ourselves since they were read."""

    def wrote(self, name: str) -> None:
        """We wrote to that file ourselves: that is no change, and it is read again with the next one."""
        self._own.add(name)
        try:
            mark = self._disk.marks(self._path).get(name)
        except OSError:
            # What was written is saved all the same; the folder counts as changed.
            return
        if mark is not None:
            self._marks[name] = mark

    def changed(self) -> bool:
        """Whether anything in it is other than it was when it was read. Raises OSError."""
        return self._disk.marks(self._path) != self._marks


def path_digest(path: Path) -> str:
    """Name a path in the state folder: the same for every way to write it."""
    name = os.path.normcase(os.path.realpath(path))  # `resolve` throws at a loop of links
    return hashlib.sha256(os.fsencode(name)).hexdigest()[:32]


def reason(error: OSError) -> str:
    """Give what the system says, as the end of a sentence, without its number and path."""
    return (error.strerror or str(error)).lower()


def write_all(disk: Disk, fd: int, data: bytes) -> None:
    """Write every byte, through short writes and interruptions. Raises OSError."""
    rest = memoryview(data)
    while rest:
        try:
            count = disk.write(fd, rest)
        except InterruptedError:
            continue
        if count <= 0:
            raise OSError("the system wrote nothing and gave no reason")
        rest = rest[count:]


def write_new(disk: Disk, path: Path, data: bytes, *, sync: bool = True) -> None:
    """Write a file that must not exist yet, and sync it. On failure nothing is left. Raises
    OSError.
    """
    fd = disk.open_new(path)
    try:
        try:
            write_all(disk, fd, data)
            if sync:
                disk.fsync(fd)
        finally:
            disk.close(fd)
    except BaseException:
        with contextlib.suppress(OSError):
            disk.unlink(path)
        raise


def replace_file(
    path: Path,
    data: bytes,
    *,
    disk: Disk = DISK,
    sync: bool = True,
    pause: Callable[[float], None] = time.sleep,
) -> None:
    """Put `data` at `path` so that at any moment the file is the old one or the new one. Raises
    OSError.

    `sync=False` is for what may be lost with the power, such as who holds a lock. The folder must
    exist.
    """
    temporary = path.with_name(f"{path.name}.tmp-{os.getpid()}")
    with contextlib.suppress(FileNotFoundError):
        disk.unlink(temporary)
    write_new(disk, temporary, data, sync=sync)
    try:
        replace_patiently(disk, temporary, path, pause)
    except BaseException:
        with contextlib.suppress(OSError):
            disk.unlink(temporary)
        raise
    if sync:
        disk.sync_folder(path.parent)


def replace_patiently(
    disk: Disk, source: Path, target: Path, pause: Callable[[float], None] = time.sleep
) -> None:
    """Give `source` the name `target`, again and again where Windows says that it is held. Raises OSError."""
    for wait in _WAITS:
        try:
            disk.replace(source, target)
        except OSError as error:
            if getattr(error, "winerror", None) not in _BUSY_ON_WINDOWS:
                raise
            pause(wait)
        else:
            return
    disk.replace(source, target)


def ensure_folder(disk: Disk, folder: Path) -> None:
    """Make a folder if there is none, and its name last. Its parent must exist. Raises OSError.

    A folder that is there is synced too: who made it may have been killed before it could.
    """
    if not disk.exists(folder):
        disk.make_folder(folder)
    disk.sync_folder(folder.parent)


# One file of a station, open for appending: bytes are in it and synced, or they are refused.


class WriteFailedError(Exception):
    """The bytes are not saved; the message says why, in words that end a sentence."""


class Segment:
    """An open file. `station` is what its entries are of, `end` its size, `n` and `head` are those
    of its last entry, 0 and "" without one.

    A file that is to be begun comes into being with the first bytes added. After a failed sync
    nobody knows what the disk holds, and asking it to sync again would report a success that is
    none: the file is `finished`, and closed for good.
    """

    def __init__(self, disk: Disk, path: Path, *, end: int = 0, n: int = 0, head: str = "") -> None:
        self.path = path
        # Asked for with every entry.
        self.station = path.stem
        self.end = end
        self.n = n
        self.head = head
        self.finished = False
        self._disk = disk
        self._fd: int | None = None
        self._identity: Identity = (0, 0)
        # A run before this one may have been killed before it synced the folder.
        self._name_lasts = False

    def open(self) -> None:
        """Open a file that is there already. Raises OSError."""
        self._fd = self._disk.open_append(self.path)
        self._identity = self._disk.identity(self._fd)

    def close(self) -> None:
        if self._fd is not None:
            fd, self._fd = self._fd, None
            with contextlib.suppress(OSError):
                self._disk.close(fd)

    def add(self, data: bytes, *, n: int, head: str) -> None:
        """Append and sync; `n` and `head` are those of the last entry in `data`. Raises
        WriteFailedError.

        Nothing stays behind of what could not be written whole.
        """
        if self.finished:
            raise WriteFailedError("an earlier write to this file could not be synced")
        fd = self._fd if self._fd is not None else self._begin()
        self._check_alone()
        try:
            write_all(self._disk, fd, data)
        except OSError as error:
            self._cut_back(fd)
            raise WriteFailedError(reason(error)) from error
        except BaseException:
            self._cut_back(fd)
            raise
        try:
            self._disk.fsync(fd)
            if not self._name_lasts:
                self._disk.sync_folder(self.path.parent)
        except OSError as error:
            self._finish(fd)
            raise WriteFailedError(f"the disk did not confirm it: {reason(error)}") from error
        except BaseException:
            self._finish(fd)
            raise
        self._name_lasts = True
        self.end += len(data)
        self.n, self.head = n, head

    def cut(self, end: int) -> None:
        """Cut the file to its first `end` bytes and sync. Raises OSError."""
        assert self._fd is not None
        self._disk.truncate(self._fd, end)
        self._disk.fsync(self._fd)
        self.end = end

    def end_line(self) -> None:
        """Write the newline that the last entry lacks. Raises WriteFailedError."""
        self.add(b"\n", n=self.n, head=self.head)

    def _begin(self) -> int:
        try:
            ensure_folder(self._disk, self.path.parent)
            self._fd = self._disk.open_new(self.path)
            self._identity = self._disk.identity(self._fd)
        except OSError as error:
            raise WriteFailedError(reason(error)) from error
        return self._fd

    def _check_alone(self) -> None:
        """Nobody else may have written, and the file must still be the one people would copy."""
        try:
            size = self._disk.size_here(self.path, self._identity)
        except OSError as error:
            raise WriteFailedError(reason(error)) from error
        if size == self.end:
            return
        self.finished = True
        self.close()
        if size is None:
            raise WriteFailedError("the file was removed or replaced while it was open")
        raise WriteFailedError("another program wrote to the file while it was open")

    def _cut_back(self, fd: int) -> None:
        try:
            self._disk.truncate(fd, self.end)
        except OSError:
            # The half line stays; it must remain the last, so nothing may follow it.
            self.finished = True
            self.close()

    def _finish(self, fd: int) -> None:
        self.finished = True
        with contextlib.suppress(OSError):
            self._disk.truncate(fd, self.end)
        self.close()


# What is half typed, and where the crew was: kept on this computer, outside the log.
#
# A draft is worth keeping and never worth stopping for: one that cannot be read or written is told,
# and the work goes on.


class Drafts:
    """The draft of one job folder. `message` says why the last call did not do what it should."""

    def __init__(self, state_folder: Path, folder: Path, *, disk: Disk = DISK) -> None:
        self._path = state_folder / "drafts" / f"{path_digest(folder)}.json"
        self._disk = disk
        self.message: str | None = None

    def save(self, draft: dict[str, Any]) -> bool:
        """Keep a draft of JSON values in place of the one before, synced. False where it was not
        kept.
        """
        self.message = None
        try:
            data = json.dumps(draft, allow_nan=False).encode("ascii")
            self._path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(self._path, data, disk=self._disk)
        except (OSError, ValueError, TypeError, RecursionError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self.message = f"What is half typed is not kept: {reason.lower()}."
            return False
        return True

    def load(self) -> dict[str, Any]:
        """The draft that was kept last, empty where there is none or it cannot be read."""
        self.message = None
        try:
            draft = json.loads(self._disk.read(self._path))
            if not isinstance(draft, dict):
                raise TypeError("it is not a draft")
        except FileNotFoundError:
            return {}
        except (OSError, ValueError, TypeError, RecursionError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self.message = (
                f"What was half typed is lost: {self._path} cannot be read: {reason.lower()}."
            )
            return {}
        return draft
