"""`strength`: the page, the document, a logger's file recorded; nowhere does an estimate release a lift."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from pourdeck.walk.strength_acts import result, specimen
from tests.commands.kit import Command, misses
from tests.walk.kit import FOREMAN, Crew
from tests.walk.strength_kit import NO_CURVE, TEXT, poured_crew

NUMBER = int | float
NEED = {"needs": dict, "met": bool, "by": str | None, "expected": str | None}
STRENGTH = {
    "age_hours": float, "equivalent_days": float, "estimate": float, "measured": float, "rough": bool,
    "basis": str, "strip": NEED | {"met": bool | None},
    "tests": [{"id": str, "cured": str, "strength": float, "at": str}],
    "climb": NEED, "lift": NEED, "findings": list,
}  # fmt: skip


def yard(folder: Path, text: str = TEXT) -> tuple[Path, Crew]:
    one = poured_crew(folder, text)
    return folder / "job", one


def at(one: Crew, hours: float) -> str:
    return (one.clock.at + timedelta(hours=hours)).isoformat()


def test_the_document_before_and_after(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    start = one.clock.at
    one.clock.later(hours=40)
    one.do(result(one.walk, "C1", "26", "now", FOREMAN, one.clock.at))
    one.desk.close()
    one.clock.at = start
    words = ("strength", folder, "A", "1", "--json", "--at")
    before = command(*words, at(one, 20)).document
    assert misses(before, STRENGTH) == []
    assert (before["tests"], before["lift"]["met"], before["climb"]["met"]) == ([], False, False)
    assert before["climb"]["needs"] == {"strength": 10, "hours": 18}
    assert before["lift"]["needs"] == {"strength": 25}
    assert before["basis"] == "no temperature recorded: 20 °C assumed"
    assert (before["measured"], before["rough"]) == (0.0, True)
    assert (before["strip"]["needs"], before["strip"]["met"]) == ({}, None)
    after = command(*words, at(one, 41)).document
    assert misses(after, STRENGTH) == []
    assert [(one["id"], one["cured"], one["strength"]) for one in after["tests"]] == [
        ("C1", "field", 26.0)
    ]
    assert (after["lift"]["met"], after["lift"]["by"]) == (True, "test")
    assert (after["climb"]["met"], after["climb"]["by"]) == (True, "test")
    early = command(*words, at(one, -30)).document
    assert (early["age_hours"], early["estimate"]) == (0.0, 0.0)


@pytest.mark.parametrize(("hours", "rough"), [(24, True), (71, True), (80, False), (2000, False)])
def test_rough_under_three_days_and_never_a_release(
    tmp_path: Path, command: Command, hours: float, rough: bool
):
    folder, one = yard(tmp_path)
    one.desk.close()
    for form in ((), ("--json",)):
        done = command("strength", folder, "A", "1", "--at", at(one, hours), *form)
        assert done.code == 0
        assert ("rough: under 3 days" in done.out) is rough
        assert "never releases a lift" in done.out
    assert done.document["lift"]["met"] is False
    assert done.document["lift"]["by"] is None


def test_not_poured_and_no_curve(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path, NO_CURVE)
    one.desk.close()
    upper = command("strength", folder, "A", "2", "--json").document
    assert (upper["age_hours"], upper["estimate"], upper["climb"]["met"]) == (None, None, False)
    assert (
        "the end of its pour is not recorded" in command("strength", folder, "A", "2").out.lower()
    )
    lower = command("strength", folder, "A", "1", "--json").document
    assert (lower["estimate"], lower["climb"]["expected"]) == (None, None)


def logger(folder: Path, one: Crew, *rows: tuple[float, str]) -> Path:
    path = folder / "probe.csv"
    lines = [
        f"{one.clock.at + timedelta(hours=hours):%Y-%m-%d %H:%M},{value}" for hours, value in rows
    ]
    path.write_text("Time,Temp (F)\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_a_loggers_file_is_recorded_in_one_entry(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.desk.close()
    path = logger(tmp_path, one, *((n / 6, str(68 + n / 10)) for n in range(500)))
    words = ("strength", folder, "A", "1", "--temperatures", path)
    without = command(*words)
    assert (without.code, "--by" in without.err) == (2, True)
    done = command(*words, "--by", FOREMAN, "--at", at(one, 90), "--json")
    assert done.code == 0, done.err
    assert "500 readings from" in done.err
    assert "Times have no offset: taken in the zone of the site, Etc/UTC." in done.err
    assert done.document["readings"] == 500
    assert done.document["basis"] == (
        "temperatures recorded; the last one taken for the time after it"
    )
    again = command(*words, "--by", FOREMAN)
    assert (again.code, "recorded already" in again.err) == (2, True)
    log = command("log", folder, "--json").document
    assert [entry["kind"] for entry in log["entries"]].count("temperatures") == 1
    assert "500 temperatures, 20 °C to 47.7 °C, from probe.csv" in command("log", folder).out


def test_a_published_history_through_a_file(tmp_path: Path, command: Command):
    """19, 20, 20, 21, 22, 23 °C for 1, 2, 1, 1, 1, 2 days: 8.37986781 days by EN 1992-1-1, B.10, in the tests
    of a public library of the code. Here each step takes a minute, and °F: 66.2, 68, 68, 69.8, 71.6, 73.4.
    """
    folder, one = yard(tmp_path)
    ended = one.walk.record.pour_end
    assert ended is not None
    poured = datetime.fromisoformat(ended.data["time"])
    one.desk.close()
    edges = [0, 1, 3, 4, 5, 6, 8]
    steps = list(
        zip(edges[:-1], edges[1:], ("66.2", "68", "68", "69.8", "71.6", "73.4"), strict=True)
    )
    path = tmp_path / "history.csv"
    lines = ["Time,Temp (F)"]
    for start, end, value in steps:
        times = (poured + timedelta(days=start), poured + timedelta(days=end, minutes=-1))
        lines += [f"{at.isoformat()},{value}" for at in times]
    path.write_text("\n".join(lines), encoding="utf-8")
    till = (poured + timedelta(days=8)).isoformat()
    words = ("strength", folder, "A", "1", "--at", till, "--json")
    done = command(*words, "--temperatures", path, "--by", FOREMAN)
    assert done.code == 0, done.err
    assert done.document["equivalent_days"] == pytest.approx(8.37986781, abs=1e-4)


def test_a_bad_line_leaves_nothing_behind(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.desk.close()
    path = logger(tmp_path, one, (0, "68"), (1, "69"), (2, "hot"), (3, "70"))
    before = (folder / "log" / "shed.jsonl").read_bytes()
    done = command("strength", folder, "A", "1", "--temperatures", path, "--by", FOREMAN)
    assert (done.code, done.out) == (2, "")
    assert "Line 4: hot is not a temperature" in done.err
    assert str(path) in done.err
    assert (folder / "log" / "shed.jsonl").read_bytes() == before
    none = command(
        "strength", folder, "A", "1", "--temperatures", tmp_path / "no.csv", "--by", FOREMAN
    )
    assert (none.code, "cannot be read" in none.err) == (2, True)


@pytest.mark.parametrize("typed", ["soon", "2026-13-01", "0001-01-01T00:00", "9999-12-31T23:59"])
def test_a_time_that_is_none(tmp_path: Path, command: Command, typed: str):
    folder, one = yard(tmp_path)
    one.desk.close()
    done = command("strength", folder, "A", "1", "--at", typed)
    assert (done.code, "--at" in done.err) == (2, True)


def test_a_test_below_the_estimate_is_a_warning(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.do(specimen(one.walk, "C[1]", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=60)
    one.do(result(one.walk, "C[1]", "6", "now", FOREMAN, one.clock.at))
    one.desk.close()
    words = ("strength", folder, "A", "1", "--at", one.clock.at.isoformat())
    done = command(*words, "--json")
    assert done.code == 1
    assert [(f["code"], f["severity"]) for f in done.document["findings"]] == [
        ("test-below", "error"),
        ("below-estimate", "warning"),
    ]
    page = command(*words).out
    assert "ERROR: C[1], tested" in page
    assert "WARNING: C[1] has 6 MPa" in page


def test_readings_from_before_the_pour_or_to_come_are_refused(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.desk.close()
    log = (folder / "log" / "shed.jsonl").read_bytes()
    for hours, says in ((-30, "from before the pour"), (24 * 3650, "to come")):
        path = logger(tmp_path, one, (hours, "68"), (hours + 1, "69"))
        done = command("strength", folder, "A", "1", "--temperatures", path, "--by", FOREMAN)
        assert (done.code, done.out) == (2, "")
        assert says in done.err
        assert (folder / "log" / "shed.jsonl").read_bytes() == log


def asked(folder: Path, one: Crew, text: str) -> tuple[object, ...]:
    path = folder / "asked.csv"
    path.write_text(text, encoding="utf-8")
    return ("strength", folder / "job", "A", "1", "--temperatures", path, "--by", FOREMAN)


def test_what_a_file_does_not_say_is_asked_for_by_option(tmp_path: Path, command: Command):
    _, one = yard(tmp_path)
    one.desk.close()
    start = one.clock.at
    rows = "".join(f"{n * 30},{50 + n / 10},{68 + n / 10}\n" for n in range(20))
    words = asked(tmp_path, one, "Elapsed (min),Ch 1,Ch 2\n" + rows)
    till = ("--at", at(one, 12))
    none = command(*words, *till)
    assert (none.code, "--column 2 or --column 3" in none.err) == (2, True)
    column = command(*words, *till, "--column", "Ch 2")
    assert (column.code, "--start" in column.err) == (2, True)
    begun = command(*words, *till, "--column", "3", "--start", start.isoformat())
    assert (begun.code, "--unit F or --unit C" in begun.err) == (2, True)
    done = command(
        *words, *till, "--column", "3", "--start", start.isoformat(), "--unit", "F", "--json"
    )
    assert done.code == 0, done.err
    assert "20 readings from" in done.err
    assert "20.0 °C to 21.1 °C" in done.err


def test_an_order_of_dates_is_asked_for_by_option(tmp_path: Path, command: Command):
    """3 April is after a pour on 2 March, and so is 4 March."""
    _, one = yard(tmp_path)
    one.desk.close()
    one.clock.later(days=40)
    words = asked(tmp_path, one, "Date,Temp °C\n03/04/2026 14:00,21\n03/04/2026 15:00,22\n")
    none = command(*words)
    assert (none.code, "--dates dmy or --dates mdy" in none.err) == (2, True)
    assert "Nothing of the file was taken." in none.err
    done = command(*words, "--dates", "mdy")
    assert "2 readings from 04 Mar 14:00 to 04 Mar 15:00" in done.err


@pytest.mark.parametrize(
    "option", [("--unit", "R"), ("--dates", "md"), ("--start", "soon"), ("--unit", "")]
)
def test_an_option_that_is_none(tmp_path: Path, command: Command, option: tuple[str, str]):
    folder, one = yard(tmp_path)
    one.desk.close()
    path = logger(tmp_path, one, (0, "68"))
    done = command("strength", folder, "A", "1", "--temperatures", path, "--by", FOREMAN, *option)
    assert (done.code, option[0] in done.err) == (2, True)


def test_what_was_not_measured_is_a_warning(tmp_path: Path, command: Command):
    folder, one = yard(tmp_path)
    one.desk.close()
    path = logger(tmp_path, one, (5, "68"), (6, "69"), (13, "70"))
    words = ("strength", folder, "A", "1", "--at", at(one, 30))
    done = command(*words, "--temperatures", path, "--by", FOREMAN, "--json")
    assert done.code == 0, done.err
    assert [(f["code"], f["severity"]) for f in done.document["findings"]] == [
        ("temperatures-late", "warning"),
        ("temperatures-gap", "warning"),
        ("temperatures-ended", "warning"),
    ]
    assert done.document["basis"].startswith("temperatures recorded; the first one taken for")
    assert "7.0 h without a reading" in done.document["findings"][1]["message"]
    page = command(*words).out
    assert "WARNING: First reading" in page
    assert "WARNING: Last reading" in page
