"""Openings and cast-ins as cast: x_cast = width − x − feature width."""

import random
from decimal import Decimal

import pytest
from attrs import evolve
from shapely import box
from shapely.affinity import scale
from shapely.ops import unary_union

from pourdeck.plan.records import CastIn, Face, Opening, Panel
from pourdeck.setout.place import castins_as_cast, openings_as_cast
from tests.campaign import some

from .builders import in_edge, opening, panel
from .random_joints import random_panel

BOLT = CastIn(name="B1", kind="brace", x=Decimal(1800), y=Decimal(6200))


def test_an_opening_and_a_cast_in_worked_by_hand() -> None:
    """D1 at 900 and L1 at 1800 of 7200 are cast at 5300 and 5400."""
    one = panel(
        openings=(opening("D1", 900, 0, 1000, 2100),),
        castins=(BOLT, in_edge("E1", "head", 1500)),
        drawn_from="outside",
        face_up="inside",
    )
    assert [(each.x, each.y, each.width, each.height) for each in openings_as_cast(one)] == [
        (5300, 0, 1000, 2100)
    ]
    assert [(each.x, each.y) for each in castins_as_cast(one)] == [(5400, 6200), (None, None)]


@pytest.mark.parametrize(
    ("drawn", "up", "mirrored"),
    [
        ("inside", "inside", False),
        ("outside", "outside", False),
        ("inside", "outside", True),
        ("outside", "inside", True),
    ],
)
def test_when_it_is_mirrored(drawn: Face, up: Face, mirrored: bool) -> None:
    one = panel(castins=(BOLT,), drawn_from=drawn, face_up=up)
    assert one.mirrored is mirrored
    assert castins_as_cast(one)[0].x == (5400 if mirrored else 1800)


def test_a_cast_in_in_an_edge_is_where_it_says() -> None:
    edges = (in_edge("E1", "head", 1500), in_edge("E2", "left", 700))
    one = panel(castins=edges, drawn_from="outside")
    assert [(each.edge, each.at) for each in castins_as_cast(one)] == [
        ("head", 1500),
        ("left", 700),
    ]


def redrawn(one: Panel) -> Panel:
    """The panel as a drawing of it as cast would give it, seen from the other face again."""
    return evolve(
        one,
        openings=tuple(
            Opening(name=each.name, x=each.x, y=each.y, width=each.width, height=each.height)
            for each in openings_as_cast(one)
        ),
        castins=tuple(
            CastIn(name=each.name, kind=each.kind, x=each.x, y=each.y, edge=each.edge, at=each.at)
            for each in castins_as_cast(one)
        ),
    )


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(50)))
def test_a_mirrored_mirror_is_the_panel(seed: int) -> None:
    rng = random.Random(seed)
    drawn = random_panel(rng, Decimal(rng.randint(4000, 16000)) / 2, Decimal(6000))
    one = evolve(drawn, drawn_from="outside", face_up="inside", castins=(*drawn.castins, BOLT))
    assert redrawn(redrawn(one)) == one
    plain = evolve(one, drawn_from="inside")
    assert redrawn(plain) == plain


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(30)))
def test_against_shapely(seed: int) -> None:
    """shapely 2 (GEOS): the drawing turned over about the middle of its width."""
    rng = random.Random(seed)
    drawn = random_panel(rng, Decimal(rng.randint(4000, 16000)) / 2, Decimal(6000))
    one = evolve(drawn, drawn_from="outside", face_up="inside")
    middle = (float(one.width) / 2, 0)

    def region(openings: object) -> object:
        return unary_union(
            [
                box(float(o.x), float(o.y), float(o.x + o.width), float(o.y + o.height))
                for o in openings  # type: ignore[attr-defined]
            ]
        )

    turned = scale(region(one.openings), -1, 1, origin=middle)
    cast = region(openings_as_cast(one))
    assert turned.symmetric_difference(cast).area == pytest.approx(0, abs=1e-6)
