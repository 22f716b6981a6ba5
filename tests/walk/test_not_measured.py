"""The answer "not measured": a reason in place of a value, failed where a limit judges it."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.views.values import SIGNS, WORDS, shown_state
from pourdeck.paper.diary import diary_line
from pourdeck.paper.pour_document import load_document
from pourdeck.paper.pour_page import remarks
from pourdeck.paper.record import record_document
from pourdeck.setout.levels import Sight
from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.levels import BACKSIGHT, readings
from pourdeck.walk.pour_acts import load_not_measured
from pourdeck.walk.pour_findings import TO_DECIDE
from pourdeck.walk.records import Act
from pourdeck.walk.words import found_text
from tests.walk.kit import CHECKER, FOREMAN, HAND, Crew, crew, refused
from tests.walk.pour_kit import POUR_JOB, begun, do, page

WHY = "no tape here"


def unmeasured(one: Crew, key: str, reason: str = WHY, by: str = FOREMAN) -> None:
    one.do(acts.not_measured(one.walk, key, reason, by))


class TestAnItemWithALimit:
    def test_fails_with_its_reason_and_no_value(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("forms")
        key = "forms.between/base"
        act = acts.not_measured(one.walk, key, f"  {WHY} ", FOREMAN)
        assert isinstance(act, Act)
        assert act.kind == "answer"
        assert (act.data["value"], act.data["verdict"]) == (None, "fail")
        assert act.data["not_measured"] == WHY
        entry = one.do(act)
        item = one.item(key)
        assert (item.own_state, item.verdict, item.found) == ("failed", "fail", None)
        assert found_text(item, "metric") == f"not measured: {WHY}"
        assert diary_line(entry).endswith(f"not measured: {WHY}, fail")
        assert any("failed, no follow-up" in need for need in needs_of(one))

    def test_is_settled_by_a_follow_up_or_a_measurement(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("forms")
        unmeasured(one, "forms.between/base")
        unmeasured(one, "forms.between/head")
        one.do(acts.follow_up(one.walk, "forms.between/base", "gauge brought", CHECKER))
        assert one.item("forms.between/base").own_state == "done"
        title = refused(
            acts.answer(one.walk, "forms.between/head", "3000", FOREMAN, one.clock.at)
        ).title
        assert title.endswith(f"is answered: not measured: {WHY}.")
        one.answer("forms.between/head", "3000", why="measured now")
        item = one.item("forms.between/head")
        assert (item.found, item.verdict, item.not_measured) == (Decimal(3000), "pass", None)

    def test_a_diagonal_fails_though_it_is_judged_by_the_other_one(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("forms")
        unmeasured(one, "forms.diagonal/bl-hr")
        one.pass_section("forms")
        assert one.item("forms.diagonal/bl-hr").own_state == "failed"
        assert one.item("forms.diagonal/br-hl").own_state == "done"


def needs_of(one: Crew) -> tuple[str, ...]:
    return tuple(need for hold in one.walk.holds for need in hold.needs)


def test_an_item_without_a_limit_is_recorded(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("ready")
    unmeasured(one, "ready.air")
    item = one.item("ready.air")
    assert (item.own_state, item.verdict, item.answered) == ("done", "recorded", True)


def test_a_reading_of_the_weather_fails_where_the_job_limits_evaporation(tmp_path: Path) -> None:
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    unmeasured(one, "ready.air")
    assert one.item("ready.air").own_state == "failed"


@pytest.mark.parametrize("reason", ["", "  "])
def test_it_needs_a_reason(tmp_path: Path, reason: str) -> None:
    one = crew(tmp_path)
    one.go_to("forms")
    act = acts.not_measured(one.walk, "forms.between/base", reason, FOREMAN)
    assert refused(act).title == "No reason given."


def test_what_other_numbers_rest_on_must_be_measured(tmp_path: Path) -> None:
    one = crew(tmp_path)
    act = acts.not_measured(one.walk, "drawing.width", WHY, HAND)
    assert "must be measured" in refused(act).title
    one.go_to("height")
    act = acts.not_measured(one.walk, BACKSIGHT, WHY, FOREMAN)
    assert "must be measured" in refused(act).title


def test_a_choice_is_no_measurement(tmp_path: Path) -> None:
    one = crew(tmp_path)
    act = acts.not_measured(one.walk, "drawing.base-end", WHY, FOREMAN)
    assert "no measurement" in refused(act).title


def test_a_value_that_stands_is_not_taken_away(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("forms")
    one.answer("forms.between/base", "3000")
    assert (
        "is answered"
        in refused(acts.not_measured(one.walk, "forms.between/base", WHY, FOREMAN)).title
    )


class TestAsCast:
    WIDTH = "close.width/base"

    def test_it_fails_and_a_follow_up_lets_the_panel_be_closed(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("close")
        unmeasured(one, self.WIDTH)
        one.pass_section("close")
        assert one.item(self.WIDTH).own_state == "failed"
        assert "width_base" not in one.walk.record.measured
        body = refused(acts.close_panel(one.walk, FOREMAN)).body
        assert "failed, no follow-up" in body
        one.do(acts.follow_up(one.walk, self.WIDTH, "taped by the office", CHECKER))
        assert one.item(self.WIDTH).own_state == "done"
        found = record_document(one.walk)["failed"]
        assert [(row["not_measured"], row["follow_up"]) for row in found] == [
            (WHY, "taped by the office")
        ]

    def test_a_later_measurement_takes_its_place(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("close")
        unmeasured(one, self.WIDTH)
        one.answer(self.WIDTH, "3000", why="measured now")
        assert one.item(self.WIDTH).not_measured is None
        assert one.item(self.WIDTH).verdict == "pass"


def test_an_earlier_staff_reading_is_no_longer_in_the_level_book(tmp_path: Path) -> None:
    """A reading that lapsed, and then was said not to be measured, is none."""
    one = crew(tmp_path)
    one.go_to("height")
    one.answer(BACKSIGHT, "1.5")
    key = "height.staff/bl"
    one.pass_item(key)
    one.answer(BACKSIGHT, "1.6", why="misread")
    assert one.item(key).own_state == "void"

    def staff() -> list[Sight]:
        return [each.sight for each in readings(one.walk.record) if each.sight.kind == "inter"]

    assert len(staff()) == 1
    unmeasured(one, key)
    assert staff() == []


def test_a_release_lapses_where_a_value_becomes_unmeasured(tmp_path: Path) -> None:
    """Count what was released with a deferred item; another reason is another digest."""
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    unmeasured(one, "ready.ordered")
    hold = one.walk.hold("pour")
    assert hold is not None
    one.do(one.desk.undo(FOREMAN, "a slip"))
    unmeasured(one, "ready.ordered", "docket lost")
    other = one.walk.hold("pour")
    assert other is not None
    assert hold.digest != other.digest


class TestALoad:
    def waiting(self, folder: Path, text: str = POUR_JOB) -> Crew:
        one = begun(folder, text)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0", arrived="now")
        return one

    def say(self, one: Crew, key: str, reason: str = "no cone on site") -> Entry:
        act = load_not_measured(one.walk, 1, key, reason, FOREMAN)
        assert isinstance(act, Act), act
        return one.desk.record(act)

    def test_without_a_slump_test_it_goes_on_to_what_is_next(self, tmp_path: Path) -> None:
        one = self.waiting(tmp_path)
        assert page(one).lines[0].next == "slump"
        entry = self.say(one, "slump")
        assert page(one).lines[0].next == "temperature"
        assert diary_line(entry) == "load 1: slump not measured: no cone on site"
        do(one, 1, temperature="20")
        assert page(one).lines[0].next == "begun"
        do(one, 1, begun="now")

    @pytest.mark.parametrize(
        ("key", "code", "error"),
        [
            ("slump", "slump", False),
            ("temperature", "concrete-temperature", True),
        ],
    )
    def test_what_a_limit_judges_is_a_failed_value_and_not_a_pass(
        self, tmp_path: Path, key: str, code: str, error: bool
    ) -> None:
        one = self.waiting(tmp_path)
        self.say(one, key)
        assert [(f.code, f.is_error) for f in page(one).findings] == [(code, False)]
        assert code in TO_DECIDE
        assert page(one).lines[0].off
        do(one, 1, begun="now")
        found = [f for f in page(one).findings if f.code == code]
        assert [f.is_error for f in found] == [error]
        assert "not measured: no cone on site" in found[0].message

    def test_what_no_limit_judges_is_recorded(self, tmp_path: Path) -> None:
        text = POUR_JOB.replace("slump = { target = 80, plus = 15, minus = 15 }\n", "")
        one = self.waiting(tmp_path, text)
        self.say(one, "slump")
        assert page(one).findings == ()
        assert page(one).lines[0].load.not_measured == {"slump": "no cone on site"}

    def test_an_unknown_batch_time_is_late(self, tmp_path: Path) -> None:
        one = begun(tmp_path)
        do(one, 1, docket="D-1", mix="N40/20", volume="6.0")
        self.say(one, "batched", "not on the docket")
        assert [f.code for f in page(one).findings] == ["discharge-late"]
        assert page(one).lines[0].next == "arrived"

    def test_a_value_that_comes_later_takes_its_place(self, tmp_path: Path) -> None:
        one = self.waiting(tmp_path)
        self.say(one, "slump")
        do(one, 1, slump="80")
        assert page(one).lines[0].load.not_measured == {}
        assert page(one).findings == ()

    def test_it_needs_a_reason_a_load_and_a_value_that_may_be_missing(self, tmp_path: Path) -> None:
        one = self.waiting(tmp_path)
        for number, key, reason, title in (
            (1, "slump", " ", "No reason given."),
            (2, "slump", WHY, "P1 has no load 2."),
            (1, "begun", WHY, "Load 1: discharge begun must be written down."),
            (1, "mix", WHY, "Load 1: mix on the docket must be written down."),
            (1, "volume", WHY, "Load 1 has it: volume 6.0 m³."),
        ):
            act = load_not_measured(one.walk, number, key, reason, FOREMAN)
            assert refused(act).title == title

    def test_the_record_names_it(self, tmp_path: Path) -> None:
        one = self.waiting(tmp_path)
        self.say(one, "slump")
        assert record_document(one.walk)["docket"][0]["not_measured"] == "slump: no cone on site"
        assert load_document(page(one).lines[0])["not_measured"] == {"slump": "no cone on site"}
        assert list(remarks(page(one).lines[0])) == ["load 1: slump not measured: no cone on site"]


def test_it_looks_like_no_other_state(tmp_path: Path) -> None:
    """Blank, zero, not applicable, deferred, failed and not measured are told apart by sign and by word."""
    one = crew(tmp_path)
    one.go_to("ready")
    blank = shown_state(one.item("ready.air"))
    one.answer("ready.humidity", "0")
    one.do(acts.not_applicable(one.walk, "ready.concrete", "no truck yet", FOREMAN))
    one.do(acts.defer(one.walk, "ready.access", "fog", FOREMAN, "pour", FOREMAN))
    one.answer("ready.vibrators", "no spare")
    unmeasured(one, "ready.wind")
    keys = ("humidity", "concrete", "access", "vibrators", "wind")
    states = [blank, *(shown_state(one.item(f"ready.{key}")) for key in keys)]
    assert states == ["open", "done", "n/a", "deferred", "failed", "not-measured"]
    assert len({SIGNS[state] for state in states}) == len({WORDS[state] for state in states}) == 6


def test_what_comes_next_of_an_as_cast_value_not_measured_is_a_follow_up(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("close")
    unmeasured(one, TestAsCast.WIDTH)
    one.pass_section("close")
    assert one.walk.next is not None
    assert "follow up: " in one.walk.next.text
