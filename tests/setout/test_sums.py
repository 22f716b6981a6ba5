"""Every sum gives the number of the set-out it stands behind, and its inputs lead to it."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import SIDES, CastIn, Job
from pourdeck.setout import sums
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut, Sum
from tests.setout.builders import in_edge, job, mm, opening, panel, pile


def both_ways() -> tuple[Job, tuple[SetOut, ...]]:
    """A plain panel with an opening, a smaller mirrored one on it, and one more on top."""
    lifter = CastIn(name="L1", kind="lifter", x=mm(1800), y=mm(3200))
    plan = job(
        pile(
            panel(6000, 5000, mark="P1", openings=(opening("D1", 900, 0, 1000, 2100),)),
            panel(5700, 4900, mark="P2", drawn_from="outside", castins=(lifter, in_edge("E1", "head", 700)),
                  openings=(opening("V1", 500, 1500, 1200, 800),)),
            panel(5000, 4900, mark="P3"),
        )
    )  # fmt: skip
    return plan, set_out_stack(plan, plan.stacks[0], {})


def value(one: Sum, name: str) -> Decimal:
    found = next(given for given in one.inputs if given.name.startswith(name))
    assert isinstance(found.value, Decimal)
    return found.value


def test_sizes_to_the_face_line_and_to_the_arris() -> None:
    _, (first, *_) = both_ways()
    assert sums.size_sum(first, "width").result == 6000
    arris = sums.arris_size_sum(first, "height")
    assert arris.result == value(arris, "height") - 2 * value(arris, "chamfer")


def test_a_mirrored_opening_is_turned_with_its_own_width() -> None:
    """The rule for mirroring: x_cast = width − x − feature width; y never changes."""
    _, (_, second, _) = both_ways()
    window = second.openings[0]
    across = sums.opening_sum(second, window, 0)
    assert across.result == window.x == 5700 - 500 - 1200
    assert value(across, "width of P2") - value(across, "x of V1") - value(
        across, "width of V1"
    ) == (across.result)
    assert across.worked == "5700 − 500 − 1200"
    assert sums.opening_sum(second, window, 1).result == window.y == 1500


def test_a_cast_in_is_turned_about_its_centre_and_one_in_an_edge_is_not() -> None:
    _, (_, second, _) = both_ways()
    lifter, in_head = second.castins
    across = sums.castin_sum(second, lifter, 0)
    assert across is not None
    assert across.result == lifter.x == 5700 - 1800
    along = sums.castin_sum(second, in_head)
    assert along is not None
    assert along.result == 700
    assert sums.castin_sum(second, in_head, 1) == along


def test_an_unmirrored_feature_is_where_it_is_drawn() -> None:
    _, (first, *_) = both_ways()
    across = sums.opening_sum(first, first.openings[0], 0)
    assert across.result == value(across, "x of D1") == 900


@pytest.mark.parametrize("side", SIDES)
def test_anchors_are_those_of_the_set_out(side: str) -> None:
    plan, setouts = both_ways()
    for one in setouts:
        for along, opened in (
            (one.anchors[side], sums.anchors_sum(one, side, plan)),  # type: ignore[arg-type, index]
            (one.extra_anchors[side], sums.extra_anchors_sum(one, side, plan)),  # type: ignore[arg-type, index]
        ):
            listed = ", ".join(f"{at:f}".rstrip("0").rstrip(".") if "." in f"{at:f}" else f"{at:f}"
                               for at in along)  # fmt: skip
            assert opened.result == (listed or "none")


def test_fill_is_width_by_height() -> None:
    _, (_, second, _) = both_ways()
    assert second.fill
    for one in second.fill:
        opened = sums.fill_sum(second, one)
        assert opened.result == value(opened, "width") * value(opened, "height") / 10**6


@pytest.mark.parametrize("axis", [0, 1])
def test_the_centroid_is_the_balance_of_its_inputs(axis: int) -> None:
    _, (first, *_) = both_ways()
    opened = sums.centroid_sum(first, axis)
    assert opened is not None
    middles = [given.value for given in opened.inputs]
    areas = [Decimal(30), -Decimal("2.1")]
    balance = sum(a * m for a, m in zip(areas, middles, strict=True)) / sum(areas)  # type: ignore[operator]
    assert opened.result == pytest.approx(balance)


def test_form_depth_is_the_thickness_where_the_kit_has_it() -> None:
    plan, (first, *_) = both_ways()
    assert sums.form_depth_sum(first, plan).result == 150


def test_the_first_panel_lacks_nothing_below() -> None:
    plan, (first, second, _) = both_ways()
    assert sums.missing_sum(first, "base", plan) is None
    assert sums.measured_below_sum(first) is None
    opened = sums.missing_sum(second, "base", plan)
    assert opened is not None
    assert opened.result == "none"


def test_the_surface_below_is_the_bed_and_what_lies_on_it() -> None:
    plan, (_, second, _) = both_ways()
    opened = sums.height_below_sum(second, plan.stacks[0])
    bed, *under = (one.value for one in opened.inputs)
    assert opened.result == bed + sum(under) / 1000  # type: ignore[arg-type, operator, type-var]
