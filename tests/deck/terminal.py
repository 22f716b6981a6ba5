"""A program in a terminal of its own, seen from the other end."""

import fcntl
import os
import pty
import struct
import subprocess
import termios
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from typing import Any

from attrs import define, field

from tests.bench.terminal import readable

PATIENCE = 30.0
"""Seconds after which a program that says nothing has failed the test."""

PUT_BACK = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?2004l", b"\x1b[?25h")
"""Normal screen, no mouse, no marks round what is pasted, cursor on."""


@define
class Terminal:
    """The other end of a pseudo-terminal with a program in it. `slave` keeps its end open."""

    process: subprocess.Popen[bytes]
    end: int
    slave: int
    before: list[Any]
    output: bytearray = field(factory=bytearray)

    def until(self, words: bytes) -> None:
        """Read until the words have been painted since the last time."""
        start = len(self.output)
        while words not in self.output[start:]:
            assert readable(self.end, PATIENCE), f"{words!r} did not come: {self.output[-2000:]!r}"
            self.output += os.read(self.end, 65536)

    def ended(self) -> int:
        """Read until the program is gone: its exit code, of a signal as shells say it."""
        while self.process.poll() is None:
            if readable(self.end, 0.02):
                self.output += os.read(self.end, 65536)
        while readable(self.end, 0):
            self.output += os.read(self.end, 65536)
        code = self.process.wait(PATIENCE)
        return code if code >= 0 else 128 - code

    def read_for(self, seconds: float) -> None:
        """Read for so long, whatever comes."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if readable(self.end, left):
                self.output += os.read(self.end, 65536)

    def close(self) -> None:
        """Close the terminal under the program."""
        os.close(self.slave)
        os.close(self.end)

    def type(self, keys: bytes) -> None:
        os.write(self.end, keys)

    @property
    def as_it_was(self) -> bool:
        """Whether the terminal takes lines and shows them as before the program."""
        return termios.tcgetattr(self.slave) == self.before


@contextmanager
def in_pty(command: Sequence[str], env: Mapping[str, str]) -> Iterator[Terminal]:
    """Run a program in a terminal of 80×24 that it does not lead; end it afterwards."""
    end, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    before = termios.tcgetattr(slave)
    process = subprocess.Popen(
        command, stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True
    )
    try:
        yield Terminal(process, end, slave, before)
    finally:
        process.kill()
        process.wait()
        for fd in (end, slave):
            with suppress(OSError):
                os.close(fd)
