"""Hold points: what they stop, who may release them, and what takes a release back."""

from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.records import Act
from tests.walk.kit import (
    CHECKER,
    FOREMAN,
    HAND,
    JOB,
    PEOPLE,
    Crew,
    crew,
    good_answer,
    on_second,
    refused,
)


def every_act(one: Crew, key: str) -> list[Act | Refusal]:
    """Everything that could move an item on, by every person."""
    item = one.item(key)
    made: list[Act | Refusal] = []
    for by in (FOREMAN, HAND, CHECKER):
        made += [
            acts.answer(one.walk, key, good_answer(item), by, one.clock.at, "because"),
            acts.defer(one.walk, key, "later", FOREMAN, "lift", by),
            acts.not_applicable(one.walk, key, "none here", by),
            acts.follow_up(one.walk, key, "ground off", by),
        ]
    return made


def ends(one: Crew) -> list[Act | Refusal]:
    """Everything that could end a section, a hold or the panel."""
    made: list[Act | Refusal] = [acts.close_panel(one.walk, FOREMAN)]
    for section in one.walk.sections:
        if section.locked_by:
            made.append(acts.complete(one.walk, section.id, FOREMAN))
            if section.hold:
                made.append(acts.release(one.walk, section.hold.id, CHECKER, "", "looked"))
                made.append(acts.pass_unreleased(one.walk, section.hold.id, "rain", FOREMAN))
    return made


@pytest.mark.parametrize(
    ("stop", "hold"),
    [
        ("drawing", "Drawings and plan"), ("strip", "Bed accepted"), ("surface", "Surface"),
        ("forms", "Set-out checked by someone else"), ("ready", "Release to pour"),
    ],
)  # fmt: skip
def test_nothing_gets_past_an_unreleased_hold(tmp_path: Path, stop: str, hold: str) -> None:
    """Every locked item through every act, nothing gets through."""
    one = crew(tmp_path)
    one.go_to(stop)
    one.pass_section(stop)
    here = one.walk.section(stop)
    assert here is not None
    later = [section for section in one.walk.sections if section.number > here.number]
    assert later
    for section in later:
        assert section.state == "locked"
        for item in section.items:
            assert item.state == "locked"
            for act in every_act(one, item.key):
                assert hold in refused(act).title + refused(act).body
    for act in ends(one):
        refused(act)
    before = len(one.desk.state.entries)
    assert len(one.desk.state.entries) == before


def test_a_hold_says_what_is_missing(tmp_path: Path) -> None:
    one = crew(tmp_path)
    act = acts.release(one.walk, "drawing", CHECKER, "", "looked")
    assert "Panel and drawing: 8 items open, first Read the panel mark" in refused(act).body
    one.answer("drawing.mark", "P9")
    one.pass_section("drawing")
    act = acts.release(one.walk, "drawing", CHECKER, "", "looked")
    assert "“Read the panel mark off the drawing” failed, no follow-up" in refused(act).body
    one.answer("drawing.mark", "P1", why="right drawing fetched")
    one.do(acts.release(one.walk, "drawing", CHECKER, "", "looked"))
    drawing = one.walk.hold("drawing")
    assert drawing is not None
    assert (drawing.state, drawing.by, drawing.role, drawing.seen) == (
        "released", CHECKER, "supervisor", "looked",
    )  # fmt: skip


def test_a_hold_has_its_own_words_on_the_panel_that_stands_on_the_bed(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    first = Crew(two.desk, two.clock).walk.hold("as-cast-below")
    second = two.walk.hold("as-cast-below")
    assert first is not None
    assert second is not None
    assert (first.name, second.name) == ("Bed accepted", "As-cast of the panel below")
    assert first.look.startswith("the bed, clean and flat")
    assert second.look.startswith("the as-cast sizes of the panel below")
    drawing = two.walk.hold("drawing")
    assert drawing is not None
    assert drawing.look.startswith("the drawing in force"), "the same words on every panel"


def test_after_the_pour_no_hold_is_locked_any_more(tmp_path: Path) -> None:
    """As where another station poured what was never released: that is history, and in sight."""
    one = crew(tmp_path)
    size = {"width": "3000", "height": "3000", "thickness": "150", "align": "base-left"}
    before = one.walk.hold("surface")
    assert before is not None
    assert before.state == "locked"
    one.do(Act(kind="pour-start", by=FOREMAN, data={"panel": "P1", **size}, says=""))
    after = one.walk.hold("surface")
    assert after is not None
    assert after.state == "open"


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        (["base"], "base side"),
        (["base", "right", "head"], "base side, right side, head side"),
        (["base", "right", "head", "left"], "base side, right side, head side and 1 more"),
    ],
)
def test_a_hold_names_the_first_three_that_failed_and_counts_the_rest(
    tmp_path: Path, wrong: list[str], named: str
) -> None:
    one = crew(tmp_path)
    one.go_to("forms")
    for side in wrong:
        one.answer(f"forms.from-line/{side}", "2000")
    hold = one.walk.hold("set-out")
    assert hold is not None
    assert hold.needs[0] == f"Edge forms: {named} failed, no follow-up"


def test_a_covered_section_must_be_said_to_be_complete(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("height")
    one.pass_section("height")
    one.pass_section("forms")
    act = acts.release(one.walk, "set-out", CHECKER, "", "looked")
    assert "Height and plumb: not said to be complete" in refused(act).body
    one.do(acts.complete(one.walk, "height", FOREMAN))
    one.do(acts.release(one.walk, "set-out", CHECKER, "", "looked"))


class TestSecondPerson:
    def test_who_did_the_work_cannot_release_it(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.pass_section("drawing")
        for name in (FOREMAN, "  ada   REED "):
            act = acts.release(one.walk, "drawing", name, "", "looked")
            assert "did work" in refused(act).title
        one.do(acts.release(one.walk, "drawing", HAND, "", "read the sizes himself"))

    def test_saying_it_does_not_apply_is_work_too(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("strip")
        one.do(acts.not_applicable(one.walk, "strip.bed-marks", "no marks on this bed", CHECKER))
        one.pass_section("strip")
        act = acts.release(one.walk, "as-cast-below", CHECKER, "", "looked")
        assert "did work" in refused(act).title

    def test_a_size_is_read_by_somebody_else(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.answer("drawing.mark", "P1", FOREMAN)
        act = acts.answer(one.walk, "drawing.width", "3000", FOREMAN, one.clock.at)
        assert "a second person must answer it" in refused(act).body
        entry = one.answer("drawing.width", "3000", HAND)
        assert entry.data["second"] is True
        act = acts.answer(one.walk, "drawing.rev", "B", HAND, one.clock.at)
        assert "is the second person" in refused(act).title

    def test_who_only_read_as_the_second_person_may_release(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.pass_section("drawing")
        assert any(item.second and item.by == HAND for item in one.walk.items())
        one.do(acts.release(one.walk, "drawing", HAND, "", "read it all"))
        hold = one.walk.hold("drawing")
        assert hold is not None
        assert (hold.state, hold.by, hold.lapse) == ("released", HAND, None)

    def test_nobody_the_job_does_not_know(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.pass_section("drawing")
        act = acts.release(one.walk, "drawing", "Cy Hrat", "", "looked")
        assert "Did you mean Cy Hart?" in refused(act).body
        assert (
            refused(acts.release(one.walk, "drawing", " ", "", "looked")).title == "No name given."
        )

    def test_what_was_seen_must_be_said(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.pass_section("drawing")
        assert (
            "what was seen" in refused(acts.release(one.walk, "drawing", CHECKER, "", "  ")).title
        )

    def test_a_release_in_the_log_by_one_who_did_the_work_is_void(self, tmp_path: Path) -> None:
        """Refused at replay as well: the log may come from elsewhere."""
        one = crew(tmp_path)
        one.pass_section("drawing")
        hold = one.walk.hold("drawing")
        assert hold is not None
        data = {"panel": "P1", "hold": "drawing", "role": "", "seen": "", "covers": hold.digest}
        one.do(Act(kind="release", by=FOREMAN, data=data, says=""))
        hold = one.walk.hold("drawing")
        assert hold is not None
        assert hold.state == "void"
        assert hold.lapse is not None
        assert "did the work" in hold.lapse
        assert one.item("strip.agent").state == "locked"

    def test_a_second_answer_in_the_log_by_the_first_person_is_void(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.answer("drawing.mark", "P1", FOREMAN)
        act = acts.answer(one.walk, "drawing.width", "3000", HAND, one.clock.at)
        assert isinstance(act, Act)
        one.do(Act(kind="answer", by=FOREMAN, data=act.data, says=""))
        assert one.item("drawing.width").own_state == "void"

    def test_without_people_in_the_job_any_name_will_do(self, tmp_path: Path) -> None:
        one = crew(tmp_path, JOB.replace(PEOPLE, ""))
        one.pass_section("drawing")
        entry = one.do(acts.release(one.walk, "drawing", " Zed  Poe ", "engineer", "looked"))
        assert (entry.by, entry.data["role"]) == ("Zed Poe", "engineer")


class TestVoid:
    def test_another_answer_takes_the_release_back(self, tmp_path: Path) -> None:
        """The sign-off is void, and the old one stays in the log."""
        one = crew(tmp_path)
        one.go_to("height")
        one.answer("surface.swept", "clean", why="swept again")
        surface = one.walk.hold("surface")
        assert surface is not None
        assert surface.state == "released", "the same answer again changes nothing it rests on"
        one.answer("surface.product", "another batch", why="read the wrong label")
        surface = one.walk.hold("surface")
        assert surface is not None
        assert surface.state == "void"
        assert surface.lapse is not None
        assert surface.lapse == (
            "answered again since: “Look at the surface, swept”, "
            "“Read product and batch of the bond breaker”"
        )
        assert one.item("height.backsight").state == "locked"
        assert len(one.walk.record.releases["surface"]) == 1
        one.do(acts.release(one.walk, "surface", CHECKER, "", "read it too"))
        assert one.item("height.backsight").state == "open"

    def test_every_covered_answer_counts(self, tmp_path: Path) -> None:
        """Any covered value that changes makes the release void."""
        one = crew(tmp_path)
        one.go_to("surface")
        hold = one.walk.hold("drawing")
        assert hold is not None
        for key in hold.covers:
            item = one.item(key)
            wrong = {"choice": item.choices[-1] if item.choices else "", "text": "other"}
            typed = wrong.get(item.kind, "2999")
            if item.kind == "choice" and typed == item.found:
                typed = item.choices[0]
            one.answer(key, typed, HAND if item.second else FOREMAN, why="read again")
            now = one.walk.hold("drawing")
            assert now is not None
            assert now.state == "void", key
            one.do(acts.undo(one.desk.state, FOREMAN, "shed", "a slip"))
            again = one.walk.hold("drawing")
            assert again is not None
            assert again.state == "released", key

    def test_a_size_change_takes_releases_and_answers_back(self, tmp_path: Path) -> None:
        two = on_second(tmp_path)
        two.go_to("cast-ins")
        change = two.desk.resize("A", 2, width=Decimal(2800))
        assert not isinstance(change, Refusal)
        same = two.desk.resize("A", 2, width=Decimal(3000))
        assert not isinstance(same, Refusal)
        assert two.desk.cancels(same) == (), "the size it is takes nothing back"
        cancels = two.desk.cancels(change)
        assert [cancel.hold for cancel in cancels] == [
            "drawing", "as-cast-below", "surface", "set-out",
        ]  # fmt: skip
        assert cancels[0].document() == {"panel": 2, "mark": "P2", "hold": "drawing"}
        two.do(two.desk.revise(change, by=FOREMAN, reason="drawing rev C"))
        assert {hold.state for hold in two.walk.holds} == {"void", "locked"}
        assert two.item("drawing.width").own_state == "void"
        assert two.item("drawing.width").expected == 2800
        assert two.item("drawing.height").own_state == "done"
        assert two.item("forms.offset/right-1").own_state == "void"
        assert two.item("forms.offset/left-1").own_state == "done"
        assert two.item("brackets.bolt/right-1").own_state == "void"
        drawing = two.walk.hold("drawing")
        assert drawing is not None
        assert drawing.lapse is not None
        assert "the size of P2 was changed" in drawing.lapse
        assert two.walk.panel_state == "forming"

    def test_a_void_release_to_pour_drops_the_panel_back(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("pour")
        assert one.walk.panel_state == "released"
        one.answer("ready.watcher", "somebody else", why="gone home")
        assert one.walk.panel_state == "forming"
        assert one.item("pour.start").state == "locked"


class TestTakenBack:
    def test_an_answer_under_a_release_says_what_it_takes_back(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("cast-ins")
        item = one.item("forms.from-line/head")
        (hold,) = acts.takes_back(one.walk, item)
        assert hold.id == "set-out"
        act = acts.answer(one.walk, item.key, "3001", FOREMAN, one.clock.at)
        assert f"takes back the release of “{hold.name}” by {CHECKER}" in refused(act).body
        act = acts.answer(one.walk, item.key, "3001", FOREMAN, one.clock.at, "taped again")
        assert isinstance(act, Act)
        assert act.says.endswith(f"“{hold.name}” must be released again")
        one.do(act)
        assert acts.takes_back(one.walk, one.item(item.key)) == ()

    def test_what_no_release_covers_takes_none_back(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("forms")
        one.pass_item("forms.from-line/head")
        assert acts.takes_back(one.walk, one.item("forms.from-line/head")) == ()
        assert acts.taken_back_words(()) == ""

    def test_once_the_pour_has_begun_nothing_is_taken_back(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("pour")
        assert acts.takes_back(one.walk, one.item("ready.watcher"))
        one.pass_item("pour.start")
        assert acts.takes_back(one.walk, one.item("ready.watcher")) == ()


def put_off_to_the_pour(folder: Path) -> Crew:
    """A side of the forms is deferred to before the pour, and all else is ready for it."""
    one = crew(folder)
    one.go_to("forms")
    one.do(acts.defer(one.walk, "forms.from-line/head", "no line", HAND, "pour", FOREMAN))
    one.go_to("ready")
    one.pass_section("ready")
    return one


class TestDeferred:
    def test_a_hold_waits_for_what_is_due_before_it(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.do(acts.defer(one.walk, "drawing.base-end", "fog", HAND, "surface", FOREMAN))
        item = one.item("drawing.base-end")
        assert (item.state, item.owner, item.before) == ("deferred", HAND, "surface")
        one.go_to("surface")
        one.pass_section("surface")
        act = acts.release(one.walk, "surface", CHECKER, "", "looked")
        assert "Find the base mark on the bed is deferred to before this hold" in refused(act).body
        one.answer("drawing.base-end", "base at the base mark")
        one.do(acts.release(one.walk, "surface", CHECKER, "", "looked"))

    @pytest.mark.parametrize(
        ("before", "due"),
        [("lift", False), ("drawing", True), ("surface", False), ("no such hold", True)],
    )
    def test_due_at_a_hold_is_what_was_put_off_to_it_or_to_a_hold_nobody_knows(
        self, tmp_path: Path, before: str, due: bool
    ) -> None:
        """As another station's log may have it: where it is due cannot be told, it is due now."""
        one = crew(tmp_path)
        item = "drawing.face-up"
        data = {"panel": "P1", "item": item, "reason": "fog", "owner": HAND, "before": before}
        one.do(Act(kind="defer", by=FOREMAN, data=data, says=""))
        drawing = one.walk.hold("drawing")
        assert drawing is not None
        assert [one.key for one in drawing.due] == ([item] if due else [])

    def test_settling_it_takes_no_release_back(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.do(acts.defer(one.walk, "drawing.base-end", "fog", CHECKER, "pour", FOREMAN))
        one.go_to("surface")
        one.answer("drawing.base-end", "base at the base mark", CHECKER)
        drawing = one.walk.hold("drawing")
        assert drawing is not None
        assert drawing.state == "released"

    def test_a_released_hold_needs_nothing_though_what_was_put_off_has_failed_since(
        self, tmp_path: Path
    ) -> None:
        one = crew(tmp_path)
        one.do(acts.defer(one.walk, "drawing.face-up", "fog", HAND, "surface", FOREMAN))
        one.end_section("drawing")
        entry = one.answer("drawing.face-up", "outside")
        assert entry.data["verdict"] == "fail"
        drawing = one.walk.hold("drawing")
        assert drawing is not None
        assert drawing.entry is not None
        assert (drawing.state, drawing.needs) == ("released", ())
        assert drawing.at == drawing.entry.at

    def test_due_points_are_holds_still_to_come_and_the_lift(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        assert acts.due_points(one.walk, one.item("drawing.mark")) == (
            "drawing", "as-cast-below", "surface", "set-out", "pour",
        )  # fmt: skip
        one.go_to("height")
        assert acts.due_points(one.walk, one.item("height.backsight")) == ("set-out", "pour")
        act = acts.defer(one.walk, "height.backsight", "fog", HAND, "surface", FOREMAN)
        assert "set-out, pour." in refused(act).body

    def test_what_the_concrete_covers_cannot_be_put_off_past_it(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("cast-ins")
        act = acts.defer(one.walk, "cast-ins.reo", "bars late", HAND, acts.LIFT, FOREMAN)
        assert "It can be due before: pour." in refused(act).body
        one.do(acts.pass_unreleased(one.walk, "pour", "pump is waiting", FOREMAN))
        act = acts.defer(one.walk, "cast-ins.reo", "bars late", HAND, "pour", FOREMAN)
        assert "cannot be deferred any more" in refused(act).title

    def test_after_the_pour_the_lift_is_left(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("close")
        assert acts.due_points(one.walk, one.item("close.defects")) == (acts.LIFT,)

    def test_what_was_put_off_is_looked_at_by_who_releases_the_hold_it_was_due_at(
        self, tmp_path: Path
    ) -> None:
        """Its own hold was released while it was open: the second person is the one of the later hold."""
        one = put_off_to_the_pour(tmp_path)
        one.answer("forms.from-line/head", "3000", CHECKER)
        act = acts.release(one.walk, "pour", CHECKER, "", "looked")
        assert "did work that Release to pour covers" in refused(act).title
        one.answer("forms.from-line/head", "3050", FOREMAN, why="taped again")
        act = acts.release(one.walk, "pour", HAND, "", "looked")
        assert "failed, no follow-up" in refused(act).body

    def test_a_hold_covers_what_was_put_off_to_it_once_and_nothing_else_of_other_sections(
        self, tmp_path: Path
    ) -> None:
        one = crew(tmp_path)
        one.do(acts.defer(one.walk, "drawing.base-end", "fog", HAND, "drawing", FOREMAN))
        drawing, section = one.walk.hold("drawing"), one.walk.section("drawing")
        assert drawing is not None
        assert section is not None
        assert drawing.covers == tuple(item.key for item in section.items)
        one.pass_item("drawing.base-end")
        one.go_to("forms")
        one.do(acts.defer(one.walk, "forms.from-line/head", "no line", HAND, "pour", FOREMAN))
        pour = one.walk.hold("pour")
        assert pour is not None
        sections = [key.partition(".")[0] for key in pour.covers]
        assert set(sections) == {"cast-ins", "ready", "forms"}
        assert [key for key in pour.covers if key.startswith("forms.")] == ["forms.from-line/head"]

    def test_a_release_by_who_settled_what_was_due_at_it_does_not_stand(
        self, tmp_path: Path
    ) -> None:
        """As where two logs come together: each act was allowed where it was made."""
        one = put_off_to_the_pour(tmp_path)
        one.answer("forms.from-line/head", "3000", HAND)
        act = acts.release(one.walk, "pour", CHECKER, "", "looked")
        assert isinstance(act, Act)
        one.do(evolve(act, by=HAND))
        pour = one.walk.hold("pour")
        assert pour is not None
        assert pour.state == "void"
        assert pour.lapse is not None
        assert "did the work it covers" in pour.lapse

    @pytest.mark.parametrize(
        ("reason", "owner", "before"),
        [("", HAND, "pour"), ("fog", "", "pour"), ("fog", "Nobody", "pour"), ("fog", HAND, "")],
    )
    def test_reason_owner_and_due_point_are_needed(
        self, tmp_path: Path, reason: str, owner: str, before: str
    ) -> None:
        one = crew(tmp_path)
        refused(acts.defer(one.walk, "drawing.mark", reason, owner, before, FOREMAN))

    def test_a_deferral_in_the_log_without_them_is_none(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        data = {"panel": "P1", "item": "drawing.mark", "reason": "fog", "owner": ""}
        one.do(Act(kind="defer", by=FOREMAN, data=data, says=""))
        assert one.item("drawing.mark").own_state == "open"


class TestPassedUnreleased:
    def test_it_is_a_nonconformance_in_sight_until_closed(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        entry = one.do(acts.pass_unreleased(one.walk, "drawing", "supervisor is ill", FOREMAN))
        assert one.item("strip.agent").state == "open"
        (found,) = one.walk.nonconformances
        assert (found.hold, found.reason, found.by, found.closed) == (
            "drawing", "supervisor is ill", FOREMAN, None,
        )  # fmt: skip
        assert one.desk.board().nonconformances == (found,)
        one.do(
            acts.close_nonconformance(one.walk, "shed", entry.n, "looked at it afterwards", CHECKER)
        )
        (found,) = one.walk.nonconformances
        assert found.closed is not None
        assert found.action == "looked at it afterwards"
        assert one.desk.board().nonconformances == ()
        assert one.item("strip.agent").state == "open"

    def test_it_needs_a_reason_and_a_hold_that_is_reached(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        refused(acts.pass_unreleased(one.walk, "drawing", " ", FOREMAN))
        refused(acts.pass_unreleased(one.walk, "surface", "rain", FOREMAN))
        refused(acts.pass_unreleased(one.walk, "nothing", "rain", FOREMAN))

    def test_a_size_change_stops_what_was_passed(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.do(acts.pass_unreleased(one.walk, "drawing", "rain", FOREMAN))
        change = one.desk.resize("A", 1, width=Decimal(3100))
        assert not isinstance(change, Refusal)
        one.do(one.desk.revise(change, by=FOREMAN, reason="rev C"))
        assert one.item("strip.agent").state == "locked"
        assert len(one.walk.nonconformances) == 1

    def test_a_hold_whose_release_is_void_may_be_passed(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.end_section("drawing")
        one.answer("drawing.face-up", "outside", why="read again")
        assert one.item("strip.agent").state == "locked"
        one.do(acts.pass_unreleased(one.walk, "drawing", "rain", FOREMAN))
        hold = one.walk.hold("drawing")
        assert hold is not None
        assert (hold.state, hold.lapse, hold.reason) == ("passed", None, "rain")

    def test_an_old_passing_does_not_stand_in_for_a_later_release_that_is_void(
        self, tmp_path: Path
    ) -> None:
        one = crew(tmp_path)
        one.do(acts.pass_unreleased(one.walk, "drawing", "rain", FOREMAN))
        one.end_section("drawing")
        assert one.item("strip.agent").state == "open"
        one.answer("drawing.face-up", "outside", why="read again")
        hold = one.walk.hold("drawing")
        assert hold is not None
        assert hold.state == "void"
        assert one.item("strip.agent").state == "locked"

    def test_pouring_on_it_is_not_released(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("ready")
        one.do(acts.pass_unreleased(one.walk, "pour", "truck is here", FOREMAN))
        assert one.walk.panel_state == "forming"
        one.pass_item("pour.start")
        assert one.walk.panel_state == "pouring"
        one.pass_section("ready")


def test_the_panel_below_must_be_closed_before_its_as_cast_is_accepted(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("close")
    one.clock.later(hours=18)
    two = Crew(one.desk, one.clock, number=2)
    two.go_to("strip")
    two.pass_section("strip")
    act = acts.release(two.walk, "as-cast-below", CHECKER, "", "looked")
    assert "P1 must be closed, its as-cast sizes recorded" in refused(act).body
    one.end_section("close")
    two.do(acts.release(two.walk, "as-cast-below", CHECKER, "", "looked"))


def test_fast_answers_show_at_the_next_hold(tmp_path: Path) -> None:
    """Five bare answers in less than five seconds."""
    one = crew(tmp_path)
    one.go_to("strip")
    for n, key in enumerate(one.open_items("strip")):
        act = acts.answer(one.walk, key, good_answer(one.item(key)), FOREMAN, one.clock.at)
        assert isinstance(act, Act)
        one.desk.record(act)
        if n % 2:
            one.clock.later(seconds=1)
    hold = one.walk.hold("as-cast-below")
    assert hold is not None
    # Six items, two a second: the fifth and the sixth.
    assert len(hold.fast) == 2
    assert [item.fast for item in hold.fast] == [True, True]


def test_answers_at_a_walking_pace_are_not_fast(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    assert not any(item.fast for item in one.walk.items())
