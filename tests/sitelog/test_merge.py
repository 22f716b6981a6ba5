"""The logs of all stations make one order, whichever way they come."""

import itertools
import random
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.sitelog.entries import Entry, Unsealed, compose
from pourdeck.sitelog.scan import in_order, read_union, scan, unite
from tests.sitelog.kit import MORNING, act, make_log, open_log, put_log, small_log


def keys(entries: list[Entry] | tuple[Entry, ...]) -> list[tuple[str, int]]:
    return [entry.key for entry in entries]


def notes(count: int) -> list[Unsealed]:
    return [act("note", panel="W07", text=f"no. {i}") for i in range(count)]


def history(station: str, minutes: list[int]) -> tuple[list[Entry], bytes]:
    """A log whose entries, its start first, stand at these minutes after the morning."""
    entries: list[Entry] = []
    data = b""
    start = act("start", format=1, job="QL-31", station=station)
    for minute, one in zip(minutes, [start, *notes(len(minutes))], strict=False):
        n, head = (entries[-1].n, entries[-1].seal) if entries else (0, "")
        at = MORNING + timedelta(minutes=minute)
        more, line = compose([one], station=station, at=at, clock="", n=n, head=head)
        entries += more
        data += line
    return entries, data


def test_entries_of_two_stations_by_their_times() -> None:
    shed, office = history("shed", [0, 10, 30])[0], history("office", [5, 10, 20, 40])[0]
    assert keys(in_order([shed, office])) == [
        ("shed", 1), ("office", 1), ("office", 2), ("shed", 2), ("office", 3), ("shed", 3), ("office", 4),
    ]  # fmt: skip


def test_a_clock_that_went_back_moves_nothing_within_a_file() -> None:
    shed, office = history("shed", [0, 60, 5, 6])[0], history("office", [10, 70])[0]
    assert keys(in_order([shed, office])) == [
        ("shed", 1), ("office", 1), ("shed", 2), ("shed", 3), ("shed", 4), ("office", 2),
    ]  # fmt: skip


minutes = st.lists(st.integers(0, 30), min_size=1, max_size=8)


@given(
    histories=st.lists(minutes, min_size=1, max_size=4), shuffle=st.randoms(use_true_random=False)
)
def test_the_order_in_which_files_are_read_does_not_matter(
    histories: list[list[int]], shuffle: random.Random
) -> None:
    scans = [
        scan(history(f"s{number}", each)[1], f"s{number}") for number, each in enumerate(histories)
    ]
    expected = unite(scans)
    shuffle.shuffle(scans)
    merged = unite(scans)
    assert merged == expected
    for each in scans:
        assert [entry for entry in merged if entry.station == each.station] == list(each.entries)


def test_a_file_read_twice_or_copied_counts_once() -> None:
    _, data = make_log(*notes(3))
    original, copy = scan(data, "shed"), scan(data, "shed-laptop")
    for order in itertools.permutations([original, original, copy]):
        assert keys(unite(order)) == [("shed", n) for n in range(1, 5)]


def test_files_that_arrive_bit_by_bit(tmp_path: Path) -> None:
    """A prefix of a file is no damage: what is not there yet is waited for."""
    put_log(tmp_path, make_log(*notes(2), station="office")[1], "office")
    data = make_log(*notes(3))[1]
    before = 0
    for cut in sorted({*range(0, len(data), 7), *range(len(data) - 20, len(data) + 1)}):
        path = put_log(tmp_path, data[:cut])
        union = read_union(tmp_path)
        assert union.faults == ()
        assert len(union.entries) >= before
        torn = bool(union.scans[1].tail)
        assert union.waiting == (("log/shed.jsonl",) if torn else ())
        assert path.read_bytes() == data[:cut]
        before = len(union.entries)
    assert before == 7


def test_what_lies_in_the_folder(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(1))
    for name in (
        "shed.jsonl.torn-20251103t063000z",
        "shed.jsonl.tmp-5",
        "shed (1).jsonl",
        "SHED.JSONL",
    ):
        (tmp_path / "log" / name).write_bytes(small_log(2))
    (tmp_path / "log/old.jsonl").mkdir()
    union = read_union(tmp_path)
    assert [each.station for each in union.scans] == ["shed"]
    assert union.ignored == ("SHED.JSONL", "shed (1).jsonl")
    assert [path.name for path in sorted((tmp_path / "log").iterdir())] == [
        "SHED.JSONL", "old.jsonl", "shed (1).jsonl", "shed.jsonl", "shed.jsonl.tmp-5",
        "shed.jsonl.torn-20251103t063000z",
    ]  # fmt: skip


def test_no_log_yet(tmp_path: Path) -> None:
    assert read_union(tmp_path).entries == ()


def test_scans_that_are_there_are_not_read_again(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(1))
    put_log(tmp_path, make_log(station="office")[1], "office")
    with open_log(tmp_path) as log:
        put_log(tmp_path, b"")
        union = read_union(tmp_path, have=log.scans)
    assert keys(union.entries) == [("office", 1), ("shed", 1), ("shed", 2)]


def test_damage_in_one_file_is_told_and_the_rest_is_read(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(3).replace(b"right-1", b"right-9"))
    put_log(tmp_path, make_log(station="office")[1], "office")
    union = read_union(tmp_path)
    assert [(fault.file, fault.line) for fault in union.faults] == [("log/shed.jsonl", 3)]
    assert len(union.entries) == 4


@pytest.mark.parametrize("back", [0, 3600])
def test_a_continued_file_stands_after_the_one_it_continues(back: int) -> None:
    first, data = make_log(*notes(2))
    start = act(
        "start", format=1, job="QL-31", station="shed",
        continues={"file": "log/shed.jsonl", "n": 3, "head": first[-1].seal},
    )  # fmt: skip
    at = first[-1].at - timedelta(seconds=back)
    logs = {"shed": data}
    for number in (2, 10):
        name = f"shed-{number}"
        logs[name] = compose([start, *notes(1)], station=name, at=at, clock="", n=0, head="")[1]
        start = act("start", **(start.data | {"continues": {"file": f"log/{name}.jsonl"}}))
    scans = [scan(data, name) for name, data in logs.items()]
    expected = [
        *[("shed", n) for n in (1, 2, 3)],
        ("shed-2", 1),
        ("shed-2", 2),
        ("shed-10", 1),
        ("shed-10", 2),
    ]
    for order in itertools.permutations(scans):
        assert keys(unite(order)) == expected
