"""One writer for each station: a lock the kernel gives back when its holder dies, however it dies.

The lock is on a file of its own in the local state folder, named after the log's resolved path,
because locks in shared and synced folders do not hold. Beside it stands who holds it, for people
to read; that note decides nothing. The lock file is never removed: a second one would be a second
lock.

Two logins on one machine have two state folders, and an older log may be opened by both. So the file that
is written to is locked as well: what that lock says counts where it says no, and is done without where a
file system has none.
"""

import json
import os
import sys
from pathlib import Path
from typing import Protocol

from attrs import asdict, frozen

from pourdeck.sitelog.disk import DISK, Disk, path_digest, replace_file


@frozen(kw_only=True, repr=False)
class Holder:
    """Who holds a station's log. `since` is RFC 3339; what is not known is empty, or 0."""

    pid: int = 0
    host: str = ""
    user: str = ""
    since: str = ""

    def __str__(self) -> str:
        who = self.user or "someone"
        host = f" on {self.host}" if self.host else ""
        process = f", process {self.pid}" if self.pid else ""
        since = f", since {self.since}" if self.since else ""
        return f"{who}{host}{process}{since}"


class _Lock(Protocol):
    def take(self) -> bool:
        """True where it is ours now, False where another holds it. Raises OSError."""

    def release(self) -> None: ...


if sys.platform == "win32":
    # Imported only where it is used: it is slow to import, and a deck should open at once.
    import filelock

    class _SystemLock:
        def __init__(self, path: Path) -> None:
            self._lock = filelock.FileLock(path)

        def take(self) -> bool:
            try:
                self._lock.acquire(timeout=0)
            except filelock.Timeout:
                return False
            return True

        def release(self) -> None:
            self._lock.release()

    class _LogLock:
        """None here: to lock the log would keep others from reading it."""

        def __init__(self, path: Path) -> None:
            pass

        def take(self) -> bool:
            return True

        def release(self) -> None:
            pass

else:
    import fcntl

    class _SystemLock:
        def __init__(self, path: Path, flags: int = os.O_RDWR | os.O_CREAT) -> None:
            self._path = path
            self._flags = flags
            self._fd: int | None = None

        def take(self) -> bool:
            fd = os.open(self._path, self._flags | os.O_CLOEXEC, 0o666)
            try:
                fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                os.close(fd)
                return False
            except BaseException:
                os.close(fd)
                raise
            self._fd = fd
            return True

        def release(self) -> None:
            if self._fd is not None:
                os.close(self._fd)
                self._fd = None

    class _LogLock(_SystemLock):
        """A lock on the log itself, through a handle of its own that reads only."""

        def __init__(self, path: Path) -> None:
            super().__init__(path, os.O_RDONLY)

        def take(self) -> bool:
            if self._fd is not None:
                return True
            try:
                return super().take()
            except OSError:
                return True


OTHER_LOGIN = "someone under another login"
"""Who holds a log whose note is in a state folder we do not know."""


class StationLock:
    """The lock of a station of a job, named by the path its first file would have had in older logs."""

    def __init__(self, state_folder: Path, log_path: Path, *, disk: Disk = DISK) -> None:
        digest = path_digest(log_path)
        self._folder = state_folder / "locks"
        self._note = self._folder / f"{digest}.json"
        self._lock: _Lock = _SystemLock(self._folder / f"{digest}.lock")
        self._log_lock: _Lock | None = None
        self._elsewhere = False
        self._disk = disk

    def take(self, *, host: str, user: str, since: str) -> bool:
        """True where it is ours now and noted as such, False where another has it. Raises
        OSError.
        """
        self._folder.mkdir(parents=True, exist_ok=True)
        if not self._lock.take():
            return False
        me = Holder(pid=os.getpid(), host=host, user=user, since=since)
        try:
            note = json.dumps(asdict(me)).encode()
            replace_file(self._note, note, disk=self._disk, sync=False)
        except BaseException:
            self.release()
            raise
        return True

    def holder(self) -> Holder:
        """Who the note says holds it, as far as it can be read."""
        if self._elsewhere:
            return Holder(user=OTHER_LOGIN)
        try:
            note = json.loads(self._disk.read(self._note))
            return Holder(
                pid=int(note["pid"]),
                host=str(note["host"]),
                user=str(note["user"]),
                since=str(note["since"]),
            )
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return Holder()

    def lock_log(self, path: Path) -> bool:
        """Lock the file that is written to; False where somebody under another login has it."""
        if self._log_lock is not None:
            self._log_lock.release()
        self._log_lock = _LogLock(path)
        self._elsewhere = not self._log_lock.take()
        return not self._elsewhere

    def release(self) -> None:
        if self._log_lock is not None:
            self._log_lock.release()
        self._lock.release()
