"""Recorders killed at any moment: what was said to be saved is in the log, and the next one starts clean."""

import fcntl
import os
import random
import re
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import IO

from attrs import define, field

from pourdeck.deck.shell import BOUNCE_SECONDS
from pourdeck.sitelog.disk import DISK, Drafts
from pourdeck.sitelog.entries import Entry, Head
from pourdeck.sitelog.known import Known
from pourdeck.sitelog.union import read_union
from pourdeck.sitelog.verify import verify
from tests.bench.environment import environment
from tests.bench.terminal import ESCAPES, readable
from tests.commands.kit import one_panel_cast
from tests.faults.promise import Promise
from tests.walk.kit import JOB, crew

ROOT = Path(__file__).resolve().parents[2]


@cache
def _log(state: Path, stage: str) -> bytes:
    """The log of a panel that is cast, or has its edge forms before it."""
    root = state.with_name(stage)
    root.mkdir()
    if stage == "cast":
        return (one_panel_cast(root) / "log/shed.jsonl").read_bytes()
    begun = crew(root)
    begun.go_to(stage)
    begun.desk.close()
    return (root / "job/log/shed.jsonl").read_bytes()


def _job(folder: Path, stage: str) -> Path:
    job = folder / "job"
    (job / "log").mkdir(parents=True)
    (job / "job.toml").write_text(JOB, encoding="utf-8")
    log = _log(Path(os.environ["POURDECK_STATE"]), stage)
    (job / "log/shed.jsonl").write_bytes(log)
    return job


@define
class Nursery:
    """Forks recorders, of which one lives at a time."""

    input: IO[str]
    output: IO[str]
    child: int = 0

    def start(self, mode: str, job: Path, word: str) -> None:
        self.input.write(f"{mode}\t{job}\t{word}\n")
        self.input.flush()
        self.child = int(self.output.readline())

    def said(self) -> str:
        line = self.output.readline().strip()
        assert "not clean" not in line, line
        return line

    def kill(self) -> list[str]:
        """Kill the recorder; what it had said that was not read yet."""
        with suppress(ProcessLookupError):
            os.kill(self.child, signal.SIGKILL)
        said = list(iter(self.said, "."))
        self.child = 0
        return said


@contextmanager
def _nursery(state: Path) -> Iterator[Nursery]:
    env = {**environment(state.parent), "POURDECK_STATE": str(state), "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, "-m", "tests.faults.nursery"],
        cwd=ROOT, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as process:  # fmt: skip
        assert process.stdin is not None
        assert process.stdout is not None
        nursery = Nursery(process.stdin, process.stdout)
        try:
            yield nursery
        finally:
            if nursery.child:
                os.kill(nursery.child, signal.SIGKILL)


def _of(case: str) -> tuple[random.Random, int]:
    return random.Random(case), int(case.partition("/")[2])


def _kill_recorders(case: str, folder: Path) -> int:
    """Kill a desk or a command, again and again on one log. Case: a seed, and so many kills."""
    chance, kills = _of(case)
    state = folder / "state"
    job = _job(folder, "cast")
    acknowledged: list[str] = []
    with _nursery(state) as nursery:
        for run in range(kills):
            by_command = run % 5 == 4
            nursery.start("command" if by_command else "desk", job, f"run{run}")
            if not by_command:
                acknowledged += [nursery.said() for _ in range(chance.randrange(12))]
            time.sleep(chance.random() * (0.1 if by_command else 0.01))
            acknowledged += nursery.kill()
            entries = _hold(job, state, acknowledged)
            if acknowledged:
                last = next(entry.n for entry in entries if _run_of(entry) == acknowledged[-1])
                assert _ends(state, job)["shed"].n >= last, "the end is not known outside the job"
    assert len(acknowledged) > kills, "hardly anything was recorded"
    return kills


def _hold(job: Path, state: Path, acknowledged: list[str]) -> Sequence[Entry]:
    """Hold that what was acknowledged is in the log, once, and that the known ends fit."""
    entries = read_union(job).entries
    told = [told for entry in entries if (told := _run_of(entry))]
    assert len(told) == len(set(told)), "an act is there twice"
    # What was half typed when a deck was killed comes back, and stands before what is typed next.
    lost = [
        one for one in set(acknowledged) - set(told) if not any(text.endswith(one) for text in told)
    ]
    assert not lost, f"lost: {lost}, of {told[-3:]}"
    report = verify(job, known=_ends(state, job).values())
    assert not report.gone, report.gone
    assert not report.union.faults, report.union.faults
    return entries


def _ends(state: Path, job: Path) -> dict[str, Head]:
    known = Known(state, job, "shed", disk=DISK)
    known.read()
    return known.heads


def _run_of(entry: Entry) -> str:
    text = str(entry.data.get("text") or entry.data.get("why") or entry.data.get("reason"))
    return text if text.startswith("run") else ""


# The deck in a terminal.

SAVED = re.compile(r"Saved \d\d:\d\d:\d\d, no\. (\d+)")
PATIENCE = 30.0
"""Seconds after which a deck that paints nothing has failed."""


@define
class Screen:
    """A terminal of 80 × 24 with a deck in it, seen from outside."""

    master: int
    raw: bytearray = field(factory=bytearray)

    def read(self, seconds: float) -> bool:
        """Take in what is painted; False where nothing came, or the deck is gone."""
        if not readable(self.master, seconds):
            return False
        try:
            read = os.read(self.master, 65536)
        except OSError:
            return False
        self.raw += read
        return bool(read)

    @property
    def painted(self) -> str:
        return ESCAPES.sub(b"", bytes(self.raw)).decode("utf-8", "replace")

    @property
    def saved(self) -> list[int]:
        """The numbers of the entries that the screen said were saved."""
        return [int(number) for number in SAVED.findall(self.painted)]

    def wait(self, *words: str, saved: int = 0) -> None:
        """Read until these words are painted, and so many entries said to be saved."""
        until = time.monotonic() + PATIENCE
        while not all(word in self.painted for word in words) or len(set(self.saved)) < saved:
            came = self.read(until - time.monotonic())
            assert came, f"it did not come: {self.painted[-900:]!r}"

    def note(self, text: str) -> None:
        os.write(self.master, f"m{text}\r\r".encode())


def _kill_decks(case: str, folder: Path) -> int:
    """Write notes by keys on one log, and kill the deck while one is on its way. Case: a seed, and kills."""
    chance, kills = _of(case)
    state = folder / "state"
    job = _job(folder, "forms")
    here = {"screen": "walk", "stack": "A", "panel": 1, "item": None, "by": "Ada Reed"}
    here["by_at"] = datetime.now(UTC).isoformat()
    assert Drafts(state, job).save({"here": here, "texts": {}})
    told = 0
    with _nursery(state) as nursery:
        for run in range(kills):
            texts = [f"run{run}.{number}" for number in range(chance.randrange(1, 4))]
            said = _killed_deck(nursery, job, texts, chance.random() * 0.15)
            written = {entry.n: dict(entry.data) for entry in read_union(job).entries}
            assert said <= set(written), "a number that was said to be saved is not there"
            last = [written[number] for number in sorted(said)]
            with told_beside(last):
                _hold(job, state, texts[: len(said)])
            told += len(said)
    assert told, "no deck said that anything was saved"
    return kills


@contextmanager
def told_beside(written: object) -> Iterator[None]:
    """Say beside a fault what was written."""
    try:
        yield
    except AssertionError as error:
        raise AssertionError(f"{error}; written: {written}") from error


def _killed_deck(nursery: Nursery, job: Path, texts: list[str], late: float) -> set[int]:
    """Write these notes, and kill the deck so many seconds after the last; what it said was saved."""
    master, terminal = os.openpty()
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    nursery.start("deck", job, os.ttyname(terminal))
    screen = Screen(master)
    screen.wait("F1 Help", "log ")
    os.close(terminal)
    for number, text in enumerate(texts[:-1], 1):
        screen.note(text)
        screen.wait(saved=number)
        time.sleep(BOUNCE_SECONDS)
    screen.note(texts[-1])
    time.sleep(late)
    nursery.kill()
    while screen.read(0.05):
        pass
    os.close(master)
    return set(screen.saved)


PROMISES = (
    Promise(
        name="kills",
        words="commands and desks killed at any moment: what was acknowledged is in the log",
        cases=lambda full: [f"{seed}/25" for seed in range(40)] if full else ["0/15"],
        attempt=_kill_recorders,
    ),
    Promise(
        name="decks",
        words="decks killed in a terminal: what the screen said was saved is in the log",
        cases=lambda full: [f"{seed}/10" for seed in range(20)] if full else ["0/2"],
        attempt=_kill_decks,
    ),
)
