"""Undo: as many undos as acts bring back the first view; redo brings back the last."""

from decimal import Decimal
from pathlib import Path

import pytest
from attrs import asdict
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pourdeck.plan.messages import Refusal, WhyNeeded
from pourdeck.walk import acts
from pourdeck.walk.acts import FOR_GOOD
from pourdeck.walk.records import Act, Walk
from tests.campaign import share
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    WITH_ENGINEER,
    Crew,
    crew,
    good_answer,
    refused,
)

KEYS = ["drawing.mark", "drawing.rev", "drawing.face-up", "drawing.width", "drawing.base-end"]


def view(walk: Walk) -> object:
    """All that the crew sees."""
    return asdict(
        walk,
        filter=lambda attribute, _: (
            attribute.name not in ("record", "job", "plan", "setout", "opens")
        ),
    )


def make(one: Crew, kind: str, key: str) -> Act | Refusal:
    item, now = one.item(key), one.clock.at
    by = HAND if item.second else FOREMAN
    if kind == "good":
        return acts.answer(one.walk, key, good_answer(item), by, now, "again")
    if kind == "bad":
        typed = item.choices[-1] if item.choices else "2950"
        return acts.answer(one.walk, key, typed, by, now, "again")
    if kind == "defer":
        return acts.defer(one.walk, key, "fog", HAND, "pour", FOREMAN)
    if kind == "n/a":
        return acts.not_applicable(one.walk, key, "none", by)
    if kind == "follow-up":
        return acts.follow_up(one.walk, key, "put right", FOREMAN)
    return acts.note(one.walk, key, "seen", FOREMAN)


@settings(
    max_examples=share(25),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    steps=st.lists(
        st.tuples(
            st.sampled_from(["good", "bad", "defer", "n/a", "follow-up", "note"]),
            st.sampled_from(KEYS),
        ),
        max_size=9,
    )
)
def test_n_acts_and_n_undos_are_where_it_began(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str]]
) -> None:
    one = crew(tmp_path_factory.mktemp("undo"))
    one.pass_item("drawing.mirrored")
    views = [view(one.walk)]
    for kind, key in steps:
        act = make(one, kind, key)
        if isinstance(act, Act):
            one.do(act)
            views.append(view(one.walk))
    length = len(one.desk.state.entries)
    for before in reversed(views[:-1]):
        one.do(acts.undo(one.desk.state, FOREMAN, "shed", "a slip"))
        assert view(one.walk) == before
    assert len(one.desk.state.entries) == length + len(views) - 1
    for after in views[1:]:
        one.do(acts.redo(one.desk.state, FOREMAN, "shed"))
        assert view(one.walk) == after
    refused(acts.redo(one.desk.state, FOREMAN, "shed"))
    one.desk.close()


def test_an_undo_is_an_entry_that_names_what_it_voids(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert refused(acts.undo(one.desk.state, FOREMAN, "shed", "a slip")).title == "Nothing to undo."
    entry = one.answer("drawing.mark", "P2")
    act = one.desk.undo(FOREMAN, "a slip")
    assert isinstance(act, Act)
    assert act.data == {"station": "shed", "n": entry.n, "why": "a slip"}
    one.do(act)
    assert one.item("drawing.mark").state == "open"
    assert refused(one.desk.undo(FOREMAN, "a slip")).title == "Nothing to undo."


def test_what_is_for_good_is_not_undone_and_says_so(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    entry = one.do(acts.release(one.walk, "drawing", CHECKER, "", "looked"))
    refusal = refused(one.desk.undo(FOREMAN, "a slip"))
    assert refusal.title == f"The last act cannot be undone: release (no. {entry.n})."
    assert one.item("drawing.mark").state == "done"


def test_kinds_for_good_are_few_and_known() -> None:
    assert {
        "release", "pass-unreleased", "close-nonconformance", "close", "lift-release",
    } == FOR_GOOD  # fmt: skip


def test_a_size_change_is_undone_with_the_release_it_took_back(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    one.go_to("strip")
    assert one.walk.hold("drawing").state == "released"
    change = one.desk.resize("A", 1, width=Decimal(2900))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=ENGINEER, reason="rev C"))
    assert one.walk.hold("drawing").state == "void"
    assert "answers for that" in refused(one.desk.undo(FOREMAN, "a slip")).title
    assert isinstance(one.desk.undo(ENGINEER), WhyNeeded)
    one.do(one.desk.undo(ENGINEER, "a slip"))
    assert one.desk.job.stacks[0].panels[0].width == 3000
    assert one.walk.hold("drawing").state == "released"


def test_only_the_own_stations_acts_are_undone(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.answer("drawing.mark", "P1")
    assert refused(acts.undo(one.desk.state, FOREMAN, "gate", "a slip")).title == "Nothing to undo."


def test_an_undone_start_of_a_pour_leaves_the_panel_unpoured(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.pass_item("pour.start")
    assert one.desk.poured()
    one.do(one.desk.undo(FOREMAN, "a slip"))
    assert one.walk.panel_state == "released"
    assert not one.desk.poured()
    assert not one.walk.setout.poured


def test_redo_ends_with_the_next_act(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.answer("drawing.mark", "P2")
    one.do(one.desk.undo(FOREMAN, "a slip"))
    one.answer("drawing.rev", "B")
    assert refused(one.desk.redo(FOREMAN)).title == "Nothing to do again."
