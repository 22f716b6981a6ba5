"""Undo is an entry: what it names no longer counts, until that undo is itself undone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from pourdeck.sitelog.entries import Entry, compose
from pourdeck.sitelog.state import SiteState, Undos, replay
from tests.campaign import share
from tests.sitelog.kit import MORNING, act, make_log


def undo(n: int, station: str = "shed") -> Entry:
    (entry,), _ = compose(
        [act("undo", station="shed", n=n, why="slip")],
        station=station,
        at=MORNING,
        clock="",
        n=0,
        head="",
    )
    return entry


def answer(value: str) -> dict[str, str]:
    return {"panel": "W07", "item": "a", "value": value}


def test_the_answer_before_stands_again() -> None:
    entries, _ = make_log(
        act("answer", **answer("300")),
        act("answer", **answer("301")),
        act("undo", station="shed", n=3),
    )
    state = replay(entries)
    panel = state.panel("W07")
    assert panel.latest["a"] is entries[1]
    assert panel.answers["a"] == [entries[1]]
    assert state.voided == {("shed", 3): entries[3]}
    assert state.entries == entries


def test_an_undo_that_is_undone_does_not_count() -> None:
    entries, _ = make_log(
        act("answer", **answer("300")),
        act("undo", station="shed", n=2),
        act("undo", station="shed", n=3),
    )
    state = replay(entries)
    assert state.panel("W07").latest["a"] is entries[1]
    assert state.voided == {("shed", 3): entries[3]}


def test_two_undos_of_one_act_must_both_be_undone() -> None:
    first, second = undo(2), undo(2, "office")
    undos = Undos()
    assert undos.add(first) == ("shed", 2)
    assert undos.add(second) is None
    third, _ = make_log(act("undo", station="shed", n=1), station="hut")
    assert undos.add(third[1]) is None
    assert undos.voided[("shed", 2)] is second


def test_a_size_change_undone_changes_no_size() -> None:
    entries, _ = make_log(
        act("revise", panel="W07", after={"width": "6900"}),
        act("revise", panel="W09", after={"width": "6800"}),
        act("revise", panel="W07", after={"width": "6700"}),
        act("undo", station="shed", n=2),
        act("undo", station="shed", n=5),
        act("undo", station="shed", n=4),
    )
    state = replay([])
    stand = []
    for entry in entries:
        state.apply(entry)
        stand.append([each.n for each in state.revisions])
    assert stand == [[], [2], [2, 3], [2, 3, 4], [3, 4], [2, 3, 4], [2, 3]]


@given(st.permutations(range(5)))
def test_the_order_in_which_undos_come_does_not_matter(order: list[int]) -> None:
    """Entry 2 is undone by 3, which 4 undoes; 5 undoes 4 and 6 undoes 5: in the end 2 counts."""
    entries, _ = make_log(
        act("note", panel="W07", text="x"),
        *(act("undo", station="shed", n=n) for n in (2, 3, 4, 5, 99)),
    )
    undos = Undos()
    for number in order:
        undos.add(entries[2 + number])
    assert set(undos.voided) == {("shed", 3), ("shed", 5), ("shed", 99)}


def test_an_undo_that_names_itself_is_none() -> None:
    state = replay(make_log(act("undo", station="shed", n=2))[0])
    assert [entry.n for entry in state.unknown] == [2]
    assert state.voided == {}


def test_undos_in_a_ring_come_to_an_end() -> None:
    entries, _ = make_log(
        act("undo", station="shed", n=3),
        act("undo", station="shed", n=2),
        act("undo", station="shed", n=4),
    )
    state = replay(entries)
    assert len(state.entries) == 4


def test_a_long_line_of_undo_and_redo() -> None:
    entries, _ = make_log(
        act("answer", **answer("300")), *(act("undo", station="shed", n=n) for n in range(2, 302))
    )
    state = replay(entries[:-1])
    assert "a" not in state.panel("W07").latest
    state.apply(entries[-1])
    assert state.panel("W07").latest["a"] is entries[1]


def view(state: SiteState) -> object:
    """What a screen would show: everything but the list of all entries, and panels without acts."""
    shown = {mark: panel for mark, panel in state.panels.items() if panel.entries}
    return shown, state.revisions, state.unknown


class UndoMachine(RuleBasedStateMachine):
    """As many undos as acts lead back to where it began, and redo is the same with undos."""

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[Entry] = []
        self.state = replay([])
        self.done: list[tuple[int, object]] = []
        self.undone: list[tuple[int, object]] = []
        self.add("start", {"format": 1})

    def add(self, kind: str, data: dict[str, object]) -> int:
        n, head = (self.entries[-1].n, self.entries[-1].seal) if self.entries else (0, "")
        more, _ = compose([act(kind, **data)], station="shed", at=MORNING, clock="", n=n, head=head)
        self.entries += more
        self.state.apply(more[0])
        return n + 1

    @rule(
        kind=st.sampled_from(["answer", "defer", "follow-up", "pour-start", "revise", "as-cast"]),
        panel=st.sampled_from(["W07", "W08"]),
        item=st.sampled_from(["a", "b"]),
        size=st.integers(1, 9),
    )
    def do(self, kind: str, panel: str, item: str, size: int) -> None:
        before = view(replay(self.entries))
        data = {
            "panel": panel,
            "item": item,
            "after": {"width": str(size)},
            "values": {item: str(size)},
        }
        self.done.append((self.add(kind, data), before))
        self.undone.clear()

    @precondition(lambda self: self.done)
    @rule()
    def take_back(self) -> None:
        number, before = self.done.pop()
        after = view(replay(self.entries))
        undo_number = self.add("undo", {"station": "shed", "n": number, "why": "slip"})
        assert view(self.state) == before
        self.undone.append((undo_number, after))

    @precondition(lambda self: self.undone)
    @rule()
    def redo(self) -> None:
        number, after = self.undone.pop()
        before = view(replay(self.entries))
        redo_number = self.add("undo", {"station": "shed", "n": number, "why": "redo"})
        assert view(self.state) == after
        self.done.append((redo_number, before))

    @invariant()
    def the_same_as_replayed(self) -> None:
        assert self.state == replay(self.entries)

    def teardown(self) -> None:
        length, acts = len(self.entries), len(self.done)
        while self.done:
            self.take_back()
        assert view(self.state) == ({}, [], [])
        assert len(self.entries) == length + acts


TestUndo = UndoMachine.TestCase
TestUndo.settings = settings(max_examples=share(40), stateful_step_count=20)


@pytest.mark.parametrize("target", [1, 99])
def test_an_undo_of_nothing_that_counts_does_nothing(target: int) -> None:
    entries, _ = make_log(act("answer", **answer("300")), act("undo", station="shed", n=target))
    state = replay(entries)
    assert state.panel("W07").latest["a"] is entries[1]
    assert state.unknown == []
