"""Two panels of one stack, walked through from the first item to the last."""

from decimal import Decimal
from pathlib import Path

from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from tests.walk.kit import ALONE, CHECKER, FOREMAN, Crew, complete, crew, open_desk, refused


def test_two_panels_are_walked_through_to_cast(tmp_path: Path) -> None:
    one = crew(tmp_path)
    states = [one.walk.panel_state]
    for section in one.walk.sections:
        one.end_section(section.id)
        states.append(one.walk.panel_state)
    assert states[0] == "ready"
    assert states[-1] == "cast"
    assert [state for n, state in enumerate(states) if state != states[n - 1]] == [
        "ready", "forming", "released", "curing", "cast",
    ]  # fmt: skip
    walk = one.walk
    assert (walk.open, walk.failed, walk.deferred) == (0, 0, 0)
    assert walk.answered == walk.total
    assert all(section.state == "done" for section in walk.sections)
    assert walk.next is None

    two = Crew(one.desk, one.clock, number=2)
    assert two.walk.panel_state == "waiting"
    one.clock.later(hours=18)
    two.cast()
    assert two.walk.panel_state == "cast"
    assert two.walk.answered == two.walk.total
    assert {hold.state for hold in two.walk.holds} == {"released"}
    assert two.walk.setout.heights.measured_below == Decimal("101.000")


def test_the_first_panel_has_the_bed_and_no_brackets(tmp_path: Path) -> None:
    walk = crew(tmp_path).walk
    assert [section.id for section in walk.sections] == [
        "drawing", "strip", "surface", "height", "forms", "cast-ins", "ready", "pour", "finish",
        "close",
    ]  # fmt: skip
    assert walk.find("strip.bed-flat")
    assert walk.find("strip.fins") is None
    strip = walk.section("strip")
    assert strip is not None
    assert strip.hold is not None
    assert strip.hold.name == "Bed accepted"


def test_the_same_comes_out_of_the_log_when_it_is_read_again(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("forms")
    one.answer("forms.from-line/head", "3009")
    before = one.walk
    one.desk.close()
    again = open_desk(tmp_path, clock=one.clock)
    assert again.walk("A", 1) == before
    assert again.head[0] == len(again.state.entries)


def test_pour_records_what_was_cast(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    entry = one.pass_item("pour.start")
    assert entry.kind == "pour-start"
    assert entry.data["width"] == "3000"
    assert entry.data["anchors"]["right"] == ["500", "1500", "2500"]
    assert one.walk.panel_state == "pouring"
    assert one.desk.poured()["P1"].anchors.base == (500, 1500, 2500)
    change = one.desk.resize("A", 1, width=Decimal(2800))
    assert isinstance(change, Refusal)


def test_pour_ends_with_the_volume_placed(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    for key in one.open_items("pour"):
        if key == "pour.end":
            break
        one.answer(key, "1.4") if key == "pour.volume" else one.pass_item(key)
    early = acts.answer(one.walk, "pour.end", "2026-03-01 05:00", FOREMAN, one.clock.at)
    assert refused(early).title.startswith("End of the pour Sun 01 Mar 05:00 is before the start")
    entry = one.pass_item("pour.end")
    assert (entry.kind, entry.data["volume"]) == ("pour-end", "1.4")


def test_a_poured_panel_keeps_what_was_found_before(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.pass_item("pour.start")
    again = acts.answer(one.walk, "forms.between/base", "3001", FOREMAN, one.clock.at, "misread")
    assert "poured" in refused(again).title
    assert one.do(acts.note(one.walk, "forms.between/base", "it was 3001", FOREMAN)).kind == "note"
    assert one.item("forms.between/base").notes[0].by == FOREMAN


def test_nothing_in_a_closed_panel_is_answered_but_what_may_be(tmp_path: Path) -> None:
    one = crew(tmp_path, ALONE)
    one.go_to("close")
    one.do(acts.defer(one.walk, "close.threads", "taped up", FOREMAN, "lift", FOREMAN))
    one.end_section("close")
    assert one.walk.panel_state == "cast"
    assert one.walk.deferred == 1
    for item in one.walk.items():
        act = acts.answer(one.walk, item.key, "3001", FOREMAN, one.clock.at, "read again")
        may = item.cast_key is not None or item.own_state == "deferred"
        if not may:
            assert "is closed" in refused(act).title
    one.answer("close.width/base", "3004", why="read again")
    assert one.item("close.width/base").found == 3004
    assert "deferred to before the lift" in one.desk.lift("A", 1).missing[0]
    one.answer("close.threads", "all clear")
    assert not any("deferred" in need for need in one.desk.lift("A", 1).missing)


def test_a_panel_under_another_is_not_lifted(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.cast()
    refusal = refused(acts.lifted(one.desk.lift("A", 1), FOREMAN))
    assert "P2 above must be lifted first" in refusal.body, "the one above is still to be cast"


def test_a_panel_is_closed_only_when_all_is_answered(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert "not poured" in refused(acts.close_panel(one.walk, FOREMAN)).title
    one.go_to("close")
    assert "18 items open" in refused(acts.close_panel(one.walk, FOREMAN)).body
    one.answer("close.width/base", "3010")
    one.pass_section("close")
    assert one.walk.failed == 1
    body = refused(acts.complete(one.walk, "close", FOREMAN)).body
    assert "width, base side 3010 mm, 5 mm too much: no disposition yet" in body
    one.do(acts.dispose(one.walk, "close.width/base", "repair", "grind the head", CHECKER))
    one.do(complete(one.walk, "close", FOREMAN))
    assert one.walk.panel_state == "cast"
