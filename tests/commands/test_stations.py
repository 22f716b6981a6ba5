"""`stations`: who writes, how far each is, what is wrong, and the exit code."""

import re
from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.example import example_folder
from tests.commands.conftest import Job
from tests.commands.kit import Command, misses
from tests.sitelog.kit import MORNING, Clock, Site, act
from tests.walk.kit import JOB

NOTE = act("note", panel="P1", item=None, text="seen")

PROMISED = {
    "stations": [
        {
            "line": str, "station": str, "installation": str | None, "this_computer": bool, "files": [str],
            "copies": [{"file": str, "n": int}], "entries": int, "n": int, "at": str, "by": str,
            "head": str, "seen_by": [{"line": str, "n": int}], "awaited": int | None, "waiting": bool,
            "branch": bool, "faults": [str], "gone": [str],
            "clocks": [
                {
                    "line": str, "apart": bool, "least_ahead": float | None,
                    "most_ahead": float | None, "words": str,
                }
            ],
            "jumps": [{"n": int, "at": str, "clock": str}], "wrong": bool,
        }
    ],
    "gone": [str], "faults": [str], "not_here": [{"line": str, "n": int}],
    "unread": [{"file": str, "why": str, "wrong": bool}], "wrong": bool,
}  # fmt: skip


def two(root: Path, ahead: timedelta) -> Path:
    """A job folder of the shed with what the office wrote, whose clock is ahead."""
    site = Site(root)
    site.clocks["office"] = Clock(MORNING + ahead)
    site.say("shed", NOTE)
    site.bring("shed", "office")
    site.say("office", act("note", "kim", panel="P1", item=None, text="x"), station="office")
    site.bring("office", "shed")
    site.say("shed", NOTE)
    (site.folder("shed") / "job.toml").write_text(JOB, encoding="utf-8")
    return site.folder("shed")


def test_the_example_has_one_station_and_nothing_to_compare(command: Command):
    done = command("stations", example_folder())
    assert done.code == 0
    assert "nothing to compare: there is no other station" in done.out
    assert re.search(r"last entry +no\. \d+, .*, by .*, seal [0-9a-f]{12}; \d+ entries\n", done.out)


def test_a_job_that_nobody_has_written_to(command: Command, job: Job):
    done = command("stations", job(JOB))
    assert (done.code, done.out) == (0, "Nobody has written to this job yet.\n")


@pytest.mark.parametrize(("ahead", "code"), [(timedelta(), 0), (timedelta(days=3), 1)], ids=str)
def test_two_stations_and_their_clocks(
    tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch, ahead: timedelta, code: int
):
    folder = two(tmp_path, ahead)
    monkeypatch.setenv("POURDECK_STATE", str(tmp_path / "state of shed"))
    done = command("stations", folder)
    assert done.code == code
    assert (" ahead of shed-" in done.out) == (code == 1)
    assert ("agrees with " in done.out) == (code == 0)
    shed = next((folder / "log").glob("shed-*.jsonl")).stem
    assert f"{shed}, this computer\n" in done.out
    assert f"has seen {shed} up to no. 2 of 3" in done.out
    document = command("stations", folder, "--json").document
    assert misses(document, PROMISED) == []
    assert document["wrong"] == (code == 1)
    assert [one["this_computer"] for one in document["stations"]] == [False, True]


def test_damage_is_told_with_its_line_and_the_plan_need_not_be_readable(
    tmp_path: Path, command: Command
):
    folder = two(tmp_path, timedelta())
    path = next((folder / "log").glob("office-*.jsonl"))
    path.write_bytes(path.read_bytes().replace(b'"x"', b'"y"'))
    (folder / "job.toml").write_text("[[", encoding="utf-8")
    done = command("stations", folder)
    assert done.code == 1
    assert f"log/{path.name}, line 2: the entry was changed" in done.out
    assert command("stations", folder, "--json").code == 1


def test_a_fork_is_named_by_its_file_and_branch(tmp_path: Path, command: Command):
    """Neither command shows the sign between a file and its branch."""
    from tests.sitelog.kit import make_log, put_log

    put_log(tmp_path, make_log(NOTE, act("note", "sam", panel="P1", item=None, text="a"))[1])
    other = make_log(NOTE, act("note", "lee", panel="P1", item=None, text="b"))[1]
    (tmp_path / "log/shed (1).jsonl").write_bytes(other)
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    for name in ("stations", "log", "board"):
        done = command(name, tmp_path)
        assert done.code == 1
        assert "shed, branch " in done.out
        assert "~" not in done.out
