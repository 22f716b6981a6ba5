"""An entry that is sealed and says what cannot be: it is kept, told, counts for nothing and stops nobody."""

import json
from pathlib import Path
from typing import Any

import pytest

from pourdeck.sitelog.entries import seal_of
from pourdeck.sitelog.scan import scan
from tests.commands.kit import READING, Command, one_panel_cast

P1, P2 = {"panel": "P1"}, {"panel": "P2"}
AT = "2026-03-03T09:00:00+00:00"
DEEP: Any = "x"
for _ in range(400):
    DEEP = [DEEP]

ODD: dict[str, dict[str, Any]] = {
    "a size beyond any": {"kind": "revise", "data": P2 | {"before": {}, "after": {"width": "9e300"}}},
    "a size of a million": {"kind": "revise", "data": P2 | {"after": {"width": "1000001"}}},
    "a size with a million decimals": {"kind": "revise", "data": P2 | {"after": {"width": "1e-999999"}}},
    "a size below zero": {"kind": "revise", "data": P2 | {"after": {"width": "-3000"}}},
    "a temperature beyond any": {"kind": "temperatures", "data": P1 | {"readings": [[AT, "9e99"]]}},
    "a temperature that is none": {"kind": "temperatures", "data": P1 | {"readings": [[AT, "NaN"]]}},
    "a temperature at no time": {
        "kind": "temperatures", "data": P1 | {"readings": [["9999-12-31T23:59:59-12:00", "20"]]}},
    "a number that is a list": {"kind": "as-cast", "data": P1 | {"values": {"width_base": ["3000"]}}},
    "a value as cast beyond any": {"kind": "as-cast", "data": P1 | {"values": {"width_base": "1e30"}}},
    "a height beyond any": {"kind": "as-cast", "data": P1 | {"values": {"rl_bl": "1e8"}}},
    "a made-up key as cast": {"kind": "as-cast", "data": P1 | {"values": {"x" * 500: "1"}}},
    "a strength beyond any": {
        "kind": "test", "data": P1 | {"specimen": "F1", "cured": "field", "time": AT, "strength": "9999"}},
    "a result of year 1": {
        "kind": "test", "data": P1 | {
            "specimen": "F1", "cured": "field", "time": "0001-01-01T00:00:00+14:00", "strength": "20"}},
    "a load beyond any": {"kind": "load", "data": P1 | {"load": 10**30, "values": {"slump": "80"}}},
    "a slump beyond any": {"kind": "load", "data": P1 | {"load": 1, "values": {"slump": "9e99"}}},
    "a set-up beyond any": {
        "kind": "sight", "data": P1 | {"setup": 10**12, "sight": "back", "point": "x", "reading": "1"}},
    "a staff beyond any": {
        "kind": "sight", "data": P1 | {"setup": 1, "sight": "back", "point": "x", "reading": "1e9"}},
    "weather that cannot be": {
        "kind": "weather",
        "data": P1 | {"time": AT, "concrete": "1e9", "air": "20", "humidity": "50", "wind": "5"}},
    "anchors without end": {
        "kind": "pour-start", "data": P2 | {"time": AT, "anchors": {"base": ["1"] * 20_000}}},
    "a pour in year 9999": {"kind": "pour-end", "data": P1 | {"time": "9999-12-31T23:59:59-12:00"}},
    "a float beyond any": {"kind": "answer", "data": P2 | {"item": "drawing.mark", "value": "@1e999"}},
    "an answer beyond any": {
        "kind": "answer", "data": P2 | {"item": "drawing.width", "value": "9e99", "unit": "mm"}},
    "an answer that is a table": {"kind": "answer", "data": P2 | {"item": "drawing.mark", "value": {}}},
    "an item that is none": {"kind": "answer", "data": P2 | {"item": 7, "value": "x"}},
    "a panel that is none": {"kind": "answer", "data": {"panel": 7, "item": "x"}},
    "a person without end": {"kind": "person", "data": {"name": "x" * 100_000, "role": "hand"}},
    "a PIN that takes for ever": {
        "kind": "pin", "data": {"person": "Ada Reed", "salt": "0" * 32, "hash": "0" * 64,
                                "n": 2**40, "r": 8, "p": 1}},
    "an undo of nothing": {"kind": "undo", "data": {"station": "nowhere", "n": 10**18, "why": "x"}},
    "an undo of itself": {"kind": "undo", "data": {"station": "shed", "n": "@n", "why": "x"}},
    "a list in a list in a list": {"kind": "note", "data": P2 | {"text": "x", "more": DEEP}},
    "a kind of a later program": {"kind": "photo", "data": P2 | {"file": "x.jpg"}},
    "the year 1": {"kind": "note", "data": P2 | {"text": "x"}, "at": "0001-01-01T00:00:00+14:00"},
    "the year 9999": {"kind": "note", "data": P2 | {"text": "x"}, "at": "9999-12-31T23:59:59-12:00"},
    "a size of the year 9999": {
        "kind": "revise", "data": P2 | {"after": {"width": "2900"}}, "at": "9999-12-31T23:59:59-12:00"},
    "what it settles is none": {"kind": "note", "data": P2 | {"text": "x", "settles": [7, [], ["a"]]}},
    "a close of nothing": {"kind": "close", "data": P1 | {"setout": 7, "plan": [], "template": {}}},
    "a release of nothing": {"kind": "release", "data": P2 | {"hold": "drawing", "covers": 7}},
    "a lift of nothing": {"kind": "lift-release", "data": P1 | {"result": 7, "strength": []}},
    "a disposition of nothing": {
        "kind": "disposition", "data": P1 | {"item": "x", "found": "1e99", "disposition": "repair"}},
}  # fmt: skip

HARMLESS = {
    "a made-up key as cast", "an answer that is a table", "a person without end", "an undo of nothing",
    "a list in a list in a list", "what it settles is none", "a close of nothing",
    "a release of nothing", "a lift of nothing", "a float beyond any",
}  # fmt: skip
"""Name entries that may be taken as they are: no value is worked out from them."""


def add(folder: Path, odd: dict[str, Any]) -> None:
    """Seal an entry behind the last one, as a program with a fault, or another hand, would."""
    path = folder / "log/shed.jsonl"
    last = scan(path.read_bytes(), path.name).entries[-1]
    record = {
        "n": last.n + 1, "at": odd.get("at", last.at.isoformat()), "by": "Ada Reed",
        "kind": odd["kind"], "data": odd["data"], "prev": last.seal,
    }  # fmt: skip
    text = json.dumps(record, separators=(",", ":")).replace('"@1e999"', "1e999")
    body = text.replace('"@n"', str(last.n + 1))[:-1].encode()
    line = body + b',"seal":"' + seal_of(last.seal, body).encode() + b'"}\n'
    path.write_bytes(path.read_bytes() + line)


def plain(command: Command, name: str, folder: Path) -> Any:
    """Give what a command says but for its findings of the log."""
    document = command(name, folder, *READING[name], "--json").document
    found = [one for one in document.pop("findings", ()) if one["code"] != "entry-unknown"]
    assert found == []
    return document


@pytest.mark.parametrize("odd", ODD)
def test_it_counts_for_nothing_and_stops_nobody(odd: str, tmp_path: Path, command: Command):
    folder = one_panel_cast(tmp_path)
    before = {name: plain(command, name, folder) for name in ("setout", "shrink")}
    add(folder, ODD[odd])
    for name, words in READING.items():
        for more in ((), ("--json",)):
            done = command(name, folder, *words, *more)
            assert done.code in (0, 1), (name, done.err)
            assert "Traceback" not in done.err
            assert "CRASH" not in done.err
    for name, document in before.items():
        assert plain(command, name, folder) == document, name
    told = [one["code"] for one in command("check", folder, "--json").document["findings"]]
    if odd not in HARMLESS:
        assert "entry-unknown" in told
    whole = command("log", folder, "--verify", "--json").document["stations"][0]
    assert whole["whole"] is True, "it is sealed, and nothing of the file is damaged"
    assert command("pour", folder, "A", "2").code in (0, 1)
    assert command("levels", folder, "A", "1").code in (0, 1)
    records = command("log", folder, "--records")
    assert records.code in (0, 1), records.err


MORE = {"pour": ("A", "1"), "levels": ("A", "1")}


@pytest.mark.parametrize("name", [*(name for name in READING if name != "log"), *MORE])
def test_damage_shows_in_every_command_that_rests_on_the_log(
    name: str, tmp_path: Path, command: Command
):
    """A bit of a line has turned: the old value may be shown, and never as if all were well."""
    folder, words = one_panel_cast(tmp_path), (READING | MORE)[name]
    before = command(name, folder, *words, "--json")
    path = folder / "log/shed.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    lines[20] = lines[20].replace(b'"kind"', b'"kinc"')
    path.write_bytes(b"".join(lines))
    done = command(name, folder, *words, "--json")
    assert done.code == 1
    told = [one for one in done.document["findings"] if one["where"].get("line") == 21]
    assert [one["severity"] for one in told] == ["error"]
    assert "line 21" in told[0]["message"]
    page = command(name, folder, *words)
    assert page.code == 1
    assert "line 21" in page.out
    assert before.code in (0, 1)
    assert len(done.document["findings"]) > len(before.document.get("findings", ()))
