"""The order of the calls that touch record files, and what a failure of each leaves behind."""

import ast
import errno
import os
from pathlib import Path

import pytest

import pourdeck.sitelog
from pourdeck.sitelog.disk import DISK, Disk, ensure_folder, replace_file, write_all
from tests.sitelog.kit import FakeDisk, fail

FULL = OSError(errno.ENOSPC, "No space left on device")


def held_on_windows(code: int) -> OSError:
    error = PermissionError(errno.EACCES, "Access is denied")
    error.winerror = code  # type: ignore[attr-defined,unused-ignore]
    return error


def test_a_replaced_file_is_synced_before_it_gets_its_name(tmp_path: Path) -> None:
    path = tmp_path / "W07.toml"
    path.write_bytes(b"old")
    disk = FakeDisk()
    replace_file(path, b"new", disk=disk)
    assert disk.calls == ["create", "write", "fsync", "replace", "sync folder"]
    assert path.read_bytes() == b"new"
    assert [each.name for each in tmp_path.iterdir()] == ["W07.toml"]


@pytest.mark.parametrize("call", ["create", "write", "fsync", "replace"])
def test_a_failure_before_the_name_leaves_the_old_file_alone(tmp_path: Path, call: str) -> None:
    path = tmp_path / "W07.toml"
    path.write_bytes(b"old")
    disk = FakeDisk()
    disk.before[call] = fail(FULL)
    with pytest.raises(OSError, match="No space"):
        replace_file(path, b"new", disk=disk)
    assert path.read_bytes() == b"old"
    assert [each.name for each in tmp_path.iterdir()] == ["W07.toml"]


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "sync folder"])
def test_at_every_stop_the_file_is_old_or_new(tmp_path: Path, call: str) -> None:
    """The program dies at a call: nothing after it runs, not even the cleaning up."""

    class Dies(FakeDisk):
        dead = False

        def unlink(self, path: Path) -> None:
            if self.dead:
                raise OSError("dead")
            super().unlink(path)

    path = tmp_path / "W07.toml"
    path.write_bytes(b"old")
    disk = Dies()

    def die(_: int) -> None:
        disk.dead = True
        raise KeyboardInterrupt

    disk.before[call] = die
    with pytest.raises(KeyboardInterrupt):
        replace_file(path, b"new", disk=disk)
    assert path.read_bytes() == (b"new" if call == "sync folder" else b"old")
    replace_file(path, b"newer")
    assert path.read_bytes() == b"newer"
    assert [each.name for each in tmp_path.iterdir()] == ["W07.toml"]


@pytest.mark.parametrize("code", [5, 32, 33])
@pytest.mark.parametrize("times", range(7))
def test_a_file_held_on_windows_is_tried_again(tmp_path: Path, code: int, times: int) -> None:
    """The codes of access denied, sharing and lock violation, from memory of winerror.h."""
    disk = FakeDisk()
    disk.before["replace"] = fail(held_on_windows(code), times=times)
    waits: list[float] = []
    replace_file(tmp_path / "a", b"new", disk=disk, pause=waits.append)
    assert (tmp_path / "a").read_bytes() == b"new"
    assert len(waits) == times
    assert sum(waits) <= 2.5 + 1e-9


def test_a_file_held_for_longer_is_given_up(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.before["replace"] = fail(held_on_windows(32), times=99)
    waits: list[float] = []
    with pytest.raises(PermissionError):
        replace_file(tmp_path / "a", b"new", disk=disk, pause=waits.append)
    assert sum(waits) == pytest.approx(2.5)


def test_another_failure_to_replace_is_told_at_once(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.before["replace"] = fail(held_on_windows(17), times=99)
    waits: list[float] = []
    with pytest.raises(PermissionError):
        replace_file(tmp_path / "a", b"new", disk=disk, pause=waits.append)
    assert waits == []


def test_a_folder_that_cannot_be_synced_is_an_error(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.before["sync folder"] = fail(OSError(errno.EIO, "Input/output error"))
    with pytest.raises(OSError, match="Input/output"):
        replace_file(tmp_path / "a", b"new", disk=disk)


def test_syncing_a_folder_syncs_the_folder(tmp_path: Path) -> None:
    class Counts(Disk):
        synced = 0

        def fsync(self, fd: int) -> None:
            self.synced += 1
            super().fsync(fd)

    disk = Counts()
    disk.sync_folder(tmp_path)
    assert disk.synced == 1


def test_a_new_folder_is_made_to_last_in_its_parent(tmp_path: Path) -> None:
    disk = FakeDisk()
    ensure_folder(disk, tmp_path / "record")
    ensure_folder(disk, tmp_path / "record")
    assert disk.calls == ["make folder", "sync folder", "sync folder"]


@pytest.mark.parametrize("most", [1, 2, 7])
def test_short_writes_and_interruptions_are_continued(tmp_path: Path, most: int) -> None:
    disk = FakeDisk()
    disk.most = most
    disk.before["write"] = fail(InterruptedError(), at=2, times=3)
    fd = disk.open_new(tmp_path / "a")
    write_all(disk, fd, b"0123456789")
    disk.close(fd)
    assert (tmp_path / "a").read_bytes() == b"0123456789"


def test_a_disk_that_writes_nothing_is_not_asked_for_ever(tmp_path: Path) -> None:
    disk = FakeDisk()
    disk.most = 0
    fd = disk.open_new(tmp_path / "a")
    with pytest.raises(OSError, match="wrote nothing"):
        write_all(disk, fd, b"0123456789")
    disk.close(fd)


def test_what_lies_in_a_folder(tmp_path: Path) -> None:
    """A link that leads nowhere, or to itself, is told and hides nothing else."""
    assert DISK.listing(tmp_path / "log") == []
    (tmp_path / "a").write_bytes(b"")
    (tmp_path / "b").mkdir()
    (tmp_path / "c").symlink_to("a")
    (tmp_path / "d").symlink_to("nothing")
    (tmp_path / "e").symlink_to("e")
    os.mkfifo(tmp_path / "f")
    found = dict(DISK.listing(tmp_path))
    assert list(found) == list("abcdef")
    assert (found["a"], found["b"], found["c"]) == ("file", "a folder", "file")
    assert (found["d"], found["f"]) == ("a link to nothing", "no ordinary file")
    assert found["e"].startswith("a link that cannot be followed")
    with pytest.raises(FileNotFoundError):
        DISK.listing(tmp_path / "d")


def test_reading_back_gives_the_bytes(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 10_000)
    assert DISK.read_back(tmp_path / "a") == b"x" * 10_000


def test_only_one_module_touches_record_files() -> None:
    """No other opens, writes, renames or removes a file; `lock` alone opens a file of its own."""
    touching = {
        "open", "write", "fsync", "fdatasync", "ftruncate", "truncate", "replace", "rename", "unlink",
        "remove", "rmdir", "write_bytes", "write_text", "read_bytes", "read_text", "fork",
    }  # fmt: skip
    folder = Path(pourdeck.sitelog.__file__).parent
    found: set[tuple[str, str]] = set()
    for path in set(folder.glob("*.py")) - {folder / "disk.py"}:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            called = node.func
            if isinstance(called, ast.Name) and called.id == "open":
                found.add((path.name, "open"))
            if isinstance(called, ast.Attribute) and called.attr in touching:
                owner = ast.unparse(called.value)
                if not owner.endswith(("disk", "segment")):
                    found.add((path.name, f"{owner}.{called.attr}"))
    assert found == {("lock.py", "os.open")}
