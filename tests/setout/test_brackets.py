"""Brackets against a naive reading of their rule, and examples worked by hand."""

from decimal import Decimal
from typing import Literal

import pytest

from pourdeck.plan.records import SIDES, Poured, Sides
from pourdeck.setout.joints import seats
from pourdeck.setout.panel import set_out_stack
from tests.campaign import some

from .builders import in_edge, job, kit, opening, panel, pile
from .naive_joint import Naive, anchors_to_cast
from .random_joints import Case, random_case

Held = tuple[Decimal, Decimal, bool]
"""at, anchor, extra."""


def naive_side(
    case: Case, side: Literal["base", "right", "head", "left"]
) -> tuple[Naive, list[Held]]:
    """The naive reading of one side, and the anchors of the panel below that lie along it."""
    at = {"left": 0, "centre": 1, "right": 2, "base": 0, "head": 2}
    up, _, across = case.new.align.partition("-")
    x = (case.below.width - case.new.width) * at[across or up] / 2 + case.new.shift[0]
    y = (case.below.height - case.new.height) * at[up] / 2 + case.new.shift[1]
    naive = Naive(
        new=case.new,
        below=case.below,
        side=side,
        shift=x if side in ("base", "head") else y,
        kit=case.job.kit,
    )
    if case.poured is None:
        there = [(at, False) for at in anchors_to_cast(case.below, side, case.job.kit)]
    else:
        there = [(at, False) for at in case.poured.anchors[side]]
        there += [(at, True) for at in case.poured.extra_anchors[side]]
    held = [(at - naive.shift, at, extra) for at, extra in there if naive.hangs(at)]
    return naive, sorted(held)


@pytest.mark.campaign
@pytest.mark.parametrize("first", some(range(0, 900, 100)))
def test_agrees_with_a_naive_reading(first: int) -> None:
    for seed in range(first, first + 100):
        case = random_case(seed, 1500)
        found = seats(case.job, case.job.stacks[0], case.log)[1]
        for side in SIDES:
            naive, held = naive_side(case, side)
            wanted = [at - naive.shift for at in found.wanted[side]]
            note = (seed, side, naive.forbidden(), wanted)
            if naive.fewest([at for at, _, _ in held]) is None:
                continue
            props = [(prop.start, prop.end) for prop in found.props if prop.side == side]
            assert props == naive.props(), note
            assert len(wanted) == naive.fewest([at for at, _, _ in held]), note
            assert all(naive.may_stand(at) for at in wanted), note
            assert naive.is_covered([*(at for at, _, _ in held), *wanted]), note
            if case.poured is None:
                held = sorted(held + [(at, at + naive.shift, True) for at in wanted])
            hung = [(one.at, one.anchor, one.extra) for one in found.brackets[side]]
            assert hung == held, note


@pytest.mark.parametrize("first", range(0, 600, 200))
def test_no_anchor_is_wanted_where_none_may_stand(first: int) -> None:
    """Short sides too, and sides along which no anchor may stand anywhere."""
    for seed in range(first, first + 200):
        case = random_case(seed, 200)
        found = seats(case.job, case.job.stacks[0], case.log)[1]
        for side in SIDES:
            naive, _ = naive_side(case, side)
            for at in found.wanted[side]:
                assert naive.may_stand(at - naive.shift), (seed, side, at, naive.forbidden())


def test_holes_that_give_cover_need_nothing_more() -> None:
    """Of a side of 3500 the last hole, 2500, is just 1000 from the corner."""
    stack = pile(panel(3500, 3500), panel(3500, 3500))
    lower, upper = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors == Sides((), (), (), ())
    assert lower.findings == ()
    assert [one.at for one in upper.brackets.base] == [500, 1500, 2500]
    assert [one.at for one in upper.brackets.head] == [1000, 2000, 3000]


def test_a_first_hole_out_of_reach_wants_one_more() -> None:
    """On the head of 3600 the holes are 1100, 2100, 3100; the first may be 1000 from the corner."""
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    lower, upper = set_out_stack(job(stack), stack, {})
    assert len(lower.extra_anchors.head) == 1
    assert [one.extra for one in upper.brackets.head] == [True, False, False, False]


def test_an_added_anchor_stands_midway_on_a_measure_that_is_easy_to_tape() -> None:
    """It may stand from 150 to 1000: at 575, or 22 3/4 in, of the quarter inches the nearest to that."""
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    metric, _ = set_out_stack(job(stack), stack, {})
    assert metric.extra_anchors.head == (Decimal(575),)
    imperial, _ = set_out_stack(job(stack, units="imperial"), stack, {})
    assert imperial.extra_anchors.head == (Decimal("22.75") * Decimal("25.4"),)


def test_the_measure_is_easy_to_tape_on_the_panel_it_is_cast_in() -> None:
    """The new panel stands 3 in from the one below: whole 5 mm are counted along the one below."""
    stack = pile(panel(3606, 3606), panel(3600, 3600, shift=(3, 3)))
    lower, _ = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors == Sides(
        base=(Decimal(3030),), right=(Decimal(3030),), head=(Decimal(580),), left=(Decimal(580),)
    )


def test_a_side_shorter_than_the_reach_from_a_corner_gets_its_anchor_in_the_middle() -> None:
    """900 long and no hole in it: from 150 to 750 is free, and neither corner is."""
    stack = pile(panel(900, 3600), panel(900, 3600))
    lower, _ = set_out_stack(job(stack, kit(first=800)), stack, {})
    assert lower.extra_anchors.base == (Decimal(450),)
    assert lower.extra_anchors.head == (Decimal(450),)


def test_the_only_place_is_not_traded_for_the_corner() -> None:
    """A door 290 from the corner, 560 wide: with 150 clear an anchor may stand from 1000 on.

    The hole at 500 falls to it, the next is 1500, the first bracket may be 1000 from the corner.
    """
    door = panel(5500, 3600, openings=(opening("D", 290, 0, 560, 2100),))
    stack = pile(door, panel(5500, 3600))
    lower, upper = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors.base == (Decimal(1000),)
    assert [one.anchor for one in upper.brackets.base][:2] == [1000, 1500]


def test_no_anchor_is_put_in_an_opening_at_the_corner() -> None:
    """The opening begins at the corner and leaves room from 1000 on."""
    gap = panel(5500, 3600, openings=(opening("D", 0, 0, 850, 2100),))
    stack = pile(gap, panel(5500, 3600))
    lower, _ = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors.base == (Decimal(1000),)


def test_a_side_on_which_no_anchor_may_stand_gets_none() -> None:
    """1000 long and an opening below all along it: nothing can be cast into air."""
    gap = panel(1600, 3600, openings=(opening("D", 50, 0, 1500, 2100),))
    stack = pile(gap, panel(1000, 3600, align="base-centre"))
    lower, upper = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors.base == ()
    assert upper.brackets.base == ()


def test_a_side_that_nothing_can_hold_is_not_passed_over_in_silence() -> None:
    """As above: no bracket hangs there and none can be added, so somebody has to be told."""
    gap = panel(1600, 3600, openings=(opening("D", 50, 0, 1500, 2100),))
    stack = pile(gap, panel(1000, 3600, align="base-centre"))
    lower, upper = set_out_stack(job(stack), stack, {})
    told = [one.code for one in (*lower.findings, *upper.findings) if one.side == "base"]
    assert [code for code in told if code != "extra-anchors"] != []


def test_a_side_shorter_than_its_two_ends_gets_no_anchor() -> None:
    """290 long with 150 kept free at either end."""
    stack = pile(panel(290, 3600), panel(290, 3600))
    lower, _ = set_out_stack(job(stack), stack, {})
    assert lower.extra_anchors.base == ()
    assert lower.extra_anchors.head == ()


def test_a_wide_door_below_needs_a_prop() -> None:
    """1201 wide with 150 clear on either hand: 1501, over a gap of 1500."""
    door = panel(7200, 3600, openings=(opening("D", 3000, 0, 1201, 2100),))
    stack = pile(door, panel(7200, 3600))
    _, upper = set_out_stack(job(stack), stack, {})
    assert [(one.side, one.start, one.end) for one in upper.props] == [
        ("base", Decimal(2850), Decimal(4351))
    ]
    assert [one.code for one in upper.findings if one.side == "base"] == ["needs-prop"]
    message = next(one.message for one in upper.findings if one.code == "needs-prop")
    assert "2850 mm" in message
    assert "4351 mm" in message


def test_a_door_that_can_be_spanned_needs_no_prop() -> None:
    door = panel(7200, 3600, openings=(opening("D", 3000, 0, 1200, 2100),))
    stack = pile(door, panel(7200, 3600))
    lower, upper = set_out_stack(job(stack), stack, {})
    assert upper.props == ()
    # both jambs have to be used to the last millimetre
    anchors = [one.anchor for one in upper.brackets.base]
    assert {2850, 4350} <= set(anchors)
    assert {2850, 4350} <= set(lower.extra_anchors.base)


def test_cast_ins_close_together_are_one_stretch() -> None:
    """Six lifters 250 apart with 150 clear on either hand: 1550 without a place."""
    lifters = tuple(in_edge(f"E{n}", "head", 2000 + 250 * n) for n in range(6))
    stack = pile(panel(7200, 3600, castins=lifters), panel(7200, 3600))
    _, upper = set_out_stack(job(stack), stack, {})
    assert [(one.side, one.start, one.end) for one in upper.props] == [
        ("head", Decimal(1850), Decimal(3400))
    ]


def test_stretches_that_only_touch_leave_a_place_between_them() -> None:
    lifters = tuple(in_edge(f"E{n}", "head", 2000 + 300 * n) for n in range(6))
    stack = pile(panel(7200, 3600, castins=lifters), panel(7200, 3600))
    _, upper = set_out_stack(job(stack), stack, {})
    assert upper.props == ()


def poured(stack_mark: str, anchors: Sides[tuple[Decimal, ...]]) -> dict[str, Poured]:
    none: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
    return {stack_mark: Poured(mark=stack_mark, anchors=anchors, extra_anchors=none)}


def test_a_poured_panel_lacks_what_its_pour_did_not_record() -> None:
    """Brackets hang on what is there; what is missing is an error on the panel above and says where."""
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    there = tuple(Decimal(at) for at in (500, 1500, 2700))
    log = poured("P1", Sides(there, there, there, (Decimal(500), Decimal(2700))))
    lower, upper = set_out_stack(job(stack), stack, log)
    assert lower.anchors.left == (Decimal(500), Decimal(2700))
    assert lower.extra_anchors.left == ()
    assert [one.code for one in lower.findings] == []
    assert [one.at for one in upper.brackets.left] == [500, 2700]
    assert len(upper.missing.left) == 1
    assert 1200 <= upper.missing.left[0] <= 2000
    faults = [one for one in upper.findings if one.code == "short-of-anchors"]
    assert [(one.severity, one.side, one.panel) for one in faults] == [("error", "left", 2)]
    assert f"{upper.missing.left[0]} mm" in faults[0].message
    assert "engineer" in faults[0].message


def test_what_is_still_wanted_is_a_warning_on_the_panel_below() -> None:
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    lower, upper = set_out_stack(job(stack), stack, {})
    faults = [one for one in lower.findings if one.code == "extra-anchors"]
    assert [(one.severity, one.side, one.panel) for one in faults] == [
        ("warning", "base", 1),
        ("warning", "right", 1),
        ("warning", "head", 1),
        ("warning", "left", 1),
    ]
    assert upper.findings == ()


def test_the_last_panel_gets_no_anchors() -> None:
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    _, upper = set_out_stack(job(stack), stack, {})
    assert upper.anchors == Sides((), (), (), ())
    assert upper.extra_anchors == Sides((), (), (), ())


def test_more_brackets_than_are_held_is_a_warning() -> None:
    stack = pile(panel(3600, 3600), panel(3600, 3600))
    hung = len(set_out_stack(job(stack), stack, {})[1].all_brackets())
    enough = job(stack, kit(brackets=hung))
    short = job(stack, kit(brackets=hung - 1))
    assert set_out_stack(enough, stack, {})[1].findings == ()
    found = set_out_stack(short, stack, {})[1].findings
    assert [(one.code, one.severity) for one in found] == [("short-of-brackets", "warning")]


def test_brackets_rise_along_the_side_and_are_numbered_so() -> None:
    for seed in range(60):
        case = random_case(seed, 1500)
        for side in seats(case.job, case.job.stacks[0], case.log)[1].brackets.values():
            assert [one.at for one in side] == sorted(one.at for one in side)
            assert [one.number for one in side] == list(range(1, len(side) + 1))
