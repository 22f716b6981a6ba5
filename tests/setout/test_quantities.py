"""Rule 11 against textbook figures, shapely and a 3-D route."""

import random
from decimal import Decimal
from fractions import Fraction
from math import pi, sqrt

import pytest
from scipy.integrate import quad
from shapely import Polygon, box
from shapely.ops import unary_union

from pourdeck.plan.records import Opening
from pourdeck.setout.panel import chamfer_volume, quantities
from tests.campaign import some

from .builders import opening, panel

NONE = Decimal(0)
DENSITY = Decimal(2400)


def test_an_l_of_two_rectangles() -> None:
    """7 × 2 in below, 3 × 6 in above it at the left; centroid 2.375, 3.25 in.

    Baker and Haynes, Engineering Statics: Open and Interactive, chapter 7.
    """
    inch = Decimal("25.4")
    notch = opening("N", 3 * inch, 2 * inch, 4 * inch, 6 * inch)
    found = quantities(panel(7 * inch, 8 * inch, openings=(notch,)), NONE, None)
    assert found.centroid == (Decimal("2.375") * inch, Decimal("3.25") * inch)
    assert found.area == 32 * inch * inch / 10**6
    assert found.mass is None


FOOT = Decimal("304.8")
YARD = Decimal("0.764554857984")
"""m³ in 1 yd³, of 1 yd = 0.9144 m: NIST SP 811 (2008), B.8."""


@pytest.mark.parametrize(
    ("width", "height", "inches"), [(9, 9, 4), (18, 18, 1), (12, 27, 8), (20, 30, Decimal("7.25"))]
)
def test_yards_of_feet_by_feet_by_inches(width: int, height: int, inches: Decimal) -> None:
    """Length × width in feet × thickness in inches, over 324, is cubic yards: common practice, no source.

    So a yard covers 81 ft² four inches thick.
    """
    slab = panel(width * FOOT, height * FOOT, thickness=inches * FOOT / 12)
    found = quantities(slab, NONE, None)
    assert float(found.volume / YARD) == pytest.approx(width * height * float(inches) / 324)


@pytest.mark.parametrize(
    ("inches", "pounds"), [("6", 75), ("7.25", 90.625), ("8", 100), ("12", 150)]
)
def test_pounds_in_a_square_foot_of_wall(inches: str, pounds: float) -> None:
    """Concrete at 150 lb/ft³ is 12.5 lb/ft² for each inch: common practice, no source.

    1 lb/ft³ = 16.01846 kg/m³, 1 lb = 0.45359237 kg: NIST SP 811 (2008), B.8.
    """
    slab = panel(20 * FOOT, 30 * FOOT, thickness=Decimal(inches) * FOOT / 12)
    found = quantities(slab, NONE, 150 * Decimal("16.01846"))
    assert found.mass is not None
    assert float(found.mass) / 0.45359237 / 600 == pytest.approx(pounds, rel=1e-6)


def strips(low: float, high: float, number: int) -> list[tuple[float, float, float]]:
    """Start, middle and width of equal strips."""
    width = (high - low) / number
    return [(low + n * width, low + (n + 0.5) * width, width) for n in range(number)]


def test_a_rectangle_a_triangle_and_a_hole() -> None:
    """5 × 4 cm, a right triangle of 6 × 4 cm on its right, a hole of radius 1.5 cm at (3, 2).

    Same book and chapter: A 24.93 cm², x̄ 4.52. It prints ȳ as 1.692 where its own Qx 41.86 over A
    makes 1.679. The sloping and the round edge are made of narrow openings.
    """
    holes: list[Opening] = []
    for start, middle, wide in strips(5, 11, 300):
        foot = 4 * (11 - middle) / 6
        holes.append(opening("T", Decimal(start), Decimal(foot), Decimal(wide), Decimal(4 - foot)))
    for start, middle, wide in strips(1.5, 4.5, 600):
        half = sqrt(1.5**2 - (middle - 3) ** 2)
        holes.append(
            opening("H", Decimal(start), Decimal(2 - half), Decimal(wide), Decimal(2 * half))
        )
    found = quantities(panel(11, 4, openings=tuple(holes)), NONE, None)
    area = float(found.area) * 1e6
    assert found.centroid is not None
    x, y = map(float, found.centroid)
    assert area == pytest.approx(20 + 12 - pi * 1.5**2, abs=1e-3)
    assert (round(area, 2), round(x, 2), round(y, 3)) == (24.93, 4.52, 1.679)
    assert abs(y - 1.692) > 0.01
    assert x * area == pytest.approx(112.8, abs=0.05)
    assert y * area == pytest.approx(41.86, abs=0.005)


@pytest.mark.parametrize(
    ("width", "height", "thickness", "chamfer"),
    [
        (7200, 8700, 150, 15),
        ("6900.5", "800.5", 125, 20),
        (1000, 1000, 200, "12.5"),
        (40, 50, 30, 15),
    ],
)
def test_the_body_by_its_cross_sections(
    width: str | int, height: str | int, thickness: str | int, chamfer: str | int
) -> None:
    """The section at a depth z under either face is smaller by c − z on every side.

    Exactly by the prismatoid formula, h(A0 + 4Am + A1)/6, and numerically by scipy.integrate.quad.
    """
    w, h, t, c = (Fraction(Decimal(value)) for value in (width, height, thickness, chamfer))

    def section(z: Fraction | float) -> Fraction | float:
        in_by = max(c - z, z - (t - c), 0)
        return (w - 2 * in_by) * (h - 2 * in_by)

    slant = c * (section(Fraction(0)) + 4 * section(c / 2) + section(c)) / 6
    exact = 2 * slant + (t - 2 * c) * w * h
    body = quantities(panel(width, height, thickness), Decimal(chamfer), None).volume * 10**9
    assert abs(Fraction(body) - exact) < Fraction(1, 10**9)
    lost = Fraction(chamfer_volume(Decimal(width), Decimal(height), Decimal(chamfer)))
    assert abs(w * h * t - lost - exact) < Fraction(1, 10**9)
    numeric, _ = quad(lambda z: float(section(z)), 0, float(t), points=[float(c), float(t - c)])
    assert float(body) == pytest.approx(numeric, rel=1e-9)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(40)))
def test_area_centroid_and_volume_against_shapely(seed: int) -> None:
    """shapely 2 (GEOS): the plan with its openings taken out, as cast."""
    rng = random.Random(seed)
    width, height = (Decimal(rng.randint(8000, 26000)) / 2 for _ in range(2))
    # one opening in each cell of a raster, so that they do not overlap
    cells = rng.sample([(i, j) for i in range(3) for j in range(3)], rng.randint(0, 5))
    holes = []
    for i, j in cells:
        x0, y0 = width / 3 * i, height / 3 * j
        holes.append(
            opening(
                f"O{i}{j}",
                (x0 + Decimal(rng.randint(0, 200))).quantize(Decimal("0.5")),
                (y0 + Decimal(rng.randint(0, 200))).quantize(Decimal("0.5")),
                Decimal(rng.randint(200, 1600)) / 2,
                Decimal(rng.randint(200, 1600)) / 2,
            )
        )
    mirrored = rng.random() < 0.5
    one = panel(
        width, height, 150, openings=tuple(holes), drawn_from="outside" if mirrored else "inside"
    )
    plan = Polygon(box(0, 0, float(width), float(height)).exterior)
    gone = []
    for each in holes:
        x = float(width - each.x - each.width if mirrored else each.x)
        gone.append(box(x, float(each.y), x + float(each.width), float(each.y + each.height)))
    left = plan.difference(unary_union(gone))
    found = quantities(one, Decimal(15), DENSITY)
    assert float(found.area) == pytest.approx(left.area / 1e6, rel=1e-9)
    assert found.centroid is not None
    assert [float(value) for value in found.centroid] == pytest.approx(
        [left.centroid.x, left.centroid.y], rel=1e-9
    )
    bevels = float(2 * (width + height) * 225 - Decimal(9000))
    assert float(found.volume) == pytest.approx((left.area * 150 - bevels) / 1e9, rel=1e-9)
    assert found.mass == found.volume * DENSITY


def test_a_mirrored_panel_leans_the_other_way() -> None:
    door = opening("D", 900, 0, 1000, 2100)
    drawn = quantities(panel(openings=(door,)), NONE, None)
    cast = quantities(panel(openings=(door,), drawn_from="outside"), NONE, None)
    assert drawn.centroid is not None
    assert cast.centroid is not None
    assert drawn.centroid[0] + cast.centroid[0] == pytest.approx(
        Decimal(7200), abs=Decimal("1e-20")
    )
    assert drawn.centroid[1] == cast.centroid[1]
    assert drawn.centroid[0] > 3600
