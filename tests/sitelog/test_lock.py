"""One writer: the kernel keeps the lock and frees it, and a note says who has it."""

import subprocess
import sys
from pathlib import Path

import pytest

from pourdeck.sitelog.lock import Holder, StationLock

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
