"""Two stations of one job that record apart: what they said differently is shown, and holds everything up."""

import shutil
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.paint import plain
from pourdeck.deck.views.walk_card import answer_blocks
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts, pour_acts, signoffs, strength_acts
from pourdeck.walk.authority import Word
from pourdeck.walk.conflicts import one_words
from pourdeck.walk.strength import results, strength
from tests.sitelog.kit import act as kit_act
from tests.sitelog.kit import make_log
from tests.walk import pour_kit, strength_kit
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    JOB,
    WITH_ENGINEER,
    Clock,
    Crew,
    crew,
    on_second,
    open_desk,
    refused,
)

ITEM = "forms.from-line/base"


class Two:
    """A shed and an office, each with a copy of the job, that both start from what the shed had done."""

    def __init__(self, root: Path, begun: Crew, ahead: timedelta = timedelta()) -> None:
        self.root, self.number = root, begun.number
        begun.desk.close()
        self.clocks = {"shed": begun.clock, "office": Clock(begun.clock.at + ahead)}
        shutil.copytree(root / "job", root / "other/job")
        self.crews = {name: self._open(name) for name in self.clocks}

    def _folder(self, name: str) -> Path:
        return self.root if name == "shed" else self.root / "other"

    def _open(self, name: str) -> Crew:
        folder = self._folder(name)
        text = (folder / "job/job.toml").read_text()
        desk = open_desk(folder, text, self.clocks[name], station=name)
        assert not desk.read_only, desk.messages
        return Crew(desk, self.clocks[name], number=self.number)

    @property
    def shed(self) -> Crew:
        return self.crews["shed"]

    @property
    def office(self) -> Crew:
        return self.crews["office"]

    def meet(self) -> None:
        """Each gets what the other has written, and opens the job again."""
        for one in self.crews.values():
            one.desk.close()
        for source, target in (("shed", "other"), ("office", "")):
            log = self.root / ("" if source == "shed" else "other") / "job/log" / f"{source}.jsonl"
            if log.exists():
                shutil.copyfile(log, self.root / target / "job/log" / log.name)
        self.crews = {name: self._open(name) for name in self.clocks}
        assert self.shed.desk.state == self.office.desk.state

    def in_conflict(self) -> list[str]:
        found = [one for one in self.shed.desk.findings() if one.code == "in-conflict"]
        assert all(one.is_error for one in found)
        return [one.message for one in found]


@pytest.fixture(params=[timedelta(), timedelta(days=3), timedelta(days=-1)], ids=str)
def ahead(request: pytest.FixtureRequest) -> timedelta:
    given: timedelta = request.param
    return given


def at_forms(root: Path, ahead: timedelta = timedelta()) -> Two:
    begun = crew(root)
    begun.go_to("forms")
    return Two(root, begun, ahead)


def test_two_answers_open_the_item_and_a_third_decides(tmp_path: Path, ahead: timedelta) -> None:
    two = at_forms(tmp_path, ahead)
    two.shed.answer(ITEM, "0")
    two.office.answer(ITEM, "1")
    two.meet()
    for one in two.crews.values():
        item = one.item(ITEM)
        assert (item.own_state, item.found) == ("void", None)
        assert "in conflict: " in (item.lapse or "")
        assert "0 mm by" in (item.lapse or "")
        assert "1 mm by" in (item.lapse or "")
        assert "(office, no. " in (item.lapse or "")
    (told,) = two.in_conflict()
    assert told.startswith("from the bed line, base side is in conflict: ")
    decision = two.office.answer(ITEM, "2")
    assert len(decision.data["settles"]) == 2
    assert "in conflict" in decision.data["why"]
    two.meet()
    assert two.shed.item(ITEM).found == Decimal(2)
    assert two.in_conflict() == []


def test_a_correction_by_who_had_seen_it_is_no_conflict(tmp_path: Path, ahead: timedelta) -> None:
    two = at_forms(tmp_path, ahead)
    two.office.answer(ITEM, "1")
    two.meet()
    two.shed.answer(ITEM, "0", why="taped again")
    two.meet()
    assert two.in_conflict() == []
    assert two.office.item(ITEM).found == Decimal(0)


def test_a_release_that_rests_on_what_is_in_conflict_is_void(tmp_path: Path) -> None:
    two = at_forms(tmp_path)
    two.shed.pass_section("forms")
    two.meet()
    hold = next(one for one in two.shed.walk.holds if one.section == "forms")
    two.shed.do(acts.release(two.shed.walk, hold.id, CHECKER, "", "walked round it"))
    two.shed.answer(ITEM, "1", why="seen again")
    two.shed.do(acts.release(two.shed.walk, hold.id, CHECKER, "", "again"))
    two.office.answer(ITEM, "2", why="a slip")
    two.meet()
    found = next(one for one in two.shed.walk.holds if one.id == hold.id)
    assert found.state == "void"
    assert any("in conflict" in need for need in found.needs)
    again = refused(acts.release(two.shed.walk, hold.id, CHECKER, "", "walked round it"))
    assert "in conflict" in again.body


def resized(one: Crew, width: int | None, why: str = "rev C") -> None:
    change = one.desk.resize("A", one.number, width=None if width is None else Decimal(width))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=ENGINEER, reason=why, word=Word(of=ENGINEER, reason=why)))


@pytest.mark.parametrize("decided", [2950, 2900, 3000])
def test_two_sizes_leave_what_both_had_seen_until_somebody_decides(
    tmp_path: Path, decided: int, ahead: timedelta
) -> None:
    """Also for the size that is in force, which is no change of it."""
    two = Two(tmp_path, crew(tmp_path, WITH_ENGINEER), ahead)
    resized(two.shed, 2950)
    resized(two.office, 2900)
    two.meet()
    panel = two.shed.desk.job.stacks[0].panels[0]
    assert panel.width == 3000
    (told,) = two.in_conflict()
    assert told.startswith("size is in conflict: ")
    assert "2950 mm × 3000 mm × 150 mm, base-left by Eve Lund (shed, no. " in told
    hold = two.shed.walk.holds[0]
    assert any("in conflict" in need for need in hold.needs)
    resized(two.shed, decided, "the engineer says so")
    two.meet()
    assert two.in_conflict() == []
    assert two.office.desk.job.stacks[0].panels[0].width == decided


def test_what_a_hold_waits_for_is_decided_behind_that_hold(tmp_path: Path) -> None:
    """A size in conflict shuts the first hold, and that waits for what is in conflict in a later section."""
    begun = crew(tmp_path, WITH_ENGINEER)
    begun.go_to("forms")
    two = Two(tmp_path, begun)
    two.shed.answer(ITEM, "0")
    two.office.answer(ITEM, "1")
    resized(two.shed, 2950)
    resized(two.office, 2900)
    two.meet()
    assert two.shed.item(ITEM).locked_by is None
    assert two.shed.item("forms.from-line/left").locked_by is not None
    two.shed.answer(ITEM, "0")
    resized(two.shed, 2950)
    assert two.in_conflict() == []
    assert not any("in conflict" in need for need in two.shed.walk.holds[0].needs)


def test_behind_another_item_of_a_section_that_goes_one_at_a_time(tmp_path: Path) -> None:
    two = Two(tmp_path, pour_kit.at_the_pour(tmp_path))
    for one, minutes in ((two.shed, 3), (two.office, 8)):
        one.clock.later(minutes=minutes)
        one.answer(pour_kit.START, "now")
    key = next(key for key in two.shed.open_items("pour") if two.shed.item(key).kind == "text")
    for one, said in ((two.shed, "none taken"), (two.office, "three taken")):
        while (now := next(one.open_items("pour"))) != key:
            one.pass_item(now)
        one.answer(key, said)
    two.meet()
    assert [two.shed.item(one).own_state for one in (pour_kit.START, key)] == ["void", "void"]
    assert two.shed.item(key).locked_by is None


def test_what_a_second_person_read_differently_is_shown_with_both(tmp_path: Path) -> None:
    begun = crew(tmp_path)
    key = next(item.key for item in begun.walk.items() if item.second)
    while (now := next(begun.open_items("drawing"))) != key:
        begun.pass_item(now)
    two = Two(tmp_path, begun)
    two.shed.answer(key, "3000", by=HAND)
    two.office.answer(key, "3001", by=CHECKER)
    two.meet()
    shown = " ".join(
        plain(row)
        for block in answer_blocks(two.shed.item(key), "metric", 200)
        for row in block.rows
    )
    assert "3000 mm by Ben Cole (shed, no. " in shown
    assert "3001 mm by Cy Hart (office, no. 2, " in shown


def test_a_height_in_conflict_is_in_metres(tmp_path: Path) -> None:
    (_, entry), _ = make_log(kit_act("as_cast", panel="P1", values={"rl_bl": "43.105"}))
    assert one_words(("as-cast", "rl_bl"), entry, "metric").startswith(
        "43.105 m by sam (shed, no. 2"
    )


def test_what_is_in_conflict_of_a_closed_panel_is_decided(tmp_path: Path) -> None:
    two = cast(tmp_path)
    key = next(
        item.key for item in two.shed.walk.items()
        if item.section == "close" and item.kind == "choice" and len(item.good) != len(item.choices)
    )  # fmt: skip
    item = two.office.item(key)
    bad = next(choice for choice in item.choices if choice not in item.good)
    two.shed.end_section("close")
    two.office.answer(key, bad, why="so it was")
    two.meet()
    assert two.shed.walk.record.closed
    (told,) = two.in_conflict()
    two.shed.answer(key, item.good[0], why="looked again")
    assert two.in_conflict() == [], told


def test_a_release_before_two_sizes_in_conflict_is_void(tmp_path: Path) -> None:
    begun = crew(tmp_path, WITH_ENGINEER)
    begun.end_section("drawing")
    two = Two(tmp_path, begun)
    assert two.shed.walk.holds[0].state == "released"
    resized(two.shed, 2950)
    resized(two.office, 2900)
    two.meet()
    assert two.shed.walk.holds[0].state == "void"


def test_what_was_said_differently_of_a_load_is_asked_again(tmp_path: Path) -> None:
    begun = pour_kit.begun(tmp_path)
    pour_kit.do(begun, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
    two = Two(tmp_path, begun)
    pour_kit.do(two.shed, 1, slump="80")
    pour_kit.do(two.office, 1, slump="95", temperature="20")
    two.meet()
    (told,) = two.in_conflict()
    assert told.startswith("load 1 slump is in conflict: ")
    assert "80 mm by " in told
    assert "95 mm by " in told
    load = two.shed.desk.pour("A", 1).lines[0].load
    assert (load.slump, load.temperature) == (None, Decimal(20))
    entry = pour_kit.do(two.shed, 1, slump="85")
    assert len(entry.data["settles"]) == 2
    two.meet()
    assert two.in_conflict() == []
    assert two.office.desk.pour("A", 1).lines[0].load.slump == Decimal(85)


def cast(root: Path) -> Two:
    begun = crew(root)
    begun.go_to("close")
    return Two(root, begun)


def measured(one: Crew) -> str:
    return next(item.key for item in one.walk.items() if item.cast_key == "width_base")


def test_a_panel_with_something_in_conflict_is_not_closed(tmp_path: Path) -> None:
    two = cast(tmp_path)
    key = measured(two.shed)
    two.shed.answer(key, "3000")
    two.office.answer(key, "3002")
    two.meet()
    assert two.shed.item(key).own_state == "void"
    assert "width_base" not in two.shed.walk.record.measured
    assert any("in conflict" in need for need in signoffs.close_needs(two.shed.walk))
    assert any("in conflict" in need for need in two.shed.desk.lift("A", 1).missing)
    two.shed.answer(key, "3001")
    two.meet()
    assert two.office.walk.record.measured["width_base"] == Decimal(3001)
    assert not any("in conflict" in need for need in signoffs.close_needs(two.office.walk))


def test_nothing_is_formed_on_a_panel_with_something_in_conflict(tmp_path: Path) -> None:
    two = Two(tmp_path, on_second(tmp_path))
    under = {name: Crew(one.desk, one.clock, number=1) for name, one in two.crews.items()}
    key = measured(under["shed"])
    under["shed"].answer(key, "3000.5", why="taped again")
    under["office"].answer(key, "3001", why="taped again")
    two.meet()
    section = two.shed.walk.sections[0]
    assert section.locked_by is not None
    assert "in conflict" in section.locked_by.title
    decided = Crew(two.shed.desk, two.shed.clock, number=1)
    decided.answer(key, "3000")
    two.meet()
    assert two.office.walk.sections[0].locked_by is None


@pytest.mark.parametrize("low", ["8", "12"])
def test_results_in_conflict_show_nothing(tmp_path: Path, low: str) -> None:
    """Not the one that comes last either; a third one decides between them."""
    begun = strength_kit.poured_crew(tmp_path)
    at = begun.clock.at
    begun.do(strength_acts.specimen(begun.walk, "F1", "field", "", "now", FOREMAN, at))
    two = Two(tmp_path, begun)
    for one, said in ((two.shed, low), (two.office, "14")):
        one.clock.later(hours=20)
        one.do(strength_acts.result(one.walk, "F1", said, "now", FOREMAN, one.clock.at))
    two.meet()
    assert results(two.shed.walk.record) == ()
    third = strength_acts.result(two.shed.walk, "F1", "14", "now", FOREMAN, two.shed.clock.at)
    entry = two.shed.do(third)
    assert len(entry.data["settles"]) == 2
    two.meet()
    (shown,) = results(two.office.walk.record)
    assert shown.strength == Decimal(14)
    assert two.in_conflict() == []


def test_a_specimen_in_conflict_shows_nothing_of_the_panel(tmp_path: Path) -> None:
    two = Two(tmp_path, strength_kit.poured_crew(tmp_path))
    for one, cured in ((two.shed, "field"), (two.office, "standard")):
        act = strength_acts.specimen(one.walk, "F1", cured, "", "now", FOREMAN, one.clock.at)
        one.do(act)
    two.shed.clock.later(hours=20)
    two.shed.do(strength_acts.result(two.shed.walk, "F1", "12", "now", FOREMAN, two.shed.clock.at))
    two.meet()
    shed = two.shed
    found = strength(shed.desk.job, shed.walk.record, shed.clock.at)
    assert not found.climb.met
    act = strength_acts.specimen(
        shed.walk, "F1", "field", "", "now", FOREMAN, shed.clock.at, "so it is"
    )
    assert len(shed.do(act).data["settles"]) == 2
    assert two.in_conflict() == []


def test_two_ends_of_the_pour(tmp_path: Path) -> None:
    begun = pour_kit.begun(tmp_path)
    for key in _until_the_end(begun):
        begun.pass_item(key)
    two = Two(tmp_path, begun)
    for one, minutes in ((two.shed, 10), (two.office, 25)):
        one.clock.later(minutes=minutes)
        one.answer("pour.end", "now")
    two.meet()
    (told,) = two.in_conflict()
    assert "end of the pour is in conflict" in told
    assert two.shed.item("pour.end").own_state == "void"
    two.shed.answer("pour.end", "now")
    two.meet()
    assert two.in_conflict() == []


def _until_the_end(one: Crew) -> Iterator[str]:
    for key in one.open_items("pour"):
        if key == "pour.end":
            return
        yield key


def test_an_older_log_in_which_a_correction_names_what_it_corrects(tmp_path: Path) -> None:
    """Logs without what was seen: the deck wrote the answer that it replaced."""
    two = at_forms(tmp_path)
    two.shed.answer(ITEM, "0")
    two.meet()
    office = two.office
    office.desk.log.others = ()
    office.answer(ITEM, "1", why="taped again")
    two.meet()
    assert two.in_conflict() == []
    assert two.shed.item(ITEM).found == Decimal(1)


def test_nothing_of_it_shows_where_there_is_one_station(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB)
    one.go_to("forms")
    one.answer(ITEM, "0")
    again = one.answer(ITEM, "1", why="taped again")
    assert "settles" not in again.data
    assert again.seen == ()


def test_a_load_that_is_in_conflict_is_put_right_by_command_words(tmp_path: Path) -> None:
    """Take the act of the screen: what stands in conflict is no value that needs a reason."""
    begun = pour_kit.begun(tmp_path)
    pour_kit.do(begun, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
    two = Two(tmp_path, begun)
    pour_kit.do(two.shed, 1, temperature="20")
    pour_kit.do(two.office, 1, temperature="22")
    two.meet()
    act = pour_acts.write_load(two.shed.walk, 1, {"temperature": "21"}, FOREMAN, two.shed.clock.at)
    assert not isinstance(act, Refusal), act
    assert len(act.data["settles"]) == 2
