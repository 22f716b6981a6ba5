"""Who may take back what, and what a taken back result leaves behind.

That a low result calls for a new release is ours: the engineer released on what was known then. Ages of
concrete at which forms come off and strengths of young concrete: common practice, no source.
"""

from datetime import timedelta
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.plan.messages import Refusal, WhyNeeded
from pourdeck.walk import acts
from pourdeck.walk.acts import Word
from pourdeck.walk.lift_words import release_words
from pourdeck.walk.records import Act
from pourdeck.walk.strength import strength
from pourdeck.walk.strength_acts import result, specimen
from tests.walk import pour_kit
from tests.walk.kit import CHECKER, FOREMAN, HAND, WITH_ENGINEER, Crew, crew, refused
from tests.walk.lift_kit import ENGINEER, TESTER, Day, lift_day
from tests.walk.strength_kit import poured_crew


@pytest.fixture
def day(tmp_path: Path) -> Day:
    return lift_day(tmp_path)


def low_after_the_release(day: Day) -> None:
    day.fit(2)
    day.specimen(2, "F2", "field")
    day.crew.clock.later(hours=1)
    day.result(2, "20", specimen="F2")
    assert "F2 came out below 25 MPa" in str(day.view(2).lapse)


def undone(day: Day) -> Act | Refusal:
    return day.crew.desk.undo(FOREMAN, "wrong sheet")


def in_the_laboratory(day: Day) -> Act | Refusal:
    now = day.crew.clock.at
    walk = day.crew.desk.walk("A", 2)
    time = walk.record.pour_end.data["time"]  # type: ignore[union-attr]
    return specimen(walk, "F2", "standard", "", time, FOREMAN, now, "wrong box")


def put_right(day: Day) -> Act | Refusal:
    walk = day.crew.desk.walk("A", 2)
    return result(walk, "F2", "26", "now", FOREMAN, day.crew.clock.at, "misread")


@pytest.mark.parametrize("taken_back", [undone, in_the_laboratory, put_right])
def test_a_low_result_that_is_taken_back_leaves_the_release_lapsed(
    day: Day, taken_back: object
) -> None:
    low_after_the_release(day)
    day.crew.do(taken_back(day))  # type: ignore[operator]
    view = day.view(2)
    assert not view.released
    assert "F2 came out below 25 MPa" in str(view.lapse)
    refused(acts.lifted(view, FOREMAN))
    day.release(2)
    assert day.view(2).fit


def test_a_low_result_of_a_clock_that_is_ahead_counts_at_once(day: Day) -> None:
    day.result(2, "30")
    day.specimen(2, "F2", "field")
    day.crew.clock.later(hours=20)
    day.result(2, "12", specimen="F2", at=day.crew.clock.at - timedelta(hours=19.5))
    day.crew.clock.later(hours=-19)
    refused(acts.release_to_lift(day.view(2), ENGINEER, "", "all seen"))


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ({"of": ENGINEER, "role": "engineer", "way": "phone"}, "a way that is not enough"),
        ({"of": TESTER, "role": "engineer", "way": "here"}, f"its word is of {TESTER}"),
    ],
)
def test_a_release_by_phone_or_by_another_in_a_log_from_elsewhere_does_not_count(
    day: Day, word: dict[str, str], says: str
) -> None:
    day.result(2)
    act = acts.release_to_lift(day.view(2), ENGINEER, "", "all seen")
    assert isinstance(act, Act)
    day.do(evolve(act, data={**act.data, "word": word}))
    assert says in str(day.view(2).lapse)


def test_a_lift_is_not_released_on_a_letter_older_than_its_last_test(day: Day) -> None:
    day.result(2)
    old = Word(
        of=ENGINEER, way="writing", reference="mail 3", taken_by=FOREMAN,
        at=day.crew.clock.at - timedelta(days=8),
    )  # fmt: skip
    refusal = refused(acts.release_to_lift(day.view(2), FOREMAN, "", "all seen", word=old))
    assert "is before the last test of it" in refusal.title
    assert refusal.about == "at"
    new = evolve(old, at=day.crew.clock.at)
    day.do(acts.release_to_lift(day.view(2), FOREMAN, "", "all seen", word=new))
    assert f", in writing: mail 3, taken down by {FOREMAN}" in release_words(day.view(2))


@pytest.mark.parametrize("kind", ["test", "specimen", "lifted"])
def test_what_shows_a_strength_and_a_lift_are_taken_back_with_a_reason(day: Day, kind: str) -> None:
    if kind == "lifted":
        day.fit(2)
        day.lift(2)
    else:
        day.specimen(2, "F1", "field")
    if kind == "test":
        day.result(2)
    asked = day.crew.desk.undo(FOREMAN)
    assert isinstance(asked, WhyNeeded)
    assert day.crew.do(day.crew.desk.undo(FOREMAN, "a slip")).data["why"] == "a slip"


def test_nobody_takes_back_under_a_name_that_is_not_of_the_job(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_item("drawing.mark")
    assert isinstance(one.desk.undo("Nobody Atall", "a slip"), Refusal)
    assert isinstance(one.desk.undo("", "a slip"), Refusal)


def test_what_somebody_answers_for_is_taken_back_by_that_person_or_an_engineer(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    one.go_to("strip")
    one.answer("strip.bed-joints", one.item("strip.bed-joints").choices[-1])
    one.do(acts.follow_up(one.walk, "strip.bed-joints", "cleaned", CHECKER))
    assert "answers for that" in refused(one.desk.undo(HAND, "a slip")).title
    assert isinstance(one.desk.undo(CHECKER), WhyNeeded)
    for name in (CHECKER, "Eve Lund"):
        assert isinstance(one.desk.undo(name, "a slip"), Act)


def test_whoever_ever_answered_a_failed_item_does_not_close_it(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    one.go_to("strip")
    bad = one.item("strip.bed-joints").choices[-1]
    one.answer("strip.bed-joints", bad)
    one.do(acts.answer(one.walk, "strip.bed-joints", bad, HAND, one.clock.at, "so it is"))
    refusal = refused(acts.follow_up(one.walk, "strip.bed-joints", "cleaned", FOREMAN))
    assert "answered" in refusal.title
    assert isinstance(acts.follow_up(one.walk, "strip.bed-joints", "cleaned", CHECKER), Act)


@pytest.mark.parametrize(("name", "may"), [(HAND, False), (FOREMAN, True), (CHECKER, True)])
def test_a_panel_is_closed_by_somebody_in_charge(tmp_path: Path, name: str, may: bool) -> None:
    one = crew(tmp_path)
    one.go_to("close")
    one.clock.later(hours=12)
    one.pass_section("close")
    act = acts.close_panel(one.walk, name)
    assert isinstance(act, Act) is may
    if isinstance(act, Act):
        assert act.data["word"]["of"] == name
    else:
        assert "may not close a panel" in act.title


def test_frost_while_the_concrete_is_placed_counts(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.answer("pour.start", "now")
    began = one.clock.at
    one.clock.later(hours=4)
    data = {"readings": [[(began + timedelta(hours=1)).isoformat(), "-1"]], "from": "typed"}
    one.do(Act(kind="temperatures", by=HAND, data={"panel": one.walk.mark, **data}, says="cold"))
    one.go_to("close")
    found = strength(one.desk.job, one.walk.record, one.clock.at)
    assert [reading.temperature for reading in found.frost] == [-1]
    assert found.out_of_range is not None


def test_a_docket_twice_is_asked_about(tmp_path: Path) -> None:
    one = pour_kit.begun(tmp_path)
    pour_kit.do(one, 1, docket="41", mix="N40/20")
    act = pour_kit.load(one, 2, docket="41", mix="N40/20")
    assert isinstance(act, WhyNeeded)
    assert act.title == "Load 1 has docket 41 too."


def test_what_is_measured_anew_after_a_load_was_let_in_is_under_no_word(tmp_path: Path) -> None:
    one = pour_kit.begun(tmp_path)
    pour_kit.do(one, 1, docket="41", mix="N40/20", batched="now", arrived="now", temperature="36")
    pour_kit.do(one, 1, begun="now", let_in=f"{CHECKER}, shaded")
    assert any("Let in by" in found.message for found in pour_kit.page(one).findings)
    pour_kit.do(one, 1, why="read again", temperature="44")
    hot = [one for one in pour_kit.page(one).findings if one.code == "concrete-temperature"]
    assert len(hot) == 1
    assert "44 °C" in hot[0].message
    assert "Let in by" not in hot[0].message


def test_a_strength_far_above_its_age_is_asked_about(tmp_path: Path) -> None:
    one: Crew = poured_crew(tmp_path)
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=1)
    act = result(one.walk, "C1", "30", "now", FOREMAN, one.clock.at)
    assert isinstance(act, WhyNeeded)
    assert act.title.startswith("30 MPa so early: the estimate is ")
    assert isinstance(result(one.walk, "C1", "30", "now", FOREMAN, one.clock.at, "steam"), Act)
    one.clock.later(days=7)
    assert isinstance(result(one.walk, "C1", "30", "now", FOREMAN, one.clock.at), Act)
