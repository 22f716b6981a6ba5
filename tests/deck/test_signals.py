"""A whole deck in a terminal of its own: closed from outside, it leaves the terminal as it was."""

import fcntl
import os
import pty
import re
import signal
import struct
import subprocess
import sys
import termios
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from attrs import define, field

from tests.bench.terminal import readable
from tests.deck.kit import TWO_STACKS

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no such signals there")

RUN = """
import datetime, pathlib, sys
from pourdeck.deck.app import DeckApp
from pourdeck.sitelog.disk import Drafts
from pourdeck.walk.desk import Desk
folder = pathlib.Path(sys.argv[1])
at = datetime.datetime(2026, 3, 2, 6, 0, tzinfo=datetime.timezone.utc)
desk = Desk.open(folder / "job", station="shed", clock=lambda: at, state_folder=folder / "state")
app = DeckApp(desk, Drafts(folder / "state", folder / "job"))
app.run()
sys.exit(app.return_code or 0)
"""

PATIENCE = 30.0
"""Seconds after which a deck that says nothing has failed the test."""

COLOUR = re.compile(rb"\x1b\[[0-9;]*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])[0-9;]*m")
"""An SGR sequence that sets a colour of its own (ECMA-48, 8.3.117); 39 and 49 are the terminal's own."""


@define
class Terminal:
    """The other end of a pseudo-terminal with a deck in it."""

    process: subprocess.Popen[bytes]
    end: int
    output: bytearray = field(factory=bytearray)

    def until(self, words: bytes) -> None:
        """Read until the words have been painted since the last time."""
        start = len(self.output)
        while words not in self.output[start:]:
            ready = readable(self.end, PATIENCE)
            assert ready, f"{words!r} did not come: {bytes(self.output[-2000:])!r}"
            self.output += os.read(self.end, 65536)

    def drain(self) -> None:
        """Read until the other end is closed."""
        while True:
            assert readable(self.end, PATIENCE)
            try:
                read = os.read(self.end, 65536)
            except OSError:
                return
            if not read:
                return
            self.output += read

    def type(self, keys: bytes) -> None:
        os.write(self.end, keys)


def set_up(folder: Path) -> Path:
    """A job, and a script that runs a deck on it."""
    (folder / "job").mkdir()
    (folder / "job" / "job.toml").write_text(TWO_STACKS, encoding="utf-8")
    script = folder / "run.py"
    script.write_text(RUN, encoding="utf-8")
    return script


@pytest.fixture
def started(tmp_path: Path) -> Iterator[Callable[..., Terminal]]:
    script = set_up(tmp_path)
    running: list[Terminal] = []

    def start(**env: str) -> Terminal:
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        clean = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
        process = subprocess.Popen(
            [sys.executable, str(script), str(tmp_path)],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env={**clean, "TERM": "xterm-256color", "PYTHONPATH": str(Path.cwd()), **env},
            start_new_session=True,
        )
        os.close(theirs)
        terminal = Terminal(process, ours)
        running.append(terminal)
        return terminal

    yield start
    for terminal in running:
        terminal.process.kill()
        terminal.process.wait()
        os.close(terminal.end)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_closed_from_outside_it_puts_the_terminal_back(
    started: Callable[..., Terminal], number: signal.Signals
) -> None:
    terminal = started()
    terminal.until(b"log empty")
    terminal.process.send_signal(number)
    terminal.drain()

    assert terminal.process.wait(PATIENCE) == 128 + number
    for put_back in (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?2004l", b"\x1b[?25h"):
        assert put_back in terminal.output
    assert b"Traceback" not in terminal.output


def test_with_its_terminal_gone_it_is_gone(tmp_path: Path) -> None:
    """Closing the terminal hangs up on the process that leads it, here a child of `pty.fork`."""
    set_up(tmp_path)
    child, end = pty.fork()
    if child == 0:
        os.environ["PYTHONPATH"] = str(Path.cwd())
        os.environ["TERM"] = "xterm-256color"
        os.execv(sys.executable, [sys.executable, str(tmp_path / "run.py"), str(tmp_path)])
    read = b""
    while b"log empty" not in read:
        assert readable(end, PATIENCE)
        read += os.read(end, 65536)
    os.close(end)

    _, status = os.waitpid(child, 0)

    assert os.waitstatus_to_exitcode(status) == 128 + signal.SIGHUP


def test_killed_it_comes_back_to_the_same_place(
    started: Callable[..., Terminal], tmp_path: Path
) -> None:
    terminal = started()
    terminal.until(b"log empty")
    terminal.type(b"\x1b[A")
    terminal.until(b"panel 2 of 3")
    drafts = next(iter((tmp_path / "state" / "drafts").glob("*.json")), None)
    while drafts is None or b'"panel": 2' not in drafts.read_bytes():
        drafts = next(iter((tmp_path / "state" / "drafts").glob("*.json")), None)
    terminal.process.kill()
    terminal.process.wait(PATIENCE)

    again = started()
    again.until(b"panel 2 of 3")
    again.type(b"\x1b[21~")
    again.drain()

    assert again.process.wait(PATIENCE) == 0
    assert b"Nothing is lost." in again.output


def test_no_color_sends_no_colour(started: Callable[..., Terminal]) -> None:
    terminal = started(NO_COLOR="1")
    terminal.until(b"log empty")
    terminal.type(b"\x1b[21~")
    terminal.drain()

    assert COLOUR.search(terminal.output) is None


def test_with_colours_the_same_pattern_finds_them(started: Callable[..., Terminal]) -> None:
    terminal = started(NO_COLOR="")
    terminal.until(b"log empty")
    terminal.type(b"\x1b[21~")
    terminal.drain()

    assert COLOUR.search(terminal.output) is not None
