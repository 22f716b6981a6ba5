"""The logs of all stations make one order, whichever way they come."""

import itertools
import os
import random
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.sitelog.entries import Entry, Head, Unsealed, compose, station_words
from pourdeck.sitelog.scan import Scan, scan
from pourdeck.sitelog.union import in_order, read_union, union_of
from tests.sitelog.kit import MORNING, Clock, Site, act, make_log, put_log, small_log


def keys(entries: list[Entry] | tuple[Entry, ...]) -> list[tuple[str, int]]:
    return [entry.key for entry in entries]


def united(scans: Iterable[Scan]) -> list[Entry]:
    return list(union_of(list(scans)).entries)


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
    assert keys(in_order({"shed": shed, "office": office})) == [
        ("shed", 1), ("office", 1), ("office", 2), ("shed", 2), ("office", 3), ("shed", 3), ("office", 4),
    ]  # fmt: skip


def test_a_clock_that_went_back_moves_nothing_within_a_file() -> None:
    shed, office = history("shed", [0, 60, 5, 6])[0], history("office", [10, 70])[0]
    assert keys(in_order({"shed": shed, "office": office})) == [
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
        scan(history(f"s{number}", each)[1], f"s{number}.jsonl")
        for number, each in enumerate(histories)
    ]
    expected = united(scans)
    shuffle.shuffle(scans)
    merged = united(scans)
    assert merged == expected
    for each in scans:
        assert [entry for entry in merged if entry.station == each.chain] == list(each.entries)


def test_a_file_read_twice_or_copied_counts_once() -> None:
    _, data = make_log(*notes(3))
    original, copy = scan(data, "shed.jsonl"), scan(data, "shed-laptop.jsonl")
    for order in itertools.permutations([original, original, copy]):
        assert keys(united(order)) == [("shed", n) for n in range(1, 5)]


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


SYNC_NAMES = (
    "shed (1).jsonl", "shed - Copy.jsonl", "shed (conflicted copy 2025-11-03).jsonl",
    "shed (Kim's conflicted copy 2025-11-03).jsonl", "shed.sync-conflict-20251103-063000-ABCDEFG.jsonl",
    "shed-LAPTOP.jsonl", "shed_LAPTOP_Nov-03-063000-2025_Conflict.jsonl", "shed.jsonl (2)", "SHED.JSONL",
    "shed 2.jsonl", "Copy of shed.jsonl", "shed.jsonl.orig", "shed_conflict-20251103-063000.jsonl",
)  # fmt: skip
"""As sync programs and people name copies (from memory)."""


@pytest.mark.parametrize("name", SYNC_NAMES)
@pytest.mark.parametrize("relation", ["a prefix", "more", "a fork"])
def test_copies_of_a_sync_program_are_united_by_content(
    tmp_path: Path, name: str, relation: str
) -> None:
    entries, data = make_log(*notes(4))
    lines = data.splitlines(keepends=True)
    base = lines[:3]
    if relation == "a fork":
        head = entries[2].seal
        other = compose(
            notes(2), station="shed", at=MORNING + timedelta(days=1), clock="", n=3, head=head
        )[1]
        copy = base + other.splitlines(keepends=True)
    else:
        copy = lines[:2] if relation == "a prefix" else lines
    path = put_log(tmp_path, b"".join(lines if relation == "a fork" else base))
    path.with_name(name).write_bytes(b"".join(copy))
    union = read_union(tmp_path)
    if relation == "a fork":
        assert [entry.n for entry in union.entries] == [1, 2, 3, 4, 5, 4, 5]
        (fork,) = union.forks
        branch = next(one for one in union.lines if "~" in one)
        assert station_words(branch) in fork.message
        assert [entry.station for entry in union.entries[5:]] == [branch, branch]
        assert union.entries[5].past == {"shed": 3}
    else:
        assert union.faults == ()
        assert [entry.n for entry in union.entries] == [1, 2, 3, 4, 5][: 3 if len(copy) < 3 else 5]


def test_a_fork_has_the_same_branches_whichever_file_has_which(tmp_path: Path) -> None:
    entries, data = make_log(*notes(2))
    start = data.splitlines(keepends=True)[0]
    other = start + compose(
        notes(3), station="shed", at=MORNING + timedelta(days=1), clock="", n=1,
        head=entries[0].seal,
    )[1]  # fmt: skip
    found = []
    for one, two in ((data, other), (other, data)):
        put_log(tmp_path, one)
        put_log(tmp_path, two, "shed-copy")
        found.append(read_union(tmp_path).entries)
    assert found[0] == found[1]


def test_what_lies_in_the_folder(tmp_path: Path) -> None:
    """What is read, what is not and why, and what of that may hold something of the log."""
    put_log(tmp_path, small_log(1))
    folder = tmp_path / "log"
    for name in (
        "shed.jsonl.torn-20251103t063000z", "shed.jsonl.tmp-5", ".shed.jsonl", "~shed.jsonl",
        ".syncthing.shed.jsonl.tmp", "shed.jsonl.partial", ".~lock.shed.jsonl#", "notes.txt",
    ):  # fmt: skip
        (folder / name).write_bytes(small_log(2))
    (folder / "list (1).jsonl").write_bytes(b'{"what": "is this"}\n')
    (folder / "empty (1).jsonl").write_bytes(b"")
    (folder / "old.jsonl").mkdir()
    (folder / "gone.jsonl").symlink_to("nowhere")
    (folder / "round.jsonl").symlink_to("round.jsonl")
    os.mkfifo(folder / "pipe.jsonl")
    before = sorted(path.name for path in folder.iterdir())
    union = read_union(tmp_path)
    assert [each.name for each in union.scans if each.entries] == ["shed.jsonl"]
    told = {fault.file.removeprefix("log/"): fault.message for fault in union.faults}
    assert set(told) == {"gone.jsonl", "old.jsonl", "pipe.jsonl", "round.jsonl"}
    assert told["gone.jsonl"] == "log/gone.jsonl cannot be read: it is a link to nothing"
    assert {one.name for one in union.unread if one.wrong} == {"list (1).jsonl"}
    assert {one.name for one in union.unread} == set(before) - set(told) - {"shed.jsonl"}
    assert sorted(path.name for path in folder.iterdir()) == before


def test_no_log_yet(tmp_path: Path) -> None:
    assert read_union(tmp_path).entries == ()


def test_damage_in_one_file_is_told_and_the_rest_is_read(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(3).replace(b"right-1", b"right-9"))
    put_log(tmp_path, make_log(station="office")[1], "office")
    union = read_union(tmp_path)
    assert [(fault.file, fault.line) for fault in union.faults] == [("log/shed.jsonl", 3)]
    assert len(union.entries) == 4


@pytest.mark.parametrize("back", [0, 3600])
def test_a_continued_file_stands_after_the_one_it_continues(back: int) -> None:
    first, data = make_log(*notes(2))
    head = first[-1].seal
    at = first[-1].at - timedelta(seconds=back)
    logs = {"shed": data}
    for number in (2, 10):
        name = f"shed-{number}"
        continues = {"file": "log/the one before.jsonl", "n": 3, "head": head}
        start = act("start", format=1, job="QL-31", station="shed", continues=continues)
        more, logs[name] = compose([start, *notes(1)], station=name, at=at, clock="", n=0, head="")
        head = more[-1].seal
    scans = [scan(data, f"{name}.jsonl") for name, data in logs.items()]
    expected = [
        *[("shed", n) for n in (1, 2, 3)],
        ("shed-2", 1),
        ("shed-2", 2),
        ("shed-10", 1),
        ("shed-10", 2),
    ]
    for order in itertools.permutations(scans):
        assert keys(united(order)) == expected


def test_what_was_seen_comes_before_whatever_the_clocks_say(tmp_path: Path) -> None:
    """The office is three days ahead: what the shed writes after reading it still comes after it."""
    site = Site(tmp_path)
    site.clocks = {"office": Clock(MORNING + timedelta(days=3)), "shed": Clock()}
    site.say("office", act("answer", panel="W07", item="a", value="300"), station="office")
    site.bring("office", "shed")
    (late,) = site.say(
        "shed", act("answer", panel="W07", item="a", value="301", replaces=2, why="measured again")
    )
    site.bring("shed", "office")
    for name in ("office", "shed"):
        union = read_union(site.folder(name))
        assert union.entries[-1] == late
        assert [one.station.partition("-")[0] for one in late.seen] == ["office"]
        assert union.entries[-1].had_seen(union.entries[1])
        assert not union.entries[1].had_seen(late)


def test_what_an_entry_names_it_had_seen(tmp_path: Path) -> None:
    """Older programs did not write what they had in view, and an undo or a correction tells it."""
    office = make_log(act("note", text="a"), station="office", start=MORNING + timedelta(days=1))[0]
    shed = make_log(
        act("note", text="b"), act("undo", station="office", n=2, why="x"), act("note", text="c")
    )[0]
    entries = in_order({"shed": shed, "office": office})
    assert keys(entries) == [
        ("shed", 1), ("shed", 2), ("office", 1), ("office", 2), ("shed", 3), ("shed", 4),
    ]  # fmt: skip
    assert [dict(entry.past) for entry in entries[-2:]] == [{"office": 2}] * 2
    assert entries[2].past == {}


def test_what_somebody_else_had_seen_comes_before_and_was_not_in_view() -> None:
    """Shed saw hut, hut had seen office: office's file need not have been there."""
    office = make_log(act("note", text="a"), station="office", start=MORNING + timedelta(days=9))[0]
    hut = _with_seen("hut", office[-1], MORNING + timedelta(days=5))
    shed = _with_seen("shed", hut[-1], MORNING)
    entries = in_order({"shed": shed, "hut": hut, "office": office})
    assert [entry.station for entry in entries] == [
        "office",
        "office",
        "hut",
        "hut",
        "shed",
        "shed",
    ]
    assert entries[-1].past == {"hut": 2}


def _with_seen(station: str, last: Entry, at: datetime) -> list[Entry]:
    start = act("start", format=1, job="QL-31", station=station)
    seen = [Head(last.station, last.n, last.seal)]
    return compose([start, *notes(1)], station=station, at=at, clock="", n=0, head="", seen=seen)[0]


def test_a_head_that_is_not_here_yet_holds_nothing_up() -> None:
    """The shed's file came before the end of the office's: what is here of that had been seen."""
    office = make_log(*notes(3), station="office", start=MORNING + timedelta(days=3))[0]
    shed = _with_seen("shed", office[-1], MORNING)
    entries = in_order({"shed": shed, "office": office[:2]})
    assert keys(entries) == [("office", 1), ("office", 2), ("shed", 1), ("shed", 2)]
    assert [dict(entry.past) for entry in entries] == [{}, {}, {"office": 2}, {"office": 2}]
    assert keys(in_order({"shed": shed})) == [("shed", 1), ("shed", 2)]


@given(shuffle=st.randoms(use_true_random=False), sites=st.integers(2, 3))
def test_files_that_come_in_any_order_and_piece_by_piece_end_the_same(
    tmp_path_factory: pytest.TempPathFactory, shuffle: random.Random, sites: int
) -> None:
    site = Site(tmp_path_factory.mktemp("site"))
    names = [f"c{number}" for number in range(sites)]
    site.clocks = {
        name: Clock(MORNING + timedelta(days=shuffle.choice([0, 0, 3, -2]))) for name in names
    }
    for _ in range(12):
        name = shuffle.choice(names)
        if shuffle.random() < 0.4:
            site.bring(shuffle.choice(names), name)
        else:
            site.say(name, act("note", panel="W07", text=str(shuffle.random())), station="shed")
    for _ in range(2 * sites):
        for one, other in itertools.permutations(names, 2):
            site.bring(one, other)
    ends = [read_union(site.folder(name)) for name in names]
    assert all(each.entries == ends[0].entries for each in ends)
    assert all(each.faults == () for each in ends)
    assert [dict(one.past) for one in ends[0].entries] == [
        dict(one.past) for one in ends[-1].entries
    ]
    scans = list(ends[0].scans)
    shuffle.shuffle(scans)
    assert united(scans) == list(ends[0].entries)
    place = {entry.key: index for index, entry in enumerate(ends[0].entries)}
    for entry in ends[0].entries:
        for head in entry.seen:
            assert place[head.station, head.n] < place[entry.key]
