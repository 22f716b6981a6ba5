"""The answer "not measured": a reason in place of a value, failed where a limit judges it."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.paper.diary import diary_line
from pourdeck.paper.record import record_document
from pourdeck.setout.level_book import Sight
from pourdeck.walk import acts
from pourdeck.walk.level_readings import BACKSIGHT, readings
from pourdeck.walk.records import Act
from pourdeck.walk.words import found_text
from tests.walk.kit import FOREMAN, HAND, Crew, crew, refused
from tests.walk.pour_kit import POUR_JOB

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
        one.do(acts.follow_up(one.walk, "forms.between/base", "gauge brought", FOREMAN))
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
        one.do(acts.follow_up(one.walk, self.WIDTH, "taped by the office", FOREMAN))
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
    """What was released with a deferred item counts; another reason is another digest."""
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    unmeasured(one, "ready.ordered")
    hold = one.walk.hold("pour")
    assert hold is not None
    one.do(one.desk.undo(FOREMAN))
    unmeasured(one, "ready.ordered", "docket lost")
    other = one.walk.hold("pour")
    assert other is not None
    assert hold.digest != other.digest
