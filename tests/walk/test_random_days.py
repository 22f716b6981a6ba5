"""Days that nobody planned: whatever people try, in whatever order, the rules of the walk hold."""

from pathlib import Path
from random import Random

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.records import Act, ItemView, Walk
from tests.campaign import some
from tests.walk.kit import CHECKER, FOREMAN, HAND, Crew, complete, crew, good_answer
from tests.walk.test_desk import afresh

PEOPLE = (FOREMAN, FOREMAN, FOREMAN, HAND, CHECKER)


def some_act(one: Crew, chance: Random) -> tuple[str, str, Act | Refusal]:
    """Something somebody tries: what, on what, and what the walk says to it."""
    walk, by = one.walk, chance.choice(PEOPLE)
    others = ["bad", "defer", "n/a", "follow-up", "hold", "hold", "end"]
    what = chance.choice(["good"] * 14 + others)
    here = next((one for one in walk.sections if one.state != "done"), walk.sections[-1])
    section = chance.choice([*([here] * 12), *walk.sections])
    if what == "hold":
        hold = here.hold or chance.choice(walk.holds)
        if chance.random() < 0.1:
            return "pass", hold.id, acts.pass_unreleased(walk, hold.id, "rain", by)
        return what, hold.id, acts.release(walk, hold.id, CHECKER, "", "looked")
    if what == "end":
        return what, section.id, complete(walk, section.id, by)
    waiting = [item for item in section.items if not item.answered] or list(section.items)
    failed = [item for item in section.items if item.own_state == "failed"]
    item = chance.choice((failed or waiting)[:2] if what == "good" else section.items)
    if what == "good":
        by = HAND if item.second else FOREMAN
        what = "follow-up" if item.own_state == "failed" else what
    return what, item.key, on_item(walk, item, what, by, one)


def on_item(walk: Walk, item: ItemView, what: str, by: str, one: Crew) -> Act | Refusal:
    if what == "good":
        return acts.answer(walk, item.key, good_answer(item), by, one.clock.at, "again")
    if what == "bad":
        typed = item.choices[-1] if item.choices else "1"
        return acts.answer(walk, item.key, typed, by, one.clock.at, "again")
    if what == "defer":
        return acts.defer(walk, item.key, "fog", HAND, "pour", by)
    if what == "n/a":
        return acts.not_applicable(walk, item.key, "none", by)
    return acts.follow_up(walk, item.key, "put right", by)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(8)))
def test_rules_hold_on_any_day(tmp_path: Path, seed: int) -> None:
    """Whatever is done in whatever order: sections end only complete, holds hold, failures stay."""
    chance = Random(seed)
    one = crew(tmp_path)
    for _ in range(220):
        before = one.walk
        what, target, act = some_act(one, chance)
        if what == "end":
            section = before.section(target)
            assert section is not None
            may = section.open == 0 and not section.locked_by and section.complete is None
            assert isinstance(act, Act) is (may and section.hold is None)
        if isinstance(act, Refusal):
            assert act.title
            assert act.body
            continue
        item = before.find(target)
        if item is not None:
            assert item.state != "locked", (what, target)
        if what == "hold":
            hold = before.hold(target)
            assert hold is not None
            assert not hold.needs
            for key in hold.covers:
                covered = before.find(key)
                assert covered is not None
                assert covered.own_state in ("done", "n/a", "deferred")
                assert covered.second or covered.by != act.by
        one.do(act)
        one.clock.later(seconds=chance.choice([0, 5, 60]))
    assert one.walk.answered > 10
    assert one.walk == afresh(one.desk, "A", 1)
    assert one.walk.answered + one.walk.open == one.walk.total
