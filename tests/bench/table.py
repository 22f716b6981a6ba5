"""The table of the benchmark: one row for each goal, with what it is measured against."""

import statistics
import time
from collections.abc import Callable, Sequence

from attrs import frozen
from rich import box
from rich.console import Console
from rich.table import Table


@frozen(kw_only=True)
class Row:
    """Ours and the other, both in `unit`; goals judge ours alone, or as a ratio to the other."""

    what: str
    unit: str
    ours: float
    other: float | None = None
    beside: str = ""
    most: float | None = None
    most_ratio: float | None = None

    @property
    def ratio(self) -> float | None:
        return self.ours / self.other if self.other else None

    @property
    def goal(self) -> str:
        goals = []
        if self.most is not None:
            goals.append(f"≤ {self.most:g} {self.unit}")
        if self.most_ratio is not None:
            goals.append(f"≤ {self.most_ratio:g} ×")
        return ", ".join(goals)

    @property
    def verdict(self) -> str:
        if not self.goal:
            return ""
        if self.most is not None and self.ours > self.most:
            return "missed"
        if self.most_ratio is not None and (self.ratio is None or self.ratio > self.most_ratio):
            return "missed"
        return "met"


@frozen(kw_only=True)
class Skipped:
    """A row that could not be measured, and why."""

    what: str
    why: str


LEAST_WIDTH = 130


def show(rows: Sequence[Row | Skipped], console: Console) -> None:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column("what")
    for heading in ("ours", "beside it", "ratio"):
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("goal", no_wrap=True)
    table.add_column("", no_wrap=True)
    for row in rows:
        if isinstance(row, Skipped):
            table.add_row(row.what, "", "", "", "", f"skipped: {row.why}")
            continue
        label = f"{row.what}, beside {row.beside}" if row.beside else row.what
        table.add_row(
            label,
            _number(row.ours, row.unit),
            "" if row.other is None else _number(row.other, row.unit),
            "" if row.ratio is None else f"{row.ratio:.2f} ×",
            row.goal,
            row.verdict,
        )
    # Narrower, the columns that say something would be the first to go.
    console.print(table, width=max(console.width, LEAST_WIDTH))


def _number(value: float, unit: str) -> str:
    decimals = max(0, 3 - len(str(int(value)))) if value >= 1 else 3
    return f"{value:.{decimals}f} {unit}"


def in_turns(rounds: int, *acts: Callable[[], object]) -> list[float]:
    """The median seconds of each act, done in turns so that a slow moment hits all alike."""
    taken: list[list[float]] = [[] for _ in acts]
    for _ in range(rounds):
        for act, seconds in zip(acts, taken, strict=True):
            began = time.perf_counter()
            act()
            seconds.append(time.perf_counter() - began)
    return [statistics.median(seconds) for seconds in taken]


def percentile(values: Sequence[float], share: float) -> float:
    """The value that so large a share of all does not pass."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]
