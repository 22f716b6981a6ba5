"""A whole deck in a terminal of its own: closed from outside, it leaves the terminal as it was."""

import os
import pty
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from itertools import product
from pathlib import Path

import pytest

from tests.bench.terminal import readable
from tests.campaign import each_once, in_full
from tests.commands.kit_terminal import MODULE, environment
from tests.deck.kit import TWO_STACKS
from tests.deck.terminal import PATIENCE, PUT_BACK, Terminal, in_pty

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

COLOUR = re.compile(rb"\x1b\[[0-9;]*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])[0-9;]*m")
"""An SGR sequence that sets a colour of its own (ECMA-48, 8.3.117); 39 and 49 are the terminal's own."""

DELAYS = (0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 1.0)
"""Seconds from the start of the program: before, while and after the deck is built."""

MOST_SECONDS = 2.0
"""So long a deck may take to end (ours); a second more where other tests run beside it."""

Start = Callable[..., AbstractContextManager[Terminal]]


def set_up(folder: Path) -> Path:
    """A job, and a script that runs a deck on it."""
    (folder / "job").mkdir()
    (folder / "job" / "job.toml").write_text(TWO_STACKS, encoding="utf-8")
    script = folder / "run.py"
    script.write_text(RUN, encoding="utf-8")
    return script


@pytest.fixture
def started(tmp_path: Path) -> Start:
    command = [sys.executable, str(set_up(tmp_path)), str(tmp_path)]

    def start(**more: str) -> AbstractContextManager[Terminal]:
        return in_pty(command, environment(tmp_path, {"TERM": "xterm-256color", **more}))

    return start


def moments() -> Iterator[tuple[signal.Signals, float]]:
    """Each delay with one of the signals by turns; in full with each of them, and more of them."""
    numbers = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT)
    if in_full():
        yield from product(numbers, (*DELAYS, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9))
    else:
        yield from ((number, delay) for delay, number in each_once(DELAYS, numbers))


@pytest.mark.campaign
def test_told_to_end_at_any_moment_it_puts_the_terminal_back(tmp_path: Path) -> None:
    """Before the first line of pourdeck it is Python that answers Ctrl+C: that is told a little later."""
    set_up(tmp_path)
    env = environment(tmp_path / "state", {"TERM": "xterm-256color"})
    for number, delay in moments():
        with in_pty([*MODULE, "open", str(tmp_path / "job")], env) as terminal:
            if number == signal.SIGINT:
                terminal.until(b"\x1b[?1049h")
            terminal.read_for(delay)
            terminal.process.send_signal(number)
            told = time.monotonic()
            assert terminal.ended() == 128 + number, (number, delay)
            assert time.monotonic() - told < MOST_SECONDS + 1, (number, delay)
            assert terminal.as_it_was, (number, delay)
        if b"\x1b[?1049h" in terminal.output:
            assert all(one in terminal.output for one in PUT_BACK), (number, delay)
            assert terminal.output.rindex(PUT_BACK[0]) > terminal.output.rindex(b"\x1b[?1049h")
        assert b"Traceback" not in terminal.output, (number, delay)
        assert not (tmp_path / "state" / "crashes").exists(), (number, delay)


def test_told_to_end_nothing_that_was_typed_is_lost(started: Start, tmp_path: Path) -> None:
    with started() as terminal:
        terminal.until(b"log empty")
        terminal.type(b"\x1b[A")
        terminal.until(b"panel 2 of 3")
        terminal.process.send_signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
    (draft,) = (tmp_path / "state" / "drafts").iterdir()
    assert b'"panel": 2' in draft.read_bytes()


def test_ctrl_c_while_it_is_loaded_is_left_to_the_system(tmp_path: Path) -> None:
    look = (
        "import signal, pourdeck.__main__; print(signal.getsignal(signal.SIGINT) == signal.SIG_DFL)"
    )
    command = [sys.executable, "-c", look]
    assert subprocess.check_output(command, env=environment(tmp_path, {})) == b"True\n"


@pytest.mark.parametrize("leads", [True, False], ids=["leads", "led"])
def test_with_its_terminal_gone_it_is_gone(leads: bool, tmp_path: Path) -> None:
    """A terminal that is closed hangs up on the process that leads it, here a child of `pty.fork`.

    Nobody tells a process that does not lead it.
    """
    script = set_up(tmp_path)
    command = [sys.executable, str(script), str(tmp_path)]
    env = environment(tmp_path, {"TERM": "xterm-256color"})
    if leads:
        child, end = pty.fork()
        if child == 0:
            os.execve(command[0], command, env)
        read = b""
        while b"log empty" not in read:
            assert readable(end, PATIENCE)
            read += os.read(end, 65536)
        os.close(end)
        _, status = os.waitpid(child, 0)
        code = os.waitstatus_to_exitcode(status)
    else:
        with in_pty(command, env) as terminal:
            terminal.until(b"log empty")
            terminal.close()
            code = terminal.process.wait(PATIENCE)
    assert code == 128 + signal.SIGHUP


def test_killed_it_comes_back_to_the_same_place(started: Start, tmp_path: Path) -> None:
    with started() as terminal:
        terminal.until(b"log empty")
        terminal.type(b"\x1b[A")
        terminal.until(b"panel 2 of 3")
        drafts = next(iter((tmp_path / "state" / "drafts").glob("*.json")), None)
        while drafts is None or b'"panel": 2' not in drafts.read_bytes():
            drafts = next(iter((tmp_path / "state" / "drafts").glob("*.json")), None)
        terminal.process.kill()
        terminal.process.wait(PATIENCE)

    with started() as again:
        again.until(b"panel 2 of 3")
        again.type(b"\x1b[21~")
        assert again.ended() == 0
    assert b"Nothing is lost." in again.output


@pytest.mark.parametrize(("no_color", "coloured"), [("1", False), ("", True)])
def test_no_color_sends_no_colour(no_color: str, coloured: bool, started: Start) -> None:
    with started(NO_COLOR=no_color) as terminal:
        terminal.until(b"log empty")
        terminal.type(b"\x1b[21~")
        terminal.ended()
    assert bool(COLOUR.search(terminal.output)) is coloured
