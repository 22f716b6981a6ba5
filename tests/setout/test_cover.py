"""Cover and the fewest added anchors, against an integer program (scipy.optimize.milp, HiGHS)."""

import itertools
import random
from decimal import Decimal

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from pourdeck.plan.records import AnchorRules
from pourdeck.setout.anchors import Grid, Part, additions, covered

from .builders import KIT, kit

RASTER = 50
PAST = -1
"""A stretch at a corner is given as running past it: the corner itself is no place for an anchor."""

RULES = KIT.anchors
GRID = Grid(Decimal(0), Decimal(5))


def part(length: int, anchors: list[int], no_anchor: list[tuple[int, int]]) -> Part:
    return Part(
        start=Decimal(0),
        end=Decimal(length),
        anchors=tuple(Decimal(at) for at in anchors),
        no_anchor=tuple((Decimal(start), Decimal(end)) for start, end in no_anchor),
    )


def integer_program(one: Part, rules: AnchorRules) -> int | None:
    """Fewest added on a raster; every length here is a multiple of it, so nothing finer does better.

    A corner counts as a bracket as far outside as makes end_max and gap_max the same; then every
    window as long as gap_max, open at its start, holds a bracket. A corner itself is no place for one.
    """
    end, gap, reach = int(one.end), int(rules.gap_max), int(rules.end_max)
    there = {int(at) for at in one.anchors}
    closed = [(int(start), int(stop)) for start, stop in one.no_anchor]
    places = np.array(
        [
            at
            for at in range(RASTER, end, RASTER)
            if at in there or not any(start < at < stop for start, stop in closed)
        ]
    )
    windows = range(reach - gap, end - reach, RASTER)
    rows = np.array([(places > at) & (places <= at + gap) for at in windows], float)
    fixed = np.array([float(at in there) for at in places])
    found = milp(
        1 - fixed,
        integrality=np.ones(len(places)),
        bounds=Bounds(fixed, np.ones(len(places))),
        constraints=LinearConstraint(rows, 1, np.inf),
    )
    if found.status == 2:
        return None
    assert found.status == 0, found.message
    return round(found.fun)


def random_part(rng: random.Random) -> tuple[Part, AnchorRules]:
    """A side with obstacles none of which is too long to span, and some anchors between them."""
    reach, gap = rng.choice([(400, 800), (600, 800), (600, 1200), (1000, 1000), (1000, 1500)])
    rules = kit(end_max=reach, gap_max=gap).anchors
    length = rng.randrange(1500, 9001, RASTER)
    first = rng.choice([150, 150, reach - RASTER, reach])
    stretches = [(PAST, first)]
    for _ in range(rng.choice([0, 1, 2, 4])):
        start = rng.randrange(stretches[-1][1], length, RASTER)
        end = start + rng.randrange(RASTER, gap + 1, RASTER)
        if end <= length - 150:
            stretches.append((start, end))
    stretches.append((length - 150, length - PAST))
    free = [
        at
        for at in range(first, length - 149, RASTER)
        if not any(start < at < end for start, end in stretches)
    ]
    anchors = sorted(rng.sample(free, min(len(free), rng.choice([0, 1, 2, 3, 5]))))
    return part(length, anchors, stretches), rules


@pytest.mark.parametrize("first", range(0, 300, 100))
def test_as_few_as_the_integer_program(first: int) -> None:
    for seed in range(first, first + 100):
        one, rules = random_part(random.Random(seed))
        found = additions(one, rules, GRID)
        assert len(found) == integer_program(one, rules), (seed, one, rules)
        assert covered(one, sorted((*one.anchors, *found)), rules)


@pytest.mark.parametrize("first", range(0, 1000, 500))
def test_added_anchors_stand_where_they_may(first: int) -> None:
    """Not in a stretch, and not at a corner that a stretch begins or ends at."""
    for seed in range(first, first + 500):
        one, rules = random_part(random.Random(seed))
        for at in additions(one, rules, GRID):
            assert not any(start < at < end for start, end in one.no_anchor), (seed, one)
            assert one.start < at < one.end, (seed, one)


@pytest.mark.parametrize("first", range(0, 400, 200))
def test_covered_is_what_the_rule_says(first: int) -> None:
    for seed in range(first, first + 200):
        rng = random.Random(seed)
        one, rules = random_part(rng)
        places = {Decimal(rng.randrange(0, int(one.end), 50)) for _ in range(rng.randint(0, 12))}
        positions = sorted(places)
        # Naively: no point of the form is without a bracket on either hand within what is allowed.
        walls = [one.start - rules.gap_max + rules.end_max, *positions]
        walls.append(one.end + rules.gap_max - rules.end_max)
        steps = [after - before for before, after in itertools.pairwise(walls)]
        assert covered(one, positions, rules) == (
            bool(positions) and all(step <= rules.gap_max for step in steps)
        )


def test_a_reach_that_just_does_is_enough() -> None:
    assert covered(part(3500, [1000, 2500], []), (Decimal(1000), Decimal(2500)), RULES)
    assert not covered(part(3500, [], []), (Decimal("1000.5"), Decimal(2500)), RULES)
    assert not covered(part(3500, [], []), (Decimal("999.5"), Decimal(2500)), RULES)
    assert not covered(part(3500, [], []), (Decimal(1000), Decimal("2499.5")), RULES)


def test_a_part_is_judged_from_its_own_ends() -> None:
    """As beside a prop: 2000 to 5500 with brackets at its ends' reach, and just past it."""
    one = Part(start=Decimal(2000), end=Decimal(5500), anchors=(), no_anchor=())
    assert covered(one, (Decimal(3000), Decimal(4500)), RULES)
    assert not covered(one, (Decimal("3000.5"), Decimal(4500)), RULES)
    assert not covered(one, (Decimal(3000), Decimal("4499.5")), RULES)
    assert additions(one, RULES, GRID) == (3000, 4500)


def test_nothing_is_added_where_there_is_cover() -> None:
    assert additions(part(3500, [1000, 2500], [(PAST, 150), (3350, 3501)]), RULES, GRID) == ()


def test_the_only_place_there_is_is_taken() -> None:
    """Free from 1000 on: a first bracket anywhere else is too far from the corner or in the stretch."""
    one = part(5000, [1500, 2500, 3500, 4500], [(PAST, 1000), (4850, 5001)])
    assert additions(one, RULES, GRID) == (Decimal(1000),)
    turned = part(5000, [500, 1500, 2500, 3500], [(PAST, 150), (4000, 5001)])
    assert additions(turned, RULES, GRID) == (Decimal(4000),)


def test_added_anchors_stand_in_the_middle_of_their_room_on_a_round_measure() -> None:
    """By hand. Four are needed: as far along as can be 1000, 2500, 4000, 5500; as near, 500 less each.

    The first goes midway, to 750. It then reaches to 2250, and the second goes midway from 2000 to there,
    to 2125; the third has 3500 to 3625, the fourth 5000 to 5060, and each is put on whole 5 mm.
    """
    assert additions(part(6000, [], []), RULES, GRID) == (750, 2125, 3560, 5030)


def test_a_round_measure_counts_from_the_panel_the_anchors_are_cast_in() -> None:
    """Try the same room where that panel begins 2 before the new one: whole 5 mm from there."""
    assert additions(part(6000, [], []), RULES, Grid(Decimal(-2), Decimal(5))) == (
        748, 2123, 3563, 5033,
    )  # fmt: skip
    # Midway is 754; from -4 the round measures beside it are 751 and 756.
    assert additions(part(6008, [], []), RULES, Grid(Decimal(-4), Decimal(5)))[0] == 756


@pytest.mark.parametrize(
    ("origin", "places"),
    [
        (0, ("1000", "2500", "4000", "5500")),
        (4, ("999", "2499", "3999", "5499")),
        (3, ("999.5", "2499.25", "3999.125", "5499.0625")),
    ],
)
def test_a_round_measure_is_taken_up_to_the_ends_of_the_room_and_not_past_them(
    origin: int, places: tuple[str, ...]
) -> None:
    """Each has a room of 1 mm, from 999, 2499, 3999 and 5499 on; without a round one in it, midway."""
    found = additions(part(6499, [], []), RULES, Grid(Decimal(origin), Decimal(5)))
    assert found == tuple(map(Decimal, places))


def test_an_anchor_that_stands_further_on_gives_an_added_one_no_more_room() -> None:
    """By hand: one stands at 1250. The first may be at 150 to 400, the second at 450 to 275 + 800."""
    rules = kit(end_max=400, gap_max=800).anchors
    one = part(1500, [1250], [(PAST, 150), (1350, 1501)])
    assert additions(one, rules, GRID) == (275, 760)


def test_a_part_that_no_anchors_can_cover_is_refused_and_not_searched_for_ever() -> None:
    """Refuse what is too long to span: it needs a prop and is taken out before."""
    with pytest.raises(ValueError, match="no anchor can follow 500 within 1500"):
        additions(part(5000, [], [(500, 2500)]), RULES, GRID)
