"""Every value of every kind of entry replaced by what cannot be: sealed, read, and nothing is thrown."""

import json
import random
import resource
import shutil
import sys
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
    "huge": "9e300", "large": "9e99", "none": "NaN", "infinite": "Infinity", "negative": "-1e9", "tiny": "1e-999999",
    "year 1": "0001-01-01T00:00:00+14:00", "year 9999": "9999-12-31T23:59:59-12:00",
    "long": "x" * 100_000, "list": ["1"] * 100_000, "deep": DEEP, "null": None, "number": 10**30, "float": 1e308,
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
        "pin": {"person": by, "salt": "0" * 32, "hash": "0" * 64, "n": 16384, "r": 8, "p": 1, "signed_in": by},
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
    """The place of an entry, a place in it and what stands there: each place of each kind once."""
    seen, found = set(), []
    records = good_records()
    for number in reversed(range(len(records))):
        one = {key: value for key, value in records[number].items() if key not in ("n", "prev", "seal")}
        for place in places(one):
            if place and (one["kind"], place) not in seen:
                seen.add((one["kind"], place))
                found += [(number, place, name) for name in HOSTILE]
    return found
