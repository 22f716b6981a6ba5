"""The files of one station: which belong to it, in which order, and what the next is called."""

from pathlib import Path
from typing import Any

import pytest

from pourdeck.sitelog.entries import Entry, Unsealed, compose
from pourdeck.sitelog.scan import next_name, place, read_chain, read_file
from tests.sitelog.kit import MORNING, FakeDisk, put_log

CONTINUES = {"file": "log/shed.jsonl", "n": 3, "head": "ab"}


def start(file: str, named: object = "shed", continues: object = None) -> tuple[Entry, bytes]:
    """The first entry of a file, which names a station and what it goes on from, and its line."""
    data: dict[str, Any] = {"format": 1, "job": "QL-31", "station": named}
    if continues is not None:
        data["continues"] = continues
    act = Unsealed(kind="start", by="sam", data=data)
    (entry,), line = compose([act], station=file, at=MORNING, clock="", n=0, head="")
    return entry, line


def put(folder: Path, file: str, named: str = "shed", continues: object = None) -> None:
    put_log(folder, start(file, named, continues)[1], file)


def chain(folder: Path, station: str = "shed") -> list[str]:
    return [scan.station for scan in read_chain(FakeDisk(), folder, station)]


def test_the_first_file_and_those_that_continue_it_in_the_order_of_their_numbers(
    tmp_path: Path,
) -> None:
    put(tmp_path, "shed")
    for file in ("shed-10", "shed-2", "shed-9"):
        put(tmp_path, file, continues=CONTINUES)
    assert chain(tmp_path) == ["shed", "shed-2", "shed-9", "shed-10"]


def test_what_is_another_stations_or_continues_nothing_is_none_of_them(tmp_path: Path) -> None:
    """A copy, another station's continued file under this one's name, names that are no numbers."""
    put(tmp_path, "shed")
    put(tmp_path, "shed-2")
    put(tmp_path, "shed-3", named="office", continues=CONTINUES)
    put(tmp_path, "shed-4", named="shed-4")
    for file in ("shed-05", "shed-0", "shed-x", "shed-2-2", "old-shed-6", "shed-1234567"):
        put(tmp_path, file, continues=CONTINUES)
    assert chain(tmp_path) == ["shed"]
    assert chain(tmp_path, "office") == []


def test_a_chain_whose_first_file_is_lost_is_read_on_from_the_next(tmp_path: Path) -> None:
    put(tmp_path, "shed-2", continues=CONTINUES)
    assert chain(tmp_path) == ["shed-2"]


@pytest.mark.parametrize(
    ("files", "name"),
    [
        (("shed",), "shed-2"),
        (("shed", "shed-1"), "shed-2"),
        (("shed", "shed-2"), "shed-3"),
        (("shed", "shed-10", "shed-9"), "shed-11"),
        (("shed", "shed-x", "shed-07", "hut-5"), "shed-2"),
    ],
)
def test_the_next_file_has_a_number_that_none_has(
    tmp_path: Path, files: tuple[str, ...], name: str
) -> None:
    """Also where the file of a number is a copy, or another station's."""
    for file in files:
        put(tmp_path, file, named="whoever")
    (tmp_path / "log" / "shed-8.jsonl.txt").write_bytes(b"no log")
    assert next_name(FakeDisk(), tmp_path, "shed") == name


@pytest.mark.parametrize(
    ("file", "named", "continues", "found"),
    [
        ("shed", "shed", None, ("shed", 1)),
        ("shed-3", "shed", CONTINUES, ("shed", 3)),
        ("shed-12", "shed", CONTINUES, ("shed", 12)),
        ("shed-3", "shed", None, ("shed-3", 1)),
        ("7-3", 7, CONTINUES, ("7-3", 1)),
        ("shed-3", "hut", CONTINUES, ("shed-3", 1)),
        ("shed-x", "shed", CONTINUES, ("shed-x", 1)),
        ("shed-٣", "shed", CONTINUES, ("shed-٣", 1)),
        ("shed-³", "shed", CONTINUES, ("shed-³", 1)),
    ],
)
def test_the_place_of_a_file_is_told_from_its_first_entry(
    file: str, named: object, continues: object, found: tuple[str, int]
) -> None:
    assert place(start(file, named, continues)[0]) == found


def test_a_file_that_cannot_be_read_is_a_fault_and_no_crash(tmp_path: Path) -> None:
    (tmp_path / "log" / "shed.jsonl").mkdir(parents=True)
    scan = read_file(FakeDisk(), tmp_path, "shed")
    (fault,) = scan.faults
    assert (fault.code, fault.line, fault.offset) == ("unreadable", 0, 0)
    assert str(fault).startswith("log/shed.jsonl cannot be read: ")
    finding = fault.finding()
    assert (finding.message, finding.file, finding.line) == (str(fault), "log/shed.jsonl", None)
    assert (scan.entries, scan.end, scan.sound, scan.tail) == ((), 0, 0, b"")
    flags = (scan.whole, scan.unended, scan.continues, scan.newer)
    assert flags == (False, False, False, False)
    assert (scan.head, scan.format, scan.named) == (None, None, None)
