"""The straight line up a stack and how sure it is: against scipy, worked figures, and what it costs."""

import random
from math import sqrt

import numpy as np
import pytest
from scipy.stats import linregress

from pourdeck.setout.drift import Trend, trend
from tests.campaign import some

MEAN = 1 / sqrt(2)
"""The standard deviation of the mean of a side's two ends, each known to 1 mm."""


def line(points: list[tuple[int, float, float]]) -> Trend:
    found = trend(points)
    assert found is not None
    return found


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(20)))
def test_a_line_is_that_of_scipy_and_its_doubt_at_least_what_the_scatter_says(seed: int) -> None:
    """scipy.stats.linregress: slope, intercept, and the standard error from the scatter alone."""
    chance = random.Random(seed)
    numbers = sorted(chance.sample(range(1, 40), chance.randint(3, 8)))
    outs = [chance.gauss(0, 5) + chance.uniform(-2, 2) * number for number in numbers]
    spread = chance.uniform(0.2, 3)
    found = line([(x, y, spread) for x, y in zip(numbers, outs, strict=True)])
    by_scipy = linregress(numbers, outs)
    assert found.each == pytest.approx(by_scipy.slope)
    assert found.start == pytest.approx(by_scipy.intercept)
    tapes = spread / sqrt(sum((x - np.mean(numbers)) ** 2 for x in numbers))
    assert found.doubt == pytest.approx(max(by_scipy.stderr, tapes))
    assert (found.count, found.last) == (len(numbers), numbers[-1])


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(20)))
def test_a_line_with_weights_is_that_of_numpy(seed: int) -> None:
    """(AᵀPA)⁻¹AᵀPy by matrices; numpy.polyfit with w = 1/σ and cov="unscaled" says the same."""
    chance = random.Random(seed)
    points = [
        (number, chance.gauss(0, 4), chance.uniform(0.3, 3))
        for number in sorted(chance.sample(range(1, 20), chance.randint(2, 6)))
    ]
    found = line(points)
    numbers, outs, spreads = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    (each, start), known = np.polyfit(numbers, outs, 1, w=1 / spreads, cov="unscaled")
    assert found.each == pytest.approx(each)
    assert found.start == pytest.approx(start)
    free = len(points) - 2
    missed = float(np.sum(((outs - start - each * numbers) / spreads) ** 2))
    scatter = sqrt(missed / free) if free else 1.0
    assert found.doubt == pytest.approx(sqrt(known[0][0]) * max(1.0, scatter))


def test_two_panels_by_hand() -> None:
    """3 mm apart, each known to 1 mm: the slope 3 ± √2. Of that √2 is less than half, 1.5 not."""
    found = line([(1, 1.0, 1.0), (2, 4.0, 1.0)])
    assert (found.each, found.start, found.doubt) == pytest.approx((3, -2, sqrt(2)))
    assert found.at(3) == pytest.approx(7)
    assert [number for number in range(1, 9) if found.holds(number)] == [3, 4]
    less = line([(1, 1.0, 1.0), (2, 3.5, 1.0)])
    assert [number for number in range(1, 9) if less.holds(number)] == [3], "2.5 is under twice √2"
    none = line([(1, 1.0, 1.0), (2, 2.4, 1.0)])
    assert not any(none.holds(number) for number in range(9)), "1.4 is not more than √2"


def test_one_panel_has_no_trend() -> None:
    assert trend([]) is None
    assert trend([(4, 9.0, 1.0)]) is None


def warned_at(outs: list[float], band: float) -> int | None:
    """Count the panels that were measured when a side was first said to pass its band."""
    for measured in range(2, len(outs)):
        found = line([(n, out, MEAN) for n, out in enumerate(outs[:measured], start=1)][-4:])
        for number in range(measured + 1, len(outs) + 1):
            out = found.at(number)
            if found.holds(number) and abs(out) > band and out * found.each > 0:
                return measured
    return None


def tried(forms: float, each: float, band: float = 8) -> tuple[float, float]:
    """Of 2000 sides of eight panels, the part that is warned of; and of those that do pass, the part that
    is not warned of before.
    """
    chance = random.Random(20)
    warned = passed = late = 0
    for _ in range(2000):
        true = [each * number + chance.gauss(0, forms) for number in range(1, 9)]
        at = warned_at([one + chance.gauss(0, MEAN) for one in true], band)
        first = next((n for n, one in enumerate(true, start=1) if abs(one) > band), None)
        warned += at is not None
        if first is not None:
            passed += 1
            late += at is None or at >= first
    return warned / 2000, late / max(1, passed)


def test_what_is_only_the_tapes_is_hardly_ever_warned_of() -> None:
    assert tried(forms=0, each=0)[0] < 0.01


def test_forms_that_stand_a_millimetre_uneven_are_seldom_taken_for_a_drift() -> None:
    assert tried(forms=1, each=0)[0] < 0.12


@pytest.mark.parametrize("each", [2, 3])
def test_a_drift_is_always_warned_of_and_seldom_late(each: float) -> None:
    """At 3 mm the second panel to come is past the band already: two panels are all there is to go by."""
    warned, late = tried(forms=1, each=each)
    assert warned > 0.99
    assert late < (0.15 if each == 2 else 0.3)


def test_without_uneven_forms_it_is_never_late() -> None:
    assert tried(forms=0, each=2) == (1.0, pytest.approx(0, abs=0.01))
