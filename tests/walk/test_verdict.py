"""Judging a value: at, just inside and just outside its limits."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import Band, band_for
from pourdeck.walk.records import verdict, within

MM = Decimal("0.1")


def band(upto: int | None, plus: int, minus: int) -> Band:
    return Band(
        upto=None if upto is None else Decimal(upto), plus=Decimal(plus), minus=Decimal(minus)
    )


# DIN 18202:2013-04, table 1, plan dimensions of length and width, as quoted on betonkonkret.de:
# up to and including 1, 3, 6, 15, 30 m and above.
DIN_18202_PLAN = (
    band(1000, 10, 10),
    band(3000, 12, 12),
    band(6000, 16, 16),
    band(15000, 20, 20),
    band(30000, 24, 24),
    band(None, 30, 30),
)
# The same table, elevation dimensions.
DIN_18202_ELEVATION = (
    band(1000, 10, 10),
    band(3000, 16, 16),
    band(6000, 16, 16),
    band(15000, 20, 20),
    band(30000, 30, 30),
    band(None, 30, 30),
)


@pytest.mark.parametrize(
    ("nominal", "plan", "elevation"),
    [
        ("999.9", 10, 10), ("1000", 10, 10), ("1000.1", 12, 16),
        ("3000", 12, 16), ("3000.1", 16, 16),
        ("6000", 16, 16), ("6000.1", 20, 20),
        ("15000", 20, 20), ("15000.1", 24, 30),
        ("30000", 24, 30), ("30000.1", 30, 30),
    ],
)  # fmt: skip
def test_the_band_is_the_first_up_to_and_including(nominal: str, plan: int, elevation: int) -> None:
    for bands, allowed in ((DIN_18202_PLAN, plan), (DIN_18202_ELEVATION, elevation)):
        found = band_for(bands, Decimal(nominal))
        assert found is not None
        assert (found.plus, found.minus) == (allowed, allowed)


@pytest.mark.parametrize("nominal", [1000, 3000, 6000, 15000, 30000, 45000])
def test_limits_themselves_pass(nominal: int) -> None:
    size = Decimal(nominal)
    found = band_for(DIN_18202_PLAN, size)
    assert found is not None
    for value, expected in (
        (size + found.plus, "pass"),
        (size + found.plus - MM, "pass"),
        (size + found.plus + MM, "fail"),
        (size - found.minus, "pass"),
        (size - found.minus + MM, "pass"),
        (size - found.minus - MM, "fail"),
        (size, "pass"),
    ):
        assert verdict(value, size, found.plus, found.minus) == expected


def test_no_band_no_verdict() -> None:
    assert band_for((), Decimal(3000)) is None
    assert band_for(DIN_18202_PLAN[:2], Decimal("3000.1")) is None
    assert verdict(Decimal(3), Decimal(3000), None, None) == "recorded"
    assert verdict(Decimal(3), None, Decimal(1), Decimal(1)) == "recorded"


def test_one_sided_limits() -> None:
    assert verdict(Decimal(99), Decimal(10), None, Decimal(0)) == "pass"
    assert verdict(Decimal("9.9"), Decimal(10), None, Decimal(0)) == "fail"
    assert verdict(Decimal(10), Decimal(10), None, Decimal(0)) == "pass"
    assert verdict(Decimal(-99), Decimal(10), Decimal(0), None) == "pass"
    assert verdict(Decimal("10.1"), Decimal(10), Decimal(0), None) == "fail"


def test_a_range_without_an_aim() -> None:
    assert within(Decimal(5), Decimal(5), Decimal(35)) == "pass"
    assert within(Decimal(35), Decimal(5), Decimal(35)) == "pass"
    assert within(Decimal("4.9"), Decimal(5), Decimal(35)) == "fail"
    assert within(Decimal("35.1"), Decimal(5), Decimal(35)) == "fail"
    assert within(Decimal(5), None, None) == "recorded"
