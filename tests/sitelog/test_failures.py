"""A disk that is full, breaks or lies: what was said to be saved is there, the rest was refused."""

import errno
from pathlib import Path

import pytest

from pourdeck.sitelog.logfile import LogFile, NotSaved
from pourdeck.sitelog.scan import scan
from pourdeck.sitelog.union import read_union
from tests.sitelog.kit import FakeDisk, fail, log_path, make_log, open_log, put_log, small_log

BROKEN = OSError(errno.EIO, "Input/output error")
FULL = OSError(errno.ENOSPC, "No space left on device")

TORN = b'{"n":4,"at":"20'
"""What an interrupted write leaves after three entries."""


def note(log: LogFile, number: int) -> str:
    """Save a note, and give back its text once it is said to be saved."""
    text = f"note {number}"
    log.append("note", "kim", {"panel": "W07", "item": None, "text": text})
    return text


def texts(folder: Path) -> list[str]:
    return [each.data["text"] for each in read_union(folder).entries if each.kind == "note"]


@pytest.mark.parametrize("error", [FULL, BROKEN], ids=["full", "broken"])
@pytest.mark.parametrize("most", [1 << 30, 100])
@pytest.mark.parametrize("call", ["make folder", "sync folder", "create", "write", "fsync"])
def test_failing_once_at_any_call_loses_nothing_that_was_said_to_be_saved(
    tmp_path: Path, call: str, most: int, error: OSError
) -> None:
    for at in range(1, 14):
        folder = tmp_path / str(at)
        folder.mkdir()
        disk = FakeDisk()
        disk.most = most
        log = open_log(folder, disk=disk)
        disk.before[call] = fail(error, at=disk.calls.count(call) + at)
        saved: list[str] = []
        refused = 0
        for number in range(4):
            for _ in range(3):
                try:
                    saved.append(note(log, number))
                    break
                except NotSaved:
                    refused += 1
                    assert texts(folder) == saved, "what was refused is not in the log"
        log.close()
        assert saved == [f"note {number}" for number in range(4)]
        assert refused <= 1
        assert texts(folder) == saved
        assert read_union(folder).faults == ()
        with open_log(folder) as again:
            assert not again.read_only
            saved.append(note(again, 4))
        assert texts(folder) == saved


def test_the_failures_above_do_happen(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.before["fsync"] = fail(BROKEN, at=1)
    with open_log(tmp_path, disk=disk) as log, pytest.raises(NotSaved, match="input/output error"):
        note(log, 1)


def test_a_failed_sync_is_final_for_the_file(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        head, before = log.head, log_path(tmp_path).read_bytes()
        disk.before["fsync"] = fail(BROKEN, at=disk.calls.count("fsync") + 1)
        with pytest.raises(NotSaved) as refused:
            note(log, 2)
        assert refused.value.title == ("Not saved: the disk did not confirm it: input/output error")
        assert "log/shed.jsonl is closed" in refused.value.body
        assert (log.n, log.head) == (2, head)
        assert log_path(tmp_path).read_bytes() == before
        log.fresh()
        note(log, 2)
        assert log.file == "log/shed-2.jsonl"
        assert log.messages == ["The log goes on in log/shed-2.jsonl."]
        start, entry = log.fresh()
        assert start.data["continues"] == {"file": "log/shed.jsonl", "n": 2, "head": head}
        assert (start.data["station"], entry.station, entry.n) == ("shed", "shed-2", 2)
        assert log_path(tmp_path).read_bytes() == before
    with open_log(tmp_path) as log:
        assert (log.file, log.n, log.messages) == ("log/shed-2.jsonl", 2, [])
        note(log, 3)
    assert texts(tmp_path) == ["note 1", "note 2", "note 3"]


def test_sync_after_sync_failing(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        disk.before["fsync"] = fail(BROKEN, at=disk.calls.count("fsync") + 1, times=3)
        for _ in range(3):
            with pytest.raises(NotSaved):
                note(log, 2)
        note(log, 2)
        start = log.fresh()[-2]
        assert start.data["continues"]["file"] == "log/shed.jsonl"
        assert start.data["continues"]["n"] == 2
    assert texts(tmp_path) == ["note 1", "note 2"]
    with open_log(tmp_path) as log:
        note(log, 3)
    assert texts(tmp_path) == ["note 1", "note 2", "note 3"]


def test_nothing_is_added_where_what_was_saved_is_gone(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        note(log, 2)
        disk.before["fsync"] = fail(BROKEN, at=disk.calls.count("fsync") + 1)
        with pytest.raises(NotSaved):
            note(log, 3)
        whole = log_path(tmp_path).read_bytes()
        log_path(tmp_path).write_bytes(whole.rsplit(b"\n", 2)[0] + b"\n")
        for _ in range(2):
            with pytest.raises(NotSaved, match="no longer holds all 3 entries"):
                note(log, 3)
        log_path(tmp_path).write_bytes(whole)
        note(log, 3)
    assert texts(tmp_path) == ["note 1", "note 2", "note 3"]


def test_an_entry_that_was_refused_and_could_not_be_cut_off(tmp_path: Path) -> None:
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        log.fresh()
        disk.before["fsync"] = fail(BROKEN, at=disk.calls.count("fsync") + 1)
        disk.before["truncate"] = fail(BROKEN)
        with pytest.raises(NotSaved):
            note(log, 2)
        note(log, 3)
        assert log.messages[0] == "Entry 3 of log/shed.jsonl was saved after all."
        assert [(each.station, each.n) for each in log.fresh()] == [
            ("shed", 3), ("shed-2", 1), ("shed-2", 2),
        ]  # fmt: skip
    assert texts(tmp_path) == ["note 1", "note 2", "note 3"]


def test_a_half_line_that_could_not_be_cut_off_stays_the_last(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.most = 100
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        disk.before["write"] = fail(FULL, at=disk.calls.count("write") + 2)
        disk.before["truncate"] = fail(BROKEN)
        with pytest.raises(NotSaved, match="no space left"):
            note(log, 2)
        note(log, 2)
    assert texts(tmp_path) == ["note 1", "note 2"]
    union = read_union(tmp_path)
    assert (union.waiting, union.faults) == (("log/shed.jsonl",), ())


def test_a_disk_that_is_full_at_any_byte(tmp_path: Path) -> None:
    """By the system's own limit on the size of a file: a short write first, then a refusal."""
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    with open_log(tmp_path) as log:
        note(log, 1)
        size = log_path(tmp_path).stat().st_size
        record = size - len(small_log(0))
        for room in range(0, record, 3):
            resource.setrlimit(resource.RLIMIT_FSIZE, (size + room, hard))
            try:
                with pytest.raises(NotSaved, match="as it was before"):
                    note(log, 2)
            finally:
                resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
            assert log_path(tmp_path).stat().st_size == size
        note(log, 2)
    assert texts(tmp_path) == ["note 1", "note 2"]
    assert log_path(tmp_path).read_bytes().count(b"\n") == 3


def test_a_disk_that_is_full_keeps_the_place_of_a_new_file(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.before["write"] = fail(FULL, at=2, times=2)
    with open_log(tmp_path, disk=disk) as log:
        for _ in range(2):
            with pytest.raises(NotSaved, match="no space left"):
                note(log, 1)
        note(log, 1)
    assert texts(tmp_path) == ["note 1"]
    assert [path.name for path in (tmp_path / "log").iterdir()] == ["shed.jsonl"]


def test_an_interruption_in_the_middle_of_a_line(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.most = 50
    with open_log(tmp_path, disk=disk) as log:
        note(log, 1)
        size = log_path(tmp_path).stat().st_size
        at = disk.calls.count("write") + 2

        def interrupt(number: int) -> None:
            if number == at:
                raise KeyboardInterrupt

        disk.before["write"] = interrupt
        with pytest.raises(KeyboardInterrupt):
            note(log, 2)
        assert log_path(tmp_path).stat().st_size == size
        note(log, 2)
    assert texts(tmp_path) == ["note 1", "note 2"]


def test_a_file_that_is_removed_while_open(tmp_path: Path) -> None:
    with open_log(tmp_path) as log:
        note(log, 1)
        copy = log_path(tmp_path).read_bytes()
        log_path(tmp_path).unlink()
        with pytest.raises(NotSaved, match="removed or replaced"):
            note(log, 2)
        with pytest.raises(NotSaved, match="cannot be read back"):
            note(log, 2)
        log_path(tmp_path).write_bytes(copy)
        note(log, 2)
    assert texts(tmp_path) == ["note 1", "note 2"]


def test_another_program_that_writes_to_the_file(tmp_path: Path) -> None:
    entries, data = make_log()
    put_log(tmp_path, data)
    with open_log(tmp_path) as log:
        log_path(tmp_path).write_bytes(data + b"someone was here\n")
        with pytest.raises(NotSaved, match="another program wrote"):
            note(log, 1)
        assert log_path(tmp_path).read_bytes() == data + b"someone was here\n"
        assert log.n == len(entries)


@pytest.mark.parametrize("call", ["open", "create", "write", "fsync", "sync folder", "truncate"])
def test_a_torn_tail_that_cannot_be_set_aside_is_left(tmp_path: Path, call: str) -> None:
    data = small_log(2)
    put_log(tmp_path, data + TORN)
    disk = FakeDisk()
    disk.before[call] = fail(FULL, at=2 if call in ("create", "write") else 1)
    with open_log(tmp_path, disk=disk) as log:
        assert log.read_only
        assert "no space left" in log.messages[-1]
        with pytest.raises(NotSaved):
            note(log, 1)
    left = log_path(tmp_path).read_bytes()
    assert left == data + TORN
    with open_log(tmp_path) as log:
        note(log, 1)
    assert texts(tmp_path) == ["note 1"]


def test_a_missing_newline_that_cannot_be_written(tmp_path: Path) -> None:
    data = small_log(2)
    put_log(tmp_path, data[:-1])
    disk = FakeDisk()
    disk.before["write"] = fail(FULL, at=2)
    with open_log(tmp_path, disk=disk) as log:
        assert log.read_only
    with open_log(tmp_path) as log:
        assert log.messages == []
    assert log_path(tmp_path).read_bytes() == data


@pytest.mark.parametrize("error", [PermissionError(errno.EACCES, "Permission denied"), BROKEN])
def test_a_file_that_cannot_be_read(tmp_path: Path, error: OSError) -> None:
    class Blind(FakeDisk):
        def read(self, path: Path) -> bytes:
            if path.suffix == ".jsonl":
                raise error
            return super().read(path)

    put_log(tmp_path, small_log(2))
    with open_log(tmp_path, disk=Blind()) as log:
        assert log.read_only
        assert "log/shed.jsonl cannot be read" in log.messages[0]
    union = read_union(tmp_path, disk=Blind())
    assert [fault.code for fault in union.faults] == ["unreadable"]


def test_a_file_that_may_not_be_written(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(2))
    disk = FakeDisk()
    disk.before["open"] = fail(PermissionError(errno.EACCES, "Permission denied"))
    with open_log(tmp_path, disk=disk) as log:
        assert log.messages == ["log/shed.jsonl is read only: permission denied."]
        assert len(log.scans[0].entries) == 3


def test_scan_of_what_is_left_never_raises(tmp_path: Path) -> None:
    """After a decision that fails, the log is read only as before."""
    put_log(tmp_path, small_log(3).replace(b"right-1", b"right-9"))
    disk = FakeDisk()
    with open_log(tmp_path, disk=disk) as log:
        disk.before["create"] = fail(FULL, at=disk.calls.count("create") + 1)
        with pytest.raises(NotSaved, match="no space"):
            log.go_on("kim", "seen")
        assert log.read_only
        assert log.file == "log/shed.jsonl"
        log.go_on("kim", "seen")
        note(log, 1)
    assert scan(log_path(tmp_path, "shed-2").read_bytes(), "shed-2.jsonl").whole
