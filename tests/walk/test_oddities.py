"""Confirm what is odd about a panel before it is closed, and keep the list in its record."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from pourdeck.paper.record import record_bytes
from pourdeck.walk import acts
from pourdeck.walk.oddities import Oddity, odd_digest, oddities
from pourdeck.walk.pour_acts import load_not_measured, read_weather
from pourdeck.walk.records import Act
from tests.walk.kit import CHECKER, ENGINEER, FOREMAN, WITH_ENGINEER, Crew, crew, refused
from tests.walk.pour_kit import POUR_JOB, begun, do, whole
from tests.walk.test_ready_weather import HOT, ready

WIDTH = "close.width/base"


def odd(one: Crew) -> list[tuple[str, str]]:
    return [(each.what, each.key) for each in oddities(one.walk)]


def only(one: Crew, what: str) -> Oddity:
    (found,) = (each for each in oddities(one.walk) if each.what == what)
    return found


class TestClosing:
    def test_with_nothing_odd_nothing_more_is_asked(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("close")
        one.clock.later(hours=12)
        one.pass_section("close")
        assert oddities(one.walk) == ()
        entry = one.do(acts.close_panel(one.walk, FOREMAN))
        assert "odd" not in entry.data
        assert "odd" not in tomllib.loads(record_bytes(one.walk).decode())

    def odd_one(self, folder: Path) -> Crew:
        one = crew(folder)
        one.go_to("close")
        one.clock.later(hours=12)
        one.answer("close.threads", "blocked")
        one.do(acts.follow_up(one.walk, "close.threads", "drilled out", CHECKER))
        one.pass_section("close")
        return one

    def test_what_is_odd_must_be_confirmed(self, tmp_path: Path) -> None:
        one = self.odd_one(tmp_path)
        refusal = refused(acts.close_panel(one.walk, FOREMAN))
        assert refusal.title == "P1 is not closed: 1 thing odd about it."
        assert "Look into every anchor" in refusal.body
        refused(acts.complete(one.walk, "close", FOREMAN))

    def test_it_is_sealed_as_it_was_confirmed_and_the_record_keeps_it(self, tmp_path: Path) -> None:
        one = self.odd_one(tmp_path)
        at = only(one, "failed, followed up").at
        entry = one.do(acts.complete(one.walk, "close", FOREMAN, odd_digest(one.walk)))
        assert at is not None
        wanted: dict[str, Any] = {
            "what": "failed, followed up",
            "where": "Look into every anchor and cast-in thread",
            "words": "blocked: drilled out",
            "who": CHECKER,
            "at": at.isoformat(timespec="seconds"),
            "key": "close.threads",
        }
        assert entry.data["odd"] == [wanted]
        record = tomllib.loads(record_bytes(one.walk).decode())
        assert record["odd"] == [wanted | {"at": at}]
        assert record["panel"]["closed_by"] == FOREMAN

    def test_a_list_that_changed_in_between_is_refused(self, tmp_path: Path) -> None:
        one = self.odd_one(tmp_path)
        seen = odd_digest(one.walk)
        one.do(acts.follow_up(one.walk, "close.threads", "drilled out, tapped", CHECKER))
        refusal = refused(acts.close_panel(one.walk, FOREMAN, seen))
        assert "has changed" in refusal.title
        assert "Look again" in refusal.body
        one.do(acts.close_panel(one.walk, FOREMAN, odd_digest(one.walk)))

    def test_a_list_that_became_empty_is_refused_too(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("close")
        one.pass_section("close")
        assert "has changed" in refused(acts.close_panel(one.walk, FOREMAN, "seen")).title


class TestTheWalk:
    def test_a_hold_passed_without_release(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.do(acts.pass_unreleased(one.walk, "drawing", "rain is coming", FOREMAN))
        found = only(one, "passed without release")
        assert (found.key, found.who, found.words) == ("hold:drawing", FOREMAN, "rain is coming")

    def test_not_measured_doubted_and_too_fast(self, tmp_path: Path) -> None:
        one = crew(tmp_path)
        one.go_to("forms")
        one.do(acts.not_measured(one.walk, "forms.between/base", "no tape", FOREMAN))
        for key, flag in (("forms.between/head", "doubted"), ("forms.between/left", "fast")):
            act = acts.answer(one.walk, key, "3000", FOREMAN, one.clock.at)
            assert isinstance(act, Act)
            one.do(evolve(act, data=act.data | {flag: True}))
        assert odd(one) == [
            ("not measured", "forms.between/base"),
            ("doubted and kept", "forms.between/head"),
            ("answered too fast", "forms.between/left"),
        ]
        assert only(one, "not measured").words == "not measured: no tape"

    def test_a_correction_after_the_hold_was_released_and_not_one_before(
        self, tmp_path: Path
    ) -> None:
        one = crew(tmp_path)
        one.answer("drawing.base-end", "turned end for end")
        one.answer("drawing.base-end", "base at the base mark", why="turned")
        one.go_to("strip")
        assert odd(one) == []
        one.answer("drawing.base-end", "turned end for end", why="looked again")
        found = only(one, "corrected after the hold")
        assert found.key == "drawing.base-end"
        assert "looked again" in found.words

    def test_what_came_out_of_tolerance_with_its_disposition(self, tmp_path: Path) -> None:
        one = crew(tmp_path, WITH_ENGINEER)
        one.go_to("close")
        one.answer(WIDTH, "3012")
        one.do(acts.dispose(one.walk, WIDTH, "use-as-is", "joint takes it", ENGINEER))
        found = only(one, "out of tolerance")
        assert (found.key, found.who) == (WIDTH, ENGINEER)
        assert found.words.endswith("joint takes it")


class TestThePour:
    def test_a_load_let_in_names_who_and_why(self, tmp_path: Path) -> None:
        one = begun(tmp_path)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0", arrived="now")
        do(one, 1, slump="120", temperature="21")
        do(one, 1, begun="now", let_in="Eve Lund, second test passed")
        do(one, 1, ended="now")
        found = only(one, "let in")
        assert found.key == "load:1"
        assert "Eve Lund, second test passed" in found.words
        assert odd(one) == [("let in", "load:1")]

    def test_late_and_a_gap_between_loads(self, tmp_path: Path) -> None:
        one = begun(tmp_path)
        whole(one, 1, minutes=50)
        one.clock.later(minutes=30)
        whole(one, 2, volume="3.6", minutes=20)
        assert odd(one) == [("late", "load:1"), ("gap between loads", "load:2")]

    def test_a_load_that_was_turned_away_is_not_in_the_panel(self, tmp_path: Path) -> None:
        one = begun(tmp_path)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0", slump="120")
        do(one, 1, rejected="too wet")
        assert odd(one) == []

    @pytest.mark.parametrize("text", [POUR_JOB, POUR_JOB.replace("slump = {", "# {")])
    def test_a_value_of_a_load_not_measured(self, tmp_path: Path, text: str) -> None:
        one = begun(tmp_path, text)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0", arrived="now")
        act = load_not_measured(one.walk, 1, "slump", "no cone", FOREMAN)
        assert isinstance(act, Act)
        one.desk.record(act)
        do(one, 1, temperature="21", begun="now")
        (found,) = oddities(one.walk)
        assert "not measured: no cone" in found.words
        assert found.key == "load:1"

    def test_times_out_of_order(self, tmp_path: Path) -> None:
        """As from another station, which did not know what stood."""
        one = begun(tmp_path)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0")
        one.clock.later(minutes=30)
        times = {"arrived": "2026-03-02T06:30:00+00:00", "begun": "2026-03-02T06:10:00+00:00"}
        data = {"panel": "P1", "load": 1, "values": times}
        one.desk.record(Act(kind="load", by=FOREMAN, data=data, says=""))
        found = [each for each in oddities(one.walk) if each.what == "times out of order"]
        assert found
        assert all(each.key == "load:1" for each in found)
        assert any("06:10" in each.words and "06:30" in each.words for each in found)

    def test_weather_at_act_before_the_truck_and_at_the_slab(self, tmp_path: Path) -> None:
        one = ready(tmp_path, HOT)
        one.pass_section("ready")
        one.do(acts.release(one.walk, "pour", CHECKER, "", "looked", measures="fog sprays up"))
        found = only(one, "weather at act")
        assert (found.key, found.who) == ("ready.concrete", CHECKER)
        assert found.words.endswith("; fog sprays up")
        act = read_weather(one.walk, HOT, "now", FOREMAN, one.clock.at)
        assert isinstance(act, Act)
        one.do(act)
        assert odd(one) == [("weather at act", "ready.concrete"), ("weather at act", "pour")]
