"""When a panel may be started, by the clock and by the panel below, and the state it is in."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pourdeck.walk import acts
from pourdeck.walk.panel_walk import midnight_after
from pourdeck.walk.records import Act
from tests.walk.kit import ALONE, FOREMAN, JOB, STACK, Crew, crew, refused


@pytest.fixture
def poured(tmp_path: Path) -> Crew:
    """The crew on panel 2; the pour of panel 1 has just ended."""
    one = crew(tmp_path)
    one.go_to("finish")
    return Crew(one.desk, one.clock, number=2)


def test_a_panel_waits_for_the_one_below(tmp_path: Path) -> None:
    two = crew(tmp_path, number=2)
    assert two.walk.panel_state == "waiting"
    assert two.walk.gate is not None
    assert two.walk.gate.body == (
        "It may be formed when P1, panel 1, is poured, and 18 h have passed since."
    )
    act = acts.answer(two.walk, "drawing.mark", "P2", FOREMAN, two.clock.at)
    assert "waits for P1" in refused(act).body


def test_without_hours_given_it_is_the_pour_alone_that_is_waited_for(tmp_path: Path) -> None:
    two = crew(tmp_path, JOB.replace("climb = { hours = 18 }", ""), number=2)
    assert two.walk.gate is not None
    assert two.walk.gate.body == "It may be formed when P1, panel 1, is poured."


def test_any_panel_waits_for_the_one_right_below_it(tmp_path: Path) -> None:
    third = STACK[STACK.rindex("[[stack.panel]]") :].replace("P2", "P3")
    lower = JOB.replace("lift = 2", "lift = 3").replace("lift = 1", "lift = 2")
    one = crew(tmp_path, lower + third)
    three = one.desk.walk("A", 3)
    assert three.gate is not None
    assert three.gate.title == "P3 waits for P2."
    assert three.gate.body.startswith("It may be formed when P2, panel 2, is poured")


def test_a_pour_that_goes_on_opens_nothing(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.pass_item("pour.start")
    walk = one.desk.walk("A", 2)
    assert walk.gate is not None
    assert "the end of P1's pour" in walk.gate.body
    assert walk.gate_until is None


def test_the_hours_pass_by_the_clock(poured: Crew) -> None:
    walk = poured.walk
    ended = poured.desk.state.panel("P1").pour_end
    assert ended is not None
    assert walk.panel_state == "waiting"
    assert walk.gate_until is not None
    # limits.climb.hours is 18; what was typed was the time to the second.
    end = walk.gate_until - timedelta(hours=18)
    assert end.isoformat() == ended.data["time"]
    assert walk.gate is not None
    assert walk.gate.body == (
        f"P2 may be formed from {walk.gate_until:%a %d %b %H:%M} (18 h after P1's pour end)."
    )
    assert walk.next is not None
    assert walk.next.until == walk.gate_until

    poured.clock.at = walk.gate_until - timedelta(seconds=1)
    assert poured.walk.panel_state == "waiting"
    assert f"from {walk.gate_until:%H:%M} (" in str(poured.walk.gate)
    assert poured.desk.panel_state("A", 2) == "waiting"
    poured.clock.at = walk.gate_until
    assert poured.walk.panel_state == "ready"
    assert poured.desk.panel_state("A", 2) == "ready"
    poured.pass_item("drawing.mark")
    assert poured.walk.panel_state == "forming"


def test_without_hours_given_a_poured_panel_is_enough(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB.replace("climb = { hours = 18 }", ""))
    one.go_to("finish")
    assert one.desk.walk("A", 2).panel_state == "ready"


@pytest.mark.parametrize("said", [{}, {"time": None}])
def test_a_pour_end_without_a_time_ended_when_it_was_recorded(
    tmp_path: Path, said: dict[str, object]
) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.pass_item("pour.start")
    entry = one.do(Act(kind="pour-end", by=FOREMAN, data={"panel": "P1", **said}, says=""))
    assert one.desk.walk("A", 2).gate_until == entry.at + timedelta(hours=18)


def test_the_next_midnight() -> None:
    assert midnight_after(datetime(2026, 2, 28, 23, 59, 59, 9, UTC)) == datetime(
        2026, 3, 1, tzinfo=UTC
    )
    assert midnight_after(datetime(2026, 3, 1, tzinfo=UTC)) == datetime(2026, 3, 2, tzinfo=UTC)


def test_the_source_of_the_hours_is_named(tmp_path: Path) -> None:
    text = JOB.replace(
        "climb = { hours = 18 }", 'climb = { hours = 18 }\nsources.climb = "note 14"'
    )
    one = crew(tmp_path, text)
    one.go_to("finish")
    walk = one.desk.walk("A", 2)
    assert walk.gate is not None
    assert walk.gate.body.endswith("(18 h after P1's pour end; note 14).")


def test_states_follow_what_is_recorded(tmp_path: Path) -> None:
    one = crew(tmp_path, ALONE)

    def state() -> str:
        assert one.desk.panel_state("A", 1) == one.walk.panel_state
        return one.walk.panel_state

    assert state() == "ready"
    one.do(acts.note(one.walk, None, "bed is wet", FOREMAN))
    assert state() == "ready", "a note starts nothing"
    one.pass_item("drawing.mark")
    assert state() == "forming"
    one.go_to("pour")
    assert state() == "released"
    one.pass_item("pour.start")
    assert state() == "pouring"
    one.pass_section("pour")
    assert state() == "curing"
    for section in ("pour", "finish", "close"):
        assert state() == "curing"
        one.end_section(section)
    assert state() == "cast"
    one.do(Act(kind="lifted", by=FOREMAN, data={"panel": "P1"}, says="as an older log has it"))
    assert state() == "lifted"


def test_sections_after_the_pour_wait_for_it(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    assert one.item("finish.screed").state == "locked"
    one.pass_item("pour.start")
    assert one.item("finish.screed").state == "open"
    assert one.item("close.stripped").state == "locked"
    assert (
        "end of the pour"
        in refused(
            acts.answer(one.walk, "close.stripped", "arris whole", FOREMAN, one.clock.at)
        ).body
    )
    one.pass_section("pour")
    assert one.item("close.stripped").state == "open"


def test_a_panel_in_hand_is_the_lowest_that_is_not_cast(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert one.desk.panel_in_hand("A") == 1
    one.cast()
    assert one.desk.panel_in_hand("A") == 2
    one.clock.later(hours=18)
    Crew(one.desk, one.clock, number=2).cast()
    assert one.desk.panel_in_hand("A") == 2
