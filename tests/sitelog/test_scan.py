"""Whatever happens to a file's bytes: no wrong entry, few lost ones, and the place named."""

import random
from itertools import pairwise

import pytest

from pourdeck.sitelog.entries import compose
from pourdeck.sitelog.scan import Scan, scan
from tests.sitelog.kit import act, make_log, small_log

ENTRIES, LOG = make_log(*(act("note", panel="W07", text=f"no. {i}") for i in range(4)))
LINES = LOG.splitlines(keepends=True)


def lost(result: Scan) -> int:
    """How many entries are not given; fails where one is given that never was, or given twice."""
    assert all(entry in ENTRIES for entry in result.entries)
    assert len({entry.n for entry in result.entries}) == len(result.entries)
    assert [entry.n for entry in result.entries] == sorted(entry.n for entry in result.entries)
    return len(ENTRIES) - len(result.entries)


def test_a_whole_file() -> None:
    result = scan(LOG, "shed.jsonl")
    assert result.entries == tuple(ENTRIES)
    assert (result.whole, result.faults, result.tail, result.end) == (True, (), b"", len(LOG))
    assert (result.sound, result.format, result.named) == (5, 1, "shed")
    assert (result.newer, result.continues, result.unended) == (False, None, False)
    assert result.head == ENTRIES[-1].seal


def test_no_bytes() -> None:
    result = scan(b"", "shed.jsonl")
    assert (result.whole, result.entries, result.head, result.end) == (True, (), None, 0)


def test_cut_at_every_byte() -> None:
    """Every entry that is complete is there; what is left of the next is the torn tail, no damage."""
    ends = [0]
    for line in LINES:
        ends.append(ends[-1] + len(line))
    for cut in range(len(LOG) + 1):
        result = scan(LOG[:cut], "shed.jsonl")
        complete = sum(cut >= end - 1 for end in ends[1:])
        assert result.entries == tuple(ENTRIES[:complete])
        assert result.faults == ()
        assert result.end == cut - len(result.tail)
        assert result.sound == complete
        assert result.unended == (cut + 1 in ends[1:])
        assert result.whole == (cut in ends or cut + 1 in ends[1:])
        assert LOG[: result.end] + result.tail == LOG[:cut]


def test_every_bit_flipped() -> None:
    """At most two entries are lost, where a newline was hit, and never is the file called whole."""
    for place in range(len(LOG)):
        for bit in range(8):
            flipped = bytearray(LOG)
            flipped[place] ^= 1 << bit
            result = scan(bytes(flipped), "shed.jsonl")
            assert lost(result) <= (2 if LOG[place] == 10 else 1)
            assert not result.whole


@pytest.mark.parametrize("value", [0x00, 0x0A, 0xFF, 0x20])
def test_every_byte_replaced(value: int) -> None:
    for place in range(len(LOG)):
        changed = bytearray(LOG)
        changed[place] = value
        result = scan(bytes(changed), "shed.jsonl")
        assert lost(result) <= (2 if LOG[place] == 10 else 1)
        assert result.whole == (changed == LOG)


def test_every_byte_taken_out_or_put_in_twice() -> None:
    for place in range(len(LOG)):
        for changed in (
            LOG[:place] + LOG[place + 1 :],
            LOG[:place] + LOG[place : place + 1] + LOG[place:],
        ):
            result = scan(changed, "shed.jsonl")
            assert lost(result) <= 2
            same = changed == LOG or changed == LOG[:-1]
            assert result.whole == same


@pytest.mark.parametrize("size", [64, 512])
def test_every_sector_of_zeros(size: int) -> None:
    for start in range(0, len(LOG), size):
        zeros = bytes(len(LOG[start : start + size]))
        result = scan(LOG[:start] + zeros + LOG[start + size :], "shed.jsonl")
        lost(result)
        assert not result.whole


@pytest.mark.parametrize("missing", range(4))
def test_a_line_taken_out_is_missed_at_the_next(missing: int) -> None:
    result = scan(b"".join(LINES[:missing] + LINES[missing + 1 :]), "shed.jsonl")
    assert lost(result) == 1
    assert [(fault.line, fault.code) for fault in result.faults] == [(missing + 1, "out-of-place")]
    assert result.faults[0].offset == sum(len(line) for line in LINES[:missing])
    where = f"entry {missing}" if missing else "the start of the file"
    assert result.faults[0].message == (
        f"entry {missing + 2} follows {where}: entries are missing, or lines were moved"
    )
    assert result.sound == missing


def test_the_last_line_taken_out_cannot_be_seen() -> None:
    """The chain alone proves nothing about a cut end; a head that was noted elsewhere does."""
    assert scan(b"".join(LINES[:-1]), "shed.jsonl").whole


@pytest.mark.parametrize("twice", range(5))
def test_a_line_twice(twice: int) -> None:
    result = scan(b"".join(LINES[: twice + 1] + LINES[twice:]), "shed.jsonl")
    assert lost(result) == 0
    assert [(fault.line, fault.code) for fault in result.faults] == [(twice + 2, "duplicate")]
    assert result.faults[0].message == f"the same entry stands in line {twice + 1} already"


@pytest.mark.parametrize(("one", "other"), [(i, j) for i in range(5) for j in range(i)])
def test_two_lines_changed_about(one: int, other: int) -> None:
    lines = list(LINES)
    lines[one], lines[other] = lines[other], lines[one]
    result = scan(b"".join(lines), "shed.jsonl")
    assert lost(result) == 0
    assert result.faults[0].line == other + 1
    assert result.faults[0].code == "out-of-place"


def test_a_strange_line_between_loses_nothing() -> None:
    result = scan(LINES[0] + b"# hello\n" + b"".join(LINES[1:]), "shed.jsonl")
    assert lost(result) == 0
    (fault,) = result.faults
    assert (fault.line, fault.code) == (2, "not-json")
    assert fault.message.endswith("something else wrote it, and no entry is missing")


def test_a_bad_line_and_the_next_missing_tell_once() -> None:
    result = scan(LINES[0] + b"?\n" + b"".join(LINES[3:]), "shed.jsonl")
    assert lost(result) == 2
    assert [fault.line for fault in result.faults] == [2]


def test_a_gap_is_excused_by_the_bad_line_before_it_and_the_next_gap_is_not() -> None:
    result = scan(LINES[0] + b"?\n" + LINES[2] + LINES[4], "shed.jsonl")
    assert lost(result) == 2
    assert [(fault.line, fault.code) for fault in result.faults] == [
        (2, "not-json"),
        (4, "out-of-place"),
    ]


def test_a_bad_line_excuses_a_gap_and_no_other_history() -> None:
    other = make_log(act("note", panel="W08", text="x"), station="hut")[1]
    strange = other.splitlines(keepends=True)[1]
    result = scan(LINES[0] + b"?\n" + strange, "shed.jsonl")
    assert [(fault.line, fault.code) for fault in result.faults] == [
        (2, "not-json"),
        (3, "out-of-place"),
    ]


def test_an_entry_that_stands_further_up_is_not_taken_again_from_the_tail() -> None:
    lines = (LINES[0], LINES[3], LINES[1], b"?\n", LINES[3][:-1])
    result = scan(b"".join(lines), "shed.jsonl")
    assert lost(result) == 2
    assert (result.tail, result.unended) == (LINES[3][:-1], False)


def test_lines_of_another_history_do_not_take_the_place_of_ours() -> None:
    other = make_log(*(act("note", panel="W08", text=f"no. {i}") for i in range(4)))[1]
    strange = other.splitlines(keepends=True)[3]
    result = scan(LOG + strange, "shed.jsonl")
    assert [entry for entry in result.entries if entry in ENTRIES] == ENTRIES
    assert [entry.n for entry in result.entries] == [1, 2, 3, 4, 4, 5], "both are kept"
    assert [(fault.line, fault.code) for fault in result.faults] == [(6, "fork")]
    assert result.faults[0].message == ("another entry with the number 4 stands in line 4 already")


def test_a_line_of_another_history_with_the_number_that_is_due_is_out_of_place() -> None:
    """Its own seal fits and its number is the next: what it goes on from is not what stands there."""
    other = make_log(*(act("note", panel="W08", text=f"no. {i}") for i in range(4)))[1]
    strange = other.splitlines(keepends=True)[2]
    result = scan(b"".join((*LINES[:2], strange, *LINES[3:])), "shed.jsonl")
    assert [(fault.line, fault.code) for fault in result.faults] == [
        (3, "out-of-place"),
        (4, "out-of-place"),
    ]
    begin = len(LINES[0] + LINES[1])
    assert [fault.offset for fault in result.faults] == [begin, begin + len(strange)]
    assert result.sound == 2
    unended = scan(b"".join(LINES[:2]) + strange[:-1], "shed.jsonl")
    assert (unended.entries, unended.tail) == (tuple(ENTRIES[:2]), strange[:-1]), "as if torn"


@pytest.mark.parametrize("n", [1, 3])
def test_a_line_that_goes_on_from_the_last_and_leaves_out_a_number_is_out_of_place(n: int) -> None:
    _, line = compose(
        [act("note", text="x")],
        station="shed",
        at=ENTRIES[-1].at,
        clock="",
        n=n,
        head=ENTRIES[1].seal,
    )
    result = scan(b"".join(LINES[:2]) + line, "shed.jsonl")
    code = "fork" if n == 1 else "out-of-place"
    assert [(fault.line, fault.code) for fault in result.faults] == [(3, code)]
    assert result.sound == 2
    unended = scan(b"".join(LINES[:2]) + line[:-1], "shed.jsonl")
    assert (unended.entries, unended.tail) == (tuple(ENTRIES[:2]), b"")
    assert [fault.code for fault in unended.faults] == ["foreign"]


@pytest.mark.parametrize("count", [1, 2, 100, 4096])
def test_a_tail_of_zeros_is_damage(count: int) -> None:
    """What a loss of power leaves in the place of blocks that had been said to be saved."""
    result = scan(LOG + bytes(count), "shed.jsonl")
    (fault,) = result.faults
    assert (lost(result), result.tail) == (0, b"")
    assert (fault.code, fault.line, fault.offset) == ("zero-bytes", 6, len(LOG))


def test_random_tails_lose_nothing_and_are_damage() -> None:
    chance = random.Random(7)
    for size in range(1, 300):
        tail = chance.randbytes(size)
        result = scan(LOG + tail, "shed.jsonl")
        assert lost(result) == 0
        assert not result.whole
        assert result.faults


def test_what_one_interrupted_write_can_leave_is_torn() -> None:
    """Any beginning of the line that was due, and nothing longer than a line can be."""
    entries, due = compose(
        [act("note", text="x" * 50)], station="shed", at=ENTRIES[0].at, clock="", n=5,
        head=ENTRIES[-1].seal,
    )  # fmt: skip
    for size in range(1, len(due) - 1):
        result = scan(LOG + due[:size], "shed.jsonl")
        assert (result.faults, result.tail, result.unended) == ((), due[:size], False)
    whole = scan(LOG + due[:-1], "shed.jsonl")
    assert (whole.entries[-1], whole.tail, whole.unended) == (entries[0], b"", True)
    for tail in (b'{"n":7,"at":"2025', b"{", due[:20] + b"\xc3", due[:40] + b"x" * (5 << 20)):
        codes = [fault.code for fault in scan(LOG + tail, "shed.jsonl").faults]
        assert codes == ([] if tail == b"{" else ["foreign"])


def test_the_last_line_again_without_its_newline_is_damage() -> None:
    result = scan(LOG + LINES[-1][:-1], "shed.jsonl")
    assert (lost(result), [fault.code for fault in result.faults]) == (0, ["foreign"])


def test_rubbish_in_place_of_the_last_newline_costs_no_entry() -> None:
    result = scan(LOG[:-1] + b"\0\0\xff", "shed.jsonl")
    assert (lost(result), result.unended) == (0, True)
    assert [fault.code for fault in result.faults] == ["zero-bytes"]


def test_the_tail_after_damage_is_still_read() -> None:
    result = scan(LINES[0] + b"?\n" + LINES[2] + LINES[3][:-1], "shed.jsonl")
    assert [entry.n for entry in result.entries] == [1, 3, 4]
    assert result.unended
    after_bad = scan(LINES[0] + b"?\n" + LINES[2][:-1], "shed.jsonl")
    assert [entry.n for entry in after_bad.entries] == [1, 3]


def test_a_file_whose_lines_another_program_ended() -> None:
    result = scan(LOG.replace(b"\n", b"\r\n"), "shed.jsonl")
    assert {fault.code for fault in result.faults} == {"line-ends"}
    assert len(result.faults) == 5


def test_a_file_that_begins_without_a_start() -> None:
    _, data = make_log()
    start = data.replace(b'"kind":"start"', b'"kind":"begin"')
    assert [fault.code for fault in scan(start, "shed.jsonl").faults] == ["wrong-seal"]
    _, other = compose(
        [act("note", text="x")], station="shed", at=ENTRIES[0].at, clock="", n=0, head=""
    )
    assert [fault.code for fault in scan(other, "shed.jsonl").faults] == ["no-start"]


@pytest.mark.parametrize(
    ("kind", "given"),
    [
        ("start", {}),
        ("start", {"format": "1"}),
        ("start", {"format": True}),
        ("note", {"format": 1}),
    ],
)
def test_a_first_entry_that_is_no_start_is_named_with_its_place(
    kind: str, given: dict[str, object]
) -> None:
    first = act(kind, station="shed", **given)
    _, data = compose([first], station="shed", at=ENTRIES[0].at, clock="", n=0, head="")
    result = scan(data, "shed.jsonl")
    (fault,) = result.faults
    assert (fault.code, fault.line, fault.offset) == ("no-start", 1, 0)
    assert (result.format, result.named, result.continues) == (None, None, None)


def test_what_a_start_says_of_its_station_and_what_it_continues() -> None:
    going_on = act(
        "start", format=1, station="shed", continues={"file": "log/shed.jsonl", "head": "9f3c"}
    )
    _, data = compose(
        [going_on, act("note", text="x")],
        station="shed-2", at=ENTRIES[0].at, clock="", n=0, head="",
    )  # fmt: skip
    result = scan(data, "shed-2.jsonl")
    assert (result.named, result.continues, result.sound) == ("shed", "9f3c", 2)
    _, data = compose(
        [act("start", format=1, station=7)],
        station="shed", at=ENTRIES[0].at, clock="", n=0, head="",
    )  # fmt: skip
    assert (scan(data, "shed.jsonl").named, scan(data, "shed.jsonl").whole) == (None, True)


ID = "7f3a0123456789ab"


@pytest.mark.parametrize(
    ("name", "start", "chain"),
    [
        ("shed.jsonl", {"station": "shed"}, "shed"),
        ("shed (1).jsonl", {"station": "shed"}, "shed"),
        ("shed-7f3a.jsonl", {"station": "shed", "file": "shed-7f3a", "id": ID}, "shed-7f3a"),
        ("shed (copy).jsonl", {"station": "shed", "file": "shed-7f3a-2", "id": ID}, "shed-7f3a-2"),
        ("shed-2.jsonl", {"station": "shed", "continues": {"n": 3}}, "shed-2"),
        ("shed-12 (1).jsonl", {"station": "shed", "continues": {"n": 3}}, "shed-12"),
        ("hut-2.jsonl", {"station": "shed", "continues": {"n": 3}}, "hut-2"),
        ("Hut (2).jsonl", {"station": "../x"}, "hut-2"),
        ("Hut.jsonl", {"station": 7, "file": "../x"}, "hut"),
    ],
)
def test_the_name_a_file_was_begun_with_is_told_from_its_first_entry(
    name: str, start: dict[str, object], chain: str
) -> None:
    """Whatever a sync program has called it."""
    _, data = compose(
        [act("start", format=1, **start)], station="x", at=ENTRIES[0].at, clock="", n=0, head=""
    )
    result = scan(data, name)
    assert (result.file, result.chain) == (f"log/{name}", chain)
    assert result.entries[0].station == chain
    assert result.owner == start.get("id", "")


def test_a_file_whose_first_line_is_lost_has_the_name_it_has() -> None:
    result = scan(b"?\n" + b"".join(LINES[1:]), "Shed (1).jsonl")
    assert (result.chain, len(result.entries)) == ("shed-1", 4)


def test_a_newer_format_is_read_and_is_no_damage() -> None:
    begin = act("start", format=2, job="QL-31", station="shed")
    entries, data = compose(
        [begin, act("photo", file="x")], station="shed", at=ENTRIES[0].at, clock="", n=0, head=""
    )
    result = scan(data, "shed.jsonl")
    assert (result.whole, result.newer, result.format) == (True, True, 2)
    assert result.entries == tuple(entries)


def test_a_fault_says_file_line_and_what() -> None:
    bad = LINES[0] + LINES[1].replace(b"no. 0", b"no. 9") + b"".join(LINES[2:])
    (fault,) = scan(bad, "shed.jsonl").faults
    assert str(fault) == (
        "log/shed.jsonl, line 2: the entry was changed after it was written: its seal does not fit"
    )
    finding = fault.finding()
    assert (finding.code, finding.severity, finding.file, finding.line) == (
        "wrong-seal", "error", "log/shed.jsonl", 2,
    )  # fmt: skip


def test_entries_name_each_other() -> None:
    entries = scan(small_log(6), "shed.jsonl").entries
    assert entries[0].prev == ""
    assert all(later.prev == earlier.seal for earlier, later in pairwise(entries))
