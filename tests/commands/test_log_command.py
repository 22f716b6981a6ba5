"""`log`: a log that is whole, torn or damaged, and heads that were noted elsewhere."""

import re
from pathlib import Path

import pytest

from pourdeck.example import example_folder
from tests.commands.conftest import Job
from tests.commands.kit import READING, Command, one_panel_cast
from tests.commands.test_exit_codes import could_not
from tests.walk.kit import HAND, JOB


@pytest.fixture
def cast(tmp_path: Path) -> Path:
    return one_panel_cast(tmp_path)


def lines(folder: Path) -> list[bytes]:
    return (folder / "log" / "shed.jsonl").read_bytes().splitlines(keepends=True)


def write(folder: Path, those: list[bytes]) -> None:
    (folder / "log" / "shed.jsonl").write_bytes(b"".join(those))


def test_a_diary_of_every_entry(cast: Path, command: Command):
    done = command("log", cast)
    assert done.code == 0
    assert "Monday 02 March 2026, UTC+0000" in done.out
    assert sum(" P1: answer: " in line for line in done.out.splitlines()) > 50
    assert f"log/shed.jsonl: {len(lines(cast))} entries, head {len(lines(cast))}:" in done.out
    assert done.out.endswith(", whole\n")


def test_no_key_of_the_log_is_shown_to_people(command: Command):
    """Neither of an item nor of a measurement, and no time but by the clock."""
    page = command("log", example_folder()).out
    assert not re.search(r": [a-z-]+\.[a-z-]+(/|:)|_bl\b|_base\b|\dT\d\d:", page)


def test_a_job_in_feet_and_inches_has_its_diary_in_them(command: Command, job: Job):
    folder = job(JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"'))
    change = ("--width", "9' 6\"", "--apply", "--by", "Ada Reed", "--reason", "rev D")
    assert command("shrink", folder, "A", "2", *change).code == 0
    assert "9' 6\" × " in command("log", folder).out


def test_verify_says_only_whether_it_is_whole(cast: Path, command: Command):
    done = command("log", cast, "--verify")
    assert done.code == 0
    assert len(done.out.splitlines()) == 1


def test_a_torn_last_line_is_not_whole(cast: Path, command: Command):
    write(cast, [*lines(cast), b'{"n":'])
    done = command("log", cast, "--verify", "--json")
    assert done.code == 1
    (station,) = done.document["stations"]
    assert (station["whole"], station["torn"], station["faults"]) == (False, True, [])
    page = command("log", cast, "--verify")
    assert page.code == 1
    assert "NOT WHOLE" in page.out
    assert "The last line is incomplete" in page.out


def test_damage_is_reported_with_its_line(cast: Path, command: Command):
    every = lines(cast)
    every[6] = every[6].replace(b'"pass"', b'"fail"')
    write(cast, every)
    done = command("log", cast, "--json")
    assert done.code == 1
    (station,) = done.document["stations"]
    assert station["whole"] is False
    assert [(one["line"], one["code"]) for one in station["faults"]] == [(7, "wrong-seal")]
    page = command("log", cast, "--verify").out
    assert "NOT WHOLE" in page
    assert "line 7: " in page


def test_a_log_that_is_cut_short_shows_by_a_noted_head(cast: Path, command: Command):
    head = command("log", cast, "--json").document["stations"][0]["head"]
    assert command("log", cast, "--head", head).code == 0
    found = command("log", cast, "--verify", "--head", head[:12], "--json")
    assert found.code == 0
    assert found.document["head"]["found"] is True
    assert found.document["head"]["after"] == 0
    write(cast, lines(cast)[:-1])
    lost = command("log", cast, "--verify", "--head", head[:12], "--json")
    assert lost.code == 1
    assert lost.document["stations"][0]["whole"] is False, "the record knew its end"
    assert lost.document["head"]["found"] is False
    assert "cut short" in command("log", cast, "--verify", "--head", head[:12]).out


def test_a_head_that_a_whole_log_lacks_ends_with_1(cast: Path, command: Command):
    lost = command("log", cast, "--verify", "--head", "0" * 12, "--json")
    assert lost.code == 1
    assert lost.document["stations"][0]["whole"] is True
    assert lost.document["head"]["found"] is False


def test_the_other_commands_find_damage_too(cast: Path, command: Command):
    every = lines(cast)
    write(cast, [*every[:3], *every[4:]])
    check = command("check", cast, "--json")
    assert check.code == 1
    errors = [one for one in check.document["findings"] if one["severity"] == "error"]
    assert errors[0]["where"]["file"] == "log/shed.jsonl"
    assert command("board", cast).code == 1
    for name in ("setout", "shrink"):
        done = command(name, cast, *READING[name], "--json")
        assert "pourdeck: note: log/shed.jsonl, line 4: " in done.err
        assert done.document["panel"] == 2, "the document stands alone on standard output"


def test_several_stations_are_told_apart(cast: Path, command: Command):
    words = ("A", "1", "width_base=3001", "--by", HAND, "--reason", "again", "--station", "north")
    assert command("ascast", cast, *words).code == 0
    done = command("log", cast)
    assert re.search(r"log/north-[0-9a-f]{4}\.jsonl: 2 entries", done.out)
    assert any(" north-" in line and "as cast" in line for line in done.out.splitlines())


def test_a_log_folder_that_cannot_be_listed_is_named(job: Job, command: Command):
    folder = job(JOB)
    (folder / "log").touch()
    for name in READING:
        assert "log" in could_not(command(name, folder, *READING[name]))
