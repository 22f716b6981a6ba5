"""Strength with age and warmth: f_cm(t) over an integral by Simpson's rule, and when it comes to a limit."""

import itertools
from bisect import bisect_right
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import exp, sqrt

S = {"R": 0.20, "N": 0.25, "S": 0.38}
OVER = 8.0
"""MPa that the mean is above what is characteristic."""

DAY = 86_400.0
NOT_READ = 20.0
STEPS = 48
"""Even number of steps of Simpson's rule in each straight piece: its error is far below a part in 10⁶."""

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

    def rate(self, day: float) -> float:
        return exp(13.65 - 4000 / (273 + self(day)))

    def age(self, days: float) -> float:
        """The temperature-adjusted age so many days after the start."""
        if days <= 0:
            return 0.0
        edges = [0.0, *(one for one in self.at if 0 < one < days), days]
        return sum(self._piece(a, b) for a, b in itertools.pairwise(edges))

    def _piece(self, a: float, b: float) -> float:
        h = (b - a) / STEPS
        total = self.rate(a) + self.rate(b)
        for n in range(1, STEPS):
            total += self.rate(a + n * h) * (4 if n % 2 else 2)
        return total * h / 3


def estimate(strength: float, cement: str, age: float) -> float:
    if age <= 0:
        return 0.0
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
