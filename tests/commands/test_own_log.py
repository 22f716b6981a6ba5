"""An own log that is no file: every command says what it is, and none takes it for a job without a log."""

import errno
import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.sitelog.disk import path_digest
from tests.commands.kit import READING, WRITING, Command, one_panel_cast
from tests.deck import driver
from tests.deck.kit import Ticks, page
from tests.walk.kit import open_desk

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links and pipes are other there")

LOG = "shed.jsonl"


def replaced(make: Callable[[Path], None]) -> Callable[[Path], None]:
    def put(log: Path) -> None:
        (log / LOG).unlink()
        make(log / LOG)

    return put


def another_line(line: bytes) -> Callable[[Path], None]:
    return lambda log: (log / LOG).write_bytes((log / LOG).read_bytes() + line) and None


NO_FILE: dict[str, tuple[Callable[[Path], None], str]] = {
    "folder": (replaced(Path.mkdir), "it is a folder"),
    "dangling": (replaced(lambda path: path.symlink_to("nowhere")), "it is a link to nothing"),
    "loop": (replaced(lambda path: path.symlink_to(LOG)), "a link that cannot be followed"),
    "pipe": (replaced(os.mkfifo), "it is no ordinary file"),
    "device": (replaced(lambda path: path.symlink_to("/dev/zero")), "it is no ordinary file"),
    "foreign": (another_line(b"shopping: bread\n"), "the line is not JSON"),
    "foreign json": (another_line(b'{"n": 1}\n'), "the line is JSON, but no entry"),
}


@pytest.mark.parametrize("name", NO_FILE)
def test_every_command_says_what_it_is(name: str, command: Command, tmp_path: Path) -> None:
    make, says = NO_FILE[name]
    folder = one_panel_cast(tmp_path)
    make(folder / "log")
    for reader, words in READING.items():
        for more in ((), ("--json",)):
            done = command(reader, folder, *words, *more)
            told = " ".join(f"{done.out} {done.err}".split())
            assert done.code == 1, (reader, done.err)
            assert says in told, reader
            assert "no log yet" not in told
    assert command("log", folder, "--verify").code == 1
    for writer, words in WRITING.items():
        done = command(writer, folder, *words)
        assert done.code == 2, (writer, done.err)
        assert "something is wrong in pourdeck itself" not in done.err


@pytest.mark.parametrize("name", ["file", "loop"])
def test_a_log_folder_that_is_none_can_be_read_by_no_command(
    name: str, command: Command, tmp_path: Path
) -> None:
    folder = one_panel_cast(tmp_path)
    (folder / "log" / LOG).unlink()
    (folder / "log").rmdir()
    if name == "file":
        (folder / "log").write_text("x", encoding="utf-8")
    else:
        (folder / "log").symlink_to("log")
    why = os.strerror(errno.ENOTDIR if name == "file" else errno.ELOOP)
    for one, words in (*READING.items(), *WRITING.items()):
        done = command(one, folder, *words)
        assert (done.code, done.out) == (2, ""), (one, done.err)
        assert f"{folder / 'log'}: {why}. Put it right" in done.err


@pytest.mark.parametrize("name", ["folder", "loop", "foreign"])
async def test_the_deck_shows_it_and_records_nothing(name: str, tmp_path: Path) -> None:
    make, says = NO_FILE[name]
    make(one_panel_cast(tmp_path) / "log")
    desk = open_desk(tmp_path)
    app = DeckApp(desk, None, monotonic=Ticks())
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        assert says in " ".join(page(app).split())
        assert desk.read_only
        app.go("log")
        await driver.settle(app)
        await driver.press(app, "v")
        assert says in " ".join(page(app).split())


def test_the_name_of_a_state_file_is_that_of_the_folder_however_it_is_written(
    tmp_path: Path,
) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "link").symlink_to("job")
    (tmp_path / "loop").symlink_to("loop")
    assert path_digest(tmp_path / "link") == path_digest(tmp_path / "job")
    assert path_digest(tmp_path / "loop") != path_digest(tmp_path / "job")
