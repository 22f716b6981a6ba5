"""Rule 1: by hand, and against shapely by another route."""

import random
from decimal import Decimal

import pytest
from attrs import evolve
from shapely import box
from shapely.affinity import translate

from pourdeck.plan.records import ALIGNMENTS, Align
from pourdeck.setout.place import footprint, offsets, place, start_shift
from tests.campaign import some

from .builders import panel, pile, positions

ORIGIN = (Decimal(0), Decimal(0))

BY_HAND: dict[Align, tuple[int, int]] = {
    "base-left": (0, 0),
    "base-centre": (150, 0),
    "base-right": (300, 0),
    "centre-left": (0, 100),
    "centre": (150, 100),
    "centre-right": (300, 100),
    "head-left": (0, 200),
    "head-centre": (150, 200),
    "head-right": (300, 200),
}
"""6900 × 8500 on 7200 × 8700."""


@pytest.mark.parametrize("align", ALIGNMENTS)
def test_the_nine_alignments(align: Align) -> None:
    below, new = panel(7200, 8700), panel(6900, 8500, align=align)
    assert place(new, below, ORIGIN) == BY_HAND[align]
    up_in, right_in = Decimal(200) - BY_HAND[align][1], Decimal(300) - BY_HAND[align][0]
    found = offsets(footprint(new, place(new, below, ORIGIN)), footprint(below, ORIGIN))
    assert found.values() == (BY_HAND[align][1], right_in, up_in, BY_HAND[align][0])


def test_shift_is_on_top_of_the_alignment_and_of_the_place_below() -> None:
    new = panel(6900, 8500, align="centre", shift=("12.5", -50))
    at = place(new, panel(7200, 8700), (Decimal(1000), Decimal("0.5")))
    assert at == (Decimal("1162.5"), Decimal("50.5"))


def test_half_of_half_a_millimetre_is_exact() -> None:
    assert place(panel("6900.5", 100, align="centre"), panel(7200, 100), ORIGIN)[0] == Decimal(
        "149.75"
    )


def test_the_first_panel_is_the_origin_whatever_it_says_of_itself() -> None:
    stack = pile(panel(align="head-right", shift=(500, 500)), panel())
    assert positions(stack) == (ORIGIN, ORIGIN)


def test_places_add_up_the_stack() -> None:
    stack = pile(
        panel(7200, 8700),
        panel(7000, 8700, align="base-centre"),
        panel(6800, 8600, align="head-right"),
        panel(6800, 8600, shift=(-10, 20)),
    )
    assert positions(stack) == ((0, 0), (100, 0), (300, 100), (290, 120))


def test_start_shift_is_along_the_side() -> None:
    at, below_at = (Decimal(130), Decimal(70)), (Decimal(100), Decimal(50))
    assert [start_shift(side, at, below_at) for side in ("base", "head")] == [30, 30]
    assert [start_shift(side, at, below_at) for side in ("left", "right")] == [20, 20]


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(40)))
def test_against_shapely(seed: int) -> None:
    """shapely 2 (GEOS): bring the box to the edge or the middle of the other's bounds, then shift."""
    rng = random.Random(seed)
    sizes = [Decimal(rng.randint(1600, 18000)) / 2 for _ in range(4)]
    align = rng.choice(ALIGNMENTS)
    shift = (Decimal(rng.randint(-100, 100)) / 2, Decimal(rng.randint(-100, 100)) / 2)
    below_at = (Decimal(rng.randint(-900, 900)) / 2, Decimal(rng.randint(-900, 900)) / 2)
    below, new = panel(sizes[0], sizes[1]), panel(sizes[2], sizes[3], align=align, shift=shift)
    lower = translate(box(0, 0, *map(float, sizes[:2])), *map(float, below_at))
    upper = box(0, 0, *map(float, sizes[2:]))
    lx0, ly0, lx1, ly1 = lower.bounds
    ux0, uy0, ux1, uy1 = upper.bounds
    dx = lower.centroid.x - upper.centroid.x
    dy = lower.centroid.y - upper.centroid.y
    if align.endswith("left"):
        dx = lx0 - ux0
    if align.endswith("right"):
        dx = lx1 - ux1
    if align.startswith("base"):
        dy = ly0 - uy0
    if align.startswith("head"):
        dy = ly1 - uy1
    moved = translate(upper, dx + float(shift[0]), dy + float(shift[1]))
    at = place(new, below, below_at)
    assert [float(value) for value in at] == pytest.approx(list(moved.bounds[:2]), abs=1e-6)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(40)))
def test_offsets_across_add_up_to_the_difference_of_the_sizes(seed: int) -> None:
    """The self-check of the trade: left + right is what the panel is narrower. Common practice, no source."""
    rng = random.Random(seed)
    sizes = [Decimal(rng.randint(8000, 130000)) / 10 for _ in range(4)]
    below, new = panel(sizes[0], sizes[1]), panel(sizes[2], sizes[3])
    shift = (Decimal(rng.randint(-1000, 1000)) / 10, Decimal(rng.randint(-1000, 1000)) / 10)
    for align in ALIGNMENTS:
        moved = evolve(new, align=align, shift=shift)
        found = offsets(footprint(moved, place(moved, below, ORIGIN)), footprint(below, ORIGIN))
        assert found.left + found.right == below.width - new.width
        assert found.base + found.head == below.height - new.height
