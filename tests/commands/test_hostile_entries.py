"""Every value of every kind of entry replaced by what cannot be: sealed, read, and nothing is thrown."""

import json
import random
import resource
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pourdeck.commands.log import entry_document
from pourdeck.paper.diary import diary_line
from pourdeck.paper.levels_document import levels_document
from pourdeck.paper.pour_document import pour_document
from pourdeck.paper.record import record_bytes
from pourdeck.paper.strength_document import strength_document
from pourdeck.sitelog.entries import seal_of
from pourdeck.walk.desk import Desk
from pourdeck.walk.strength import strength
from tests.campaign import in_full
from tests.walk.kit import Clock, NoSync

ROOT = Path(__file__).parents[2]
DEEP: Any = "x"
for _ in range(200):
    DEEP = [DEEP]

HOSTILE: dict[str, Any] = {
    "huge": "9e300", "large": "9e99", "none": "NaN", "infinite": "Infinity", "negative": "-1e9",
    "tiny": "1e-999999", "number": 10**30, "float": 1e308, "null": None,
    "year 1": "0001-01-01T00:00:00+14:00", "year 9999": "9999-12-31T23:59:59-12:00",
    "long": "x" * 100_000, "list": ["1"] * 100_000, "deep": DEEP,
    "true": True, "table": {"x": {"y": []}}, "empty": "", "no list": [],
    "signs": "\x1b[2J\u202e\ud7ff[/x]",
}  # fmt: skip

Path_ = tuple[str | int, ...]


def places(value: Any, here: Path_ = ()) -> Iterator[Path_]:
    """Every value in a record, of a list the first alone."""
    yield here
    if isinstance(value, dict):
        for key, one in value.items():
            yield from places(one, (*here, key))
    elif isinstance(value, list) and value:
        yield from places(value[0], (*here, 0))


def put(value: Any, place: Path_, odd: Any) -> Any:
    if not place:
        return odd
    key, *rest = place
    made = dict(value) if isinstance(value, dict) else list(value)
    made[key] = put(value[key], tuple(rest), odd)
    return made


def good_records() -> list[dict[str, Any]]:
    """A log with each kind of entry: of a job with lifts, and behind it what that has none of."""
    lines = (ROOT / "tests/golden/lifts/log/shed.jsonl").read_text(encoding="utf-8").splitlines()
    records = [json.loads(line) for line in lines]
    there = {one["kind"] for one in records}
    at, by = records[-1]["at"], records[-1]["by"]
    example = (ROOT / "tests/golden/example/log/shed.jsonl").read_text(encoding="utf-8")
    for line in example.splitlines():
        one = json.loads(line)
        if one["kind"] not in there:
            there.add(one["kind"])
            records.append({**one, "at": at, "data": {**one["data"], "panel": "Q2"}})
    size = {"width": "2900", "height": "3000", "thickness": "150", "align": "base-left"}
    more: dict[str, dict[str, Any]] = {
        "revise": {"panel": "Q2", "before": size, "after": size, "reason": "rev D", "cancels": []},
        "person": {"name": "New Hand", "role": "hand"},
        "pin": {
            "person": by, "salt": "0" * 32, "hash": "0" * 64, "n": 16384, "r": 8, "p": 1, "signed_in": by},
        "follow-up": {
            "panel": "Q2", "item": "drawing.mark", "action": "put right", "signed_in": by,
            "word": {"of": by, "role": "foreman", "way": "phone", "reference": "", "at": at, "taken_by": by}},
        "note": {
            "panel": "P1", "item": None, "text": "x", "from": at, "to": at, "exposed_by": "P2",
            "seen": {"recesses": "not clean", "residue": "none", "face": "sound"}},
        "answer": {
            "panel": "Q2", "item": "drawing.width", "value": "3000", "typed": "3000", "unit": "mm",
            "verdict": "pass", "expected": "3000", "tolerance": {"low": "-5", "high": "5"}, "source": "plan",
            "fast": True, "early": "x", "second": by, "doubted": True, "why": "x", "not_measured": "x",
            "replaces": 1, "replaces_station": "shed", "setup": 1, "settles": [["shed", 2]]},
        "photo": {"panel": "Q2", "file": "x.jpg"},
    }  # fmt: skip
    records += [{"at": at, "by": by, "kind": kind, "data": data} for kind, data in more.items()]
    records[-1]["seen"] = [["office", 3, "0" * 64]]
    records[-1]["clock"] = "back"
    return records


def sealed(records: list[dict[str, Any]]) -> bytes:
    lines, seal = [], ""
    for n, one in enumerate(records, 1):
        kept = {key: value for key, value in one.items() if key not in ("n", "prev", "seal")}
        body = json.dumps({"n": n, **kept, "prev": seal}, separators=(",", ":"))[:-1].encode()
        seal = seal_of(seal, body)
        lines.append(body + b',"seal":"' + seal.encode() + b'"}\n')
    return b"".join(lines)


def read_all(folder: Path, state: Path) -> Desk:
    """Everything that is worked out from a log."""
    desk = Desk.open(
        folder, station="shed", clock=Clock(), state_folder=state, disk=NoSync(), read_only=True
    )
    with_all = (*desk.findings(), *desk.log_findings())
    assert all(len(one.message) < 5000 for one in with_all)
    desk.board()
    for entry in desk.state.entries:
        entry_document(entry)
        diary_line(entry)
    for stack in desk.job.stacks:
        for number in range(1, len(stack.panels) + 1):
            walk = desk.walk(stack.id, number)
            pour_document(walk, desk.pour(stack.id, number))
            strength_document(walk, strength(walk.job, walk.record, desk.now()))
            if (page := desk.levels(stack.id, number)) is not None:
                levels_document(walk, page)
            desk.lift(stack.id, number)
            if walk.record.closed is not None:
                record_bytes(walk)
    desk.close()
    return desk


def cases() -> list[tuple[int, Path_, str]]:
    """The place of an entry, a place in it, and what stands there: each place of each kind."""
    seen, found = set(), []
    records = good_records()
    for number in reversed(range(len(records))):
        kind = records[number]["kind"]
        for place in places(records[number]):
            if place and place[0] not in ("n", "prev", "seal") and (kind, place) not in seen:
                seen.add((kind, place))
                found += [(number, place, name) for name in HOSTILE]
    random.Random(7).shuffle(found)
    return found


SECONDS = 10
"""No log takes longer to be worked out whole; as it should be, it takes half a second."""

MOST_MEMORY = 200_000_000
"""Bytes that all of them together may take beyond what the test began with."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "job" / "log").mkdir(parents=True)
    shutil.copy(ROOT / "tests/golden/lifts/job.toml", tmp_path / "job" / "job.toml")
    return tmp_path


def memory() -> int:
    """The most bytes that were in memory so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


@pytest.mark.campaign
@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted otherwise elsewhere")
def test_whatever_an_entry_holds_nothing_is_thrown(folder: Path) -> None:
    records = good_records()
    log = folder / "job" / "log" / "shed.jsonl"
    log.write_bytes(sealed(records))
    assert read_all(folder / "job", folder / "state").state.unknown == []
    before, tried = memory(), cases()
    for number, place, name in tried if in_full() else tried[:24]:
        odd = list(records)
        odd[number] = put(odd[number], place, HOSTILE[name])
        log.write_bytes(sealed(odd))
        began = time.process_time()
        try:
            read_all(folder / "job", folder / "state")
        except Exception as error:
            raise AssertionError((odd[number]["kind"], place, name)) from error
        assert time.process_time() - began < SECONDS, (odd[number]["kind"], place, name)
    assert memory() - before < MOST_MEMORY


@pytest.mark.parametrize("name", ["long", "list", "deep"])
@pytest.mark.parametrize(
    ("kind", "place"),
    [
        ("note", ("data", "text")),
        ("temperatures", ("data", "from")),
        ("close", ("data", "as_computed", "job", "tolerance", "position")),
        ("close", ("data", "as_computed", "setout", "panel", "openings")),
        ("load", ("data", "panel")),
    ],
)  # fmt: skip
def test_what_nobody_can_have_typed_is_told_and_counts_for_nothing(
    kind: str, place: Path_, name: str, folder: Path
) -> None:
    """Ten million letters or a hundred thousand values: a note of 400 is the longest text there is."""
    records = good_records()
    number = next(n for n, one in enumerate(records) if one["kind"] == kind)
    records[number] = put(records[number], place, HOSTILE[name])
    (folder / "job" / "log" / "shed.jsonl").write_bytes(sealed(records))
    began = time.process_time()
    desk = read_all(folder / "job", folder / "state")
    assert time.process_time() - began < SECONDS
    if name != "deep":
        assert number + 1 in [one.n for one in desk.state.unknown]
        assert any(
            one.code == "entry-unknown" and "more than" in one.message
            for one in desk.log_findings()
        )
