"""Whether a panel may be lifted: what is missing, the engineer's release, and what takes it back."""

import re
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.paper.record import record_document
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.lift_acts import Given
from pourdeck.walk.lift_words import lift_rows, release_rows, state_words, top_words
from pourdeck.walk.lifting import NO_LIMIT, in_lift_order
from pourdeck.walk.records import Act
from tests.walk.kit import CHECKER, FOREMAN, JOB, Clock, Crew, crew, open_desk, refused
from tests.walk.lift_kit import (
    ENGINEER,
    LIFT_JOB,
    LOOKED,
    NO_LIMIT_JOB,
    NOBODY_JOB,
    TESTER,
    Day,
    lift_day,
)


@pytest.fixture
def day(tmp_path: Path) -> Day:
    return lift_day(tmp_path)


def again(day: Day, text: str, folder: Path) -> Day:
    """Open the log again under a plan that the office has changed."""
    desk = day.crew.desk
    desk.close()
    clock = Clock(day.crew.clock.at)
    return Day(Crew(open_desk(folder, text, clock), clock, number=2))


# What is missing.


def test_all_that_is_missing_is_said_at_once(day: Day) -> None:
    refusal = refused(acts.lifted(day.view(1), FOREMAN))
    assert refusal.title == "P1 is not fit to lift."
    for part in (
        "no field-cured result of P1 at 25 MPa or above: none yet",
        "no release to lift by the engineer",
        "P2 above must be lifted first",
    ):
        assert part in refusal.body


def test_a_panel_that_is_not_closed_is_not_lifted(tmp_path: Path) -> None:
    one = crew(tmp_path, LIFT_JOB)
    view = one.desk.lift("A", 1)
    assert "its record is not closed" in view.missing
    assert "its record is not closed" in refused(acts.lifted(view, FOREMAN)).body
    assert state_words(view) == "not cast yet"


def test_with_result_and_release_the_top_panel_goes_first(day: Day) -> None:
    """L14: the top panel of a stack is the first to be placed, lift order = reverse cast order (Tilt-Up
    Concrete Association, FAQ on forming).
    """
    day.fit(1)
    day.fit(2)
    assert day.view(2).fit
    assert day.view(1).missing == ("P2 above must be lifted first",)
    entry = day.lift(2)
    assert entry.data["release"] == {"station": "shed", "n": day.view(2).release.n}  # type: ignore[union-attr]
    assert not day.view(1).fit
    day.look(1)
    assert day.view(1).fit
    day.lift(1)
    assert [view.mark for view in day.crew.desk.lifts()] == ["P2", "P1"]
    assert day.crew.desk.panel_state("A", 1) == "lifted"
    assert "is lifted" in refused(acts.lifted(day.view(1), FOREMAN)).title


def test_the_order_is_of_the_whole_job(day: Day) -> None:
    first = [(view.mark, view.lift) for view in day.crew.desk.lifts()]
    assert first == [("P2", 1), ("P1", 2)]
    wrong_way_round = in_lift_order(reversed(day.crew.desk.lifts()))
    assert [view.mark for view in wrong_way_round] == ["P2", "P1"]


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ({"strength": "24.9"}, "1 result, the best 24.9 MPa"),
        ({"cured": "standard"}, "none yet"),
    ],
    ids=["below the limit", "cured in the laboratory"],
)
def test_a_result_that_shows_nothing(day: Day, how: dict[str, str], says: str) -> None:
    day.result(2, **how)  # type: ignore[arg-type]
    assert says in day.view(2).missing[0]
    refusal = refused(acts.release_to_lift(day.view(2), ENGINEER, "", "all seen"))
    assert "cannot be released to lift yet" in refusal.title
    assert says in refusal.body


def test_a_limit_itself_passes(day: Day) -> None:
    day.result(2, "25")
    assert day.view(2).result is not None


def test_a_result_of_another_panel_shows_nothing(day: Day) -> None:
    day.result(1)
    assert day.view(2).result is None


def test_a_result_that_is_still_to_come_shows_nothing(day: Day) -> None:
    day.result(2, at=day.crew.clock.at + timedelta(hours=3))
    assert day.view(2).result is None
    day.crew.clock.later(hours=4)
    assert day.view(2).result is not None


def test_a_result_from_before_the_pour_is_of_no_concrete_of_this_panel(day: Day) -> None:
    day.result(2, at=day.crew.clock.at - timedelta(days=60))
    assert day.view(2).result is None


def test_a_specimen_taken_for_the_laboratory_shows_nothing_whatever_its_result_says(
    day: Day,
) -> None:
    day.specimen(2, "C1", "standard")
    day.result(2, specimen="c1 ", cured="field")
    assert day.view(2).result is None


def test_a_low_result_after_a_high_one_keeps_it_down(day: Day) -> None:
    day.result(2, "27.5", specimen="F1")
    day.crew.clock.later(hours=1)
    day.result(2, "19", specimen="F2")
    view = day.view(2)
    assert view.result is None
    assert (
        "F2 has 19 MPa, below 25 MPa, and no field-cured result of P2 after it" in view.missing[0]
    )
    assert "F2 has 19 MPa" in refused(acts.release_to_lift(view, ENGINEER, "", "all seen")).body
    day.crew.clock.later(hours=1)
    day.result(2, "26", specimen="F3")
    assert day.release(2).data["result"]["specimen"] == "F3"


def test_of_two_results_at_the_same_time_the_lower_one_counts(day: Day) -> None:
    at = day.crew.clock.at
    day.result(2, "30", specimen="F1", at=at)
    day.result(2, "24.9", specimen="F2", at=at)
    assert day.view(2).result is None


def test_who_releases_is_shown_every_result_the_low_ones_first(day: Day) -> None:
    for specimen, strength in (("F1", "19"), ("F2", "30"), ("F3", "26")):
        day.result(2, strength, specimen=specimen)
        day.crew.clock.later(hours=1)
    said = dict(release_rows(day.view(2)))["results"]
    assert [one.split()[0] for one in said.split(", ")] == ["F1", "F3", "F2"]
    assert "F1 19 MPa BELOW" in said


def test_nothing_is_said_of_how_it_comes_up_without_a_limit(day: Day, tmp_path: Path) -> None:
    assert dict(lift_rows(day.view(2)))["leads"].startswith("head edge")
    folder = tmp_path / "without"
    folder.mkdir()
    other = lift_day(folder, LIFT_JOB.replace("eccentricity = 100, ", "")).view(2)
    assert other.leads is None
    assert "leads" not in dict(lift_rows(other))
    assert "leads" not in dict(release_rows(other))["lies"]


def test_the_estimate_shows_nothing(day: Day) -> None:
    day.crew.clock.later(days=300)
    assert (day.view(2).strength().estimate or 0) > 25
    assert "no field-cured result" in day.view(2).missing[0]
    assert (
        "by the estimate, which releases no lift, from" in dict(lift_rows(day.view(2)))["strength"]
    )


def test_a_limit_in_psi_is_met_by_what_was_meant(day: Day, tmp_path: Path) -> None:
    """3000 psi is 20.684271… MPa (NIST SP 811, B.8); job.toml holds six decimals of it at most."""
    text = LIFT_JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')
    for typed in ("20.684271", "20.684272"):
        later = again(day, text.replace("strength = 25,", f"strength = {typed},"), tmp_path)
        later.result(2, "20.684271879505")
        assert later.view(2).result is not None, typed
        day = later


def test_a_size_out_of_its_band_stands_in_its_way_until_it_is_settled(day: Day) -> None:
    two = day.crew
    day.fit(2)
    two.answer("close.width/base", "3030", why="taped again")
    view = day.view(2)
    assert any("25 mm too much: no disposition yet" in one for one in view.missing), view.missing
    assert isinstance(acts.lifted(view, FOREMAN), Refusal)
    day.do(acts.dispose(two.walk, "close.width/base", "use-as-is", "checked", ENGINEER))
    assert day.view(2).owed == ()
    assert day.view(2).lapse is not None, "it was released as another size"
    day.release(2)
    assert day.view(2).fit


def test_a_rejected_panel_is_never_fit(day: Day) -> None:
    day.fit(2)
    day.crew.answer("close.width/base", "3030", why="taped again")
    day.do(acts.dispose(day.crew.walk, "close.width/base", "reject", "too wide", ENGINEER))
    assert any("rejected" in one for one in day.view(2).missing)
    assert isinstance(acts.release_to_lift(day.view(2), ENGINEER, "", "seen"), Refusal)
    assert isinstance(acts.lifted(day.view(2), FOREMAN), Refusal)


def test_a_hold_that_was_passed_stands_in_its_way_until_it_is_closed(tmp_path: Path) -> None:
    one = crew(tmp_path, LIFT_JOB)
    one.go_to("ready")
    passed = None
    for view in one.walk.sections:
        if view.id == "ready":
            one.pass_section("ready")
            passed = one.do(acts.pass_unreleased(one.walk, "pour", "rain came", FOREMAN))
        elif view.state != "done":
            one.end_section(view.id)
    assert passed is not None
    found = one.desk.lift("A", 1)
    assert any("passed unreleased" in need for need in found.missing)
    one.do(acts.close_nonconformance(one.walk, passed.station, passed.n, "looked at", CHECKER))
    assert not any("passed unreleased" in need for need in one.desk.lift("A", 1).missing)


def test_what_is_deferred_to_before_the_lift_stands_in_its_way(tmp_path: Path) -> None:
    one = crew(tmp_path, LIFT_JOB)
    one.go_to("close")
    put_off = False
    for key in one.open_items("close"):
        item = one.item(key)
        if not put_off and not item.kept and item.kind == "choice":
            one.do(acts.defer(one.walk, key, "fog", FOREMAN, "lift", FOREMAN))
            put_off = True
        else:
            one.pass_item(key)
    assert put_off
    one.do(acts.complete(one.walk, "close", FOREMAN))
    day = Day(one)
    day.result(1)
    assert any("is deferred to before the lift" in need for need in day.view(1).missing)
    refusal = refused(acts.release_to_lift(day.view(1), ENGINEER, "", "all seen"))
    assert "deferred to before the lift" in refusal.body


# The release.


def test_only_an_engineer_releases(day: Day) -> None:
    day.result(2)
    for name in (FOREMAN, CHECKER, TESTER):
        refusal = refused(acts.release_to_lift(day.view(2), name, "engineer", "all seen"))
        assert "Only an engineer releases" in refusal.body
    assert (
        "not among the people"
        in refused(acts.release_to_lift(day.view(2), "Nobody", "engineer", "all seen")).title
    )


def test_where_the_job_names_nobody_the_role_must_be_said(day: Day, tmp_path: Path) -> None:
    day = again(day, NOBODY_JOB, tmp_path)
    day.result(2)
    for role in ("", "foreman", "engineering"):
        assert isinstance(acts.release_to_lift(day.view(2), "E. Ross", role, "seen"), Refusal)
    act = acts.release_to_lift(day.view(2), "E. Ross", " Engineer ", "seen")
    assert isinstance(act, Act)
    assert act.data["role"] == "engineer"


def test_what_was_seen_must_be_said(day: Day) -> None:
    day.result(2)
    assert "what was seen" in refused(acts.release_to_lift(day.view(2), ENGINEER, "", " ")).title


def test_a_release_names_what_it_rests_on(day: Day) -> None:
    result = day.result(2)
    data = day.release(2).data
    assert (data["strength"], data["document"]) == ("25", "lifting design LD-1")
    assert (data["result"]["n"], data["result"]["specimen"]) == (result.n, "F1")
    assert len(data["setout"]) == len(data["as_cast"]) == 64


def test_a_release_is_given_once_and_never_undone(day: Day) -> None:
    day.fit(2)
    assert (
        "is released to lift"
        in refused(acts.release_to_lift(day.view(2), ENGINEER, "", "again")).title
    )
    assert "cannot be undone: lift-release" in refused(day.crew.desk.undo(ENGINEER, "a slip")).title


def test_an_undone_lift_is_not_done_again_by_a_key(day: Day) -> None:
    """Refuse to do a lift again by a key: the ground it rested on may have gone in between."""
    day.fit(2)
    day.lift(2)
    day.do(day.crew.desk.undo(FOREMAN, "a slip"))
    assert day.view(2).lifted is None
    refusal = refused(day.crew.desk.redo(FOREMAN))
    assert "not done again" in refusal.title
    day.lift(2)


# Where the job gives no limit.


def test_without_a_limit_a_lift_is_refused(tmp_path: Path) -> None:
    day = lift_day(tmp_path, NO_LIMIT_JOB)
    day.result(2, "40")
    assert NO_LIMIT in refused(acts.lifted(day.view(2), FOREMAN)).body
    refusal = refused(acts.release_to_lift(day.view(2), ENGINEER, "", "all seen"))
    assert (refusal.title, "engineer must give one" in refusal.body) == ("No strength given.", True)


def test_without_a_limit_the_engineer_gives_it_with_its_document(tmp_path: Path) -> None:
    day = lift_day(tmp_path, NO_LIMIT_JOB)
    day.result(2, "22")
    for given in (
        Given(strength="20"),
        Given(strength="20 mm", document="LD-9"),
        Given(strength="0", document="LD-9"),
        Given(strength="2,2222", document=""),
    ):
        assert isinstance(
            acts.release_to_lift(day.view(2), ENGINEER, "", "seen", given), Refusal
        ), given
    low = refused(
        acts.release_to_lift(day.view(2), ENGINEER, "", "seen", Given(strength="23", document="x"))
    )
    assert "at 23 MPa or above" in low.body
    day.release(2, given=Given(strength="20", document="LD-9, sheet 1"))
    view = day.view(2)
    assert (view.needed, view.source, view.fit) == (Decimal(20), "LD-9, sheet 1", True)
    day.lift(2)


def test_without_a_limit_and_without_any_result_nothing_is_released(tmp_path: Path) -> None:
    day = lift_day(tmp_path, NO_LIMIT_JOB)
    given = Given(strength="1", document="LD-9")
    refusal = refused(acts.release_to_lift(day.view(2), ENGINEER, "", "seen", given))
    assert "no field-cured result of P2 yet" in refusal.body


# What takes a release back.


def lapse_of(day: Day) -> str:
    view = day.view(2)
    assert view.lapse is not None
    assert not view.fit
    assert isinstance(acts.lifted(view, FOREMAN), Refusal)
    assert "the lifting design must be checked again" in view.lapse
    assert any("has lapsed" in one for one in view.missing)
    return view.lapse


def test_measured_again_it_lapses(day: Day) -> None:
    day.fit(2)
    day.crew.answer("close.width/base", "3001", why="taped again")
    assert "as-cast record" in lapse_of(day)


def test_measured_again_and_the_same_it_stands(day: Day) -> None:
    day.fit(2)
    day.crew.answer("close.width/base", "3000", why="taped again")
    assert day.view(2).fit


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('mark = "P2"\nwidth = 3000\nheight = 3000\nthickness = 150\nlift = 1\nrev = "B"',
         'mark = "P2"\nwidth = 3000\nheight = 3000\nthickness = 150\nlift = 1\nrev = "C"'),
        ("density = 2400", "density = 2500"),
    ],
    ids=["another drawing", "heavier"],
)  # fmt: skip
def test_a_plan_that_changes_takes_it_back(
    day: Day, tmp_path: Path, before: str, after: str
) -> None:
    day.fit(2)
    later = again(day, LIFT_JOB.replace(before, after), tmp_path)
    assert "not what they were" in lapse_of(later)


def test_a_lifter_that_moves_takes_it_back(day: Day, tmp_path: Path) -> None:
    day.fit(2)
    head, mark, tail = LIFT_JOB.rpartition('mark = "P2"')
    text = head + mark + tail.replace("x = 800", "x = 900")
    assert "cast-ins" in lapse_of(again(day, text, tmp_path))


def test_another_limit_takes_it_back(day: Day, tmp_path: Path) -> None:
    day.fit(2)
    later = again(day, LIFT_JOB.replace("strength = 25,", "strength = 26,"), tmp_path)
    assert "given for 25 MPa and the limit is now 26 MPa" in lapse_of(later)


def test_what_is_planned_of_another_panel_takes_nothing_back(day: Day, tmp_path: Path) -> None:
    day.fit(2)
    head, mark, tail = LIFT_JOB.rpartition('mark = "P2"')
    later = again(day, head.replace("x = 800", "x = 900") + mark + tail, tmp_path)
    assert later.view(2).fit


def test_a_result_said_anew_takes_it_back(day: Day) -> None:
    day.fit(2)
    day.result(2, "26.0", specimen="f1")
    assert "the result it rests on" in lapse_of(day)


def test_a_further_result_below_what_is_needed_takes_it_back(day: Day) -> None:
    day.fit(2)
    day.result(2, "30", specimen="F2")
    assert day.view(2).fit
    day.result(2, "19", specimen="F3")
    assert "F3 came out below 25 MPa" in lapse_of(day)


def test_a_result_that_came_out_low_before_the_release_takes_it_back(day: Day) -> None:
    """From another station: it was written down before the release, and nobody saw it here."""
    day.result(2)
    release = acts.release_to_lift(day.view(2), ENGINEER, "", "all seen")
    day.result(2, "19", specimen="F3")
    day.do(release)
    assert "F3, tested no earlier, is below 25 MPa" in lapse_of(day)


def test_a_size_change_from_another_station_takes_it_back(day: Day) -> None:
    """A poured panel is not revised here, but a log that is merged may hold that it was."""
    day.fit(2)
    size = {"width": "3000", "height": "3000", "thickness": "150", "align": "base-left"}
    data = {"panel": "P2", "before": size, "after": size, "reason": "rev D", "cancels": []}
    day.do(Act(kind="revise", by=FOREMAN, data=data, says="x"))
    assert "its size was changed" in lapse_of(day)


def test_a_lapsed_release_is_given_anew(day: Day) -> None:
    day.fit(2)
    day.result(2, "26.0", specimen="F1")
    day.release(2)
    assert day.view(2).fit
    assert len(day.view(2).record.lift_releases) == 2


def test_a_release_in_the_log_that_no_engineer_gave_does_not_stand(day: Day) -> None:
    day.result(2)
    act = acts.release_to_lift(day.view(2), ENGINEER, "", "seen")
    assert isinstance(act, Act)
    day.do(Act(kind=act.kind, by=FOREMAN, data={**act.data, "role": "foreman"}, says="x"))
    view = day.view(2)
    assert view.lapse is not None
    assert "as an engineer" in view.lapse
    assert not view.fit


@pytest.mark.parametrize(
    "data",
    [{}, {"role": 3}, {"role": "engineer", "setout": [], "result": "F1"},
     {"role": "engineer", "strength": "NaN", "result": {}}],
)  # fmt: skip
def test_a_release_that_cannot_be_read_does_not_stand(day: Day, data: dict[str, object]) -> None:
    day.result(2)
    day.do(Act(kind="lift-release", by=ENGINEER, data={"panel": "P2", **data}, says="x"))
    view = day.view(2)
    assert not view.fit
    assert lift_rows(view)


def test_an_old_log_that_has_a_lift_without_a_release_is_read(day: Day) -> None:
    day.do(Act(kind="lifted", by=FOREMAN, data={"panel": "P2"}, says="x"))
    view = day.view(2)
    assert state_words(view) == "lifted, and it is not in order"
    assert "no release to lift by the engineer" in view.faults[0].message
    assert day.view(1).above == ()


def test_what_stands_is_the_same_read_afresh(day: Day) -> None:
    day.fit(2)
    day.lift(2)
    desk = day.crew.desk
    other = Desk.open(
        desk.job.folder, station="shed", clock=day.crew.clock, state_folder=Path(), read_only=True
    )
    for number in (1, 2):
        here, there = day.view(number), other.lift("A", number)
        assert (here.missing, here.lapse, here.fit) == (there.missing, there.lapse, there.fit)


# The panel laid bare.


def test_what_is_seen_of_the_panel_laid_bare_is_a_note_of_it(day: Day) -> None:
    day.fit(2)
    assert "not laid bare" in refused(acts.look_at_exposed(day.view(1), LOOKED, FOREMAN)).title
    day.lift(2)
    assert (
        day.view(1).missing[0]
        == "not looked at since P2 was lifted off it: recesses, residue, face"
    )
    (top,) = day.crew.desk.board().lifts
    assert (top.mark, top.fit) == ("P1", False)
    assert "not looked at since P2 was lifted off it" in top_words(top)
    half = {**LOOKED, "residue": ""}
    assert isinstance(acts.look_at_exposed(day.view(1), half, FOREMAN), Refusal)
    entry = day.do(acts.look_at_exposed(day.view(1), LOOKED, FOREMAN, "photo taken"))
    assert (entry.kind, entry.data["panel"]) == ("note", "P1")
    assert re.search("cleaned off.*strength: not shown yet; photo taken", entry.data["text"])
    assert not any("not looked at" in one for one in day.view(1).missing)


def test_the_board_says_what_the_lift_waits_for(day: Day) -> None:
    (top,) = day.crew.desk.board().lifts
    assert (top.mark, top.fit) == ("P2", False)
    assert top_words(top).endswith("none yet, and 1 more")
    day.fit(2)
    (top,) = day.crew.desk.board().lifts
    assert top_words(top) == "fit to lift"


def test_a_stack_that_is_still_built_up_waits_for_no_lift(tmp_path: Path) -> None:
    assert crew(tmp_path, JOB).desk.board().lifts == ()


# In words, in the log and in the record.


def test_the_record_says_who_released_it_and_what_it_rested_on(day: Day) -> None:
    day.fit(2)
    day.lift(2)
    found = record_document(day.crew.desk.walk("A", 2))["lifting"]
    assert (found["mass"], found["factored_mass"], found["leads"]) == (3234, 4850, "head")
    assert (found["centroid"], found["eccentricity"]) == ("1500, 1500", "0, 400")
    (release,) = found["release"]
    assert (release["by"], release["specimen"], release["strength_shown"]) == (
        ENGINEER, "F1", Decimal("27.5"),
    )  # fmt: skip
    assert found["lifted"]["released_in"] == day.view(2).release.n  # type: ignore[union-attr]
    assert "without_release" not in found["lifted"]


def test_the_record_of_an_older_lift_says_that_it_had_no_release(day: Day) -> None:
    day.do(Act(kind="lifted", by=FOREMAN, data={"panel": "P2"}, says="x"))
    found = record_document(day.crew.desk.walk("A", 2))["lifting"]
    assert found["lifted"]["without_release"] is True


def test_an_imperial_job_reads_it_in_its_own_units(day: Day, tmp_path: Path) -> None:
    text = LIFT_JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')
    day.fit(2)
    later = again(day, text, tmp_path)
    words = dict(lift_rows(later.view(2)))
    assert "lb" in words["mass"]
    assert "psi needed" in words["strength"]
    assert "4' 11-1/16\" from the left edge" in words["gravity"]


def test_nothing_said_of_a_lift_is_a_capacity_or_a_design(day: Day) -> None:
    """Show mass and place alone: no insert, sling or crane is ever judged."""
    words = " ".join(text for _, text in lift_rows(day.view(2))).casefold()
    assert not re.search("capacity|safe working|sling|wll|swl|crane", words)
