"""The gate of the panel above: hours and strength, what is missing and when it is there, who is let in."""

import tempfile
from datetime import timedelta
from math import exp, log
from pathlib import Path

from pourdeck.walk import acts
from pourdeck.walk.records import Act
from pourdeck.walk.strength_acts import result, specimen, temperature
from tests.walk.kit import FOREMAN, Crew, refused
from tests.walk.strength_kit import CLIMB, ESTIMATE, NO_CURVE, TEXT, poured_crew


def close(one: Crew) -> None:
    """Finish the panel below: strip, measure, close."""
    for view in one.walk.sections:
        if view.state != "done":
            one.end_section(view.id)


def above(one: Crew) -> Crew:
    return Crew(one.desk, one.clock, number=2)


def gate(one: Crew) -> str:
    found = one.desk.walk("A", 2).gate
    return f"{found.title} {found.body}" if found else ""


def hourly(one: Crew, hours: int, celsius: str = "20") -> None:
    """Read every hour from now on."""
    for _ in range(hours):
        one.do(temperature(one.walk, celsius, "now", FOREMAN, one.clock.at))
        one.clock.later(hours=1)


def test_without_a_test_it_waits_however_old_the_panel_is(tmp_path: Path) -> None:
    """10 MPa of N40 by EN 1992-1-1: 28 / (1 − ln(18/48) / 0.25)² = 1.155 adjusted days, 27.8 h at 20 °C."""
    one = poured_crew(tmp_path)
    said = gate(one)
    assert said.startswith("P2 waits for the hours and the strength of P1.")
    assert "a field-cured test of P1 shows 10 MPa (note 14), and 18 h after P1's pour end" in said
    ended = one.walk.record.pour_end
    assert ended is not None
    days = 28 / (1 - log(18 / 48) / 0.25) ** 2 / exp(13.65 - 4000 / 293)
    there = ended.at + timedelta(days=days)
    assert (
        f"Worth testing from {there:%a %d %b %H:%M}, by the estimate, on an assumed 20 °C" in said
    )
    one.clock.later(hours=19)
    hourly(one, 40)
    assert gate(one).startswith("P2 waits for the strength of P1.")
    assert one.desk.walk("A", 2).gate_until is None


def test_what_was_measured_opens_it_where_the_job_says_so(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    assert "or what was measured comes to it" in gate(one)
    assert one.desk.walk("A", 2).gate_until is None
    hourly(one, 27)
    assert "By what is measured so far that is" in gate(one)
    until = one.desk.walk("A", 2).gate_until
    assert until is not None
    one.clock.at = until
    assert gate(one) == ""
    assert one.desk.panel_state("A", 2) == "ready"


def test_an_estimate_of_what_was_not_measured_opens_nothing(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    one.clock.later(days=9)
    assert gate(one).startswith("P2 waits for the strength of P1.")


def test_frost_shuts_it_until_a_test(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    hourly(one, 1, "-1")
    hourly(one, 40)
    assert "was at -1.0 °C on" in gate(one)
    one.do(result(one.walk, "C1", "10", "now", FOREMAN, one.clock.at))
    assert gate(one) == ""


def test_a_field_cured_test_shows_the_strength_and_the_hours_go_on(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    for name, cured in (("C1", "field"), ("C2", "standard"), ("C3", "field")):
        one.do(specimen(one.walk, name, cured, "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=10)
    one.do(result(one.walk, "C1", "9.9", "now", FOREMAN, one.clock.at))
    assert "the strength of P1" in gate(one)
    one.do(result(one.walk, "C2", "30", "now", FOREMAN, one.clock.at, "steam"))
    assert "the strength of P1" in gate(one)
    one.clock.later(minutes=1)
    one.do(result(one.walk, "C3", "10", "now", FOREMAN, one.clock.at))
    assert gate(one).startswith("P2 waits for the hours of P1.")
    one.clock.later(hours=8)
    assert gate(one) == ""


def test_no_curve_and_no_result_wait_for_a_test(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, NO_CURVE)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=18)
    assert "The mix gives no estimate." in gate(one)
    one.do(result(one.walk, "C1", "11", "now", FOREMAN, one.clock.at))
    close(one)
    two = above(one)
    two.go_to("brackets")
    assert two.item("brackets.strength").expected == 10


def test_a_result_below_the_limit_shuts_until_a_later_one(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    for name in ("C1", "C2", "C3"):
        one.do(specimen(one.walk, name, "field", "", "now", FOREMAN, one.clock.at))
    hourly(one, 30)
    assert gate(one) == ""
    at = one.clock.at
    one.do(result(one.walk, "C1", "8", at.isoformat(), FOREMAN, at))
    assert "C1, tested" in gate(one)
    assert "has 8 MPa: below 10 MPa (note 14). P2 may be formed when a later" in gate(one)
    assert one.desk.walk("A", 2).gate_until is None
    one.clock.later(minutes=1)
    one.do(result(one.walk, "C2", "11", at.isoformat(), FOREMAN, one.clock.at))
    assert "C1, tested" in gate(one)
    one.do(result(one.walk, "C3", "11", "now", FOREMAN, one.clock.at))
    assert gate(one) == ""


def test_a_limit_that_the_curve_never_comes_to(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, "climb = { strength = 60 }"))
    assert "By the estimate P1 never comes to it." in gate(one)


def test_once_it_was_read_in_the_walk_it_is_shown(tmp_path: Path) -> None:
    """A reading that is put right downwards does not shut out who has read the strength; a low test does."""
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    began = one.clock.at
    hourly(one, 30)
    close(one)
    two = above(one)
    two.go_to("brackets")
    two.answer("brackets.strength", "12")
    one.do(temperature(one.walk, "5", began.isoformat(), FOREMAN, one.clock.at, "misread"))
    assert gate(one) == ""
    one.do(result(one.walk, "C1", "9", "now", FOREMAN, one.clock.at))
    assert gate(one).startswith("P2 waits for the strength of P1.")


def test_what_is_below_stands_beside_the_item(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.do(specimen(one.walk, "C2", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=28)
    note = above(one).item("brackets.strength").note
    assert note.startswith(
        "P1: no field-cured test; only an estimate, on an assumed 20 °C: nothing measured; 10 MPa from "
    )
    one.do(result(one.walk, "C1", "12.5", "now", FOREMAN, one.clock.at))
    assert (
        above(one)
        .item("brackets.strength")
        .note.startswith("P1: 12.5 MPa by test, C1, field-cured, ")
    )
    one.do(result(one.walk, "C2", "12", "now", FOREMAN, one.clock.at))
    assert above(one).item("brackets.strength").note.startswith("P1: 12 MPa by test, C2, ")


def test_beside_the_item_stands_from_when_it_was_measured(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, ESTIMATE))
    hourly(one, 27)
    until = one.desk.walk("A", 2).gate_until
    assert until is not None
    one.clock.at = until
    said = above(one).item("brackets.strength").note
    assert said == f"P1: no field-cured test; 10 MPa by what was measured from {until:%d %b %H:%M}"
    two = poured_crew(Path(tempfile.mkdtemp(dir=tmp_path)), TEXT.replace(CLIMB, ESTIMATE))
    hourly(two, 1, "0")
    assert "fresh concrete was at 0.0 °C" in above(two).item("brackets.strength").note


def test_nothing_is_answered_through_the_gate(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    act = acts.answer(one.desk.walk("A", 2), "brackets.strength", "20", FOREMAN, one.clock.at)
    assert "waits for the hours and the strength of P1" in str(refused(act))


def test_the_board_says_when(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    said = [act.text for act in one.desk.board().next]
    assert any("a field-cured test of P1 shows 10 MPa" in text for text in said)


def test_a_low_result_and_frost_are_findings_of_the_job(tmp_path: Path) -> None:
    """`check` lists them, with the panel, until it is lifted."""
    one = poured_crew(tmp_path)
    end = one.clock.at
    one.clock.later(hours=30)
    for data in (
        {"kind": "temperatures", "readings": [[(end + timedelta(hours=1)).isoformat(), "-2"]]},
        {"kind": "specimen", "specimen": "F1", "cured": "field", "time": end.isoformat()},
        {"kind": "test", "specimen": "F1", "cured": "field", "strength": "4",
         "time": one.clock.at.isoformat()},
    ):  # fmt: skip
        kind = str(data.pop("kind"))
        more = {"from": "typed"} if kind == "temperatures" else {}
        one.do(Act(kind=kind, by=FOREMAN, data={"panel": "P1", **data, **more}, says=""))
    codes = {finding.code for finding in one.desk.findings() if finding.mark == "P1"}
    assert {"test-below", "frost", "temperature-range"} <= codes
