"""Opening, appending and reopening a station's log."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from pourdeck.sitelog.logfile import LogFile, NotSaved
from pourdeck.sitelog.scan import scan
from tests.sitelog.kit import (
    MORNING,
    ZONE,
    Clock,
    FakeDisk,
    act,
    answer,
    fail,
    log_path,
    make_log,
    open_log,
    put_log,
    small_log,
)

NOTE = ["write", "fsync"]
FIRST_NOTE = ["create", "write", "fsync", "replace", "sync folder", "open"]
"""What notes the new end outside the job: the first time in a run the whole file is written."""


def reread(folder: Path, station: str = "shed") -> list[tuple[int, str]]:
    result = scan(log_path(folder, station).read_bytes(), station)
    assert result.whole
    return [(entry.n, entry.kind) for entry in result.entries]


def test_looking_creates_nothing(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        assert (log.read_only, log.n, log.head) == (False, 0, None)
        assert log.messages == []
    assert not (tmp_path / "log").exists()


def test_the_first_act_begins_the_file(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        entry = log.append("answer", "kim", answer())
        assert (entry.n, entry.kind, entry.by, entry.station) == (2, "answer", "kim", "shed")
        assert entry.at == MORNING + timedelta(minutes=2)
        assert (log.n, log.head) == (2, entry.seal)
        assert [each.kind for each in log.fresh()] == ["start", "answer"]
        assert log.fresh() == []
    first = scan(log_path(tmp_path).read_bytes(), "shed").entries[0]
    assert first.data == {"format": 1, "job": "QL-31", "station": "shed"}
    assert first.kind == "start"


def test_what_is_given_back_is_what_will_be_read(tmp_path: Path) -> None:
    data: dict[str, Any] = {
        "panel": "[/x] [A-1] [Foo] [",
        "text": "\x1b[31m\u202egnip\n\0",
        "t": (1, 2),
    }
    with open_log(tmp_path) as log:
        entries = [log.append("note", "K\u00e9m \u202e", data), log.append("photo", "kim", {})]
    assert list(scan(log_path(tmp_path).read_bytes(), "shed").entries[1:]) == entries


def test_the_log_goes_on_after_reopening(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        first = log.append("answer", "kim", answer())
    with open_log(tmp_path) as log:
        assert (log.n, log.head) == (2, first.seal)
        assert log.append("answer", "kim", answer(2)).prev == first.seal
    assert reread(tmp_path) == [(1, "start"), (2, "answer"), (3, "answer")]


def test_bytes_once_written_stay(tmp_path: Path) -> None:
    before = b""
    for session in range(4):
        with open_log(tmp_path) as log:
            for number in range(session + 1):
                log.append("answer", "kim", answer(number))
                now = log_path(tmp_path).read_bytes()
                assert now.startswith(before)
                assert len(now) > len(before)
                before = now


def test_written_then_synced_then_the_name_synced_then_said(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        disk.calls.clear()
        log.append("answer", "kim", answer())
        assert disk.calls == [
            "make folder", "sync folder", "create", "write", "fsync", "sync folder", *FIRST_NOTE,
        ]  # fmt: skip
        disk.calls.clear()
        log.append("answer", "kim", answer())
        assert disk.calls == ["write", "fsync", *NOTE]
    with open_log(tmp_path, disk=disk) as log:
        disk.calls.clear()
        log.append("answer", "kim", answer())
        assert disk.calls == ["write", "fsync", "sync folder", *FIRST_NOTE], (
            "a killed run may not have synced it"
        )


def test_a_second_program_only_reads_and_says_who_came_first(tmp_path: Path) -> None:
    with open_log(tmp_path) as first:
        first.append("answer", "kim", answer())
        with open_log(tmp_path, user="kim", host="office") as second:
            assert second.read_only
            assert second.read_only
            assert second.holder is not None
            assert (second.holder.user, second.holder.host) == ("sam", "shed-laptop")
            assert second.messages == [
                f"log/shed.jsonl is read only: it is open already: sam on shed-laptop, process "
                f"{second.holder.pid}, since 2025-11-03T06:31:00+11:00."
            ]
            with pytest.raises(NotSaved, match="open already: sam") as refused:
                second.append("answer", "kim", answer())
            assert refused.value.title == "Not saved: the log is read only"
        first.append("answer", "kim", answer())
    with open_log(tmp_path) as third:
        third.append("answer", "kim", answer())
    assert len(reread(tmp_path)) == 4


def test_the_second_program_leaves_the_firsts_half_written_line(tmp_path: Path) -> None:
    with open_log(tmp_path) as first:
        first.append("answer", "kim", answer())
        whole = log_path(tmp_path).read_bytes()
        log_path(tmp_path).write_bytes(whole + b'{"n":3')
        with open_log(tmp_path) as second:
            assert second.scans[0].tail == b'{"n":3'
        assert log_path(tmp_path).read_bytes() == whole + b'{"n":3'


def test_opened_to_read_only(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(2) + b'{"n"')
    with open_log(tmp_path, read_only=True) as reader, open_log(tmp_path) as writer:
        assert reader.read_only
        assert reader.holder is None
        assert not writer.read_only
        with pytest.raises(NotSaved):
            reader.append("answer", "kim", answer())


def test_a_closed_log_takes_nothing(tmp_path: Path) -> None:
    log = open_log(tmp_path)
    log.close()
    log.close()
    with pytest.raises(NotSaved, match="closed"):
        log.append("answer", "kim", answer())


def test_cut_at_every_byte_of_the_last_two_lines(tmp_path: Path) -> None:
    """No complete entry is lost, what was cut is kept and told, and the next act is readable."""
    entries, data = make_log(*(act("note", panel="W07", text=f"no. {i}") for i in range(4)))
    lines = data.splitlines(keepends=True)
    for cut in range(len(data) - len(lines[-1]) - len(lines[-2]), len(data) + 1):
        folder = tmp_path / str(cut)
        folder.mkdir()
        put_log(folder, data[:cut])
        complete = 3 + (cut >= len(data) - len(lines[-1]) - 1) + (cut >= len(data) - 1)
        clean = sum(len(line) for line in lines[:complete])
        with open_log(folder, disk=FakeDisk()) as log:
            assert log.scans[0].entries == tuple(entries[:complete])
            torn = list((folder / "log").glob("*.torn-*"))
            kept = b"".join(path.read_bytes() for path in torn)
            assert kept == data[clean:cut]
            assert len(log.messages) == len(torn) == (cut > clean)
            assert log_path(folder).read_bytes() == data[:clean]
            log.append("note", "kim", {"panel": "W07", "text": "after"})
        with open_log(folder) as log:
            assert log.messages == []
            assert len(log.scans[0].entries) == complete + 1
            assert log.scans[0].whole


def test_a_file_cut_within_its_first_line_begins_again(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(0)[:-20])
    with open_log(tmp_path) as log:
        log.append("answer", "kim", answer())
    assert reread(tmp_path) == [(1, "start"), (2, "answer")]


@pytest.mark.parametrize("tail", [b"{", b'{"n":4', b'{"n":4,"at":"2025-11-03T06:3'])
def test_a_torn_tail_is_set_aside_synced_and_told(tmp_path: Path, tail: bytes) -> None:
    put_log(tmp_path, small_log(2) + tail)
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        calls = disk.calls[disk.calls.index("open") :]
        done = ["open", "create", "write", "fsync", "sync folder", "truncate", "fsync"]
        assert calls == [*done, *FIRST_NOTE]
        name = "shed.jsonl.torn-20251102t193200z"
        assert log.messages == [
            "log/shed.jsonl: the last line was incomplete, as an interrupted write leaves it; its "
            f"{len(tail)} bytes are kept in log/{name}. 3 entries are whole."
        ]
        assert (tmp_path / "log" / name).read_bytes() == tail


def test_two_torn_tails_in_one_second_are_both_kept(tmp_path: Path) -> None:
    for tail in (b'{"n":4,"a', b'{"n":4,"at":"2'):
        put_log(tmp_path, small_log(2) + tail)
        open_log(tmp_path).close()
    kept = sorted((tmp_path / "log").glob("*.torn-*"))
    assert [path.read_bytes() for path in kept] == [b'{"n":4,"a', b'{"n":4,"at":"2']


def test_damage_is_told_and_left_alone(tmp_path: Path) -> None:
    bad = small_log(4).replace(b"right-1", b"right-9") + b'{"n":6'
    path = put_log(tmp_path, bad)
    for _ in range(10):
        with open_log(tmp_path) as log:
            assert log.read_only
            assert log.read_only
            assert "log/shed.jsonl, line 3: the entry was changed" in log.messages[0]
            assert "until somebody decides" in log.messages[-1]
            assert [entry.n for entry in log.scans[0].entries] == [1, 2, 4, 5]
            with pytest.raises(NotSaved, match="damaged"):
                log.append("answer", "kim", answer())
    assert path.read_bytes() == bad
    assert [each.name for each in (tmp_path / "log").iterdir()] == ["shed.jsonl"]


def test_somebody_decides_to_go_on_after_damage(tmp_path: Path) -> None:
    bad = small_log(4).replace(b"right-1", b"right-9")
    path = put_log(tmp_path, bad)
    head = scan(bad, "shed").head
    with open_log(tmp_path) as log:
        decision = log.go_on("kim", "compared with the office's copy")
        assert not log.read_only
        assert (decision.kind, decision.by, decision.station) == ("start", "kim", "shed-2")
        assert decision.data["continues"] == {
            "file": "log/shed.jsonl",
            "n": 5,
            "head": head,
            "damage": [{"line": 3, "code": "wrong-seal"}],
            "why": "compared with the office's copy",
        }
        log.append("answer", "kim", answer())
    with open_log(tmp_path) as log:
        assert not log.read_only
        assert log.file == "log/shed-2.jsonl"
        assert "line 3" in log.messages[0]
        log.append("answer", "kim", answer())
        with pytest.raises(NotSaved, match="not damaged"):
            log.go_on("kim", "again")
    assert path.read_bytes() == bad
    assert reread(tmp_path, "shed-2") == [(1, "start"), (2, "answer"), (3, "answer")]


def test_a_copy_beside_the_log_is_not_taken_for_its_next_file(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(2))
    copy = put_log(tmp_path, small_log(1), "shed-2")
    with open_log(tmp_path) as log:
        assert log.file == "log/shed.jsonl"
        log.append("answer", "kim", answer())
    assert copy.read_bytes() == small_log(1)


def test_the_tenth_file_is_the_last_of_ten(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        for number in range(10):
            log.append("answer", "kim", answer(number))
            disk.before["fsync"] = fail(OSError("broken"), at=disk.calls.count("fsync") + 1)
            with pytest.raises(NotSaved):
                log.append("answer", "kim", answer())
    with open_log(tmp_path) as log:
        assert log.file == "log/shed-10.jsonl"
        assert [each.chain for each in log.scans][-2:] == ["shed-9", "shed-10"]


def test_a_jump_is_flagged_once(tmp_path: Path) -> None:
    clock, disk = Clock(), FakeDisk()
    with open_log(tmp_path, clock=clock, disk=disk) as log:
        log.append("answer", "kim", answer())
        disk.before["fsync"] = fail(OSError("broken"), at=disk.calls.count("fsync") + 1)
        with pytest.raises(NotSaved):
            log.append("answer", "kim", answer())
        log.fresh()
        clock.now -= timedelta(hours=1)
        log.append("answer", "kim", answer())
        assert [each.clock for each in log.fresh()] == ["back 3480 s", ""]


def test_a_newer_format_is_read_and_not_added_to(tmp_path: Path) -> None:
    from pourdeck.sitelog.entries import compose

    newer = act("start", format=2, job="QL-31", station="shed")
    data = compose([newer], station="shed", at=MORNING, clock="", n=0, head="")[1]
    path = put_log(tmp_path, data + b'{"n":2')
    with open_log(tmp_path) as log:
        assert log.read_only
        assert "format 2" in log.messages[0]
        assert "newer program" in log.messages[0]
    assert path.read_bytes() == data + b'{"n":2'


def test_the_log_of_another_station_under_this_name_is_not_added_to(tmp_path: Path) -> None:
    data = make_log(station="office")[1]
    put_log(tmp_path, data)
    with open_log(tmp_path) as log:
        log.append("answer", "kim", answer())
        assert log.file == "log/shed-2.jsonl"
    assert log_path(tmp_path).read_bytes() == data


def test_an_unfit_station_name_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"'\.\./shed'"):
        open_log(tmp_path, "../shed")


def test_an_act_that_cannot_be_written_leaves_the_log_as_it_was(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        for data in ({"text": "\ud800"}, {"value": float("nan")}, {"value": object()}):
            with pytest.raises(NotSaved) as refused:
                log.append("note", "kim", data)
            assert refused.value.title == "Not saved"
            assert "cannot stand in the log" in refused.value.body
        assert not log_path(tmp_path).exists()
        with pytest.raises(NotSaved, match="offset"):
            log.append("note", "kim", {}, at=MORNING.replace(tzinfo=None))
        log.append("note", "kim", {"text": "fine"})
    assert len(reread(tmp_path)) == 2


def test_a_clock_that_jumps_is_flagged_and_changes_no_order(tmp_path: Path) -> None:
    clock = Clock()
    with open_log(tmp_path, clock=clock) as log:
        log.append("note", "kim", {})
        clock.now -= timedelta(hours=1)
        assert log.append("note", "kim", {}).clock == "back 3540 s"
        clock.now += timedelta(days=3)
        assert log.append("note", "kim", {}).clock == "ahead 259260 s"
        assert log.append("note", "kim", {}).clock == ""
    clock.now = MORNING.replace(year=1970)
    with open_log(tmp_path, clock=clock) as log:
        assert log.append("note", "kim", {}).clock.startswith("back ")
    assert [n for n, _ in reread(tmp_path)] == [1, 2, 3, 4, 5, 6]


def test_a_night_with_the_deck_open_is_no_jump(tmp_path: Path) -> None:
    clock, ticks = Clock(), iter([0.0, 60.0, 14 * 3600.0 + 120, 14 * 3600.0 + 180])
    with open_log(tmp_path, clock=clock, monotonic=lambda: next(ticks)) as log:
        log.append("note", "kim", {})
        clock.now += timedelta(hours=14)
        assert log.append("note", "kim", {}).clock == ""
        clock.now -= timedelta(hours=2)
        assert log.append("note", "kim", {}).clock == "back 7200 s"


def test_a_time_may_be_given(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        at = MORNING.replace(hour=9).astimezone(ZONE)
        assert log.append("note", "kim", {}, at=at).at == at


def test_a_log_that_is_a_folder_or_in_no_folder(tmp_path: Path) -> None:
    log_path(tmp_path).mkdir(parents=True)
    with open_log(tmp_path) as log:
        assert log.read_only
        assert log.messages[0] == "log/shed.jsonl cannot be read: it is a folder"
        with pytest.raises(NotSaved):
            log.append("note", "kim", {})
    (tmp_path / "other").mkdir()
    (tmp_path / "other/log").write_bytes(b"")
    with pytest.raises(NotADirectoryError):
        open_log(tmp_path / "other", state_folder=tmp_path / "state")
    (tmp_path / "other/log").unlink()
    with open_log(tmp_path / "other", state_folder=tmp_path / "state") as log:
        assert not log.read_only, "its lock was given back"


def test_a_state_folder_that_cannot_be_used(tmp_path: Path) -> None:
    (tmp_path / "state").write_bytes(b"")
    with open_log(tmp_path) as log:
        assert log.read_only
        assert "no lock can be taken" in log.messages[0]


def test_a_log_without_open_needs_no_lock(tmp_path: Path) -> None:
    log = LogFile(tmp_path, "shed", job="QL-31", clock=Clock(), disk=FakeDisk())
    log.append("note", "kim", {})
    log.close()
    assert len(reread(tmp_path)) == 2
