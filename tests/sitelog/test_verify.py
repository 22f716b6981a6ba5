"""Verifying the files, and finding a head that was noted outside the log."""

import hashlib
import json
from pathlib import Path

import pytest

from pourdeck.sitelog.disk import DISK
from pourdeck.sitelog.verify import check_head, verify
from tests.sitelog.kit import act, answer, log_path, make_log, open_log, put_log


def by_the_specification(path: Path) -> str:
    """The head of a file, verified with nothing but what the text of `logfile` says."""
    prev = ""
    for number, line in enumerate(path.read_bytes().split(b"\n")[:-1], 1):
        entry = json.loads(line)
        body = line[: line.rindex(b',"seal":')]
        assert entry["n"] == number
        assert entry["prev"] == prev
        assert list(entry)[-1] == "seal"
        assert hashlib.sha256(prev.encode() + body).hexdigest() == entry["seal"]
        prev = entry["seal"]
    return prev


def test_a_log_agrees_with_its_specification(tmp_path: Path) -> None:
    with open_log(tmp_path, disk=DISK) as log:
        for number in range(5):
            log.append("answer", "Kém \u202e", answer(number))
        assert by_the_specification(log_path(tmp_path)) == log.head


def test_good_torn_and_damaged_files_are_told_apart(tmp_path: Path) -> None:
    notes = [act("note", panel="W07", text=f"no. {i}") for i in range(3)]
    entries, data = make_log(*notes, station="good")
    put_log(tmp_path, data, "good")
    put_log(tmp_path, make_log(*notes, station="torn")[1][:-9], "torn")
    put_log(tmp_path, make_log(*notes, station="wrong")[1].replace(b"no. 1", b"no. 7"), "wrong")
    found = verify(tmp_path)
    good, torn, wrong = found.stations
    assert not found.whole
    assert (good.file, good.entries, good.head) == ("log/good.jsonl", 4, entries[-1].seal)
    assert (good.whole, good.torn, good.faults) == (True, False, ())
    assert (torn.entries, torn.whole, torn.torn, torn.faults) == (3, False, True, ())
    assert (wrong.entries, wrong.whole, wrong.torn) == (3, False, False)
    assert [(fault.file, fault.line) for fault in wrong.faults] == [("log/wrong.jsonl", 3)]


def test_no_log_yet(tmp_path: Path) -> None:
    assert verify(tmp_path).stations == ()


ENTRIES, LOG = make_log(*(act("note", panel="W07", text=f"no. {i}") for i in range(5)))


def test_a_noted_head_is_found(tmp_path: Path) -> None:
    put_log(tmp_path, LOG)
    put_log(tmp_path, make_log(station="office")[1], "office")
    seal = ENTRIES[3].seal
    for noted in (
        seal,
        seal[:12],
        seal[:12] + "…",
        seal[:13].upper(),
        f"4:{seal[:12]}",
        f" 4, {seal[:20]} ",
    ):
        check = check_head(verify(tmp_path).stations, noted)
        assert check.found
        assert (check.entry, check.after) == (ENTRIES[3], 2)
        assert check.message.endswith("is entry 4 of log/shed.jsonl; 2 entries after it.")
    last = check_head(verify(tmp_path).stations, ENTRIES[-1].seal)
    assert last.message.endswith("no entry after it.")


@pytest.mark.parametrize("removed", range(1, 6))
def test_a_cut_end_passes_the_chain_and_fails_the_head(tmp_path: Path, removed: int) -> None:
    lines = LOG.splitlines(keepends=True)
    put_log(tmp_path, b"".join(lines[:-removed]))
    reports = verify(tmp_path).stations
    assert reports[0].whole
    plain = check_head(reports, ENTRIES[-1].seal[:12])
    assert not plain.found
    assert "cut short or written anew" in plain.message
    counted = check_head(reports, f"6:{ENTRIES[-1].seal[:12]}")
    assert not counted.found
    assert f"log/shed.jsonl ends at entry {6 - removed}, {removed} missing" in counted.message


def test_a_log_written_anew_fails_the_head(tmp_path: Path) -> None:
    put_log(tmp_path, make_log(*(act("note", panel="W07", text=f"No. {i}") for i in range(5)))[1])
    reports = verify(tmp_path).stations
    assert reports[0].whole
    check = check_head(reports, f"4:{ENTRIES[3].seal[:12]}")
    assert not check.found
    assert "log/shed.jsonl has another entry 4" in check.message


def test_a_seal_under_another_number_is_not_found(tmp_path: Path) -> None:
    put_log(tmp_path, LOG)
    assert not check_head(verify(tmp_path).stations, f"3:{ENTRIES[3].seal[:12]}").found


def test_a_head_that_is_in_a_copy_too(tmp_path: Path) -> None:
    put_log(tmp_path, LOG)
    put_log(tmp_path, LOG, "shed-laptop")
    assert check_head(verify(tmp_path).stations, ENTRIES[3].seal[:12]).found


@pytest.mark.parametrize(
    "noted", ["", "9f", "9f3c81aa04b", "xyzw", "4:", "9f3c 81aa", "0" * 65, "9f3c\n;rm"]
)
def test_what_is_no_head(noted: str) -> None:
    with pytest.raises(ValueError, match="no head of a log"):
        check_head((), noted)


def test_no_head_is_in_no_log() -> None:
    assert not check_head((), "9f3c81aa04be").found
    assert not check_head((), "4:9f3c81aa04be").found
