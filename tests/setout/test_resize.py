"""A change of size: what moves above it, the nine ways out and their order, and what is refused."""

import random
from decimal import Decimal
from typing import Any

import pytest
from attrs import evolve

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import (
    ALIGNMENTS,
    SIDES,
    Align,
    Job,
    Panel,
    Poured,
    Sides,
    Stack,
    revise_stack,
)
from pourdeck.setout.joints import seats, turned
from pourdeck.setout.panel import set_out_seated, set_out_stack
from pourdeck.setout.resize import Option, Resize, resize

from .builders import bolts, job, kit, opening, panel, pile
from .naive_joint import Naive, anchors_to_cast
from .random_joints import random_pour

NOTHING: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
NO_ANCHORS = Poured(mark="P1", anchors=NOTHING, extra_anchors=NOTHING)


def work_out(one: Job, number: int, log: dict[str, Poured] | None = None, **sizes: Any) -> Resize:
    found = resize(one, one.stacks[0], number, log or {}, **sizes)
    assert isinstance(found, Resize)
    return found


FOUR = job(pile(panel(), panel(), panel(7000, 8700), panel(6900, 8600, align="base-centre")))


def test_levels_go_from_the_changed_panel_to_the_top() -> None:
    found = work_out(FOUR, 2, width=Decimal(7100))
    assert [level.number for level in found.levels] == [2, 3, 4]
    assert [level.mark for level in found.levels] == ["P2", "P3", "P4"]
    assert (found.stack, found.number, found.mark) == ("A", 2, "P2")


def test_before_and_after_are_the_set_outs_of_the_two_stacks() -> None:
    stack = FOUR.stacks[0]
    found = work_out(FOUR, 2, width=Decimal(7100), height=Decimal(8800), thickness=Decimal(175))
    changed = evolve(
        stack.panels[1], width=Decimal(7100), height=Decimal(8800), thickness=Decimal(175)
    )
    after = evolve(stack, panels=(stack.panels[0], changed, *stack.panels[2:]))
    assert tuple(level.before for level in found.levels) == set_out_stack(FOUR, stack, {})[1:]
    assert tuple(level.after for level in found.levels) == set_out_stack(FOUR, after, {})[1:]
    assert found.below == set_out_stack(FOUR, after, {})[0]
    assert (found.before, found.after) == (stack.panels[1], changed)
    assert revise_stack(stack, found.revision()) == after


def test_a_narrower_panel_moves_the_one_above_too() -> None:
    """P2 loses 200 on the right: there it stands 200 in, and P3 above it no longer does."""
    found = work_out(FOUR, 2, width=Decimal(7000))
    second, third = found.levels[0], found.levels[1]
    assert second.before.offsets is not None
    assert second.after.offsets is not None
    assert third.before.offsets is not None
    assert third.after.offsets is not None
    assert (second.before.offsets.right, second.after.offsets.right) == (0, 200)
    assert (third.before.offsets.right, third.after.offsets.right) == (200, 0)
    assert second.after.bolts is not None
    assert second.after.bolts.right == "inner"
    assert found.changes_anything


def test_growth_overhangs() -> None:
    found = work_out(FOUR, 2, width=Decimal(7203))
    assert not any(one.code == "overhang" for one in found.findings)
    found = work_out(FOUR, 2, width=Decimal("7203.1"))
    assert [(one.code, one.panel, one.side) for one in found.findings if one.is_error] == [
        ("overhang", 2, "right")
    ]


def test_a_thickness_lifts_everything_above() -> None:
    found = work_out(FOUR, 2, thickness=Decimal(175))
    risen = [level.after.heights.top - level.before.heights.top for level in found.levels]
    assert risen == [Decimal("0.025")] * 3
    assert found.levels[0].after.heights.below == found.levels[0].before.heights.below
    assert {level.after.quantities.area for level in found.levels} == {
        level.before.quantities.area for level in found.levels
    }


def test_a_thickness_without_a_form_is_an_error_of_every_option() -> None:
    found = work_out(FOUR, 2, thickness=Decimal(160))
    assert [one.code for one in found.findings if one.is_error] == ["no-form"]
    assert [one.feasible for one in found.options] == [False] * 9


def test_openings_left_outside_are_an_error_of_the_panel() -> None:
    door = opening("D", 6000, 0, 1000, 2100)
    one = job(pile(panel(), panel(openings=(door,))))
    found = work_out(one, 2, width=Decimal(6950))
    assert [each.code for each in found.findings if each.is_error] == ["opening-outside"]
    assert not any(each.feasible for each in found.options)


def test_nothing_changed_changes_nothing() -> None:
    found = work_out(FOUR, 3)
    assert not found.changes_anything
    assert all(level.before == level.after for level in found.levels)
    assert not work_out(FOUR, 3, width=Decimal("7000.0")).changes_anything


def test_the_first_panel_on_the_bed() -> None:
    found = work_out(FOUR, 1, width=Decimal(7300))
    assert found.below is None
    assert [level.number for level in found.levels] == [1, 2, 3, 4]
    # where it sits on the bed changes nothing, so all nine are alike and in the promised order
    assert [one.align for one in found.options] == list(ALIGNMENTS)
    assert (
        len({(one.extra_anchors, one.moved_bolts, one.largest_offset) for one in found.options})
        == 1
    )


def test_the_changed_panel_may_be_put_elsewhere_too() -> None:
    found = work_out(FOUR, 2, width=Decimal(6900), align="base-centre")
    assert found.after.align == "base-centre"
    assert found.levels[0].after.position == (150, 0)
    # those above keep their own alignment and go along
    assert found.levels[1].after.position == (150, 0)
    assert [one.align for one in work_out(FOUR, 2, width=Decimal(6900)).options] == [
        one.align for one in found.options
    ]


def test_centring_saves_an_infeasible_width() -> None:
    """500 narrower is out of reach on one side and 250 on either when centred."""
    one = job(pile(panel(), panel()))
    found = work_out(one, 2, width=Decimal(6700))
    assert any(each.code == "out-of-reach" for each in found.findings)
    assert {each.align for each in found.options if each.feasible} == {
        "base-centre", "centre", "head-centre"
    }  # fmt: skip
    best = found.options[0]
    assert (best.feasible, best.align, best.largest_offset, best.fault) == (
        True,
        "base-centre",
        250,
        None,
    )
    assert all(each.fault for each in found.options if not each.feasible)


@pytest.mark.parametrize("size", [{"width": 7000}, {"height": 9000}, {"thickness": 175}])
def test_a_poured_panel_cannot_change(size: dict[str, int]) -> None:
    given: Any = {name: Decimal(value) for name, value in size.items()}
    refused = resize(FOUR, FOUR.stacks[0], 1, {"P1": NO_ANCHORS}, **given)
    assert isinstance(refused, Refusal)
    assert "P1" in refused.title
    assert "poured" in refused.title
    assert "as-cast" in refused.body


def test_what_carries_a_poured_panel_cannot_change() -> None:
    """A log that says so is wrong somewhere: panels are cast from the bed up."""
    log = {"P4": Poured(mark="P4", anchors=NOTHING, extra_anchors=NOTHING)}
    refused = resize(FOUR, FOUR.stacks[0], 2, log, width=Decimal(7000))
    assert isinstance(refused, Refusal)
    assert refused.title == "P2 cannot change size: P4 above it is poured."
    assert isinstance(
        resize(FOUR, FOUR.stacks[0], 4, {"P3": NO_ANCHORS}, width=Decimal(6800)), Resize
    )


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_a_turned_panel_takes_those_above_along(first: int) -> None:
    """Hold what is worked out for the turned panel alone to what the whole stack comes to."""
    for seed in range(first, first + 10):
        stack = random_stack(random.Random(seed))
        one = job(stack, HELD)
        for number in range(1, len(stack.panels) + 1):
            for align in ALIGNMENTS:
                panels = [*stack.panels]
                panels[number - 1] = evolve(panels[number - 1], align=align)
                other = evolve(stack, panels=tuple(panels))
                moved = turned(one, other, number, seats(one, stack, {}), {})
                assert set_out_seated(one, other, moved, {}) == set_out_stack(one, other, {})


@pytest.mark.parametrize(
    "size",
    [
        {"width": "0"},
        {"height": "-1"},
        {"thickness": "0"},
        {"width": "1000000"},
        {"thickness": "30"},
        {"width": "30"},
    ],
)
def test_a_size_that_is_none_is_refused(size: dict[str, str]) -> None:
    """30 is all chamfer: 15 from either side."""
    given: Any = {name: Decimal(value) for name, value in size.items()}
    refused = resize(FOUR, FOUR.stacks[0], 2, {}, **given)
    assert isinstance(refused, Refusal)
    assert refused.title
    assert refused.body


def test_short_of_anchors_alone_does_not_make_an_option_infeasible() -> None:
    found = resize(FOUR, FOUR.stacks[0], 2, {"P1": NO_ANCHORS}, width=Decimal(7100))
    assert isinstance(found, Resize)
    assert "short-of-anchors" in [one.code for one in found.findings]
    assert found.options[0].feasible
    missing = found.levels[0].after.missing
    (here,) = [one for one in found.options if one.align == found.after.align]
    assert here.to_fix == sum(len(along) for along in missing.values()) > 0
    assert here.to_fix < here.extra_anchors, "those of the panels above are cast in"


def test_what_can_still_be_cast_in_is_not_to_be_fixed_afterwards() -> None:
    found = resize(FOUR, FOUR.stacks[0], 2, {}, width=Decimal(7100))
    assert isinstance(found, Resize)
    assert {one.to_fix for one in found.options} == {0}
    assert any(one.extra_anchors for one in found.options)


def promised_order(one: Option) -> tuple[bool, int, int, Decimal, int]:
    order = (
        "base-left", "base-centre", "base-right", "centre-left", "centre", "centre-right",
        "head-left", "head-centre", "head-right",
    )  # fmt: skip
    return (
        not one.feasible,
        one.extra_anchors,
        one.moved_bolts,
        one.largest_offset,
        order.index(one.align),
    )


HELD = kit(bolts=bolts(("near", 0, 100), ("mid", 90, 200), ("far", 190, 400)))


def random_stack(rng: random.Random) -> Stack:
    panels = []
    width, height = Decimal(rng.randint(40, 90) * 100), Decimal(rng.randint(40, 90) * 100)
    for _ in range(rng.randint(2, 4)):
        openings = []
        if rng.random() < 0.6:
            x = Decimal(rng.randint(0, 20) * 50)
            openings.append(opening("O", x, 0, rng.choice([600, 900, 1100]), 1000))
        panels.append(
            panel(
                width,
                height,
                openings=tuple(openings),
                drawn_from=rng.choice(["inside", "outside"]),
                align=rng.choice(ALIGNMENTS),
                shift=rng.choice([(0, 0), (0, 0), (10, "-0.5")]),
            )
        )
        width -= Decimal(rng.choice(["0", "100", "250", "0.5"]))
        height -= Decimal(rng.choice(["0", "100", "250"]))
    return pile(*panels)


def naive_option(
    panels: list[Panel], number: int, align: Align, log: dict[str, Poured]
) -> tuple[bool, int, int, Decimal] | None:
    """Feasible, extra anchors, moved bolts, largest offset; None where some side has no cover at all."""
    panels = [*panels]
    panels[number - 1] = evolve(panels[number - 1], align=align)
    feasible, extra, moved, offsets = True, 0, 0, []
    half = {"left": 0, "base": 0, "centre": 1, "right": 2, "head": 2}
    for index in range(max(number - 1, 1), len(panels)):
        below, new = panels[index - 1], panels[index]
        up, _, across = new.align.partition("-")
        x = (below.width - new.width) * half[across or up] / 2 + new.shift[0]
        y = (below.height - new.height) * half[up] / 2 + new.shift[1]
        stands_in = {
            "left": x,
            "base": y,
            "right": below.width - new.width - x,
            "head": below.height - new.height - y,
        }
        for side in SIDES:
            naive = Naive(
                new=new,
                below=below,
                side=side,
                shift=x if side in ("base", "head") else y,
                kit=HELD,
            )
            poured = log.get(below.mark)
            if poured is None:
                there = anchors_to_cast(below, side, HELD)
            else:
                there = [*poured.anchors[side], *poured.extra_anchors[side]]
            hung = [at - naive.shift for at in there if naive.hangs(at)]
            fewest = naive.fewest(hung)
            if fewest is None:
                return None
            extra += fewest
            offset = stands_in[side]
            offsets.append(offset)
            if not -3 <= offset <= 400:
                feasible = False
            if not -3 <= offset <= 100:
                moved += len(hung) + (fewest if poured is None else 0)
    for one in panels[number - 1 :]:
        inside = all(
            hole.x + hole.width <= one.width and hole.y + hole.height <= one.height
            for hole in one.openings
        )
        feasible = feasible and inside
    return feasible, extra, moved, max(offsets)


@pytest.mark.parametrize("first", range(0, 48, 12))
def test_options_against_a_naive_count(first: int) -> None:
    counted = 0
    for seed in range(first, first + 12):
        rng = random.Random(seed)
        stack = random_stack(rng)
        number = rng.randint(2, len(stack.panels))
        log = {
            one.mark: random_pour(rng, one) for one in stack.panels[: rng.choice([0, number - 1])]
        }
        old = stack.panels[number - 1]
        width = old.width + Decimal(rng.choice(["-300", "-150", "0", "2.5", "100"]))
        height = old.height + Decimal(rng.choice(["-300", "0", "0", "50"]))
        found = work_out(job(stack, HELD), number, log, width=width, height=height)
        assert sorted(one.align for one in found.options) == sorted(ALIGNMENTS)
        assert list(found.options) == sorted(found.options, key=promised_order)
        panels = [*stack.panels]
        panels[number - 1] = evolve(old, width=width, height=height)
        for one in found.options:
            expected = naive_option(panels, number, one.align, log)
            if expected is None:
                continue
            counted += 1
            got = (one.feasible, one.extra_anchors, one.moved_bolts, one.largest_offset)
            assert got == expected, (seed, one.align)
            assert (one.fault is None) == one.feasible
    assert counted > 60
