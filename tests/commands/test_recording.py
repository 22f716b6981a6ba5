"""Check what `shrink --apply` and `ascast` record, once each, and what they refuse to."""

import json
import re
import tomllib
from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.cli import main
from pourdeck.sitelog.lock import StationLock
from pourdeck.walk.authority import set_pin
from pourdeck.walk.records import Act
from tests.commands.kit import WRITING, Command, log_of, one_panel_cast
from tests.commands.test_exit_codes import could_not
from tests.walk.kit import CHECKER, FOREMAN, HAND, JOB, MORNING, Clock, on_second, open_desk
from tests.walk.kit import crew as made_crew

APPLY = ("--apply", "--by", FOREMAN, "--reason", "drawing rev D")


@pytest.fixture
def cast(tmp_path: Path) -> Path:
    """A job whose first panel is cast and whose second is not begun."""
    return one_panel_cast(tmp_path)


def entries(folder: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in log_of(folder).splitlines()]


def test_a_size_change_is_recorded_exactly_once(cast: Path, command: Command):
    before = len(entries(cast))
    done = command("shrink", cast, "A", "2", "--width", "2.9 m", *APPLY, "--json")
    assert (done.code, done.err) == (0, "")
    assert done.document["applied"] is True
    (entry,) = entries(cast)[before:]
    assert (entry["kind"], entry["by"]) == ("revise", FOREMAN)
    assert entry["data"] == {
        "panel": "P2",
        "before": {"width": "3000", "height": "3000", "thickness": "150", "align": "base-left"},
        "after": {"width": "2900", "height": "3000", "thickness": "150", "align": "base-left"},
        "reason": "drawing rev D",
        "cancels": [],
        "word": {"of": FOREMAN, "role": "foreman", "way": "here"},
    }
    assert command("setout", cast, "A", "2", "--json").document["width"] == 2900.0


def test_recorded_again_it_is_refused(cast: Path, command: Command):
    words = ("shrink", cast, "A", "2", "--width", "2900", *APPLY)
    assert command(*words).code == 0
    log = log_of(cast)
    assert "is that size already" in could_not(command(*words))
    assert log_of(cast) == log


def test_people_are_told_whether_it_is_recorded(cast: Path, command: Command):
    look = command("shrink", cast, "A", "2", "--width", "2900")
    assert look.out.endswith("Nothing is recorded.\n")
    done = command("shrink", cast, "A", "2", "--width", "2900", *APPLY)
    assert done.out.endswith("Recorded in the site log.\n")


def test_a_name_without_apply_is_noticed(cast: Path, command: Command):
    log = log_of(cast)
    done = command("shrink", cast, "A", "2", "--width", "2900", "--by", FOREMAN, "--json")
    assert done.code == 0
    assert done.document["applied"] is False
    assert done.err == "pourdeck: note: nothing is recorded without --apply.\n"
    assert log_of(cast) == log


def test_a_size_change_cancels_what_was_released(tmp_path: Path, command: Command):
    crew = on_second(tmp_path)
    crew.go_to("brackets")
    crew.desk.close()
    folder = tmp_path / "job"
    look = command("shrink", folder, "A", "2", "--width", "2900", "--json").document
    holds = [one["hold"] for one in look["cancels"]]
    assert len(holds) >= 2
    assert {(one["panel"], one["mark"]) for one in look["cancels"]} == {(2, "P2")}
    page = command("shrink", folder, "A", "2", "--width", "2900").out
    assert "Releases it cancels" in page
    assert f"released by {CHECKER}" in page
    done = command("shrink", folder, "A", "2", "--width", "2900", *APPLY, "--json").document
    assert done["cancels"] == look["cancels"]
    again = command("shrink", folder, "A", "2", "--width", "2800", "--json").document
    assert again["cancels"] == [], "they are taken back already"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--apply",), "with a name and a reason"),
        (("--apply", "--by", FOREMAN), "with a name and a reason"),
        (("--apply", "--reason", "rev D"), "with a name and a reason"),
        (("--apply", "--by", " ", "--reason", "rev D"), "with a name and a reason"),
        (("--apply", "--by", FOREMAN, "--reason", " "), "with a name and a reason"),
        (("--apply", "--by", "Ada Reid", "--reason", "rev D"), f"Did you mean {FOREMAN}?"),
        (("--apply", "--by", "Zz", "--reason", "rev D"), f"They are {FOREMAN}, {HAND}, {CHECKER}"),
    ],
)
def test_a_size_change_is_recorded_by_somebody_with_a_reason(
    words: tuple[str, ...], says: str, cast: Path, command: Command
):
    log = log_of(cast)
    assert says in could_not(command("shrink", cast, "A", "2", "--width", "2900", *words))
    assert log_of(cast) == log


def test_a_name_is_known_whatever_the_case_and_spaces(cast: Path, command: Command):
    words = ("--apply", "--by", "  ada   REED ", "--reason", "rev D")
    assert command("shrink", cast, "A", "2", "--width", "2900", *words).code == 0
    assert entries(cast)[-1]["by"] == FOREMAN


def test_a_poured_panel_keeps_its_size(cast: Path, command: Command):
    log = log_of(cast)
    for words in ((), APPLY):
        said = could_not(command("shrink", cast, "A", "1", "--width", "2900", *words))
        assert "P1 is poured and cannot change size." in said
    assert log_of(cast) == log


@pytest.mark.parametrize("name", WRITING)
def test_another_program_that_has_the_log_open_is_named(
    name: str, cast: Path, command: Command, tmp_path: Path
):
    lock = StationLock(tmp_path / "state", cast / "log" / "shed.jsonl")
    assert lock.take(host="site-hut", user="kim", since="2026-03-02T06:00:00+00:00")
    log = log_of(cast)
    try:
        said = could_not(command(name, cast, *WRITING[name]))
        assert "kim on site-hut" in said
        assert "since 2026-03-02T06:00:00+00:00" in said
        assert log_of(cast) == log
    finally:
        lock.release()
    assert command(name, cast, *WRITING[name]).code == 0


@pytest.mark.parametrize("name", WRITING)
def test_another_station_has_a_log_of_its_own(name: str, cast: Path, command: Command):
    log = log_of(cast)
    assert command(name, cast, *WRITING[name], "--station", "north").code == 0
    assert log_of(cast) == log
    assert len(list((cast / "log").glob("north-*.jsonl"))) == 1


def test_the_station_may_stand_in_the_environment(
    cast: Path, command: Command, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("POURDECK_STATION", "north")
    assert command("ascast", cast, *WRITING["ascast"]).code == 0
    assert len(list((cast / "log").glob("north-*.jsonl"))) == 1


@pytest.mark.parametrize("name", WRITING)
def test_where_no_lock_can_be_taken_nothing_is_recorded(
    name: str, cast: Path, command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    (tmp_path / "file").touch()
    monkeypatch.setenv("POURDECK_STATE", str(tmp_path / "file"))
    log = log_of(cast)
    assert "no lock can be taken" in could_not(command(name, cast, *WRITING[name]))
    assert log_of(cast) == log


@pytest.mark.parametrize("name", WRITING)
def test_a_damaged_log_is_not_added_to(name: str, cast: Path, command: Command):
    path = cast / "log" / "shed.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:3], *lines[4:]]))
    log = log_of(cast)
    assert "read only" in could_not(command(name, cast, *WRITING[name]))
    assert log_of(cast) == log


def test_a_torn_last_line_is_set_aside_and_told(cast: Path, command: Command):
    path = cast / "log" / "shed.jsonl"
    with path.open("ab") as file:
        file.write(b'{"n":')
    done = command("ascast", cast, *WRITING["ascast"])
    assert done.code == 0
    assert "pourdeck: note: " in done.err
    assert "shed.jsonl" in done.err
    assert command("log", cast, "--verify").code == 0
    assert entries(cast)[-1]["kind"] == "as-cast"


def test_measurements_are_recorded_together(cast: Path, command: Command):
    before = len(entries(cast))
    done = command(
        "ascast", cast, "A", "1", "width_base=3.004 m", "rl_bl=101.0005", "out_left_bl=-2",
        "--by", HAND, "--reason", "taped again", "--json",
    )  # fmt: skip
    assert (done.code, done.err) == (0, "")
    (entry,) = entries(cast)[before:]
    data = entry["data"]
    assert isinstance(data, dict)
    assert data["values"] == {"width_base": "3004", "rl_bl": "101.0005", "out_left_bl": "-2"}
    assert (data["panel"], data["why"]) == ("P1", "taped again")
    document = done.document
    assert (document["stack"], document["panel"], document["mark"]) == ("A", 1, "P1")
    assert document["values"]["width_base"] == 3004.0
    assert document["values"]["rl_bl"] == 101.0005
    assert document["verdicts"]["width_base"] == "pass"
    assert document["verdicts"]["out_left_bl"] == "recorded"
    assert document["values"].keys() == document["verdicts"].keys()


def test_a_measurement_outside_its_tolerance_is_1(cast: Path, command: Command):
    """± 5 mm up to and with 3000 mm, as the job's own tolerance says."""
    assert (
        command(
            "ascast", cast, "A", "1", "width_head=3005", "--by", HAND, "--reason", "taped again"
        ).code
        == 0
    )
    done = command(
        "ascast", cast, "A", "1", "width_head=3006", "--by", HAND, "--reason", "taped again"
    )
    assert done.code == 1
    row = next(line for line in done.out.splitlines() if line.startswith("width_head"))
    assert row.split() == ["width_head", "3006", "mm", "3000", "mm", "±", "5", "mm", "fail", "now"]
    assert (
        command(
            "ascast", cast, "A", "1", "width_base=3001", "--by", HAND, "--reason", "taped again"
        ).code
        == 0
    )


def test_the_record_of_the_panel_follows(cast: Path, command: Command):
    assert (
        command(
            "ascast", cast, "A", "1", "width_base=3002", "--by", HAND, "--reason", "taped again"
        ).code
        == 0
    )
    (record,) = (cast / "record").iterdir()
    assert '{ what = "width_base", found = 3002,' in record.read_text(encoding="utf-8")


def test_a_record_that_cannot_be_written_is_told_and_the_entry_stands(cast: Path, command: Command):
    (cast / "record").touch()
    before = len(entries(cast))
    done = command("ascast", cast, *WRITING["ascast"])
    assert done.code == 0
    assert "pourdeck: note: The record of P1 is not written" in done.err
    assert len(entries(cast)) == before + 1


IMPERIAL = JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')


def test_feet_and_inches_are_taken_and_shown(tmp_path: Path, command: Command):
    """1 ft = 304.8 mm and 1 in = 25.4 mm exactly: NIST SP 811 (2008), B.8."""
    folder = one_panel_cast(tmp_path)
    (folder / "job.toml").write_text(IMPERIAL, encoding="utf-8")
    done = command(
        "ascast",
        folder,
        "A",
        "1",
        "width_base=9' 10-1/8\"",
        "--by",
        HAND,
        "--reason",
        "taped again",
        "--json",
    )
    assert done.document["values"]["width_base"] == 3000.375
    done = command(
        "ascast",
        folder,
        "A",
        "1",
        "width_head=118",
        "rl_br=331.36",
        "--by",
        HAND,
        "--reason",
        "taped again",
    )
    assert "9' 10\"" in done.out
    assert "331.360 ft" in done.out
    found = command("shrink", folder, "A", "2", "--width", "114in", "--json").document
    assert found["after"]["width"] == 2895.6


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("width_base",), "width_base is no KEY=VALUE"),
        (("width_bse=3000",), "Did you mean width_base?"),
        (("qqqqqqqq=3000",), "Take one of width_base, "),
        (("=3000",), " is no as-cast measurement"),
        (("width_base=",), "width_base: Nothing typed"),
        (("width_base=wide",), "width_base: wide"),
        (("width_base=-1",), "cannot be below zero"),
        (("width_base=0",), "width_base cannot be 0"),
        (("width_base=3000", "width_base=3001", "width_base=3002"), "given more than twice"),
        (("width_base=3000", "width_base=3005"), "width_base: 3000 mm and 3005 mm do not agree"),
        (("width_base=3000", "height_left=x"), "height_left: x"),
    ],
)
def test_what_is_no_measurement_is_named_and_nothing_recorded(
    words: tuple[str, ...], says: str, cast: Path, command: Command
):
    log = log_of(cast)
    assert says in could_not(
        command("ascast", cast, "A", "1", *words, "--by", HAND, "--reason", "taped again")
    )
    assert log_of(cast) == log


def test_only_a_poured_panel_is_measured_by_somebody_known(cast: Path, command: Command):
    log = log_of(cast)
    said = could_not(
        command(
            "ascast", cast, "A", "2", "width_base=3000", "--by", HAND, "--reason", "taped again"
        )
    )
    assert "P2 is not poured" in said
    said = could_not(command("ascast", cast, "A", "1", "width_base=3000", "--by", "Ben Kole"))
    assert f"Did you mean {HAND}?" in said
    assert log_of(cast) == log


def test_the_lock_is_given_back(cast: Path):
    """Two commands of one process, as of two."""
    for width in ("2900", "2800"):
        assert main(["shrink", str(cast), "A", "2", "--width", width, *APPLY]) == 0


def test_a_value_that_replaces_another_says_why(command: Command, cast: Path) -> None:
    first = ("ascast", cast, "A", "1", "width_base=3001", "--by", HAND, "--reason", "taped again")
    assert command(*first).code == 0
    again = ("ascast", cast, "A", "1", "width_base=3003", "--by", HAND)
    assert "Say why they change" in could_not(command(*again))
    assert command(*again, "--reason", "tape was slack").code == 0
    entry = json.loads(command("log", cast, "--json").out)["entries"][-1]
    assert (entry["data"]["why"], type(entry["data"]["replaces"])) == ("tape was slack", int)
    (record,) = (cast / "record").glob("A-1-*.toml")
    listed = tomllib.loads(record.read_text(encoding="utf-8"))["answered_again"]
    assert [
        (one["first"], one["then"], one["why"]) for one in listed if one["where"] == "width_base"
    ][-1] == (3001, 3003, "tape was slack")


TWICE = JOB.replace("[tolerance]", '[tolerance]\ntwice = ["width"]')
AGAIN = ("--by", HAND, "--reason", "taped again")


def test_a_key_given_twice_is_two_readings_and_their_mean_is_recorded(cast: Path, command: Command):
    words = ("width_base=3001", "width_base=3002", "height_left=3001")
    done = command("ascast", cast, "A", "1", *words, *AGAIN, "--json")
    assert done.code == 0
    data = entries(cast)[-1]["data"]
    assert isinstance(data, dict)
    assert data["values"] == {"height_left": "3001", "width_base": "3001.5"}
    assert data["readings"] == {"width_base": ["3001", "3002"]}
    assert done.document["values"]["width_base"] == 3001.5
    assert done.document["readings"] == {"width_base": [3001.0, 3002.0]}
    (record,) = (cast / "record").iterdir()
    measured = tomllib.loads(record.read_text(encoding="utf-8"))["as_cast"]["measured"]
    assert {one["what"]: one["readings"] for one in measured if "readings" in one} == {
        "width_base": [3001, 3002]
    }
    assert "(twice: 3001 mm and 3002 mm)" in command("log", cast).out


def test_once_is_refused_where_the_job_asks_twice(tmp_path: Path, command: Command):
    crew = made_crew(tmp_path, TWICE)
    crew.go_to("close")
    crew.desk.close()
    folder = tmp_path / "job"
    log = log_of(folder)
    said = could_not(command("ascast", folder, "A", "1", "width_base=3001", "--by", HAND))
    assert "width_base is measured twice in this job." in said
    assert "give both" in said
    assert log_of(folder) == log
    words = ("width_base=3001", "width_base=3001")
    assert command("ascast", folder, "A", "1", *words, "--by", HAND).code == 0


def test_it_is_said_how_the_measurements_fit_together(cast: Path, command: Command):
    """A square of 3 m: r of a side is 1/8 and of a diagonal 1/4, so a slip shows above 8.5 and 6 mm.

    By hand in tests/setout/test_what_shows.py.
    """
    done = command("ascast", cast, "A", "1", "width_base=3001", *AGAIN, "--json").document
    six = {one["key"]: one for one in done["adjustment"]["measurements"]}
    assert len(six) == 6
    assert six["width_base"]["redundancy"] == pytest.approx(1 / 8, abs=1e-3)
    assert six["diagonal_bl_hr"]["shows"] == pytest.approx(6, abs=0.01)
    assert done["shows"]["width_head"] == pytest.approx(8.49, abs=0.01)
    assert done["shows"]["out_base_bl"] is None
    assert done["suspects"] == []
    assert done["says"][0] == "6 of 6 tapes measured."
    page = command("ascast", cast, "A", "1", "width_base=3030", *AGAIN).out
    assert "How they fit together" in page
    row = next(line for line in page.splitlines() if line.startswith("width_base") and "%" in line)
    words = " ".join(row.split()[1:])
    assert re.fullmatch(r"−3\.\d mm 12\.\d % 8\.5 mm 30\.\d mm too long, suspect", words)
    assert "each of these is as suspect as the others" in page


def test_a_word_that_was_given_by_phone_is_recorded_with_who_took_it_down(
    cast: Path, command: Command
):
    words = ("shrink", cast, "A", "2", "--width", "2900", *APPLY, "--word", "phone")
    assert "No time of the call" in could_not(command(*words, "--taken-by", CHECKER))
    assert "who took it down" in could_not(command(*words, "--at", "2026-03-02T07:00"))
    ahead = command(*words, "--at", "2131-03-02T07:00", "--taken-by", CHECKER)
    assert "still to come" in could_not(ahead)
    done = command(*words, "--at", "2026-03-02T07:00", "--taken-by", CHECKER)
    assert (done.code, done.err) == (0, "")
    assert entries(cast)[-1]["data"]["word"] == {  # type: ignore[index]
        "of": FOREMAN, "role": "foreman", "way": "phone", "at": "2026-03-02T07:00:00+00:00",
        "taken_by": CHECKER,
    }  # fmt: skip


def test_a_letter_needs_its_reference(cast: Path, command: Command):
    words = ("shrink", cast, "A", "2", "--width", "2900", *APPLY, "--word", "writing",
             "--at", "2026-03-02", "--taken-by", CHECKER)  # fmt: skip
    assert "No document named" in could_not(command(*words))
    assert command(*words, "--reference", "RFI 12").code == 0
    assert "in writing 2026-03-02, RFI 12" in " ".join(command("log", cast).out.split())


def test_a_hand_changes_no_size_and_a_foreman_none_with_errors(cast: Path, command: Command):
    log = log_of(cast)
    by_hand = (
        "shrink",
        cast,
        "A",
        "2",
        "--width",
        "2900",
        "--apply",
        "--by",
        HAND,
        "--reason",
        "x",
    )
    assert f"{HAND} may not change a size: hand" in could_not(command(*by_hand))
    wide = ("shrink", cast, "A", "2", "--width", "3100", *APPLY)
    assert "Only an engineer records a size" in could_not(command(*wide))
    assert log_of(cast) == log


def test_who_has_a_pin_signs_with_it(cast: Path, command: Command):
    desk = open_desk(cast.parent, clock=Clock(MORNING + timedelta(days=2)))
    act = set_pin(desk.job, FOREMAN, "4711", "4711", bytes(16))
    assert isinstance(act, Act)
    desk.record(act)
    desk.close()
    words = ("shrink", cast, "A", "2", "--width", "2900", *APPLY)
    assert "signs with a PIN" in could_not(command(*words))
    assert "not the PIN" in could_not(command(*words, "--pin", "1234"))
    assert command(*words, "--pin", "4711").code == 0
    assert "4711" not in " ".join(command("log", cast).out.split())
