"""Hold what a neighbour allows to the offsets: the ends pass, a millimetre more does not."""

from decimal import Decimal

import pytest
from attrs import evolve

from pourdeck.plan.records import ALIGNMENTS, Job, Stack
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.place import Leeway, leeways
from tests.setout.builders import bolts, job, kit, panel, pile

REACH = kit(bolts=bolts(("one", 0, 300)))


def plan(**middle: object) -> Job:
    size = {"width": 5800, "height": 4800, **middle}
    return job(pile(panel(6000, 5000, mark="P1"), panel(mark="P2", **size),  # type: ignore[arg-type]
                    panel(5700, 4700, mark="P3", align="base-left")), REACH)  # fmt: skip


def by(found: tuple[Leeway, ...], size: str, *, above: bool) -> Leeway:
    return next(one for one in found if one.size == size and one.above == above)


def works(plan: Job, stack: Stack, number: int, *, any_align: bool) -> bool:
    """Whether a panel sits without `overhang` or `out-of-reach`, as it is aligned or anyhow."""
    for align in ALIGNMENTS if any_align else (stack.panels[number - 1].align,):
        turned = evolve(stack.panels[number - 1], align=align)
        panels = (*stack.panels[: number - 1], turned, *stack.panels[number:])
        found = set_out_stack(plan, evolve(stack, panels=panels), {})[number - 1].findings
        if not any(one.code in ("overhang", "out-of-reach") for one in found):
            return True
    return False


@pytest.mark.parametrize("size", ["width", "height"])
@pytest.mark.parametrize("end", ["least", "most"])
def test_the_ends_of_what_the_panel_below_allows(size: str, end: str) -> None:
    start = plan()
    found = by(leeways(start, start.stacks[0], 2), size, above=False)
    limit: Decimal = getattr(found, end)
    outward = -1 if end == "least" else 1
    for value, passes in ((limit, True), (limit + outward, False)):
        changed = plan(**{size: value})
        assert works(changed, changed.stacks[0], 2, any_align=True) is passes


@pytest.mark.parametrize("size", ["width", "height"])
@pytest.mark.parametrize("end", ["least", "most"])
def test_the_ends_of_what_the_panel_above_needs(size: str, end: str) -> None:
    start = plan()
    found = by(leeways(start, start.stacks[0], 2), size, above=True)
    limit: Decimal = getattr(found, end)
    outward = -1 if end == "least" else 1
    for value, passes in ((limit, True), (limit + outward, False)):
        changed = plan(**{size: value})
        assert works(changed, changed.stacks[0], 3, any_align=False) is passes


@pytest.mark.parametrize("shift", [(20, 0), (-3, 10), (0, -40)])
def test_a_shift_moves_the_ends(shift: tuple[int, int]) -> None:
    start = plan(shift=shift)
    for size in ("width", "height"):
        found = by(leeways(start, start.stacks[0], 2), size, above=False)
        for value, passes in ((found.least, True), (found.most, True), (found.least - 1, False),
                              (found.most + 1, False)):  # fmt: skip
            changed = plan(shift=shift, **{size: value})
            assert works(changed, changed.stacks[0], 2, any_align=True) is passes


def test_a_panel_alone_has_no_neighbour() -> None:
    alone = job(pile(panel(6000, 5000, mark="P1")), REACH)
    assert leeways(alone, alone.stacks[0], 1) == ()
