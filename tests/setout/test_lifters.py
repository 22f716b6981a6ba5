"""Lifters about the centroid: plain statics."""

from decimal import Decimal

import pytest
from attrs import evolve

from pourdeck.plan.records import CastIn, LiftLimit, Limits, Opening
from pourdeck.setout.lifters import factored_mass, leading_edge, lifters, shares_differ
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut

from .builders import job, panel, pile


def castin(name: str, x: int, y: int, kind: str = "lifter") -> CastIn:
    return CastIn(name=name, kind=kind, x=Decimal(x), y=Decimal(y))  # type: ignore[arg-type]


def set_out(**more: object) -> SetOut:
    stack = pile(panel(5000, 8000, **more))
    return set_out_stack(job(stack), stack, {})[0]


def test_four_lifters_about_the_middle() -> None:
    four = tuple(
        castin(f"L{n}", x, y)
        for n, (x, y) in enumerate([(1000, 2000), (4000, 2000), (1000, 6000), (4000, 6000)])
    )
    found = lifters(set_out(castins=four))
    assert (found.number, found.centre, found.eccentricity) == (4, (2500, 4000), (0, 0))


def test_about_a_panel_with_an_opening() -> None:
    """A plate 5 × 8 less 2.5 × 5 centred at (3.25, 4): centroid (2.159, 4), a homework answer published on
    gauthmath.com, worked out again; here in metres. Lifters at 2.5: 0.341 to the right of it.
    """
    opening = Opening(
        name="V1", x=Decimal(2000), y=Decimal(1500), width=Decimal(2500), height=Decimal(5000)
    )
    two = (castin("L1", 1000, 6000), castin("L2", 4000, 6000))
    found = lifters(set_out(castins=two, openings=(opening,)))
    assert found.eccentricity is not None
    assert float(found.eccentricity[0]) == pytest.approx(2500 - 2159, abs=0.5)
    assert float(found.eccentricity[1]) == 2000


def test_what_is_in_an_edge_or_no_lifter_does_not_count() -> None:
    edge = CastIn(name="E1", kind="lifter", edge="head", at=Decimal(1500))
    found = lifters(set_out(castins=(edge, castin("B1", 100, 100, "brace"))))
    assert (found.number, found.centre, found.eccentricity, found.share) == (0, None, None, None)


def test_each_takes_its_share() -> None:
    found = lifters(set_out(castins=(castin("L1", 1000, 4000), castin("L2", 4000, 4000))))
    mass = set_out().quantities.mass
    assert (found.share is None) == (mass is None)
    if mass is not None:
        assert found.share == mass / 2


@pytest.mark.parametrize(
    ("places", "differ"),
    [(((1000, 3000), (4000, 3000), (1000, 5000), (4000, 5000)), False),
     (((1000, 3000), (4000, 3000), (1000, 5400), (4000, 5400)), False),
     (((1000, 3000), (4000, 3000), (1000, 5600), (4000, 5600)), True),
     (((1500, 4000), (4200, 4000)), True),
     (((1000, 4800), (4000, 4800)), False), (((1000, 1000),), False), ((), False)],
)  # fmt: skip
def test_shares_differ_from_a_tenth_of_the_spread_on(
    places: tuple[tuple[int, int], ...], differ: bool
) -> None:
    """Centroid at 2500, 4000. By statics lifters that are all in a row across share equally."""
    found = set_out(castins=tuple(castin(f"L{n}", *at) for n, at in enumerate(places)))
    assert shares_differ(lifters(found)) is differ


def test_what_hangs_leads_with_the_edge_its_lifters_are_nearer_to() -> None:
    """Plain statics: the centre of gravity comes to hang under the centre of the lifters."""
    for at, edge in (
        ((2500, 4500), "head"),
        ((2500, 3900), "base"),
        ((2600, 4000), "right"),
        ((2100, 4300), "left"),
        ((2500, 4000), None),
        ((2520, 4099), None),
    ):
        assert leading_edge(lifters(set_out(castins=(castin("L1", *at),)))) == edge
    edge_only = CastIn(name="E1", kind="lifter", edge="head", at=Decimal(1500))
    assert leading_edge(lifters(set_out(castins=(edge_only,)))) == "head"
    other = CastIn(name="E2", kind="lifter", edge="left", at=Decimal(1500))
    assert leading_edge(lifters(set_out(castins=(edge_only, other)))) is None
    assert leading_edge(lifters(set_out())) is None


def limited(most: str, units: str = "metric", **more: object) -> list[str]:
    stack = pile(panel(5000, 8000, **more))
    limits = Limits(lift=LiftLimit(eccentricity=Decimal(most)), sources={"lift": "LD-1"})
    (found,) = set_out_stack(evolve(job(stack), limits=limits, units=units), stack, {})
    return [one.message for one in found.findings if one.code == "eccentricity"]


@pytest.mark.parametrize(
    ("x", "y", "says"),
    [
        (2600, 4000, []),
        (2500, 4100, []),
        (2601, 4000, ["101 mm towards the right"]),
        (2399, 4101, ["101 mm towards the left", "101 mm towards the head"]),
        (2500, 3000, ["1000 mm towards the base"]),
    ],
)
def test_more_than_the_limit_in_either_axis_is_for_the_engineer(
    x: int, y: int, says: list[str]
) -> None:
    """Limits themselves pass."""
    found = limited("100", castins=(castin("L1", x, y),))
    assert len(found) == bool(says)
    for part in (
        *says,
        *(["more than 100 mm, LD-1", "must check the lifting design"] if says else []),
    ):
        assert part in found[0]
    assert ("right" in "".join(found)) is any("right" in part for part in says)


def test_it_is_said_in_feet_and_inches_too() -> None:
    (said,) = limited("101.6", "imperial", castins=(castin("L1", 2500, 4127),))
    assert '5" towards the head' in said
    assert 'more than 4"' in said


def test_without_a_limit_nothing_is_judged() -> None:
    stack = pile(panel(5000, 8000, castins=(castin("L1", 100, 100),)))
    (found,) = set_out_stack(job(stack), stack, {})
    assert not any(one.code == "eccentricity" for one in found.findings)


def test_the_factor_is_that_of_the_lifting_design_or_none() -> None:
    found = set_out()
    mass = found.quantities.mass
    assert factored_mass(found, None) is None
    assert factored_mass(found, Decimal("1.5")) == (None if mass is None else mass * Decimal("1.5"))
