"""Measure what the site log costs, beside the least that anybody must pay for as much.

Each function gives a label, our seconds, and the seconds of the least, measured in turns in one run.
"""

import json
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from pourdeck.commands.jobs import boot, steady
from pourdeck.sitelog.entries import Unsealed, compose
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.scan import scan
from pourdeck.sitelog.state import replay

MORNING = datetime(2025, 11, 3, 6, 30, tzinfo=UTC)
Result = tuple[str, float, float]


def answer(number: int) -> Unsealed:
    """One answer among many: forms, brackets and corners of forty panels."""
    data = {
        "panel": f"W{number % 40 + 1:02d}",
        "item": f"forms.offset/right-{number // 40 % 12 + 1}",
        "value": "299.5",
        "typed": "299.5",
        "unit": "mm",
        "verdict": "pass",
        "expected": "300",
        "tolerance": "± 2",
        "source": "specification 03 40, table 2",
    }
    return Unsealed(kind="answer", by="K. Example", data=data)


def log_bytes(count: int) -> bytes:
    """A whole log with that many answers."""
    start = Unsealed(kind="start", by="", data={"format": 1, "job": "QL-31", "station": "shed"})
    n, head, parts = 0, "", []
    for number in range(-1, count):
        act = start if number < 0 else answer(number)
        at = MORNING + timedelta(minutes=number)
        entries, line = compose([act], station="shed", at=at, clock="", n=n, head=head)
        n, head = n + 1, entries[0].seal
        parts.append(line)
    return b"".join(parts)


def replay_20000(rounds: int = 5) -> Result:
    """Read, verify and fold 20,000 entries, beside parsing their JSON."""
    data = log_bytes(20_000)

    def ours() -> None:
        replay(scan(data, "shed.jsonl").entries)

    def least() -> None:
        [json.loads(line) for line in data.splitlines()]

    return "replay 20,000 entries / parse them", *_in_turns(ours, least, rounds)


def append_sync(count: int = 200) -> Result:
    """Append and sync an entry, beside a bare write and fsync of as many bytes."""
    with tempfile.TemporaryDirectory(dir=os.environ.get("POURDECK_BENCH_FOLDER")) as name:
        folder = Path(name)
        bare = os.open(folder / "bare", os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        line = log_bytes(1).splitlines(keepends=True)[1]
        acts = iter(answer(number) for number in range(2 * count))
        with LogFile.open(
            folder,
            "shed",
            job="QL-31",
            clock=lambda: MORNING,
            state_folder=folder / "state",
            monotonic=steady,
            boot=boot(),
        ) as log:

            def ours() -> None:
                act = next(acts)
                log.append(act.kind, act.by, act.data)

            def least() -> None:
                os.write(bare, line)
                os.fsync(bare)

            ours()
            times = _in_turns(ours, least, count)
        os.close(bare)
    return "append and sync / write and fsync", *times


def _in_turns(
    ours: Callable[[], None], least: Callable[[], None], rounds: int
) -> tuple[float, float]:
    """Medians, so that one slow round of either tells nothing."""
    seconds: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for act, taken in zip((ours, least), seconds, strict=True):
            began = time.perf_counter()
            act()
            taken.append(time.perf_counter() - began)
    return statistics.median(seconds[0]), statistics.median(seconds[1])
