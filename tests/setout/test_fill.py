"""Rule 8 against shapely 2 (GEOS)."""

import random
from decimal import Decimal
from itertools import combinations

import pytest
from attrs import evolve
from shapely import Point, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from pourdeck.plan.records import Panel, Stack
from pourdeck.setout.place import fill
from pourdeck.setout.record import Fill
from tests.campaign import some

from .builders import opening, panel, pile, positions


def filled(stack: Stack) -> tuple[Fill, ...]:
    return fill(stack.panels, positions(stack))


def random_stack(seed: int) -> Stack:
    """Up to five panels, openings over openings, mirrored or not; some in each other (a plan fault)."""
    rng = random.Random(seed)

    def half(low: int, high: int) -> Decimal:
        return Decimal(rng.randint(2 * low, 2 * high)) / 2

    panels = []
    width, height = half(3000, 8000), half(3000, 8000)
    for _ in range(rng.randint(2, 5)):
        openings = []
        for number in range(rng.choice([0, 1, 2, 2, 3])):
            across, up = half(300, 2500), half(300, 2500)
            x, y = half(0, int(width - across)), half(0, int(height - up))
            edge = rng.choice(["", "", "x", "y", "far"])
            x = {"x": Decimal(0), "far": width - across}.get(edge, x)
            y = Decimal(0) if edge == "y" else y
            openings.append(opening(f"O{number}", x, y, across, up))
        if openings and panels and panels[-1].openings and rng.random() < 0.4:
            # the very same window over the one below, as on a facade
            same = panels[-1].openings[0]
            openings[0] = evolve(same, x=min(same.x, width - same.width))
        panels.append(
            panel(
                width,
                height,
                rng.choice([125, 150, 175]),
                openings=tuple(openings),
                drawn_from=rng.choice(["inside", "outside"]),
                align=rng.choice(["base-left", "centre", "head-right"]),
                shift=rng.choice([(0, 0), ("2.5", 40)]),
            )
        )
        width -= rng.choice([0, 0, 100, 300])
        height -= rng.choice([0, 0, 50, 300])
    return pile(*panels)


def holes(one: Panel, at: tuple[Decimal, Decimal]) -> BaseGeometry:
    """Its openings in stack coordinates, as cast."""
    found = []
    for each in one.openings:
        x = each.x if one.drawn_from == one.face_up else one.width - each.x - each.width
        x0, y0 = float(at[0] + x), float(at[1] + each.y)
        found.append(box(x0, y0, x0 + float(each.width), y0 + float(each.height)))
    return unary_union(found)


def solid(one: Panel, at: tuple[Decimal, Decimal]) -> BaseGeometry:
    x, y = float(at[0]), float(at[1])
    return box(x, y, x + float(one.width), y + float(one.height)).difference(holes(one, at))


def rect(one: Fill) -> BaseGeometry:
    x, y = float(one.x_stack), float(one.y_stack)
    return box(x, y, x + float(one.width), y + float(one.height))


STACKS = [random_stack(seed) for seed in some(range(200))]


@pytest.mark.campaign
@pytest.mark.parametrize("first", range(0, len(STACKS), 50))
def test_total_area_is_that_of_the_intersection(first: int) -> None:
    """New concrete over the openings of the panel right below, and nothing twice."""
    for stack in STACKS[first : first + 50]:
        at = positions(stack)
        pieces = [rect(one) for one in filled(stack)]
        wanted = solid(stack.panels[-1], at[-1]).intersection(holes(stack.panels[-2], at[-2]))
        assert unary_union(pieces).symmetric_difference(wanted).area == pytest.approx(0, abs=1e-3)
        assert sum(piece.area for piece in pieces) == pytest.approx(wanted.area, abs=1e-3)
        for one, other in combinations(pieces, 2):
            assert one.intersection(other).area == pytest.approx(0, abs=1e-3)


@pytest.mark.campaign
@pytest.mark.parametrize("first", range(0, len(STACKS), 50))
def test_depth_by_going_down_at_sample_points(first: int) -> None:
    for stack in STACKS[first : first + 50]:
        at = positions(stack)
        rng = random.Random(1)
        open_at = [holes(one, where) for one, where in zip(stack.panels, at, strict=True)]
        for one in filled(stack):
            piece = rect(one)
            x0, y0, x1, y1 = piece.bounds
            for _ in range(4):
                spot = Point(rng.uniform(x0, x1), rng.uniform(y0, y1))
                depth = Decimal(0)
                for index in range(len(stack.panels) - 2, -1, -1):
                    if not open_at[index].contains(spot):
                        break
                    depth += stack.panels[index].thickness
                assert one.depth == depth


def test_the_sample_goes_deep() -> None:
    depths = [one.depth for stack in STACKS for one in filled(stack)]
    assert max(depths) > 300
    assert len(set(depths)) > 5


def test_own_coordinates_and_those_of_the_stack() -> None:
    lower = panel(7200, 8700, openings=(opening("D", 1000, 0, 900, 2100),))
    stack = pile(lower, panel(6900, 8500, align="centre"))
    (only,) = filled(stack)
    assert (only.x_stack, only.y_stack) == (1000, 100)
    assert (only.x, only.y) == (850, 0)
    assert (only.width, only.height, only.depth) == (900, 2000, 150)
    assert (only.opening, only.mark) == ("D", "P1")


def test_nothing_under_the_first_panel() -> None:
    assert filled(pile(panel(openings=(opening("D", 0, 0, 900, 900),)))) == ()


def test_a_window_right_over_a_window_needs_nothing() -> None:
    window = opening("W", 1000, 1000, 900, 900)
    assert filled(pile(panel(openings=(window,)), panel(openings=(window,)))) == ()


def test_openings_that_only_touch_need_nothing() -> None:
    lower = panel(openings=(opening("W", 7000, 0, 200, 900),))
    assert filled(pile(lower, panel(7000, 8700))) == ()


def test_an_opening_two_below_counts_only_under_an_opening_right_below() -> None:
    window = opening("W", 1000, 1000, 900, 900)
    bottom, solid_panel = panel(openings=(window,)), panel()
    assert filled(pile(bottom, solid_panel, panel())) == ()


def test_stacked_openings_are_filled_in_steps() -> None:
    """A window of 900 over one of 600 in the same corner: 600 × 600 goes down two panels."""
    stack = pile(
        panel(thickness=175, openings=(opening("W", 1000, 1000, 600, 600),)),
        panel(thickness=150, openings=(opening("W", 1000, 1000, 900, 900),)),
        panel(),
    )
    areas: dict[Decimal, Decimal] = {}
    for one in filled(stack):
        areas[one.depth] = areas.get(one.depth, Decimal(0)) + one.width * one.height
    assert areas == {Decimal(325): Decimal(360000), Decimal(150): Decimal(450000)}
