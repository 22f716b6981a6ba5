"""The system calls of a day: nothing is sent anywhere, and nothing is said to be saved before its sync."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.bench.terminal import Terminal
from tests.commands.kit import one_panel_cast
from tests.commands.kit_terminal import MODULE, ROOT, environment
from tests.walk.kit import FOREMAN

STRACE = shutil.which("strace")
CALLS = "trace=%network,write,writev,pwrite64,fsync,fdatasync"
TRACED = ("-f", "-y", "-s", "100000", "-e", CALLS, "-o")

pytestmark = pytest.mark.skipif(STRACE is None, reason="there is no strace")

_CALL = re.compile(r"\d+ +(\w+)\((\d+)<([^>]*)>(.*)")
_NETWORK = re.compile(r"\b(socket|connect|sendto|sendmsg|bind|listen|getaddrinfo)\(.*AF_INET")


def calls(traced: Path) -> Iterator[tuple[str, str, str]]:
    """Each call that wrote or synced: its name, the file, what was written."""
    for line in traced.read_text("utf-8", "replace").splitlines():
        # A call that another thread came into is told in two lines; it is over with the second.
        if "<unfinished ...>" in line:
            continue
        if match := _CALL.match(line):
            yield match[1], match[3], match[4]


def holds(traced: Path, said: re.Pattern[str]) -> int:
    """Find every word that something is saved behind the sync of what was written; how many there were."""
    text = traced.read_text("utf-8", "replace")
    assert not _NETWORK.search(text)
    unsynced: set[str] = set()
    written = found = 0
    for name, path, rest in calls(traced):
        if path.endswith(".jsonl") and "/log/" in path:
            if name in ("fsync", "fdatasync"):
                unsynced.discard(path)
            else:
                unsynced.add(path)
                written += 1
        elif "write" in name and "/log/" not in path and said.search(rest):
            found += 1
            assert not unsynced, f"said before {unsynced} was synced: {rest[:200]}"
            assert written, "nothing was written before it"
    assert not unsynced
    return found


DAY = """
import sys
from pourdeck.cli import main
job, by = sys.argv[1:]
for words in (
    ("board", job),
    ("setout", job, "A", "2"),
    ("shrink", job, "A", "2", "--width", "2900", "--apply", "--by", by, "--reason", "rev D"),
    ("ascast", job, "A", "1", "width_base=3001", "--by", by, "--reason", "again"),
    ("weather", job, "--concrete", "25", "--air", "20", "--rh", "50", "--wind", "10"),
    ("pour", job, "A", "2"),
    ("strength", job, "A", "1"),
    ("log", job),
):
    assert main(words) in (0, 1), words
    sys.stdout.flush()
"""


def test_commands_of_a_day(tmp_path: Path) -> None:
    job, traced = one_panel_cast(tmp_path), tmp_path / "day.strace"
    command = [str(STRACE), *TRACED, str(traced), sys.executable, "-c", DAY, str(job), FOREMAN]
    env = environment(tmp_path / "state", {})
    done = subprocess.run(command, capture_output=True, check=False, env=env)
    assert done.returncode == 0, done.stderr
    said = re.compile(r"\b(saved|recorded)\b", re.IGNORECASE)
    assert holds(traced, said) >= 2, done.stdout


def test_the_deck(tmp_path: Path) -> None:
    job = one_panel_cast(tmp_path)
    traced = tmp_path / "deck.strace"
    env = environment(tmp_path / "state", {"TERM": "xterm-256color"})
    command = [str(STRACE), *TRACED, str(traced), *MODULE, "open", str(job)]
    with Terminal(command, env, ROOT) as terminal:
        terminal.wait_for("F1 Help")
        for key in (b"\x1bOR", b"P", b"2", b"\r", b"\x1b[B", b"\r", b"B", b"\r"):
            terminal.press(key, quiet=0.15)
        os.write(terminal._master, b"\x11")
        terminal.settle(0.5)
    assert holds(traced, re.compile(r"Saved \d\d:\d\d:\d\d")) >= 2
