"""Cuts, flipped bits and other damage to a log: nothing complete is lost, nothing wrong passes for right."""

import contextlib
import io
import json
import os
import random
import shutil
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pourdeck.cli import main
from pourdeck.sitelog.entries import Entry, Head
from pourdeck.sitelog.known import Known, log_findings
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.scan import scan
from pourdeck.sitelog.union import union_of
from tests.commands.kit import READING, WRITING, log_of, one_panel_cast
from tests.faults.promise import Promise, spread
from tests.sitelog.kit import FakeDisk, act, answer, log_path, make_log, open_log, put_log

ENTRIES, LOG = make_log(*(act("answer", **answer(i % 7, value=str(i))) for i in range(39)))
"""Forty entries. All lines are alike, so that one place in many of each line is every place of a line."""

LINES = LOG.splitlines(keepends=True)
ENDS = [sum(map(len, LINES[:count])) for count in range(len(LINES) + 1)]
"""Where each entry ends, its newline included; 0 before the first."""


def _complete(cut: int) -> int:
    """Count the entries that a log cut to so many bytes has whole, but for the newline of the last."""
    return sum(cut >= end - 1 for end in ENDS[1:])


def _places(full: bool) -> list[int]:
    near = {end + by for end in ENDS for by in (-2, -1, 0, 1)} if not full else set()
    return sorted({*spread(len(LOG) + 1, full, step=61), *near} & set(range(len(LOG) + 1)))


# Every cut.


def _read_a_cut(case: str, folder: Path) -> int:
    """Each complete entry is read; what is left of the next is the torn tail, and no damage."""
    cut = int(case)
    result = scan(LOG[:cut], "shed.jsonl")
    complete = _complete(cut)
    assert result.entries == tuple(ENTRIES[:complete])
    assert result.faults == ()
    assert LOG[: result.end] + result.tail == LOG[:cut]
    assert result.sound == complete
    assert result.unended == (cut + 1 in ENDS[1:])
    assert result.whole == (cut in ENDS or result.unended)
    _open_a_cut(cut, folder, complete)
    _open_a_cut_that_was_acknowledged(cut, folder, complete)
    return 1


def _open_a_cut(cut: int, folder: Path, complete: int) -> None:
    """Where the last write was never said to be saved: its bytes are set aside, and the log goes on."""
    put_log(folder, LOG[:cut])
    if complete:
        _note(folder / "state", folder, ENTRIES[complete - 1])
    with open_log(folder) as log:
        assert not log.read_only
        torn = list((folder / "log").glob("*.torn-*"))
        clean = ENDS[complete]
        assert b"".join(path.read_bytes() for path in torn) == LOG[clean:cut]
        assert len(log.messages) == len(torn) == (cut > clean)
        assert log_path(folder).read_bytes() == LOG[:clean]
        log.append("note", "kim", {"panel": "W07", "text": "after"})
    with open_log(folder) as log:
        assert log.messages == []
        assert len(log.scans[0].entries) == (complete or 1) + 1
        assert log.scans[0].whole


def _open_a_cut_that_was_acknowledged(cut: int, folder: Path, complete: int) -> None:
    """Where one more entry is known to have been saved: that it is gone is said, and nothing is written."""
    if complete == len(ENTRIES):
        return
    shutil.rmtree(folder / "log")
    shutil.rmtree(folder / "state")
    path = put_log(folder, LOG[:cut])
    _note(folder / "state", folder, ENTRIES[complete])
    with open_log(folder) as log:
        (gone,) = log.gone
        assert (gone.head.n, gone.there) == (complete + 1, complete)
        assert log.read_only
        with pytest.raises(NotSaved):
            log.append("note", "kim", {})
    assert [one.name for one in path.parent.iterdir()] == [path.name]
    assert path.read_bytes() == LOG[:cut]


def _note(state: Path, folder: Path, last: Entry) -> None:
    """Note the end of a log outside the job, as the run that wrote the last entry did."""
    known = Known(state, folder, "shed", disk=FakeDisk())
    known.note([Head("shed", last.n, last.seal)])
    known.close()


# Every bit.


def _flip_bits(case: str, folder: Path) -> int:
    """Flip each bit of a byte: no other entry passes, two are lost at most, and it is told."""
    place = int(case)
    for bit in range(8):
        flipped = bytearray(LOG)
        flipped[place] ^= 1 << bit
        result = scan(bytes(flipped), "shed.jsonl")
        assert set(_seals(result.entries)) <= set(_seals(ENTRIES))
        assert all(entry == ENTRIES[entry.n - 1] for entry in result.entries)
        assert [entry.n for entry in result.entries] == sorted({e.n for e in result.entries})
        assert len(ENTRIES) - len(result.entries) <= (2 if LOG[place] == 10 else 1)
        union = union_of([result])
        assert log_findings(union, (), union.waiting), "nothing is said of it"
    return 8


def _seals(entries: Sequence[Entry]) -> list[str]:
    return [entry.seal for entry in entries]


# What commands say of a damaged log.


def flip_a_bit(data: bytearray, chance: random.Random) -> None:
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)


def zeros(data: bytearray, chance: random.Random) -> None:
    start, size = chance.randrange(len(data)), chance.choice([1, 64, 512, 4096])
    data[start : start + size] = bytes(len(data[start : start + size]))


def zeros_at_the_end(data: bytearray, chance: random.Random) -> None:
    start = chance.randrange(len(data))
    data[start:] = bytes(len(data) - start)


def cut_off(data: bytearray, chance: random.Random) -> None:
    del data[chance.randrange(len(data)) :]


def take_out(data: bytearray, chance: random.Random) -> None:
    start = chance.randrange(len(data))
    del data[start : start + chance.choice([1, 30, 700])]


def foreign(data: bytearray, chance: random.Random) -> None:
    place = chance.choice([0, len(data), data.index(b"\n") + 1, chance.randrange(len(data))])
    data[place:place] = chance.choice([b"# hello\n", b"\0", b"{}\n", b"\xff\xfe", b"[" * 5000])


def change_lines_about(data: bytearray, chance: random.Random) -> None:
    lines = data.splitlines(keepends=True)
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    data[:] = b"".join(lines)


def take_a_line(data: bytearray, chance: random.Random) -> None:
    lines = data.splitlines(keepends=True)
    del lines[chance.randrange(len(lines))]
    data[:] = b"".join(lines)


def change_a_digit(data: bytearray, chance: random.Random) -> None:
    """As somebody does who puts a value right with an editor."""
    places = [place for place, byte in enumerate(data) if 48 <= byte <= 57]
    place = chance.choice(places)
    data[place] = 48 + (data[place] - 48 + chance.randrange(1, 10)) % 10


DAMAGES: tuple[Callable[[bytearray, random.Random], None], ...] = (
    flip_a_bit, zeros, zeros_at_the_end, cut_off, take_out, foreign, change_lines_about, take_a_line,
    change_a_digit,
)  # fmt: skip

ASKED: dict[str, tuple[str, ...]] = {**READING, "pour": ("A", "1"), "levels": ("A", "1")}


def _run(*words: str | Path) -> tuple[int, str, str]:
    """Exit code, output and errors of a command, run here."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(word) for word in words])
    return code, out.getvalue(), err.getvalue()


def _ask(folder: Path, name: str) -> tuple[int, Any]:
    code, out, err = _run(name, folder, *ASKED[name], "--json")
    assert "Traceback" not in err
    return code, json.loads(out) if out else None


def _values(document: Any) -> Any:
    """A document without what is said of the log, so that two can be compared."""
    return {key: value for key, value in document.items() if key != "findings"}


@cache
def _whole(state: Path) -> tuple[Path, dict[str, Any]]:
    """A job with a panel cast, a panel made smaller, a value taped again; what commands say of it."""
    root = state.with_name("whole")
    root.mkdir()
    folder = one_panel_cast(root)
    for name, words in WRITING.items():
        assert _run(name, folder, *words)[0] == 0
    assert _run("log", folder, "--records")[0] == 0
    return folder, {name: _ask(folder, name)[1] for name in ASKED}


def _ask_a_damaged_log(case: str, folder: Path) -> int:
    """No command shows another value without saying so and ending with 1, and no record gets worse."""
    chance = random.Random(case)
    state = Path(os.environ["POURDECK_STATE"])
    whole, said = _whole(state)
    job = folder / "job"
    shutil.copytree(whole, job)
    data = bytearray(log_of(job))
    before = bytes(data)
    _note(state, job, scan(before, "shed.jsonl").entries[-1])
    chance.choice(DAMAGES)(data, chance)
    (job / "log/shed.jsonl").write_bytes(data)
    damaged = bytes(data) not in (before, before[:-1])
    records = {path.name: path.read_bytes() for path in (job / "record").iterdir()}
    for name in ASKED:
        code, document = _ask(job, name)
        assert code in (0, 1, 2), (name, code)
        if name != "log" and document is not None and _values(document) != _values(said[name]):
            assert code == 1, f"{name} shows another value and ends with {code}"
            assert document["findings"], f"{name} shows another value and has no finding"
        if damaged:
            assert code != 0, f"{name} ends with 0 on a damaged log"
    code, _, err = _run("log", job, "--records")
    assert "Traceback" not in err
    assert code in (0, 1, 2), code
    for name, record in records.items():
        assert (job / "record" / name).read_bytes() == record, f"{name} was replaced"
    assert (job / "log/shed.jsonl").read_bytes() == bytes(data), "the log was written to"
    return 1


PROMISES = (
    Promise(
        name="cuts",
        words="a log cut at any byte: complete entries are read, what was acknowledged is missed",
        cases=lambda full: [str(place) for place in _places(full)],
        attempt=_read_a_cut,
    ),
    Promise(
        name="bits",
        words="any bit flipped: no other value without a finding, two entries lost at most",
        cases=lambda full: [str(place) for place in _places(full) if place < len(LOG)],
        attempt=_flip_bits,
    ),
    Promise(
        name="commands",
        words="commands on a damaged log: no other value without a finding and exit 1, records stay",
        cases=lambda full: [str(number) for number in range(600 if full else 20)],
        attempt=_ask_a_damaged_log,
    ),
)
