"""The deck as people meet it: started whole in a terminal, a key pressed, memory held."""

import shutil
import statistics
import sys
from collections.abc import Mapping
from pathlib import Path

from pourdeck.deck.shell import Kept
from pourdeck.example import example_folder
from pourdeck.sitelog.disk import Drafts
from tests.bench.bare import LAST_WORD
from tests.bench.environment import environment
from tests.bench.history import write_long_job
from tests.bench.table import Row, Skipped, percentile
from tests.bench.terminal import NotPaintedError, Terminal

LAST_PAINTED = ("F1 Help", "log ")
"""In the last lines of every screen: when they are there, the screen is full."""

ROUNDS = 9
LONG_ROUNDS = 3
KEYS = 200
ENTRIES = 20_000
DOWN, UP = b"\x1b[B", b"\x1b[A"


def start_and_memory(work: Path, root: Path) -> list[Row | Skipped]:
    """From nothing to the first full screen of the example, beside a header and a footer."""
    names = ("start to the first full screen", "peak memory of the deck")
    job = shutil.copytree(example_folder(), work / "example")
    programs = (
        (["-m", "pourdeck", "open", str(job)], ("QL-31", "Stack A", *LAST_PAINTED)),
        (["-m", "tests.bench.bare"], (LAST_WORD,)),
    )
    measured: list[list[tuple[float, float]]] = [[], []]
    try:
        # The first of each only warms the caches of the system.
        for _ in range(ROUNDS + 1):
            for (arguments, last), taken in zip(programs, measured, strict=True):
                taken.append(_start(arguments, last, environment(work), root))
    except (NotPaintedError, OSError) as error:
        return [Skipped(what=what, why=str(error)) for what in names]
    (ours, peak), (least, bare_peak) = (
        tuple(map(statistics.median, zip(*taken[1:], strict=True))) for taken in measured
    )
    beside = "a bare Textual program"
    return [
        Row(what=names[0], beside=beside, unit="s", ours=ours, other=least, most_ratio=1.4),
        Row(what=names[1], beside=beside, unit="MB", ours=peak, other=bare_peak, most_ratio=1.6),
    ]


def long_logs(work: Path, root: Path) -> list[Row | Skipped]:
    """The first full screen of a large job with a long log, over that of the example, and its memory."""
    example = shutil.copytree(example_folder(), work / "short")
    rows: list[Row | Skipped] = []
    for entries, most in ((20_000, 1.2), (100_000, 2.0)):
        what = f"first full screen with {entries:,} entries, over the example's"
        long = write_long_job(work / f"log-{entries}", work / f"state-{entries}", entries)
        taken: list[list[tuple[float, float]]] = [[], []]
        try:
            for _ in range(LONG_ROUNDS + 1):
                for folder, those in zip((example, long.folder), taken, strict=True):
                    arguments = ["-m", "pourdeck", "open", str(folder)]
                    last = ("Stack", *LAST_PAINTED)
                    those.append(_start(arguments, last, environment(work), root))
        except (NotPaintedError, OSError) as error:
            rows.append(Skipped(what=what, why=str(error)))
            continue
        (short, _), (ours, peak) = (
            tuple(map(statistics.median, zip(*those[1:], strict=True))) for those in taken
        )
        rows.append(Row(what=what, unit="s", ours=ours - short, most=most))
        rows.append(Row(what=f"peak memory with {entries:,}", unit="MB", ours=peak, most=250))
    return rows


def _start(
    arguments: list[str], last: tuple[str, ...], env: Mapping[str, str], root: Path
) -> tuple[float, float]:
    """Seconds to the first full screen, and the peak memory once nothing more is painted, MB."""
    with Terminal([sys.executable, *arguments], env, root) as terminal:
        seconds = terminal.wait_for(*last)
        terminal.settle()
        return seconds, terminal.peak_memory()


def key_to_repaint(work: Path, root: Path) -> Row | Skipped:
    """Arrow keys on the Walk of a panel in hand, with a long log behind it."""
    what = f"key to repaint on the Walk, {ENTRIES:,} entries behind it, p95"
    long = write_long_job(work / "long", work / "state", ENTRIES)
    kept = Kept(Drafts(work / "state", long.folder))
    kept.go(screen="walk", stack=long.stack, panel=long.number)
    kept.flush()
    command = [sys.executable, "-m", "pourdeck", "open", str(long.folder)]
    try:
        with Terminal(command, environment(work), root) as terminal:
            terminal.wait_for(long.mark, *LAST_PAINTED, seconds=60)
            terminal.settle()
            taken = [terminal.press(DOWN if n % 8 < 4 else UP) for n in range(KEYS + 8)][8:]
    except NotPaintedError as error:
        return Skipped(what=what, why=str(error))
    return Row(what=what, unit="ms", ours=1000 * percentile(taken, 0.95), most=60)
