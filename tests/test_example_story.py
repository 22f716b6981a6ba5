"""The log of the metric example: whole, believable, and standing where its story ends.

Where a change of the walk makes one of these fail, tell it again: python -m tests.make_example
"""

import tomllib
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pourdeck.example import example_folder
from pourdeck.paper.record import record_bytes, record_name
from pourdeck.setout.resize import Resize
from pourdeck.sitelog.verify import verify
from pourdeck.walk.desk import Desk
from pourdeck.walk.replay_story import copy_example
from pourdeck.walk.strength import strength

HOBART = ZoneInfo("Australia/Hobart")
MORNING = datetime(2026, 11, 25, 7, 41, tzinfo=HOBART)


def look(folder: Path, now: datetime) -> Desk:
    """The desk of a job folder, to look at only."""
    return Desk.open(
        folder, station="shed", clock=lambda: now, state_folder=folder / "state", read_only=True
    )


@pytest.fixture(scope="module")
def desk() -> Desk:
    return look(example_folder(), MORNING)


def states(desk: Desk) -> dict[str, list[str]]:
    return {stack.id: [panel.state for panel in stack.panels] for stack in desk.board().stacks}


STORY = {
    "A": ["cast", "cast", "forming", "waiting", "waiting", "waiting"],
    "B": ["cast"] * 4,
    "C": ["curing", "waiting", "waiting"],
    "D": ["ready", "waiting", "waiting", "waiting"],
}


def test_the_log_is_whole():
    assert [(one.file, one.whole) for one in verify(example_folder()).stations] == [
        ("log/shed.jsonl", True)
    ]


def test_nothing_is_wrong_but_what_the_plan_is_meant_to_show(desk: Desk):
    found = [(one.code, one.mark) for one in desk.findings()]
    assert found == [
        ("extra-anchors", "W07"),
        ("extra-anchors", "W09"),
        ("extra-anchors", "W09"),
        ("extra-anchors", "W11"),
        ("needs-prop", "W32"),
    ]
    assert desk.messages == ()


def test_each_stack_stands_where_the_story_ends(desk: Desk):
    assert states(desk) == STORY


def test_stack_a_is_at_a_bracket_on_the_right_with_something_owed_and_something_failed(desk: Desk):
    walk = desk.walk("A", 3)
    assert walk.next is not None
    assert walk.next.key == "forms.offset/right-4"
    assert (walk.failed, walk.deferred) == (1, 1)
    assert walk.mirrored


def test_stack_c_waits_for_the_hours_and_for_a_test(desk: Desk):
    walk = desk.walk("C", 2)
    assert walk.gate is not None
    assert "a field-cured test of W21 shows 10 MPa" in walk.gate.body
    assert walk.gate_until is None


def test_nothing_cast_is_void_or_owed_but_before_the_lift(desk: Desk):
    for stack_id, phases in STORY.items():
        for number in (n for n, phase in enumerate(phases, 1) if phase == "cast"):
            walk = desk.walk(stack_id, number)
            assert (walk.open, walk.failed) == (0, 0), walk.mark
            assert not any(hold.state == "void" for hold in walk.holds), walk.mark
            owed = [item for item in walk.items() if item.own_state == "deferred"]
            assert all(item.before == "lift" for item in owed), walk.mark


def test_nobody_answers_faster_than_can_be_looked_at(desk: Desk):
    assert not [entry for entry in desk.state.entries if entry.data.get("fast") or entry.clock]


FACTS = ("panel", "rests_on", "pour", "as_cast", "nonconformance", "release", "setout")
"""List what a record says of the panel, whatever the words of the walk have become since."""


def test_records_are_those_that_plan_and_log_give(desk: Desk):
    cast = [
        desk.walk(stack_id, number)
        for stack_id, phases in STORY.items()
        for number, phase in enumerate(phases, 1)
        if phase == "cast"
    ]
    records = {one.name: one.read_bytes() for one in (example_folder() / "record").iterdir()}
    assert records.keys() == {record_name(walk) for walk in cast}
    for walk in cast:
        kept = tomllib.loads(records[record_name(walk)].decode("utf-8"))
        built = tomllib.loads(record_bytes(walk).decode("utf-8"))
        assert [kept.get(key) for key in FACTS] == [built.get(key) for key in FACTS], walk.mark


def test_a_copy_stands_where_the_story_ends_at_any_time(desk: Desk, tmp_path: Path):
    now = datetime(2028, 2, 29, 22, 17, 40, tzinfo=HOBART)
    copy_example(example_folder(), tmp_path / "copy", now, state_folder=tmp_path / "state")
    copied = look(tmp_path / "copy", now)
    assert states(copied) == STORY
    here, there = desk.walk("A", 3), copied.walk("A", 3)
    assert (there.next and there.next.key) == (here.next and here.next.key)
    assert not any(one.own_state == "void" for one in there.items())
    until, waits = (
        strength(one.job, one.walk("C", 1).record, at).climb.expected
        for one, at in ((copied, now), (desk, MORNING))
    )
    assert until is not None
    assert waits is not None
    assert abs((until - now) - (waits - MORNING)) < timedelta(minutes=2)
    board = copied.board()
    assert [len(owed) for owed in (board.deferred, board.failed)] == [2, 1]


def ways(desk: Desk, number: int, **sizes: str) -> dict[str, tuple[bool, int, int]]:
    """Give how each way of A's panel does at another size: works, extra anchors, moved bolts; ranked."""
    found = desk.resize("A", number, **{name: Decimal(size) for name, size in sizes.items()})
    assert isinstance(found, Resize)
    return {one.align: (one.feasible, one.extra_anchors, one.moved_bolts) for one in found.options}


def working(desk: Desk, number: int, **sizes: str) -> list[str]:
    return [align for align, (works, _, _) in ways(desk, number, **sizes).items() if works]


def test_the_panel_in_hand_cannot_shrink_where_it_lies_but_in_the_middle_it_can(desk: Desk):
    """600 less than W04 is twice the longest reach: only the middle is in reach on both sides."""
    found = ways(desk, 3, width="6900")
    assert list(found.items())[:3] == [
        ("centre", (True, 5, 31)),
        ("base-centre", (True, 5, 38)),
        ("head-centre", (True, 5, 38)),
    ]
    assert not any(works for works, _, _ in list(found.values())[3:])
    for align in ("centre", "base-centre", "head-centre"):
        middle = desk.resize("A", 3, width=Decimal(6900), align=align)
        assert isinstance(middle, Resize)
        assert not [one for one in middle.findings if one.is_error], align


def test_less_height_asks_for_anchors_at_some_ways_and_rules_out_others(desk: Desk):
    extra = {align: count for align, (_, count, _) in ways(desk, 3, height="8600").items()}
    assert extra == {
        **dict.fromkeys(("centre", "centre-left", "centre-right"), 5),
        **dict.fromkeys(("base-left", "base-centre", "base-right"), 6),
        **dict.fromkeys(("head-left", "head-centre", "head-right"), 6),
    }
    assert working(desk, 3, height="8600") == list(extra), "all, best first"
    assert working(desk, 3, height="8500") == ["centre", "centre-left", "centre-right"]
    assert working(desk, 3, height="8300") == []


def test_it_may_grow_as_wide_as_the_panel_above_can_reach(desk: Desk):
    assert len(working(desk, 3, width="7400")) == 9
    assert working(desk, 3, width="7420") == []
    assert len(working(desk, 3, height="8800")) == 9
    assert working(desk, 3, height="8810") == []


def test_another_thickness_needs_forms_as_deep(desk: Desk):
    assert len(working(desk, 3, thickness="175")) == 9
    assert working(desk, 3, thickness="160") == []


def test_the_way_with_the_fewest_moved_bolts_may_cost_anchors(desk: Desk):
    assert list(ways(desk, 4, width="6700").items())[:3] == [
        ("base-centre", (True, 4, 30)),
        ("head-centre", (True, 4, 30)),
        ("centre", (True, 6, 24)),
    ]
    assert working(desk, 4, width="6700") == ["base-centre", "head-centre", "centre"]
