"""Strength with age and warmth against tabulated values of the standard, and scipy's integral."""

import random
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import accumulate, pairwise
from math import exp

import numpy as np
import pytest
from scipy.integrate import quad

from pourdeck.pour.maturity import (
    MEAN_OVER,
    Cement,
    Gain,
    Reading,
    adjusted_days,
    factor,
    gain_of,
    reached_at,
)
from tests.campaign import some

START = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)


def at(days: float) -> datetime:
    return START + timedelta(days=days)


def beta(cement: Cement, days: float) -> float:
    """Of a mix so strong that a day gives it more than 8 MPa."""
    return (Gain(strength=90, cement=cement).estimate(days) + MEAN_OVER) / (90 + MEAN_OVER)


@pytest.mark.parametrize(
    ("days", "printed"),
    [
        (9, 0.8261668305),
        (27, 0.9954229681),
        (56, 1.0759707794),
        (365, 1.1981246270),
        (10, 0.84507490),
    ],
)
def test_gain_with_time(days: float, printed: float) -> None:
    """EN 1992-1-1, equation 3.2, s = 0.25, as tabulated by the tests of two public libraries of the code."""
    assert beta("N", days) == pytest.approx(printed, abs=1e-8)


@pytest.mark.parametrize("cement", ["R", "N", "S"])
def test_at_28_days_it_is_what_the_mix_says(cement: Cement) -> None:
    assert Gain(strength=40, cement=cement).estimate(28) == pytest.approx(40)


@pytest.mark.parametrize(
    ("days", "expected"),
    [(1, (0.424, 0.342, 0.196)), (2, (0.578, 0.504, 0.353)), (3, (0.663, 0.598, 0.458)),
     (5, (0.761, 0.711, 0.595)), (7, (0.819, 0.779, 0.684)), (14, (0.921, 0.902, 0.854)),
     (28, (1, 1, 1)), (90, (1.093, 1.117, 1.183))],
)  # fmt: skip
def test_each_class_of_cement(days: float, expected: tuple[float, float, float]) -> None:
    """Equation 3.2 worked out for s = 0.20, 0.25 and 0.38."""
    for cement, printed in zip(("R", "N", "S"), expected, strict=True):
        assert beta(cement, days) == pytest.approx(printed, abs=6e-4)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("days", "printed"), [(3, 0.60), (7, 0.78), (28, 1.00), (90, 1.12), (360, 1.20)]
)
def test_normal_cement_as_the_older_model_code_prints_it(days: float, printed: float) -> None:
    """CEB-FIP Model Code 1990, 2.1.6.1, the same equation with s = 0.25, to two decimals, from memory."""
    assert beta("N", days) == pytest.approx(printed, abs=5e-3)


@pytest.mark.parametrize(
    ("characteristic", "mean"),
    [(12, 20), (16, 24), (20, 28), (25, 33), (30, 38), (35, 43), (40, 48), (45, 53), (50, 58),
     (55, 63), (60, 68), (70, 78), (80, 88), (90, 98)],
)  # fmt: skip
@pytest.mark.parametrize("cement", ["R", "N", "S"])
def test_the_mean_of_each_strength_class(cement: Cement, characteristic: int, mean: int) -> None:
    """EN 1992-1-1, table 3.1, f_ck and f_cm, from memory; at 28 days the estimate is f_ck."""
    gain = Gain(strength=characteristic, cement=cement)
    assert gain.estimate(28) == pytest.approx(characteristic)
    # By equation 3.1 at 7 days: β of the class times the mean of the table.
    s = {"R": 0.20, "N": 0.25, "S": 0.38}[cement]
    assert gain.estimate(7) + MEAN_OVER == pytest.approx(mean * exp(s * (1 - 2)))


def test_slow_cement_at_28_days_of_a_mix_judged_later() -> None:
    """Concrete Centre, June 2021: just under 90 % of the strength at 56 days, about 85 % of that at 90."""
    assert 1 / beta("S", 56) == pytest.approx(0.895, abs=0.005)
    assert 1 / beta("S", 90) == pytest.approx(0.85, abs=0.01)


@pytest.mark.parametrize(("cement", "printed"), [("S", 0.77425), ("N", 0.84507), ("R", 0.87401)])
def test_each_class_at_ten_days(cement: Cement, printed: float) -> None:
    """fib Model Code 2010, equation 5.1-51 with the same s, as in the tests of a public library of codes."""
    assert beta(cement, 10) == pytest.approx(printed, abs=1e-5)


def test_slow_cement_overtakes_quick_one() -> None:
    """Concrete Centre, June 2021: at 300 days about 15 % stronger, equal at 28; the equation gives 13.3 %."""
    assert beta("S", 300) / beta("R", 300) == pytest.approx(1.133, abs=1e-3)


def test_an_estimate_is_not_below_nothing() -> None:
    gain = Gain(strength=40, cement="S")
    assert gain.estimate(0) == 0
    assert gain.estimate(-1) == 0
    assert gain.estimate(0.05) == 0


@pytest.mark.parametrize("cement", ["R", "N", "S"])
@pytest.mark.parametrize("strength", [5, 10, 25, 40, 44])
def test_the_age_of_a_strength_gives_that_strength(cement: Cement, strength: float) -> None:
    gain = Gain(strength=40, cement=cement)
    days = gain.days_until(strength)
    assert days is not None
    assert gain.estimate(days) == pytest.approx(strength)


def test_a_strength_the_mix_never_comes_to() -> None:
    """The curve ends at exp(s) times f_cm: 48 · 1.284 − 8 = 53.6 MPa for class N."""
    gain = Gain(strength=40, cement="N")
    assert gain.days_until(53.5) is not None
    assert gain.days_until(53.8) is None


def test_a_mix_that_says_too_little_has_no_curve() -> None:
    assert gain_of(None, "N") is None
    assert gain_of(Decimal(40), None) is None


# Warmth.


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [(0, 0.367), (5, 0.478), (10, 0.616), (15, 0.788), (20, 0.998125), (25, 1.255), (30, 1.566),
     (35, 1.941)],
)  # fmt: skip
def test_the_factor_of_a_temperature(celsius: float, expected: float) -> None:
    """EN 1992-1-1, B.10; at 20 °C it is not quite 1."""
    assert factor(celsius) == pytest.approx(expected, abs=5e-4)


def steps(temperatures: list[float], days: list[float]) -> list[Reading]:
    """A history in steps, each a straight line but for a second between two."""
    edges = [0.0, *accumulate(days)]
    second = timedelta(seconds=1)
    found = []
    for (start, end), temperature in zip(pairwise(edges), temperatures, strict=True):
        found += [
            Reading(at=at(start), temperature=temperature),
            Reading(at=at(end) - second, temperature=temperature),
        ]
    return found


def test_the_adjusted_age_of_a_history() -> None:
    """19, 20, 20, 21, 22, 23 °C for 1, 2, 1, 1, 1, 2 days: 8.37986781 days, by equation B.10 in the tests of
    a public library of the code.
    """
    history = steps([19, 20, 20, 21, 22, 23], [1, 2, 1, 1, 1, 2])
    assert adjusted_days(history, START, at(8)) == pytest.approx(8.37986781, abs=1e-4)


def test_nothing_read_is_twenty_degrees() -> None:
    assert adjusted_days([], START, at(10)) == pytest.approx(9.98125, abs=1e-5)


def test_the_first_reading_counts_before_it_and_the_last_one_after_it() -> None:
    one = [Reading(at=at(3), temperature=10)]
    assert adjusted_days(one, START, at(8)) == pytest.approx(8 * factor(10))


def test_another_datum_is_another_number_and_not_this_one() -> None:
    """Nurse and Saul, 28 days at 18 °C from −11 °C: 19,488 °C·h (study notes; textbooks round to 19,800)."""
    assert 28 * 24 * (18 + 11) == 19_488
    adjusted = adjusted_days([Reading(at=START, temperature=18)], START, at(28))
    assert adjusted == pytest.approx(28 * exp(13.65 - 4000 / 291))
    assert adjusted < 28


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(25)))
def test_any_history_agrees_with_an_integral_by_scipy(seed: int) -> None:
    """scipy.integrate.quad over numpy's straight lines; the promise is a part in a thousand."""
    chance = random.Random(seed)
    times = sorted(chance.uniform(-1, 6) for _ in range(chance.randint(1, 12)))
    readings = [Reading(at=at(one), temperature=chance.uniform(-2, 65)) for one in times]
    # Times are kept to a microsecond.
    days = [(one.at - START).total_seconds() / 86_400 for one in readings]
    values = [one.temperature for one in readings]
    end = chance.uniform(0.2, 8)

    def rate(day: float) -> float:
        return exp(13.65 - 4000 / (273 + float(np.interp(day, days, values))))

    inside = [day for day in days if 0 < day < end]
    expected, _ = quad(rate, 0, end, points=inside or None, limit=400)
    assert adjusted_days(readings, START, at(end)) == pytest.approx(expected, rel=1e-5)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(12)))
def test_when_an_age_is_reached(seed: int) -> None:
    chance = random.Random(seed)
    readings = [
        Reading(at=at(one), temperature=chance.uniform(5, 50))
        for one in sorted(chance.uniform(0, 4) for _ in range(chance.randint(0, 8)))
    ]
    days = chance.uniform(0.1, 9)
    when = reached_at(readings, START, days)
    assert adjusted_days(readings, START, when) == pytest.approx(days, abs=1e-4)
