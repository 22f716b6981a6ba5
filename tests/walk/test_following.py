"""An open desk hears of what others write, and takes no act that rests on what has just changed."""

from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.walk import acts
from pourdeck.walk.desk import NO_NEWS, Overtaken
from tests.walk.kit import CHECKER, FOREMAN, HAND, Clock, Crew, crew, open_desk
from tests.walk.test_desk import TWO_STACKS

ITEM = "forms.from-line/base"


def both(root: Path, section: str = "forms", text: str = TWO_STACKS) -> tuple[Crew, Crew]:
    """Two stations that have the same folder open."""
    begun = crew(root, text)
    begun.go_to(section)
    office = Crew(open_desk(root, text, Clock(begun.clock.at), station="office"), begun.clock)
    return begun, office


def test_what_another_writes_is_taken_in(tmp_path: Path) -> None:
    shed, office = both(tmp_path)
    assert shed.desk.follow() is NO_NEWS
    entry = office.answer(ITEM, "1")
    news = shed.desk.follow()
    assert [one.key for one in news.entries if one.kind != "start"] == [entry.key]
    assert shed.item(ITEM).found == 1
    assert shed.desk.follow() is NO_NEWS
    assert shed.answer(ITEM, "0", why="taped again").had_seen(entry)


def test_our_own_acts_are_no_news_and_are_read_once(tmp_path: Path) -> None:
    shed, _ = both(tmp_path)
    for key, _ in zip(shed.open_items("forms"), range(3), strict=False):
        shed.pass_item(key)
        assert shed.desk.follow() is NO_NEWS


def test_an_act_that_rests_on_what_has_just_changed_is_refused(tmp_path: Path) -> None:
    shed, office = both(tmp_path)
    office.answer(ITEM, "1")
    act = acts.answer(shed.walk, ITEM, "0", FOREMAN, shed.clock.at)
    assert not isinstance(act, Refusal)
    before = len(shed.desk.state.entries)
    with pytest.raises(Overtaken, match="has just recorded something at office") as told:
        shed.desk.record(act)
    assert "answer of P1, no. 2" in told.value.body
    assert shed.item(ITEM).found == 1, "and what stands now is there to be looked at"
    again = acts.answer(shed.walk, ITEM, "0", FOREMAN, shed.clock.at, "taped again")
    assert not isinstance(again, Refusal)
    assert shed.desk.record(again).data["replaces_station"] == "office"
    assert len(shed.desk.state.entries) == before + 3


def test_an_act_on_another_stack_is_saved(tmp_path: Path) -> None:
    shed, office = both(tmp_path)
    other = Crew(office.desk, office.clock, stack="B")
    other.pass_item("drawing.mark")
    shed.answer(ITEM, "0")
    assert other.desk.follow().entries[-1].data["item"] == ITEM


def test_a_release_of_a_size_that_was_changed_elsewhere_is_refused(tmp_path: Path) -> None:
    """It was taken on a size that had been changed, before a desk looked."""
    shed, office = both(tmp_path, "drawing")
    shed.pass_section("drawing")
    office.desk.follow()
    hold = shed.walk.holds[0].id
    act = acts.release(shed.walk, hold, CHECKER, "", "walked round it")
    assert not isinstance(act, Refusal)
    office.answer("drawing.width", "2999", by=HAND, why="seen")
    with pytest.raises(Overtaken):
        shed.desk.record(act)


def test_what_is_gone_from_the_folder_stays_in_memory_and_can_be_written_out(
    tmp_path: Path,
) -> None:
    shed, _ = both(tmp_path)
    path = tmp_path / "job/log/shed.jsonl"
    before = path.read_bytes()
    count = len(shed.desk.state.entries)
    path.unlink()
    assert shed.desk.follow().lost == count
    assert shed.desk.follow().lost == count, "and it is told as long as it is so"
    act = acts.note(shed.walk, ITEM, "x", FOREMAN)
    assert not isinstance(act, Refusal)
    with pytest.raises(NotSaved, match="not in its folder any more"):
        shed.desk.record(act)
    assert len(shed.desk.state.entries) == count
    assert shed.desk.hold_out() == "log/shed.jsonl"
    assert path.read_bytes() == before
    assert shed.desk.follow().lost == 0
    assert shed.desk.lost == 0
    shed.answer(ITEM, "0")
    assert shed.desk.station == "shed-2"
    shed.desk.close()
    again = crew(tmp_path, TWO_STACKS)
    assert (again.desk.read_only, again.desk.messages) == (False, ())
    assert again.item(ITEM).found == 0


def test_a_file_that_was_replaced_is_written_out_beside_it(tmp_path: Path) -> None:
    shed, _ = both(tmp_path)
    path = tmp_path / "job/log/shed.jsonl"
    whole = path.read_bytes()
    path.write_bytes(b"".join(whole.splitlines(keepends=True)[:5]))
    assert shed.desk.follow().lost > 0
    name = shed.desk.hold_out()
    assert name.startswith("log/shed.held-")
    assert (tmp_path / "job" / name).read_bytes() == whole
    shed.desk.close()
    again = crew(tmp_path, TWO_STACKS)
    assert not again.desk.read_only
    assert len(again.desk.state.entries) == len(whole.splitlines())


def test_the_second_deck_of_a_station_reads_on_and_takes_over(tmp_path: Path) -> None:
    shed, _ = both(tmp_path)
    second = Crew(open_desk(tmp_path, TWO_STACKS, Clock(shed.clock.at)), shed.clock)
    assert second.desk.read_only
    shed.answer(ITEM, "0")
    assert second.desk.follow().entries[-1].data["item"] == ITEM
    assert second.item(ITEM).found == 0
    act = acts.note(second.walk, ITEM, "x", FOREMAN)
    assert not isinstance(act, Refusal)
    with pytest.raises(NotSaved, match="read only"):
        second.desk.record(act)
    shed.answer(ITEM, "1", why="taped again")
    shed.desk.close()
    assert second.desk.follow().taken_over
    assert not second.desk.read_only
    assert second.item(ITEM).found == 1
    second.answer(ITEM, "0", why="and again")


def test_a_log_folder_that_cannot_be_listed_any_more_is_told(tmp_path: Path) -> None:
    shed, _ = both(tmp_path)
    log = tmp_path / "job/log"
    log.rename(tmp_path / "job/log kept")
    log.write_bytes(b"")
    assert "cannot be read" in shed.desk.follow().wrong
    log.unlink()
    (tmp_path / "job/log kept").rename(log)
    shed.clock.at += timedelta(seconds=5)
    shed.answer(ITEM, "0")
