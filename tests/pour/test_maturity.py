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
    measured_days,
    measured_until,
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
     (28, (1, 1, 1))],
)  # fmt: skip
def test_each_class_of_cement(days: float, expected: tuple[float, float, float]) -> None:
    """Equation 3.2 worked out for s = 0.20, 0.25 and 0.38."""
    for cement, printed in zip(("R", "N", "S"), expected, strict=True):
        assert beta(cement, days) == pytest.approx(printed, abs=6e-4)  # type: ignore[arg-type]


@pytest.mark.parametrize(("days", "printed"), [(3, 0.60), (7, 0.78), (28, 1.00)])
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


@pytest.mark.parametrize("cement", ["R", "N", "S"])
@pytest.mark.parametrize("strength", [40, 32.5, 10.342136])
def test_nothing_grows_past_28_days(cement: Cement, strength: float) -> None:
    """EN 1992-1-1, 3.1.2 (5), from memory; the equation itself would give 1.18 at 90 days for class S."""
    gain = Gain(strength=strength, cement=cement)
    assert gain.estimate(27.9) < strength
    assert {gain.estimate(days) for days in (28, 28.0001, 56, 90, 365, 36_500)} == {strength}
    assert gain.days_until(strength) == 28
    assert gain.days_until(strength + 0.001) is None


@pytest.mark.parametrize(("cement", "printed"), [("S", 0.77425), ("N", 0.84507), ("R", 0.87401)])
def test_each_class_at_ten_days(cement: Cement, printed: float) -> None:
    """fib Model Code 2010, equation 5.1-51 with the same s, as in the tests of a public library of codes."""
    assert beta(cement, 10) == pytest.approx(printed, abs=1e-5)


def test_an_estimate_is_not_below_nothing() -> None:
    gain = Gain(strength=40, cement="S")
    assert gain.estimate(0) == 0
    assert gain.estimate(-1) == 0
    assert gain.estimate(0.05) == 0


@pytest.mark.parametrize("cement", ["R", "N", "S"])
@pytest.mark.parametrize("strength", [5, 10, 25, 39.9, 40])
def test_the_age_of_a_strength_gives_that_strength(cement: Cement, strength: float) -> None:
    gain = Gain(strength=40, cement=cement)
    days = gain.days_until(strength)
    assert days is not None
    assert gain.estimate(days) == pytest.approx(strength)


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
    readings = [Reading(at=at(one), temperature=chance.uniform(-20, 100)) for one in times]
    # Times are kept to a microsecond.
    days = [(one.at - START).total_seconds() / 86_400 for one in readings]
    values = [one.temperature for one in readings]
    end = chance.uniform(0.2, 8)

    def rate(day: float) -> float:
        celsius = float(np.interp(day, days, values))
        return exp(13.65 - 4000 / (273 + celsius)) if 0 <= celsius <= 80 else 0.0

    def integral(start: float, stop: float) -> float:
        edges = sorted({start, stop, *(day for day in crossings if start < day < stop)})
        return sum(quad(rate, a, b)[0] for a, b in pairwise(edges))

    crossings = list(days)
    for (a, first), (b, last) in pairwise(zip(days, values, strict=True)):
        crossings += [
            a + (b - a) * (limit - first) / (last - first)
            for limit in (0, 80)
            if (first - limit) * (last - limit) < 0
        ]
    assert adjusted_days(readings, START, at(end)) == pytest.approx(integral(0, end), rel=1e-5)
    gap = chance.choice([0.1, 0.5, 2.0])
    measured = [
        integral(max(a, 0), min(b, end))
        for a, b in pairwise([*days, days[-1] + gap])
        if b - a <= gap + 1e-9 and b > 0 and a < end
    ]
    found = measured_days(readings, START, at(end), timedelta(days=gap))
    assert found == pytest.approx(sum(measured), rel=1e-5, abs=1e-9)


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


# What is out of range, and what was not measured.


@pytest.mark.parametrize("celsius", [-0.001, -25, 80.001, 95])
def test_no_age_below_0_and_above_80_degrees(celsius: float) -> None:
    """B.10 holds from 0 to 80 °C (from memory)."""
    assert factor(celsius) == 0
    assert adjusted_days([Reading(at=START, temperature=celsius)], START, at(5)) == 0
    with pytest.raises(OverflowError):
        reached_at([Reading(at=START, temperature=celsius)], START, 1)


@pytest.mark.parametrize(("first", "last", "part"), [(-20, 20, (0, 20)), (100, 60, (60, 80))])
def test_of_a_rise_that_crosses_a_limit_only_the_part_inside_counts(
    first: float, last: float, part: tuple[float, float]
) -> None:
    """Half of a straight rise over a day is in range: its mean rate by Simpson's rule, 2,000 steps."""
    low, high = part
    steps, total = 2000, 0.0
    for n in range(steps + 1):
        weight = 1 if n in (0, steps) else 4 if n % 2 else 2
        total += weight * exp(13.65 - 4000 / (273 + low + (high - low) * n / steps))
    rise = [Reading(at=START, temperature=first), Reading(at=at(1), temperature=last)]
    assert adjusted_days(rise, START, at(1)) == pytest.approx(0.5 * total / steps / 3, rel=1e-6)


def test_only_what_was_measured_counts() -> None:
    """Readings at 1, 2, 5 and 6 h, a gap of at most 2 h: 1 to 2 h, 5 to 6 h and 2 h after the last one."""
    hour, gap = 1 / 24, timedelta(hours=2)
    read = [Reading(at=at(n * hour), temperature=30) for n in (1, 2, 5, 6)]
    rate = exp(13.65 - 4000 / 303) / 24
    for end, hours in ((0.5, 0), (1.5, 0.5), (4, 1), (5.5, 1.5), (7, 3), (8, 4), (48, 4)):
        assert measured_days(read, START, at(end * hour), gap) == pytest.approx(hours * rate)
    assert measured_until(read, START, 1.5 * rate, gap) == pytest.approx(
        at(5.5 * hour), abs=timedelta(seconds=1)
    )
    assert measured_until(read, START, 4.01 * rate, gap) is None
    assert measured_days([], START, at(9), gap) == 0


def test_a_gap_just_as_long_as_it_may_be_counts() -> None:
    gap = timedelta(hours=2)
    for apart, counts in ((gap, True), (gap + timedelta(seconds=1), False)):
        read = [Reading(at=START + n * apart, temperature=20) for n in range(2)]
        assert (measured_days(read, START, START + apart, gap) > 0) is counts
