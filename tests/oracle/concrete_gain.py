"""Strength with age and warmth: f_cm(t) over scipy's integral, and when it comes to a limit."""

import itertools
from bisect import bisect_right
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import exp, sqrt

from scipy.integrate import quad

S = {"R": 0.20, "N": 0.25, "S": 0.38}
OVER = 8.0
"""MPa that the mean is above what is characteristic."""

DAY = 86_400.0
NOT_READ = 20.0
LAST_AGE = 28.0
LIMITS = (0.0, 80.0)
"""°C between which concrete gains age."""

LAST = datetime(9999, 12, 30, tzinfo=UTC)
"""No clock shows more: what comes later comes never."""


class Warmth:
    """Concrete temperature over time: straight between readings, level before and after them."""

    def __init__(self, readings: Mapping[datetime, Fraction], start: datetime) -> None:
        self.start = start
        rows = sorted((at, float(celsius)) for at, celsius in readings.items())
        self.at = [(at - start).total_seconds() / DAY for at, _ in rows]
        self.celsius = [celsius for _, celsius in rows]

    def __call__(self, day: float) -> float:
        if not self.at:
            return NOT_READ
        place = bisect_right(self.at, day)
        if place == 0:
            return self.celsius[0]
        if place == len(self.at):
            return self.celsius[-1]
        a, b = self.at[place - 1], self.at[place]
        low, high = self.celsius[place - 1], self.celsius[place]
        return low + (high - low) * (day - a) / (b - a)

    def age(self, days: float) -> float:
        """The temperature-adjusted age so many days after the start."""
        if days <= 0:
            return 0.0
        edges = [0.0, *(one for one in self.at if 0 < one < days), days]
        return sum(self._piece(a, b) for a, b in itertools.pairwise(edges))

    def measured(self, days: float, gap: float) -> float:
        """The part of it that was measured: between readings at most `gap` days apart, and after the last."""
        held = [*self.at, self.at[-1] + gap] if self.at else []
        spans = [
            (max(a, 0.0), min(b, days)) for a, b in itertools.pairwise(held) if b - a <= gap + 1e-9
        ]
        return sum(self._piece(a, b) for a, b in spans if b > a)

    def extremes(self, first: float, days: float) -> list[float]:
        """Every temperature between which it goes straight, from the first day to the last; none where
        nothing was read.
        """
        if not self.at or days < first:
            return []
        return [self(first), self(days), *(self(one) for one in self.at if first <= one <= days)]

    def _piece(self, a: float, b: float) -> float:
        """scipy's integral over a straight piece, cut where it comes to a limit of the range."""
        first, last = (self(a), self(b)) if b - a > 1e-12 else (self(a), self(a))
        if first == last:
            return (b - a) * rate(first)
        cuts = [a + (b - a) * (one - first) / (last - first) for one in LIMITS]
        edges = sorted({a, b, *(one for one in cuts if a < one < b)})
        return sum(
            quad(lambda day: rate(first + (last - first) * (day - a) / (b - a)), x, y)[0]
            for x, y in itertools.pairwise(edges)
        )


def rate(celsius: float) -> float:
    return exp(13.65 - 4000 / (273 + celsius)) if LIMITS[0] <= celsius <= LIMITS[1] else 0.0


def estimate(strength: float, cement: str, age: float) -> float:
    if age <= 0:
        return 0.0
    if age >= LAST_AGE:
        return strength
    mean = strength + OVER
    return max(0.0, exp(S[cement] * (1 - sqrt(28 / age))) * mean - OVER)


def reached(warmth: Warmth, strength: float, cement: str, limit: float) -> datetime | None:
    """When the estimate comes to the limit; None where the curve ends below it."""

    def enough(days: float) -> bool:
        return estimate(strength, cement, warmth.age(days)) >= limit

    far = (LAST - warmth.start) / timedelta(days=1)
    low, high = 0.0, 1.0
    while not enough(high):
        if high == far:
            return None
        low, high = high, min(high * 2, far)
    while high - low > 1 / DAY:
        middle = (low + high) / 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return warmth.start + timedelta(days=high)
