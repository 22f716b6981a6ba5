"""Rule 6: examples worked by hand, and against distances by shapely."""

import random
from decimal import Decimal

import pytest
from shapely import LineString, Point, box

from pourdeck.plan.records import SIDES, Side
from pourdeck.setout.anchors import anchors, hole_positions
from tests.campaign import some

from .builders import KIT, in_edge, kit, opening, panel
from .naive_joint import anchors_to_cast
from .random_joints import random_case, random_kit, random_panel


def at(*values: int | str) -> tuple[Decimal, ...]:
    return tuple(Decimal(value) for value in values)


def test_base_and_right_count_from_where_positions_start() -> None:
    one = panel(3600, 2600)
    assert anchors(one, "base", KIT) == at(500, 1500, 2500)
    assert anchors(one, "right", KIT) == at(500, 1500)


def test_head_and_left_count_from_the_other_end() -> None:
    """The run of the head starts at hr, that of the left at hl."""
    one = panel(3600, 2600)
    assert anchors(one, "head", KIT) == at(1100, 2100, 3100)
    assert anchors(one, "left", KIT) == at(1100, 2100)


def test_the_ends_of_a_side_are_kept_free_ends_included() -> None:
    """A hole exactly 150 from the far corner counts, one at 149.5 does not."""
    assert anchors(panel(2650, 9000), "base", KIT)[-1] == 2500
    assert anchors(panel("2649.5", 9000), "base", KIT)[-1] == 1500
    near = kit(first=100)
    assert anchors(panel(2650, 9000), "base", near)[0] == 1100


def test_an_opening_in_the_edge_keeps_its_distance_ends_included() -> None:
    door = panel(3600, 2600, openings=(opening("D", 650, 0, 700, 2100),))
    assert anchors(door, "base", KIT) == at(500, 1500, 2500)
    wider = panel(3600, 2600, openings=(opening("D", "649.5", 0, 700, 2100),))
    assert anchors(wider, "base", KIT) == at(1500, 2500)


def test_an_opening_that_does_not_break_the_edge_is_nothing_to_it() -> None:
    window = panel(3600, 2600, openings=(opening("W", 400, "0.5", 1200, 1000),))
    assert anchors(window, "base", KIT) == at(500, 1500, 2500)


def test_a_cast_in_of_another_edge_is_nothing_to_this_one() -> None:
    one = panel(3600, 2600, castins=(in_edge("E", "head", 1100), in_edge("F", "left", 500)))
    assert anchors(one, "base", KIT) == at(500, 1500, 2500)
    assert anchors(one, "head", KIT) == at(2100, 3100)
    assert anchors(one, "left", KIT) == at(1100, 2100)


def test_a_mirrored_panel_has_its_openings_on_the_other_side() -> None:
    drawn = panel(3600, 2600, openings=(opening("S", 0, 400, 900, 300),))
    seen = panel(3600, 2600, openings=drawn.openings, drawn_from="outside")
    assert anchors(drawn, "left", KIT) == at(1100, 2100)
    assert anchors(drawn, "right", KIT) == at(500, 1500)
    assert anchors(seen, "left", KIT) == at(1100, 2100)
    assert anchors(seen, "right", KIT) == at(1500)


def edge_line(width: float, height: float, side: Side) -> LineString:
    """Positions along base and head run from the left, along left and right from the base."""
    return {
        "base": LineString([(0, 0), (width, 0)]),
        "head": LineString([(0, height), (width, height)]),
        "left": LineString([(0, 0), (0, height)]),
        "right": LineString([(width, 0), (width, height)]),
    }[side]


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(60)))
def test_distances_agree_with_shapely(seed: int) -> None:
    """shapely 2 (GEOS): the part of the edge an opening takes away, and how far each hole is from it."""
    rng = random.Random(seed)
    held = random_kit(rng)
    one = random_panel(rng, Decimal(rng.randint(15, 90) * 100), Decimal(rng.randint(15, 90) * 100))
    width, height = float(one.width), float(one.height)
    clear = float(held.anchors.clear)
    for side in SIDES:
        line = edge_line(width, height, side)
        gone = []
        for hole in one.openings:
            x, y = float(hole.x), float(hole.y)
            if one.mirrored:
                x = width - x - float(hole.width)
            shared = box(x, y, x + float(hole.width), y + float(hole.height)).intersection(line)
            if shared.length > 0:
                gone.append(shared)
        gone += [
            line.interpolate(float(item.at))
            for item in one.castins
            if item.edge == side and item.at is not None
        ]
        kept = []
        for position in hole_positions(one, side, held):
            spot = Point(line.interpolate(float(position)))
            inside = any(part.length > 0 and part.distance(spot) == 0 for part in gone)
            apart = min((part.distance(spot) for part in gone), default=clear)
            # On the very end of an opening, with no clearance asked for, there is still concrete.
            if inside and clear == 0:
                inside = any(
                    part.length > 0
                    and part.boundary.distance(spot) > 0
                    and part.distance(spot) == 0
                    for part in gone
                )
            if apart >= clear and not inside:
                kept.append(position)
        assert anchors(one, side, held) == tuple(kept)


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_agrees_with_a_naive_reading(first: int) -> None:
    for seed in range(first, first + 50):
        case = random_case(seed, 300)
        for side in SIDES:
            expected = anchors_to_cast(case.below, side, case.job.kit)
            assert anchors(case.below, side, case.job.kit) == tuple(expected)
