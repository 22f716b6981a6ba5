"""The gate of the panel above: hours and strength, what is missing and when it is there, who is let in."""

from math import exp, log
from pathlib import Path

import pytest

from pourdeck.walk import acts
from pourdeck.walk.strength_acts import result, specimen, temperature
from tests.walk.kit import FOREMAN, Crew, refused
from tests.walk.strength_kit import CLIMB, NO_CURVE, TEXT, poured_crew


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


def test_hours_and_strength_are_both_waited_for(tmp_path: Path) -> None:
    """10 MPa of N40 by EN 1992-1-1: 28 / (1 − ln(18/48) / 0.25)² = 1.155 adjusted days, 27.8 h at 20 °C."""
    one = poured_crew(tmp_path)
    said = gate(one)
    assert said.startswith("P2 waits for the hours and the strength of P1.")
    assert (
        "10 MPa by the estimate, on an assumed 20 °C: nothing measured, and 18 h after P1's pour end "
        "(note 14)" in said
    )
    until = one.desk.walk("A", 2).gate_until
    assert until is not None
    ended = one.walk.record.pour_end
    assert ended is not None
    days = 28 / (1 - log(18 / 48) / 0.25) ** 2 / exp(13.65 - 4000 / 293)
    assert (until - ended.at).total_seconds() / 3600 == pytest.approx(24 * days, abs=0.02)
    one.clock.later(hours=19)
    assert gate(one).startswith("P2 waits for the strength of P1.")
    one.clock.at = until
    assert gate(one) == ""
    assert one.desk.panel_state("A", 2) == "ready"


def test_warmth_opens_it_sooner_and_cold_later(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    first = one.desk.walk("A", 2).gate_until
    one.do(temperature(one.walk, "30", "now", FOREMAN, one.clock.at))
    second = one.desk.walk("A", 2).gate_until
    one.clock.later(minutes=5)
    one.do(temperature(one.walk, "5", "now", FOREMAN, one.clock.at))
    third = one.desk.walk("A", 2).gate_until
    assert first is not None
    assert second is not None
    assert third is not None
    assert second < first < third
    assert "assumed" not in gate(one)


def test_a_test_shows_the_strength_and_the_hours_go_on(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.do(specimen(one.walk, "C2", "standard", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=10)
    one.do(result(one.walk, "C1", "9.9", "now", FOREMAN, one.clock.at))
    assert "the strength of P1" in gate(one)
    one.do(result(one.walk, "C2", "10", "now", FOREMAN, one.clock.at))
    assert gate(one).startswith("P2 waits for the hours of P1.")
    one.clock.later(hours=8)
    assert gate(one) == ""


def test_no_curve_and_no_result_lock_nobody_out(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, NO_CURVE)
    assert gate(one).startswith("P2 waits for the hours of P1.")
    one.clock.later(hours=18)
    assert gate(one) == ""
    close(one)
    two = above(one)
    two.go_to("brackets")
    item = two.item("brackets.strength")
    assert item.expected == 10
    assert "no test, and the mix gives no estimate" in item.note


def test_a_result_below_the_limit_shuts_until_another(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, NO_CURVE)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.do(specimen(one.walk, "C2", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=19)
    one.do(result(one.walk, "C1", "8", "now", FOREMAN, one.clock.at))
    assert "when a test of P1 shows 10 MPa (note 14). Of P1 8 MPa was tested (C1)." in gate(one)
    assert one.desk.walk("A", 2).gate_until is None
    one.do(result(one.walk, "C2", "11", "now", FOREMAN, one.clock.at))
    assert gate(one) == ""


def test_a_limit_that_the_curve_never_comes_to(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, TEXT.replace(CLIMB, "climb = { strength = 60 }"))
    assert "By the estimate P1 never comes to it." in gate(one)


def test_once_it_was_read_in_the_walk_it_is_shown(tmp_path: Path) -> None:
    """An estimate that is put right downwards later does not shut out who has read a test."""
    one = poured_crew(tmp_path)
    one.clock.later(hours=28)
    close(one)
    two = above(one)
    two.go_to("brackets")
    two.answer("brackets.strength", "12")
    one.do(temperature(one.walk, "1", "now", FOREMAN, one.clock.at))
    assert gate(one) == ""


def test_what_is_below_stands_beside_the_item(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=28)
    note = above(one).item("brackets.strength").note
    assert note.startswith(
        "P1: no test; only an estimate, on an assumed 20 °C: nothing measured; 10 MPa from "
    )
    one.do(result(one.walk, "C1", "12.5", "now", FOREMAN, one.clock.at))
    assert (
        above(one)
        .item("brackets.strength")
        .note.startswith("P1: 12.5 MPa by test, C1, field-cured, ")
    )


def test_nothing_is_answered_through_the_gate(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    act = acts.answer(one.desk.walk("A", 2), "brackets.strength", "20", FOREMAN, one.clock.at)
    assert "waits for the hours and the strength of P1" in str(refused(act))


def test_the_board_says_when(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    said = [act.text for act in one.desk.board().next]
    assert any("10 MPa by the estimate" in text for text in said)
