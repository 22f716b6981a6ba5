"""A command run as a program in a terminal of its own."""

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MODULE = (sys.executable, "-m", "pourdeck")
SGR = re.compile(r"\x1b\[([0-9;]*)m")
COLOURS = re.compile(r"\x1b\[(?:[0-9;]*;)?(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9;]*)?m")
"""A graphic rendition that sets a colour: ECMA-48 (1991), 8.3.117, and the bright ones, from memory."""


def environment(state: Path, more: Mapping[str, str]) -> dict[str, str]:
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return {
        **kept, "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT), "POURDECK_STATE": str(state), **more
    }  # fmt: skip


def in_terminal(state: Path, *words: str | Path, columns: int = 80, **more: str) -> tuple[int, str]:
    """Exit code and all that was painted, escapes and all; lines end as `\\n`."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    env = environment(state, {"TERM": "xterm-256color", **more})
    program = subprocess.Popen(
        [*MODULE, *map(str, words)], stdin=theirs, stdout=theirs, stderr=theirs, env=env
    )
    os.close(theirs)
    painted = b""
    try:
        while chunk := os.read(ours, 65536):
            painted += chunk
    except OSError:
        pass  # the other end is closed
    finally:
        os.close(ours)
    return program.wait(), painted.decode("utf-8").replace("\r\n", "\n")


def piped(state: Path, *words: str | Path, **more: str) -> subprocess.CompletedProcess[bytes]:
    """A command whose output another program reads."""
    return subprocess.run(
        [*MODULE, *map(str, words)], capture_output=True, check=False, env=environment(state, more)
    )
