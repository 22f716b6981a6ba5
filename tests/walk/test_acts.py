"""Answering and setting aside: what is taken, what is refused, and what the entry says."""

from pathlib import Path

import pytest

from pourdeck.walk import acts
from pourdeck.walk.records import Act
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    WITH_ENGINEER,
    Crew,
    crew,
    on_second,
    refused,
)


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    return crew(tmp_path)


def test_an_answer_says_what_it_was_judged_by(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    two.go_to("forms")
    entry = two.answer("forms.offset/right-2", " 1.5 mm")
    assert entry.data == {
        "panel": "P2",
        "item": "forms.offset/right-2",
        "value": "1.5",
        "typed": " 1.5 mm",
        "unit": "mm",
        "verdict": "pass",
        "expected": "0",
        "tolerance": {"low": "-2", "high": "2"},
        "source": "trial spec, table 1",
        "where": "1500",
    }
    item = two.item("forms.offset/right-2")
    assert (item.state, item.found, item.by, item.verdict) == ("done", 1.5, FOREMAN, "pass")


@pytest.mark.parametrize(
    ("typed", "verdict"), [("2", "pass"), ("2.1", "fail"), ("-2", "pass"), ("-2.1", "fail")]
)
def test_an_offset_at_and_just_past_its_limits(tmp_path: Path, typed: str, verdict: str) -> None:
    two = on_second(tmp_path)
    two.go_to("forms")
    assert two.answer("forms.offset/base-1", typed).data["verdict"] == verdict


def test_what_is_said_after_an_answer(one: Crew) -> None:
    one.go_to("forms")
    act = acts.answer(one.walk, "forms.between/base", "3009", FOREMAN, one.clock.at)
    assert isinstance(act, Act)
    assert act.says == "base side 3009 mm: FAIL"


class TestTyped:
    @pytest.mark.parametrize(
        ("key", "typed", "said"),
        [
            ("drawing.face-up", "sideways", "Choose one of: inside, outside."),
            ("drawing.mark", "  ", "Write what you read"),
            ("drawing.width", "3 000", "Write 3000"),
            ("drawing.width", "-3000", "without a sign"),
            ("drawing.width", "3000 kg", "Take it out"),
            ("drawing.width", "", "Type a number"),
        ],
    )
    def test_what_is_no_answer_is_refused(self, one: Crew, key: str, typed: str, said: str) -> None:
        by = HAND if key == "drawing.width" else FOREMAN
        refusal = refused(acts.answer(one.walk, key, typed, by, one.clock.at))
        assert said in refusal.body
        assert refusal.title.startswith(one.item(key).prompt)

    def test_choices_are_taken_whatever_the_capitals(self, one: Crew) -> None:
        assert one.answer("drawing.face-up", " INSIDE").data["value"] == "inside"

    def test_another_unit_is_taken_exactly(self, one: Crew) -> None:
        assert one.answer("drawing.width", "3 m", HAND).data["value"] == "3000"

    def test_a_count_is_a_whole_number(self, one: Crew) -> None:
        one.go_to("forms")
        refused(acts.answer(one.walk, "forms.run/base", "3.5", FOREMAN, one.clock.at))
        assert one.answer("forms.run/base", "4").data["verdict"] == "fail"

    def test_a_mark_is_compared_whatever_the_case(self, one: Crew) -> None:
        assert one.answer("drawing.mark", "p1").data["verdict"] == "pass"
        one.do(acts.undo(one.desk.state, FOREMAN, "shed", "a slip"))
        assert one.answer("drawing.mark", "P2").data["verdict"] == "fail"

    def test_an_item_that_is_not_there(self, one: Crew) -> None:
        refusal = refused(acts.answer(one.walk, "forms.offset/base-9", "0", FOREMAN, one.clock.at))
        assert "has no item" in refusal.title

    def test_markup_and_controls_come_back_harmless(self, one: Crew) -> None:
        for nasty in ("[/x] [A-1] [Foo] [", "\x1b[31mred", "\u202eoverride"):
            act = acts.answer(one.walk, "drawing.face-up", nasty, FOREMAN, one.clock.at)
            assert refused(act).title.isprintable()
            act = acts.answer(one.walk, "drawing.mark", "P1", nasty, one.clock.at)
            assert refused(act).title.isprintable()
        entry = one.do(acts.note(one.walk, None, "[/x] [A-1] [Foo] [\x1b", FOREMAN))
        assert entry.data["text"] == "[/x] [A-1] [Foo] [\x1b"


class TestCorrections:
    def test_an_answer_that_stands_is_replaced_only_with_why(self, one: Crew) -> None:
        first = one.answer("drawing.mark", "P2")
        refusal = refused(acts.answer(one.walk, "drawing.mark", "P1", FOREMAN, one.clock.at))
        assert "what was done about it" in refusal.body
        second = one.answer("drawing.mark", "P1", why="took the right drawing")
        assert (second.data["replaces"], second.data["why"]) == (first.n, "took the right drawing")
        item = one.item("drawing.mark")
        assert (item.state, item.history, item.reason) == ("done", 2, "took the right drawing")

    def test_an_as_cast_value_too(self, one: Crew) -> None:
        one.go_to("close")
        first = one.answer("close.width/base", "3002")
        assert first.data == {"panel": "P1", "values": {"width_base": "3002"}}
        refused(acts.answer(one.walk, "close.width/base", "3003", FOREMAN, one.clock.at))
        second = one.answer("close.width/base", "3003", why="tape slipped")
        assert second.data["replaces"] == first.n
        assert one.item("close.width/base").history == 2

    def test_a_failed_answer_that_fails_again_stays_failed(self, one: Crew) -> None:
        one.answer("drawing.mark", "P2")
        one.answer("drawing.mark", "P3", why="looked again")
        assert one.item("drawing.mark").state == "failed"
        assert one.walk.failed == 1


class TestAsCast:
    def test_each_value_is_judged_now(self, one: Crew) -> None:
        one.go_to("close")
        for typed, state in (("3005", "done"), ("3005.1", "failed")):
            one.answer("close.width/head", typed, why="read again")
            item = one.item("close.width/head")
            assert (item.own_state, item.low, item.high) == (state, 2995, 3005)

    def test_no_follow_up_settles_one_out_of_its_band(self, one: Crew) -> None:
        one.go_to("close")
        one.answer("close.width/head", "3010")
        refusal = refused(acts.follow_up(one.walk, "close.width/head", "accepted", CHECKER))
        assert "no follow-up settles that" in refusal.title
        assert "Say its disposition" in refusal.body
        assert one.walk.failed == 1

    def test_the_command_line_and_the_walk_see_the_same(self, one: Crew) -> None:
        one.go_to("close")
        values = {"diagonal_bl_hr": "4243", "diagonal_br_hl": "4252", "out_base_bl": "1"}
        one.do(Act(kind="as-cast", by=FOREMAN, data={"panel": "P1", "values": values}, says=""))
        first, second = one.item("close.diagonal/bl-hr"), one.item("close.diagonal/br-hl")
        assert (first.found, second.found) == (4243, 4252)
        # 9 apart, 8 allowed; one fault is one failure.
        assert (first.state, second.state) == ("done", "failed")


class TestDiagonals:
    @pytest.mark.parametrize(("other", "verdict"), [("4250", "pass"), ("4250.1", "fail")])
    def test_two_are_judged_by_their_difference(self, one: Crew, other: str, verdict: str) -> None:
        one.go_to("forms")
        first = one.answer("forms.diagonal/bl-hr", "4242")
        assert first.data["verdict"] == "recorded"
        item = one.item("forms.diagonal/br-hl")
        assert (item.low, item.high, item.plus) == (4234, 4250, 8)
        assert one.answer("forms.diagonal/br-hl", other).data["verdict"] == verdict
        assert one.item("forms.diagonal/br-hl").verdict == verdict
        assert one.item("forms.diagonal/bl-hr").verdict == "recorded"

    def test_either_of_them_can_be_put_right(self, one: Crew) -> None:
        one.go_to("forms")
        one.answer("forms.diagonal/bl-hr", "4242")
        one.answer("forms.diagonal/br-hl", "4262")
        assert one.walk.failed == 1
        one.answer("forms.diagonal/bl-hr", "4258", why="tape was not at the corner")
        assert one.walk.failed == 0


class TestSetAside:
    def test_not_applicable_has_its_reason(self, one: Crew) -> None:
        one.do(acts.not_applicable(one.walk, "drawing.base-end", "round panel", FOREMAN))
        item = one.item("drawing.base-end")
        assert (item.state, item.reason) == ("n/a", "round panel")
        refused(acts.not_applicable(one.walk, "drawing.mark", " ", FOREMAN))

    def test_five_states_are_five_different_things(self, one: Crew) -> None:
        """Five things that are never the same: blank, answered, n/a, deferred and failed."""
        one.answer("drawing.mark", "P1")
        one.answer("drawing.rev", "A")
        one.do(acts.not_applicable(one.walk, "drawing.base-end", "none", FOREMAN))
        one.do(acts.defer(one.walk, "drawing.mirrored", "fog", HAND, "pour", FOREMAN))
        keys = ("mark", "rev", "base-end", "mirrored", "face-up")
        assert [one.item(f"drawing.{key}").state for key in keys] == [
            "done", "failed", "n/a", "deferred", "open",
        ]  # fmt: skip
        assert (one.walk.answered, one.walk.failed, one.walk.deferred) == (4, 1, 1)

    def test_a_failed_item_is_not_tidied_away(self, one: Crew) -> None:
        one.answer("drawing.mark", "P2")
        for act in (
            acts.defer(one.walk, "drawing.mark", "later", HAND, "pour", FOREMAN),
            acts.not_applicable(one.walk, "drawing.mark", "never mind", FOREMAN),
        ):
            assert "stays so" in refused(act).title

    def test_what_is_answered_is_not_set_aside(self, one: Crew) -> None:
        one.answer("drawing.mark", "P1")
        refused(acts.defer(one.walk, "drawing.mark", "later", HAND, "pour", FOREMAN))

    def test_only_what_failed_is_followed_up(self, one: Crew) -> None:
        assert (
            "has not failed"
            in refused(acts.follow_up(one.walk, "drawing.mark", "did it", FOREMAN)).title
        )

    def test_start_and_end_of_the_pour_are_always_answered(self, one: Crew) -> None:
        one.go_to("pour")
        refused(acts.defer(one.walk, "pour.start", "later", HAND, "lift", FOREMAN))
        refused(acts.not_applicable(one.walk, "pour.start", "none", FOREMAN))

    def test_a_second_item_is_set_aside_by_a_second_person(self, one: Crew) -> None:
        one.answer("drawing.mark", "P1")
        refused(acts.not_applicable(one.walk, "drawing.width", "none", FOREMAN))
        one.do(acts.not_applicable(one.walk, "drawing.width", "none", HAND))


class TestComplete:
    def test_only_when_nothing_is_open(self, tmp_path: Path) -> None:
        """Over a whole section: deferred counts as answered, failed too."""
        two = on_second(tmp_path)
        two.go_to("brackets")
        section = two.walk.section("brackets")
        assert section is not None
        for n, item in enumerate(section.items):
            refused(acts.complete(two.walk, "brackets", FOREMAN))
            if n % 5 == 1:
                two.do(acts.defer(two.walk, item.key, "later", HAND, "pour", FOREMAN))
            elif n % 5 == 2:
                two.do(acts.not_applicable(two.walk, item.key, "none", FOREMAN))
            elif item.kind == "choice":
                two.answer(item.key, item.choices[0])
            else:
                two.answer(item.key, "11")
        two.do(acts.complete(two.walk, "brackets", FOREMAN))
        now = two.walk.section("brackets")
        assert now is not None
        assert now.state == "done"
        assert "is complete" in refused(acts.complete(two.walk, "brackets", FOREMAN)).title

    def test_a_section_with_a_hold_ends_with_it(self, one: Crew) -> None:
        one.pass_section("drawing")
        assert "ends with the hold" in refused(acts.complete(one.walk, "drawing", FOREMAN)).title
        refused(acts.complete(one.walk, "nothing", FOREMAN))


def test_a_read_do_section_goes_one_at_a_time(one: Crew) -> None:
    one.go_to("height")
    height = one.walk.section("height")
    assert height is not None
    assert height.mode == "read-do"
    assert [item.state for item in height.items][:3] == ["open", "locked", "locked"]
    one.do(acts.defer(one.walk, "height.backsight", "fog", HAND, "set-out", FOREMAN))
    assert one.item("height.staff/bl").state == "open"
    assert one.item("height.staff/br").state == "locked"
    refused(acts.answer(one.walk, "height.staff/br", "1.2", FOREMAN, one.clock.at))


def test_a_bracket_that_moved_is_asked_again(tmp_path: Path) -> None:
    """The second bracket on the base is another anchor once the panel sits elsewhere."""
    text = WITH_ENGINEER.replace("width = 3000", "width = 4000", 1)
    two = on_second(tmp_path, text)
    two.go_to("forms")
    two.answer("forms.offset/base-2", "0")
    change = two.desk.resize("A", 2, align="base-right")
    two.do(two.desk.revise(change, by=ENGINEER, reason="moved over"))  # type: ignore[arg-type]
    item = two.item("forms.offset/base-2")
    assert (item.expected, item.own_state) == (0, "void")
    assert item.lapse == "what it was answered for has moved"


def test_revising_to_the_same_size_is_refused(one: Crew) -> None:
    change = one.desk.resize("A", 1)
    refused(one.desk.revise(change, by=FOREMAN, reason="none"))  # type: ignore[arg-type]
    other = one.desk.resize("A", 1, width=one.walk.setout.panel.width - 100)
    refused(one.desk.revise(other, by=FOREMAN, reason=" "))  # type: ignore[arg-type]
    refused(one.desk.revise(other, by="Nobody", reason="why"))  # type: ignore[arg-type]
