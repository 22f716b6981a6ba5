"""Rule 4, by Pythagoras."""

from decimal import Decimal
from math import floor

from pourdeck.setout.panel import diagonal, hypotenuse

from .builders import panel


def test_three_four_five() -> None:
    """Euclid, Elements I.47; the 3-4-5 of the trade: common practice, no source."""
    assert hypotenuse(Decimal(3000), Decimal(4000)) == 5000
    assert diagonal(panel(6000, 8000), Decimal(0)).face == 10000
    assert diagonal(panel(6030, 8030), Decimal(15)).arris == 10000


def test_nine_metres_by_four_and_a_half() -> None:
    """Worked example: 9.000 m × 4.500 m gives 10.062 m. Common practice, no source."""
    assert round(diagonal(panel(9000, 4500), Decimal(15)).face / 1000, 3) == Decimal("10.062")


def test_a_diagonal_worked_by_hand() -> None:
    """7200 by 8700: 11292.9 at the face line, 11250.6 at the arris, cut after the first decimal."""
    found = diagonal(panel(7200, 8700), Decimal(15))
    assert floor(found.face * 10) == 112929
    assert floor(found.arris * 10) == 112506


def test_it_is_not_rounded() -> None:
    found = diagonal(panel("7200.5", "8700.5"), Decimal(15))
    exact = Decimal("7200.5") ** 2 + Decimal("8700.5") ** 2
    assert abs(found.face**2 - exact) < Decimal("1e-18")


def test_arris_is_a_chamfer_less_at_every_end() -> None:
    found = diagonal(panel(7200, 8700), Decimal("12.5"))
    assert found.arris == hypotenuse(Decimal(7175), Decimal(8675))
