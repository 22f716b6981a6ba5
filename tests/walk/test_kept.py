"""Hold what a site keeps from one entry to the next to what it would work out anew."""

from pathlib import Path

from attrs import define, evolve

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import replay
from pourdeck.walk import acts
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.levels import BENCHMARK
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.site import TIMED_SECTIONS, Site
from pourdeck.walk.times import ITEMS, SECTIONS
from tests.walk.kit import FOREMAN, JOB, Clock, Crew, open_desk


@define
class Checking(Crew):
    """A crew that after every entry compares what is kept with a site made new from the log."""

    def do(self, act: object) -> Entry:
        entry = super().do(act)  # type: ignore[arg-type]
        kept = self.desk
        anew = Site(kept.plan, replay([evolve(one) for one in kept.state.entries]), kept.now)
        for number in range(1, len(kept.stack("A").panels) + 1):
            assert without_cast(kept.walk("A", number)) == without_cast(anew.walk("A", number))
        assert Site.findings(kept) == anew.findings()
        return entry

    def work(self, *sections: str) -> None:
        for section in sections:
            self.end_section(section)

    def read(self, point: str, typed: str) -> None:
        self.do(read_staff(self.walk, "back", point, typed, FOREMAN, self.clock.at))


def checking(folder: Path, text: str = JOB) -> Checking:
    clock = Clock()
    return Checking(open_desk(folder, text, clock), clock)


def without_cast(walk: Walk) -> Walk:
    """A walk without the adjusted corners, which are equal to themselves alone."""
    return evolve(walk, setout=evolve(walk.setout, cast=None, cast_below=None))


def sections_of(one: Crew) -> list[str]:
    return [view.id for view in one.walk.sections]


def codes(one: Crew) -> list[str]:
    return [finding.code for finding in one.desk.findings()]


def test_a_panel_with_two_set_ups_and_an_undo(tmp_path: Path) -> None:
    """Readings of the staff are asked for by the set-up in hand, and that stands in entries of any kind."""
    one = checking(tmp_path)
    for section in sections_of(one):
        if section == "height":
            break
        one.work(section)
    one.pass_item("height.backsight")
    first = one.item("height.staff/bl").expected
    one.pass_item("height.staff/bl")
    one.read(BENCHMARK, "1.700")
    assert one.item("height.staff/br").expected != first
    one.do(one.desk.undo(FOREMAN, "a slip"))
    assert one.item("height.staff/br").expected == first
    one.read(BENCHMARK, "1.650")
    one.work("height")
    one.answer("height.backsight", "1.480", why="read it again")
    assert one.walk.find("height.staff/bl") == one.item("height.staff/bl")


def test_a_panel_with_a_late_cure_and_the_one_on_it(tmp_path: Path) -> None:
    """The times of the panel below bound those of the panel above, and the gap to the cure is odd."""
    one = checking(tmp_path)
    for section in sections_of(one):
        if section == "finish":
            one.clock.later(hours=4)
        one.work(section)
    assert "odd-times" in codes(one)
    two = Checking(one.desk, one.clock, number=2)
    two.clock.later(hours=20)
    two.pass_item("drawing.mark")
    two.do(two.desk.undo(FOREMAN, "a slip"))


def test_concrete_is_ordered_by_what_was_measured(tmp_path: Path) -> None:
    one = checking(tmp_path)
    for section in sections_of(one):
        if section == "ready":
            break
        if section == "forms":
            planned = one.item("ready.ordered").offered
            one.answer("forms.between/base", "6000", why="as measured")
            assert one.item("ready.ordered").offered != planned
            one.answer("forms.between/base", "3000", why="misread")
            assert one.item("ready.ordered").offered == planned
        one.work(section)


def test_entries_of_a_mark_that_the_plan_lost_are_counted(tmp_path: Path) -> None:
    one = checking(tmp_path)
    for count in ("1 entry", "2 entries"):
        data = {"panel": "P9", "item": "drawing.mark", "value": "P9"}
        one.do(Act(kind="answer", by=FOREMAN, data=data, says=""))
        (lost,) = (finding for finding in one.desk.findings() if finding.code == "mark-lost")
        assert count in lost.message


def test_a_pour_of_another_size_differs_until_it_is_undone(tmp_path: Path) -> None:
    one = checking(tmp_path)
    one.pass_item("drawing.mark")
    data = {"panel": "P1", "time": one.clock.at.isoformat(), "width": "2990", "height": "3000"}
    one.do(Act(kind="pour-start", by=FOREMAN, data=data, says=""))
    assert "plan-differs-from-cast" in codes(one)
    one.do(acts.undo(one.desk.state, FOREMAN, one.desk.station, "a slip"))
    assert "plan-differs-from-cast" not in codes(one)


def test_sections_with_times_are_those_of_the_table_of_times() -> None:
    assert {key.partition(".")[0] for key in ITEMS} | set(SECTIONS) == TIMED_SECTIONS
