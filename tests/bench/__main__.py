"""`python -m tests.bench`: how fast the deck is, each goal beside what it is measured against.

All of it is measured in one run, ours and the other in turns, medians. Other programs that work at the
same time make both slower, and the ratios less so.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from rich.console import Console

from tests.bench import answer_bench, deck_bench, log_rows, plan_bench
from tests.bench.table import Row, Skipped, show

ROOT = Path(__file__).resolve().parents[2]

Measured = Row | Skipped | list[Row] | list[Row | Skipped]


def measure(work: Path) -> Iterator[Row | Skipped]:
    groups: list[tuple[str, Callable[[], Measured]]] = [
        ("start, memory", lambda: deck_bench.start_and_memory(work, ROOT)),
        ("long logs", lambda: deck_bench.long_logs(work, ROOT)),
        ("check", lambda: plan_bench.check_command(work, ROOT)),
        ("adjustment", plan_bench.adjustment),
        ("size change", lambda: plan_bench.size_change(work)),
        ("recorded size change", lambda: plan_bench.recorded_change(work)),
        ("key to repaint", lambda: deck_bench.key_to_repaint(work, ROOT)),
        ("answer", lambda: answer_bench.rows(work)),
        ("log", log_rows.rows),
    ]
    for name, group in groups:
        sys.stderr.write(f"measuring {name} …\n")
        found = group()
        yield from found if isinstance(found, list) else [found]


def where() -> str:
    """Say what it ran on, and how busy that was with other work: above one per core nothing is true."""
    told = f"Python {sys.version.split()[0]} on {sys.platform}, {os.cpu_count()} cores"
    if hasattr(os, "getloadavg"):
        told += f", load {os.getloadavg()[0]:.1f}"
    return told


def main() -> int:
    """0 where every goal that could be measured is met, else 1."""
    with tempfile.TemporaryDirectory() as name:
        rows = list(measure(Path(name)))
    console = Console()
    console.print(where(), highlight=False)
    show(rows, console)
    return int(any(isinstance(row, Row) and row.verdict == "missed" for row in rows))


if __name__ == "__main__":
    raise SystemExit(main())
