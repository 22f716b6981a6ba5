"""A program run in a terminal of its own, timed by what it paints there."""

import fcntl
import os
import re
import select
import struct
import subprocess
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType

ESCAPES = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|[PX^_\]][^\x1b\x07]*(?:\x07|\x1b\\)|[@-Z\\-_])")


class NotPaintedError(Exception):
    """Say that what was waited for was not painted in time."""


def readable(end: int, seconds: float) -> bool:
    """Whether there is something to read, or its end, before so many seconds are over."""
    waiting = select.poll()
    waiting.register(end, select.POLLIN)
    return bool(waiting.poll(max(0.0, seconds) * 1000))


class Terminal:
    """A program in a pseudo terminal of 80 × 24. Use with `with`: it is killed at the end."""

    def __init__(self, command: Sequence[str], env: Mapping[str, str], folder: Path) -> None:
        self._master, inner = os.openpty()
        fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.began = time.perf_counter()
        self._process = subprocess.Popen(
            command,
            stdin=inner,
            stdout=inner,
            stderr=inner,
            env=dict(env),
            cwd=folder,
            start_new_session=True,
        )
        os.close(inner)
        self._raw = b""

    def __enter__(self) -> "Terminal":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._master)

    @property
    def painted(self) -> str:
        """All that was painted since the last key, without colours and cursor moves."""
        return ESCAPES.sub(b"", self._raw).decode("utf-8", "replace")

    def wait_for(self, *texts: str, seconds: float = 20) -> float:
        """Seconds from the start until all texts had been painted. Raises NotPaintedError."""
        until = time.perf_counter() + seconds
        while (left := until - time.perf_counter()) > 0:
            if not self._read(left):
                break
            painted = self.painted
            if all(text in painted for text in texts):
                return time.perf_counter() - self.began
        raise NotPaintedError(f"{texts} were not painted; the last was {self.painted[-200:]!r}")

    def press(self, key: bytes, quiet: float = 0.03, seconds: float = 5) -> float:
        """Seconds from a key to the last byte of what it painted: nothing follows for `quiet`."""
        self.settle(quiet)
        self._raw = b""
        began = time.perf_counter()
        os.write(self._master, key)
        if not self._read(seconds):
            raise NotPaintedError(f"the key {key!r} painted nothing")
        last = time.perf_counter()
        while self._read(quiet):
            last = time.perf_counter()
        return last - began

    def settle(self, quiet: float = 0.3) -> None:
        """Read until nothing comes for so long."""
        while self._read(quiet):
            pass

    def peak_memory(self) -> float:
        """The most memory the program has held so far, MB. Raises OSError where nobody tells."""
        status = Path(f"/proc/{self._process.pid}/status").read_text(encoding="ascii")
        found = re.search(r"VmHWM:\s+(\d+) kB", status)
        if not found:
            raise OSError("the system does not tell the peak memory of a program")
        return int(found[1]) / 1000

    def _read(self, seconds: float) -> bool:
        if not readable(self._master, seconds):
            return False
        try:
            read = os.read(self._master, 65536)
        except OSError:
            return False
        self._raw += read
        return bool(read)
