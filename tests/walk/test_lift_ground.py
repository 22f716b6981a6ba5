"""Refuse here to take back what a lift rests on, and find an error where that comes from elsewhere."""

from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.plan.messages import Finding, Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.lift_words import lift_rows
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, Clock, Crew, open_desk, refused
from tests.walk.lift_kit import ENGINEER, LIFT_JOB, YARD_JOB, Day, lift_day
from tests.walk.lift_yard import Yard


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return Yard(tmp_path, YARD_JOB, timedelta(0))


def findings(yard: Yard, name: str = "shed") -> list[Finding]:
    return list(yard.at[name].desk.lift_findings())


def undo_at(yard: Yard, name: str) -> Act | Refusal:
    yard.read_again(name)
    return yard.at[name].desk.undo(FOREMAN, "a slip")


def lifted_one_above_the_other(yard: Yard) -> None:
    """P2 at the crane, then P1 at the shed."""
    yard.right("crane", "P2")
    yard.lift("crane", "P2")
    yard.read_again("shed")
    yard.look("shed", "P1")
    yard.result("shed", "P1", "30")
    yard.release("shed", "P1")
    yard.lift("shed", "P1")


def test_the_lift_above_is_not_taken_back_at_another_station(yard: Yard) -> None:
    lifted_one_above_the_other(yard)
    refusal = refused(undo_at(yard, "crane"))
    assert refusal.title == "The lift of P1 rests on that."
    assert "the lift of P2 above it was taken back" in refusal.body
    assert "Take back the lift of P1 first" in refusal.body


def test_lifts_are_taken_back_from_below(yard: Yard) -> None:
    yard.right("shed", "P1")
    yard.lift("shed", "P1")
    yard.do("shed", undo_at(yard, "shed"))
    assert findings(yard) == []
    assert yard.view("shed", "P2").lifted is not None
    refusal = refused(yard.at["shed"].desk.undo(FOREMAN, "a slip"))
    assert "cannot be undone: lift-release" in refusal.title, "what was done before it stays"


def test_the_lift_above_that_was_taken_back_elsewhere_is_an_error_of_both(yard: Yard) -> None:
    """The crane takes its lift back before it has heard of the one below."""
    lifted_one_above_the_other(yard)
    crane = yard.at["crane"].desk
    yard.do("crane", crane.undo(FOREMAN, "a slip"))
    yard.read_again("shed")
    (found,) = findings(yard)
    assert (found.code, found.mark, found.is_error) == ("lift-above-undone", "P1", True)
    assert "the lift of P2 above it was taken back (undo no. " in found.message
    assert "of crane" in found.message
    assert "record its lift again" in found.message
    assert ("finding", found.message) in lift_rows(yard.view("shed", "P1"))
    # P2 is off in truth: its lift is recorded again.
    yard.lift("shed", "P2")
    assert findings(yard) == []


@pytest.mark.parametrize("kind", ["test", "specimen"])
def test_a_result_that_a_lift_rests_on_is_not_taken_back(yard: Yard, kind: str) -> None:
    """Written at the crane, where it is the last act; the lift was recorded at the shed."""
    yard.specimen("crane", "P2", "F1", "field")
    if kind == "specimen":
        yard.read_again("shed")
    yard.result("crane" if kind == "test" else "shed", "P2", "30")
    yard.read_again("shed")
    yard.release("shed", "P2")
    yard.lift("shed", "P2")
    refusal = refused(undo_at(yard, "crane"))
    assert refusal.title == "The lift of P2 rests on that."
    assert "the result of F1 that it rests on" in refusal.body
    assert "put right by a new result of that specimen, with why" in refusal.body


def test_a_correction_that_is_done_again_is_not_either(yard: Yard) -> None:
    yard.result("crane", "P2", "30")
    yard.result("crane", "P2", "20")
    yard.do("crane", yard.at["crane"].desk.undo(FOREMAN, "a slip"))
    yard.read_again("shed")
    yard.release("shed", "P2")
    yard.lift("shed", "P2")
    assert yard.view("shed", "P2").lifted is not None
    yard.read_again("crane")
    assert "rests on that" in refused(yard.at["crane"].desk.redo(FOREMAN)).title


def test_what_no_lift_rests_on_is_taken_back(yard: Yard) -> None:
    yard.right("shed", "P2")
    yard.lift("shed", "P2")
    yard.result("crane", "P2", "28", "F7")
    assert isinstance(undo_at(yard, "crane"), Act)


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("test", "the result of F1 that it rests on (no. "),
        ("specimen", "the result of F1 that it rests on (no. "),
        ("lift-release", "the release to lift that it rests on (no. "),
    ],
)
def test_what_went_elsewhere_is_an_error_of_the_panel(yard: Yard, kind: str, says: str) -> None:
    yard.right("shed", "P2")
    yard.lift("shed", "P2")
    yard.take_back("shed", "P2", kind)
    (found,) = findings(yard)
    assert (found.code, found.mark, found.is_error) == ("lift-ground-lost", "P2", True)
    assert says in found.message
    assert "(undo no. " in found.message
    assert "Tell the engineer today" in found.message
    assert found in yard.at["shed"].desk.findings()


def test_a_result_that_is_put_right_below_is_an_error_and_names_the_entry(yard: Yard) -> None:
    yard.right("shed", "P2")
    yard.lift("shed", "P2")
    yard.result("shed", "P2", "26")
    assert findings(yard) == []
    yard.result("shed", "P2", "20")
    (found,) = findings(yard)
    last = yard.at["shed"].desk.state.entries[-1]
    assert f"(test no. {last.n} of shed" in found.message


# A lift that was not to be made.


def test_it_says_what_was_missing_and_no_more(yard: Yard) -> None:
    yard.result("shed", "P1", "30")
    yard.release("shed", "P1")
    yard.write("shed", "lifted", FOREMAN, panel="P1")
    (found,) = findings(yard)
    assert (found.code, found.mark, found.is_error) == ("lifted-unfit", "P1", True)
    assert "Missing then: P2 above must be lifted first. Tell" in found.message
    # What comes afterwards puts nothing right.
    yard.right("shed", "P2")
    yard.lift("shed", "P2")
    assert [one.code for one in findings(yard)] == ["lifted-unfit"]
    yard.take_back("shed", "P1", "lifted")
    assert findings(yard) == []


def test_a_lift_that_names_nothing_is_one_too(yard: Yard) -> None:
    yard.right("shed", "P2")
    yard.write("shed", "lifted", FOREMAN, panel="P2")
    (found,) = findings(yard)
    assert "it names no release to lift of this panel" in found.message
    assert "it names no field-cured result of this panel" in found.message


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("strength = 25,", "strength = 30,"),
        ("density = 2400", "density = 2500"),
        ('lift = 1\nrev = "B"', 'lift = 1\nrev = "C"'),
        ("width = [ { upto = 3000, plus = 5, minus = 5 }", "width = [ { upto = 3000, plus = 0, minus = 0 }"),
    ],
    ids=["limit", "density", "drawing", "band"],
)  # fmt: skip
def test_a_plan_that_changes_afterwards_makes_no_lift_wrong(
    tmp_path: Path, old: str, new: str
) -> None:
    day = lift_day(tmp_path)
    day.fit(2)
    day.lift(2)
    day.crew.desk.close()
    text = LIFT_JOB.replace(old, new)
    assert text != LIFT_JOB
    clock = Clock(day.crew.clock.at)
    later = Day(Crew(open_desk(tmp_path, text, clock), clock, number=2))
    assert later.crew.desk.lift_findings() == ()


def test_a_release_below_every_limit_the_job_had_is_none(yard: Yard) -> None:
    yard.forge_release("shed", "P2", ENGINEER, "engineer", "1", before=False)
    release: Entry = yard.view("shed", "P2").record.lift_releases[-1]
    test = yard.view("shed", "P2").record.tests[-1]
    yard.write(
        "shed", "lifted", FOREMAN, panel="P2",
        release={"station": "shed", "n": release.n}, result={"station": "shed", "n": test.n},
    )  # fmt: skip
    (found,) = findings(yard)
    assert "it was given for 1 MPa and the limit is now 25 MPa" in found.message


# The panel laid bare, and two of one mark.


def test_a_panel_laid_bare_is_looked_at_after_the_lift_that_counts(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.fit(1)
    day.fit(2)
    day.lift(2)
    day.look(1)
    assert day.view(1).fit
    note = day.view(1).exposed[-1]
    day.do(Act(kind="undo", by=FOREMAN, says="x",
               data={"station": "shed", "n": day.view(2).record.lifted.n, "why": ""}))  # type: ignore[union-attr]  # fmt: skip
    day.lift(2)
    assert note not in day.view(1).exposed
    assert day.view(1).missing == (
        "not looked at since P2 was lifted off it: recesses, residue, face",
    )


def test_recesses_that_are_not_clean_keep_it_down_until_they_are(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.fit(1)
    day.fit(2)
    day.lift(2)
    day.look(1, recesses="not clean")
    assert day.view(1).missing == ("its recesses were seen not clean: clean them and look again",)
    day.look(1)
    assert day.view(1).fit


def test_damage_that_is_seen_takes_the_release_back(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.fit(1)
    day.fit(2)
    day.lift(2)
    day.look(1, recesses="damaged")
    lapse = day.view(1).lapse
    assert lapse is not None
    assert "recesses and lifters were seen damaged" in lapse
    assert isinstance(acts.lifted(day.view(1), FOREMAN), Refusal)
    day.release(1)
    assert day.view(1).fit


def test_a_mark_that_two_panels_carry_lifts_none_of_them(tmp_path: Path) -> None:
    text = YARD_JOB.replace('mark = "Q1"', 'mark = "P2"')
    day = lift_day(tmp_path, YARD_JOB)
    day.fit(2)
    day.crew.desk.close()
    clock = Clock(day.crew.clock.at)
    later = Day(Crew(open_desk(tmp_path, text, clock), clock, number=2))
    for stack, number in (("A", 2), ("B", 1)):
        view = later.crew.desk.lift(stack, number)
        assert not view.fit
        assert "P2 is the mark of 2 panels (A 2, B 1)" in view.missing[0]
        assert isinstance(acts.release_to_lift(view, ENGINEER, "", "seen"), Refusal)
