"""Commands as programs: in a terminal, in a pipe, with other character sets, with nobody reading."""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from pourdeck.example import IMPERIAL, METRIC, example_folder
from tests.bench.terminal import Terminal
from tests.commands.conftest import Job
from tests.commands.kit import Command, one_panel_cast
from tests.commands.kit_terminal import COLOURS, MODULE, ROOT, SGR, environment, in_terminal, piped
from tests.walk.kit import JOB

OVERHANG = JOB.replace('mark = "P2"\nwidth = 3000', 'mark = "P2"\nwidth = 3200')

BOARD = ("board", example_folder(METRIC))


def test_a_terminal_has_colours_and_no_line_is_wider(tmp_path: Path):
    code, painted = in_terminal(tmp_path, *BOARD)
    assert code == 0
    assert COLOURS.search(painted)
    plain = SGR.sub("", painted)
    assert "\x1b" not in plain
    assert max(map(len, plain.splitlines())) <= 80


@pytest.mark.parametrize("more", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=str)
def test_where_no_colour_is_wanted_there_is_none(more: dict[str, str], tmp_path: Path):
    """NO_COLOR: no-color.org, set and not empty."""
    code, painted = in_terminal(tmp_path, *BOARD, **more)
    assert code == 0
    assert "Quarry Lane" in painted
    assert not COLOURS.search(painted)
    assert ("\x1b" in painted) is (more.get("TERM") != "dumb"), "bold may stay"


@pytest.mark.parametrize("more", [{}, {"FORCE_COLOR": "1"}, {"TTY_COMPATIBLE": "1"}], ids=str)
def test_piped_it_is_plain(more: dict[str, str], tmp_path: Path):
    done = piped(tmp_path, *BOARD, TERM="xterm-256color", **more)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"\x1b" not in done.stdout
    assert not [line for line in done.stdout.splitlines() if line.endswith(b" ")]


def test_json_in_a_terminal_is_the_same_document(tmp_path: Path):
    code, painted = in_terminal(tmp_path, *BOARD, "--json", columns=10_000)
    assert code == 0
    assert json.loads(painted) == json.loads(piped(tmp_path, *BOARD, "--json").stdout)


@pytest.mark.parametrize("columns", [1, 20, 60])
def test_a_narrow_terminal_cuts_nothing(columns: int, tmp_path: Path):
    words = ("setout", example_folder(IMPERIAL), "1", "2")
    _, narrow = in_terminal(tmp_path, *words, columns=columns, NO_COLOR="1", TERM="dumb")
    wide = piped(tmp_path, *words).stdout.decode("utf-8")
    assert [c for c in narrow if c.isalnum()] == [c for c in wide if c.isalnum()]


ASCII = [{"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
         {"PYTHONIOENCODING": "ascii"}, {"PYTHONIOENCODING": "cp437"}]  # fmt: skip


@pytest.mark.parametrize("more", ASCII, ids=str)
def test_other_character_sets_get_plain_signs(more: dict[str, str], tmp_path: Path):
    done = piped(tmp_path, "setout", example_folder(METRIC), "A", "3", **more)
    assert (done.returncode, done.stderr) == (0, b"")
    if more.get("PYTHONIOENCODING") != "cp437":
        assert done.stdout.isascii()
        assert b"7200 mm x 8700 mm x 150 mm" in done.stdout
        assert b"8.80 m3" in done.stdout


def test_messages_take_any_character_set(tmp_path: Path):
    done = piped(tmp_path, "check", "/nowhere/é漢", PYTHONIOENCODING="ascii")
    assert done.returncode == 2
    assert b"\\xe9\\u6f22" in done.stderr


@pytest.mark.parametrize("form", [(), ("--json",)], ids=["people", "json"])
def test_a_reader_that_has_had_enough_is_no_fault(form: tuple[str, ...], tmp_path: Path):
    """As `| head -1`: the other end of the pipe is closed before anything is written."""
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [*MODULE, "log", str(example_folder(METRIC)), *form],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
        env=environment(tmp_path, {}),
    )
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")


def test_errors_are_told_by_the_exit_code_though_nobody_reads(tmp_path: Path, job: Job):
    folder = job(OVERHANG)
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [*MODULE, "check", str(folder)],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
        env=environment(tmp_path, {}),
    )
    os.close(writer)
    assert (done.returncode, done.stderr) == (1, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device to write to")
@pytest.mark.parametrize("form", [(), ("--json",)], ids=["people", "json"])
def test_output_that_cannot_be_written_is_told(form: tuple[str, ...], tmp_path: Path):
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*MODULE, *map(str, BOARD), *form],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            env=environment(tmp_path, {}),
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"pourdeck: the output cannot be written: no space left")
    assert len(done.stderr.splitlines()) == 2


def test_closed_streams_are_no_fault(tmp_path: Path):
    words = " ".join(f"'{word}'" for word in (*MODULE, *BOARD))
    env = environment(tmp_path, {})
    for closed in (">&-", ">&- 2>&-", "<&- >&- 2>&-"):
        done = subprocess.run(["sh", "-c", f"{words} {closed}"], check=False, env=env)
        assert done.returncode == 0, closed


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write and read anyway"
)
def test_a_folder_that_cannot_be_written_is_read(tmp_path: Path, command: Command):
    folder = one_panel_cast(tmp_path)
    for path in (folder / "log" / "shed.jsonl", folder / "log", folder):
        path.chmod(path.stat().st_mode & ~0o222)
    try:
        for words in (("check",), ("board",), ("log",), ("setout", "A", "1")):
            assert command(words[0], folder, *words[1:]).code == 0
    finally:
        for path in (folder, folder / "log", folder / "log" / "shed.jsonl"):
            path.chmod(path.stat().st_mode | 0o200)


def test_the_program_is_found_by_its_module(tmp_path: Path):
    done = piped(tmp_path, "--version")
    assert done.returncode == 0
    assert done.stdout.startswith(b"pourdeck ")


@pytest.mark.parametrize(
    ("words", "more"),
    [(["--ascii"], {}), ([], {"PYTHONIOENCODING": "ascii"}), ([], {"PYTHONIOENCODING": "latin-1"})],
    ids=str,
)
def test_the_deck_draws_with_what_the_terminal_has(
    words: list[str], more: dict[str, str], tmp_path: Path
):
    shutil.copytree(example_folder(METRIC), tmp_path / "job")
    env = environment(tmp_path / "state", {"TERM": "xterm-256color", **more})
    command = [*MODULE, "open", str(tmp_path / "job"), *words]
    with Terminal(command, env, ROOT) as terminal:
        terminal.wait_for("Stack A", "F1 Help")
        assert terminal.painted.isascii()


def test_the_deck_draws_with_lines_where_it_can(tmp_path: Path):
    shutil.copytree(example_folder(METRIC), tmp_path / "job")
    env = environment(tmp_path / "state", {"TERM": "xterm-256color"})
    with Terminal([*MODULE, "open", str(tmp_path / "job")], env, ROOT) as terminal:
        terminal.wait_for("Stack A", "F1 Help")
        assert "├" in terminal.painted
