"""Forms that are off before `limits.strip` is met: a failed item that says what would allow it."""

from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.clock import pour_ended
from pourdeck.walk.records import Act
from pourdeck.walk.strength_acts import result, specimen
from tests.walk.kit import FOREMAN, Crew, refused
from tests.walk.strength_kit import CLIMB, TEXT, poured_crew

STRIP = TEXT.replace(CLIMB, "climb = { hours = 1 }\nstrip = { hours = 12, strength = 5 }").replace(
    "sources = {", 'sources = { strip = "spec 7",'
)
OWN, BELOW = "close.stripped", "strip.forms-off"


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    """P1 was just poured, with a specimen of each kind; its walk stands at the close."""
    crew = poured_crew(tmp_path, STRIP)
    for name, cured in (("F1", "field"), ("S1", "standard")):
        crew.do(specimen(crew.walk, name, cured, "", "now", FOREMAN, crew.clock.at))
    crew.go_to("close")
    return crew


def test_two_minutes_after_the_pour_is_a_fail_and_says_why(one: Crew) -> None:
    one.clock.later(minutes=2)
    act = acts.answer(one.walk, OWN, "arris whole", FOREMAN, one.clock.at)
    assert isinstance(act, Act)
    assert "FAIL" in act.says
    assert "Too early for the forms of P1 to come off (spec 7)." in act.says
    one.do(act)
    item = one.item(OWN)
    assert (item.own_state, item.verdict, item.found) == ("failed", "fail", "arris whole")
    assert item.reason is not None
    assert "12 h since the pour" in item.reason
    assert "A test of a field-cured specimen of this panel at 5 MPa." in item.reason


def answered(one: Crew, why: str = "looked again") -> Entry:
    return one.do(acts.answer(one.walk, OWN, "arris whole", FOREMAN, one.clock.at, why))


def test_hours_and_a_field_cured_test_allow_it(one: Crew) -> None:
    one.clock.later(hours=13)
    assert answered(one).data["verdict"] == "fail"
    one.do(result(one.walk, "S1", "30", "now", FOREMAN, one.clock.at, "steam"))
    assert answered(one).data["verdict"] == "fail"
    one.do(result(one.walk, "F1", "5", "now", FOREMAN, one.clock.at))
    entry = answered(one)
    assert entry.data["verdict"] == "pass"
    assert "early" not in entry.data


def test_a_result_below_the_limit_is_named(one: Crew) -> None:
    one.clock.later(hours=13)
    one.do(result(one.walk, "F1", "4.9", "now", FOREMAN, one.clock.at))
    assert "F1, tested" in answered(one).data["early"]


def test_just_before_and_at_the_hours(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, STRIP.replace("hours = 12, strength = 5", "hours = 12"))
    one.go_to("close")
    ended = pour_ended(one.walk.record)
    assert ended is not None
    for seconds, verdict in ((-1, "fail"), (0, "pass")):
        one.clock.at = ended + timedelta(hours=12, seconds=seconds)
        assert answered(one).data["verdict"] == verdict


def test_forms_off_the_panel_below_are_judged_by_that_panel(tmp_path: Path) -> None:
    one = poured_crew(tmp_path, STRIP.replace("hours = 12, strength = 5", "hours = 12"))
    one.clock.later(hours=2)
    for view in one.walk.sections:
        if view.state != "done":
            one.end_section(view.id) if view.id != "close" else None
    two = Crew(one.desk, one.clock, number=2)
    two.go_to("strip")
    for value, early in (
        ("still on", False),
        ("off, arris broken", True),
        ("off, arris whole", True),
    ):
        entry = two.do(acts.answer(two.walk, BELOW, value, FOREMAN, two.clock.at, "again"))
        assert (entry.data["verdict"], "early" in entry.data) == ("fail", early)
    assert "the forms of P1" in entry.data["early"]
    two.clock.later(hours=11)
    entry = two.do(acts.answer(two.walk, BELOW, value, FOREMAN, two.clock.at, "again"))
    assert entry.data["verdict"] == "pass"


def test_the_limit_stands_beside_the_item(one: Crew, tmp_path: Path) -> None:
    assert one.item(OWN).note == "not before 5 MPa and 12 h (spec 7)"
    assert one.item("close.width/base").note == ""
    (tmp_path / "other").mkdir()
    other = poured_crew(tmp_path / "other")
    assert other.item(OWN).note == "no limit given"
    other.go_to("close")
    act = acts.answer(other.walk, OWN, "arris whole", FOREMAN, other.clock.at)
    assert "Forms off" in refused(act).title
    assert "sooner than usual" in refused(act).body
    other.clock.later(hours=6)
    entry = other.do(acts.answer(other.walk, OWN, "arris whole", FOREMAN, other.clock.at))
    assert entry.data["verdict"] == "pass"
