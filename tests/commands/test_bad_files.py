"""Every bad job file, given to every command: located findings, or one message; never a traceback."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.kit import READING, WRITING, Command, Done
from tests.walk.kit import JOB

PANEL = 'mark = "P1"\nwidth = 3000'


def text(content: str | bytes) -> Callable[[Path], None]:
    def write(folder: Path) -> None:
        raw = content if isinstance(content, bytes) else content.encode("utf-8")
        (folder / "job.toml").write_bytes(raw)

    return write


def with_width(value: str) -> Callable[[Path], None]:
    return text(JOB.replace("width = 3000", f"width = {value}", 1))


def huge(folder: Path) -> None:
    """40 MB of comments after a job that is right."""
    with (folder / "job.toml").open("wb") as file:
        file.write(JOB.encode("utf-8"))
        file.write((b"#" * 99 + b"\n") * 400_000)


UNREADABLE: dict[str, Callable[[Path], None]] = {
    "no folder": lambda folder: folder.rmdir(),
    "no job.toml": lambda folder: None,
    "a folder of that name": lambda folder: (folder / "job.toml").mkdir(),
    "a pipe of that name": lambda folder: os.mkfifo(folder / "job.toml"),
    "a link to itself": lambda folder: (folder / "job.toml").symlink_to("job.toml"),
    "not UTF-8": text(JOB.encode("utf-8") + b'# caf\xe9"\n'),
    "UTF-16": text(JOB.encode("utf-16")),
    "NUL": text(JOB + "# \0\n"),
    "broken TOML": text(JOB + "[[stack\n"),
    "a key twice": text("format = 1\nformat = 1\n"),
    "40 MB": huge,
    "deep lists": text("x = " + "[" * 20_000),
    "deep tables": text(f"[{'.'.join('a' * 3000)}]\n"),
    "a number without end": text(f"format = {'1' * 5000}\n"),
}

FAULTY: dict[str, Callable[[Path], None]] = {
    "an empty file": text(""),
    "an unknown key": text(JOB.replace("[kit]", '[kit]\nchamferr = 3\n"[/x]\\u001b" = 1')),
    "a number in quotes": with_width('"7200"'),
    "true": with_width("true"),
    "nan": with_width("nan"),
    "inf": with_width("inf"),
    "-inf": with_width("-inf"),
    "negative": with_width("-1"),
    "zero": with_width("0"),
    "a list": with_width("[7200]"),
    "a table": with_width("{ mm = 7200 }"),
    "a date": with_width("2025-01-01"),
    "a time": with_width("07:20:00"),
    "a number beyond any": with_width("1e999999999"),
    "no panels": text(JOB[: JOB.index("[[stack.panel]]")]),
    "no stacks": text(JOB[: JOB.index("[[stack]]")]),
    "panels that are no tables": text(JOB[: JOB.index("[[stack]]")] + "stack = [1, 2]\n"),
}

PLAN_ONLY: dict[str, Callable[[Path], None]] = {
    "duplicate marks": text(JOB.replace('"P2"', '"P1"')),
    "duplicate lift numbers": text(JOB.replace("lift = 1", "lift = 2")),
    "an opening outside": text(
        JOB.replace(
            PANEL,
            f'{PANEL}\nopenings = [ {{ name = "D", x = 2900, y = 0, width = 900, height = 90 }} ]',
        )
    ),
    "openings that overlap": text(
        JOB.replace(
            PANEL,
            f'{PANEL}\nopenings = [ {{ name = "D", x = 900, y = 0, width = 900, height = 90 }}, '
            '{ name = "E", x = 900, y = 0, width = 900, height = 90 } ]',
        )
    ),
}

COMMANDS = {**READING, "shrink --apply": WRITING["shrink"], "ascast": WRITING["ascast"]}


def run(command: Command, name: str, folder: Path, *more: str) -> Done:
    return command(name.partition(" ")[0], folder, *COMMANDS[name], *more)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "job"
    made.mkdir()
    return made


@pytest.mark.parametrize("bad", UNREADABLE)
def test_what_cannot_be_read_is_one_message(bad: str, folder: Path, command: Command):
    UNREADABLE[bad](folder)
    for name in COMMANDS:
        if name == "log" and bad != "no folder" and bad != "no job.toml":
            continue  # the log is read without the plan
        for form in ((), ("--json",)):
            done = run(command, name, folder, *form)
            assert (done.code, done.out) == (2, ""), name
            assert done.err.startswith("pourdeck: "), name
            assert "Traceback" not in done.err
            assert "Start it again" not in done.err, "a fault of the program"
            assert "\x1b" not in done.err
            assert "job" in done.err


@pytest.mark.parametrize("bad", FAULTY)
def test_what_is_faulty_is_found_with_its_line(bad: str, folder: Path, command: Command):
    FAULTY[bad](folder)
    for name in COMMANDS:
        if name == "log":
            continue
        done = run(command, name, folder, "--json")
        assert "Start it again" not in done.err, "a fault of the program"
        if name == "check":
            assert (done.code, done.err) == (1, "")
            findings = done.document["findings"]
            assert findings
            assert all(one["where"]["file"] == "job.toml" for one in findings)
            assert all(one["where"]["line"] >= 1 for one in findings)
        else:
            assert (done.code, done.out) == (2, ""), name
            assert "job.toml line" in done.err
        assert "\x1b" not in done.err


@pytest.mark.parametrize("bad", PLAN_ONLY)
def test_a_plan_that_does_not_fit_is_still_shown(bad: str, folder: Path, command: Command):
    PLAN_ONLY[bad](folder)
    done = command("check", folder, "--json")
    assert (done.code, done.err) == (1, "")
    assert all(one["where"] for one in done.document["findings"])
    for name in ("board", "setout", "shrink"):
        assert run(command, name, folder).code in (0, 1), name
