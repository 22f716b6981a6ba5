"""Lifters about the centroid: plain statics."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import CastIn, Opening
from pourdeck.setout.lifters import lifters
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
