"""One writer: the kernel keeps the lock and frees it, and a note says who has it."""

import errno
import fcntl
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourdeck.sitelog.lock import Holder, StationLock
from pourdeck.sitelog.logfile import LogFile

HOLD = """
import sys
from pathlib import Path
from pourdeck.sitelog.lock import StationLock
lock = StationLock(Path(sys.argv[1]), Path(sys.argv[2]))
print(lock.take(host="shed-laptop", user="sam", since="2025-11-03T06:30:00+11:00"), flush=True)
sys.stdin.read()
"""


def lock(folder: Path, name: str = "shed") -> StationLock:
    return StationLock(folder / "state", folder / "log" / f"{name}.jsonl")


def take(one: StationLock) -> bool:
    return one.take(host="office", user="kim", since="2025-11-03T07:00:00+11:00")


def test_a_second_taker_is_refused_and_told_who(tmp_path: Path) -> None:
    first, second = lock(tmp_path), lock(tmp_path)
    assert take(first)
    assert not take(second)
    holder = second.holder()
    assert (holder.host, holder.user, holder.since) == (
        "office",
        "kim",
        "2025-11-03T07:00:00+11:00",
    )
    first.release()
    assert take(second)
    second.release()


def test_another_login_has_another_state_folder_and_the_same_log(tmp_path: Path) -> None:
    path = tmp_path / "log/shed.jsonl"
    path.parent.mkdir()
    path.write_bytes(b"")
    mine = StationLock(tmp_path / "state", path)
    theirs = StationLock(tmp_path / "other state", path)
    assert take(mine)
    assert mine.lock_log(path)
    assert take(theirs)
    assert not theirs.lock_log(path)
    assert "another login" in str(theirs.holder())
    mine.release()
    assert theirs.lock_log(path)
    theirs.release()


def test_a_log_that_is_begun_later_is_locked_from_its_first_entry(tmp_path: Path) -> None:
    logs = [
        LogFile.open(
            tmp_path,
            "shed",
            job="TY-1",
            clock=lambda: datetime(2026, 3, 2, 6, 0, tzinfo=UTC),
            state_folder=tmp_path / state,
        )
        for state in ("one", "two")
    ]
    assert not logs[0].read_only
    logs[0].append("note", "Ada Reed", {"panel": "P1", "item": None, "text": "dry"})
    late = LogFile.open(
        tmp_path,
        "shed",
        job="TY-1",
        clock=lambda: datetime(2026, 3, 2, 6, 1, tzinfo=UTC),
        state_folder=tmp_path / "three",
    )
    assert late.read_only
    assert late.holder is not None
    for one in (*logs, late):
        one.close()


def test_a_file_system_without_locks_leaves_the_one_in_the_state_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "log/shed.jsonl"
    path.parent.mkdir()
    path.write_bytes(b"")
    flock = fcntl.flock

    def no_locks_there(fd: int, how: int) -> None:
        if os.path.sameopenfile(fd, log_fd):
            raise OSError(errno.ENOLCK, "No locks available")
        flock(fd, how)

    with path.open("rb") as there:
        log_fd = there.fileno()
        monkeypatch.setattr(fcntl, "flock", no_locks_there)
        first, second = lock(tmp_path), lock(tmp_path)
        assert take(first)
        assert not take(second)
        first.release()


def test_another_station_is_another_lock(tmp_path: Path) -> None:
    shed, office = lock(tmp_path), lock(tmp_path, "office")
    assert take(shed)
    assert take(office)
    shed.release()
    office.release()


def test_two_names_of_one_folder_are_one_lock(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "job")
    one = StationLock(tmp_path / "state", tmp_path / "job/log/shed.jsonl")
    other = StationLock(tmp_path / "state", tmp_path / "link/log/shed.jsonl")
    assert take(one)
    assert not take(other)
    one.release()


@pytest.mark.parametrize("round_", range(5))
def test_a_killed_holder_lets_go(tmp_path: Path, round_: int) -> None:
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path / "state"), str(tmp_path / "log/shed.jsonl")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "True\n"
        mine = lock(tmp_path)
        assert not take(mine)
        assert mine.holder().pid == holder.pid
        assert str(mine.holder()).startswith(
            f"sam on shed-laptop, process {holder.pid}, since 2025"
        )
        holder.kill()
        holder.wait()
        assert take(mine)
        mine.release()


@pytest.mark.parametrize("note", [b"", b"{", b"[]", b'{"pid": "x"}', b"\xff", b"[" * 100_000])
def test_a_note_that_cannot_be_read_is_somebody(tmp_path: Path, note: bytes) -> None:
    first, second = lock(tmp_path), lock(tmp_path)
    assert take(first)
    (path,) = (tmp_path / "state/locks").glob("*.json")
    path.write_bytes(note)
    assert not take(second)
    assert second.holder() == Holder()
    assert str(second.holder()) == "someone"
    first.release()


def test_opening_the_log_again_in_the_same_program_does_not_free_the_lock(tmp_path: Path) -> None:
    first, second = lock(tmp_path), lock(tmp_path)
    assert take(first)
    for path in (tmp_path / "state/locks").iterdir():
        path.read_bytes()
    assert not take(second)
    first.release()
