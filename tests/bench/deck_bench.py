"""The deck as people meet it: started whole in a terminal, a key pressed, memory held."""

import os
import shutil
import statistics
import sys
from collections.abc import Mapping
from pathlib import Path

from pourdeck.example import example_folder
from tests.bench.bare import LAST_WORD
from tests.bench.table import Row, Skipped, percentile
from tests.bench.terminal import NotPaintedError, Terminal

BOARD_LAST_WORD = "F10 Quit"
"""At the end of the last line of the Board: when it is there, the screen is full."""

ROUNDS = 9
KEYS = 200
DOWN, UP = b"\x1b[B", b"\x1b[A"


def environment(work: Path) -> Mapping[str, str]:
    return {
        **os.environ,
        "POURDECK_STATE": str(work / "state"),
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
    }


def start_and_memory(work: Path, root: Path) -> list[Row | Skipped]:
    """From nothing to the first full screen of the example, beside a header and a footer."""
    names = ("start to the first full screen", "peak memory of the deck")
    job = shutil.copytree(example_folder(), work / "example")
    ours = [sys.executable, "-m", "pourdeck", "open", str(job)]
    least = [sys.executable, "-m", "tests.bench.bare"]
    env = environment(work)
    seconds: tuple[list[float], list[float]] = ([], [])
    peaks: tuple[list[float], list[float]] = ([], [])
    try:
        for number in range(ROUNDS + 1):
            for index, (command, last) in enumerate(((ours, BOARD_LAST_WORD), (least, LAST_WORD))):
                with Terminal(command, env, root) as terminal:
                    taken = terminal.wait_for(last)
                    terminal.settle()
                    peak = terminal.peak_memory()
                # The first of each only warms the caches of the system.
                if number:
                    seconds[index].append(taken)
                    peaks[index].append(peak)
    except (NotPaintedError, OSError) as error:
        return [Skipped(what=what, why=str(error)) for what in names]
    beside = "a bare Textual program"
    return [
        Row(
            what=names[0],
            beside=beside,
            unit="s",
            ours=statistics.median(seconds[0]),
            other=statistics.median(seconds[1]),
            most_ratio=1.4,
        ),
        Row(
            what=names[1],
            beside=beside,
            unit="MB",
            ours=statistics.median(peaks[0]),
            other=statistics.median(peaks[1]),
            most_ratio=1.6,
        ),
    ]


def key_to_repaint(job: Path, work: Path, root: Path, keys: bytes) -> Row | Skipped:
    """Arrow keys on the Walk; `keys` opens it from the Board. Down and up in turns move the list."""
    what = "key to repaint on the Walk, 20,000 entries, p95"
    command = [sys.executable, "-m", "pourdeck", "open", str(job)]
    try:
        with Terminal(command, environment(work), root) as terminal:
            terminal.wait_for(BOARD_LAST_WORD, 60)
            terminal.settle()
            terminal.press(keys)
            taken = [terminal.press(DOWN if n % 2 else UP) for n in range(KEYS + 10)][10:]
    except NotPaintedError as error:
        return Skipped(what=what, why=str(error))
    return Row(what=what, unit="ms", ours=1000 * percentile(taken, 0.95), most=60)
