"""One file of a station, open for appending: bytes are in it and synced, or they are refused."""

import contextlib
from pathlib import Path

from pourdeck.sitelog.disk import Disk, Identity, ensure_folder, reason, write_all


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
