"""Whose a file is: an installation writes its own, takes over an older one, stops where it is shared."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from pourdeck.sitelog.entries import Unsealed, compose
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.own import own_files
from pourdeck.sitelog.scan import scan
from pourdeck.sitelog.union import read_union
from tests.sitelog.kit import MORNING, Site, act, log_path, make_log, put_log

NOTE = act("note", panel="W07", text="x")


def begun(name: str, named: object = "shed", **more: object) -> bytes:
    """The first line of a file, which names a station and what it goes on from."""
    data: dict[str, Any] = {"format": 1, "job": "QL-31", "station": named, **more}
    start = Unsealed(kind="start", by="sam", data=data)
    return compose([start], station=name, at=MORNING, clock="", n=0, head="")[1]


def test_a_new_file_has_the_installations_id_in_its_name_and_in_its_first_entry(
    tmp_path: Path,
) -> None:
    site = Site(tmp_path)
    (first,) = site.say("one", NOTE)
    path = next((tmp_path / "one/log").iterdir())
    result = scan(path.read_bytes(), path.name)
    start, note = result.entries
    assert note == first
    assert path.name == f"shed-{result.owner[:4]}.jsonl"
    assert start.data["id"] == result.owner
    assert start.data["file"] == path.stem
    assert (tmp_path / "state of one/installation").read_text().strip() == result.owner


def test_two_computers_with_one_station_name_write_two_files(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("one", NOTE)
    site.bring("one", "two")
    site.say("two", NOTE)
    site.bring("two", "one")
    assert len(list((tmp_path / "one/log").iterdir())) == 2
    site.say("one", NOTE)
    union = read_union(tmp_path / "one")
    assert sorted(len(entries) for entries in union.lines.values()) == [2, 3]
    assert union.faults == ()


def test_an_older_file_is_taken_over_by_who_writes_to_it_first(tmp_path: Path) -> None:
    site = Site(tmp_path)
    _, data = make_log(NOTE)
    for name in ("one", "two"):
        put_log(site.folder(name), data)
    site.say("one", NOTE)
    taken = scan(log_path(site.folder("one")).read_bytes(), "shed.jsonl")
    assert [entry.installation for entry in taken.entries] == ["", "", taken.owner]
    assert len(taken.owner) == 16
    site.say("one", NOTE)
    assert len(scan(log_path(site.folder("one")).read_bytes(), "shed.jsonl").entries) == 4
    site.bring("one", "two")
    site.say("two", NOTE)
    assert log_path(site.folder("two")).read_bytes() == log_path(site.folder("one")).read_bytes()
    assert len(list((tmp_path / "two/log").iterdir())) == 2


def test_two_that_take_over_the_same_file_at_once_are_a_fork_that_is_told(tmp_path: Path) -> None:
    site = Site(tmp_path)
    _, data = make_log(NOTE)
    for name in ("one", "two"):
        put_log(site.folder(name), data)
        site.say(name, NOTE)
    copy = site.folder("one") / "log/shed (conflicted copy 2025-11-03).jsonl"
    copy.write_bytes(log_path(site.folder("two")).read_bytes())
    with site.open("one") as log:
        assert log.read_only
        assert any(
            "two different entries 3 were made" in fault.message for fault in log.union.faults
        )
        assert "another program wrote to it" in log.messages[-1]
        assert len(log.union.entries) == 2 + 1 + 1
        log.go_on("kim", "both kept")
        log.append("note", "kim", {"text": "after"})
        assert log.file != "log/shed.jsonl"
    with site.open("one") as log:
        assert not log.read_only
        assert len(log.union.entries) == 6
        assert len(log.union.forks) == 1, "and it stays told"


def test_a_cloned_disk_is_found_at_the_first_merge(tmp_path: Path) -> None:
    """The same installation in two places: each goes on alone, and both branches stay."""
    site = Site(tmp_path)
    site.say("one", NOTE)
    shutil.copytree(tmp_path / "one", tmp_path / "two")
    shutil.copytree(tmp_path / "state of one", tmp_path / "state of two")
    # Known ends are kept by the path of the job.
    site.say("one", act("note", text="at home"))
    site.say("two", act("note", text="away"))
    path = next((tmp_path / "two/log").iterdir())
    shutil.copyfile(path, tmp_path / "one/log" / f"{path.stem} (1).jsonl")
    with site.open("one") as log:
        assert log.read_only
        texts = [entry.data.get("text") for entry in log.union.entries]
        assert {"at home", "away"} <= set(texts)


def test_a_file_that_grew_without_us_stops_us(tmp_path: Path) -> None:
    """More than one write can have left unnoted: somebody with our id wrote it."""
    site = Site(tmp_path)
    site.say("one", NOTE)
    path = next((tmp_path / "one/log").iterdir())
    before = scan(path.read_bytes(), path.name).entries
    more = compose(
        [NOTE] * 3, station=path.stem, at=MORNING, clock="", n=len(before), head=before[-1].seal
    )[1]
    path.write_bytes(path.read_bytes() + more)
    with site.open("one") as log:
        assert "another program wrote to it" in (log.refusal or "")
        with pytest.raises(NotSaved):
            log.append("note", "kim", {})
        log.go_on("kim", "the disk was copied")
        assert log.file != f"log/{path.name}"


def test_a_run_that_was_killed_before_it_noted_its_last_write_goes_on(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("one", NOTE)
    path = next((tmp_path / "one/log").iterdir())
    before = scan(path.read_bytes(), path.name).entries
    more = compose([NOTE], station=path.stem, at=MORNING, clock="", n=2, head=before[-1].seal)[1]
    path.write_bytes(path.read_bytes() + more)
    site.say("one", NOTE)
    assert len(scan(path.read_bytes(), path.name).entries) == 4


def test_a_file_that_somebody_renamed_is_read_and_gone_on_from(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("one", NOTE)
    path = next((tmp_path / "one/log").iterdir())
    path.rename(path.with_name("old log (2).jsonl"))
    with site.open("one") as log:
        assert not log.read_only
        assert log.gone == []
        log.append("note", "kim", {})
        assert log.file == f"log/{path.stem}-2.jsonl"
        start = log.fresh()[0]
        assert start.data["continues"]["n"] == 2
    assert len(read_union(tmp_path / "one").entries) == 4


def test_a_short_file_beside_a_full_copy_is_not_written_to(tmp_path: Path) -> None:
    """Nothing is gone; to go on in the short one would make a fork."""
    site = Site(tmp_path)
    site.say("one", NOTE)
    path = next((tmp_path / "one/log").iterdir())
    short = path.read_bytes()
    site.say("one", NOTE, NOTE)
    path.with_name(f"{path.stem} (1).jsonl").write_bytes(path.read_bytes())
    path.write_bytes(short)
    site.say("one", NOTE)
    union = read_union(tmp_path / "one")
    assert union.faults == ()
    assert len(union.entries) == 6
    assert path.read_bytes() == short


CONTINUES = {"file": "log/shed.jsonl", "n": 3, "head": "ab"}


@pytest.mark.parametrize(
    ("files", "own", "following"),
    [
        ({"shed": {}}, ["shed"], "shed-2"),
        ({"shed": {}, "shed-10": {"continues": CONTINUES}, "shed-2": {"continues": CONTINUES}},
         ["shed", "shed-2", "shed-10"], "shed-11"),
        ({"shed": {}, "office": {"named": "office"}}, ["shed"], "shed-2"),
        ({"shed": {}, "shed-2": {"named": "shed-2"}}, ["shed"], "shed-3"),
        ({"shed-2": {"continues": CONTINUES}}, ["shed-2"], "shed-3"),
        ({"shed": {"id": "7f3a" * 4, "file": "shed"}}, [], "shed-2"),
    ],
)  # fmt: skip
def test_the_files_of_a_station_in_their_order(
    tmp_path: Path, files: dict[str, dict[str, Any]], own: list[str], following: str
) -> None:
    for name, start in files.items():
        put_log(tmp_path, begun(name, **start), name)
    found = own_files(read_union(tmp_path), "shed", "")
    assert [each.chain for each in found.scans] == own
    names = [path.name for path in (tmp_path / "log").iterdir()]
    assert (found.next_name(names) if own else found.base) == following


def test_an_id_is_made_once(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("one", NOTE)
    path = tmp_path / "state of one/installation"
    first = path.read_text()
    site.say("one", NOTE, new_id=lambda: "0" * 16)
    assert path.read_text() == first
    path.write_text("rubbish")
    site.say("one", NOTE, new_id=lambda: "0" * 16)
    assert path.read_text().strip() == "0" * 16
