"""Strength of concrete by its age and temperature: an estimate to plan by, never one to lift by.

EN 1992-1-1:2004, 3.1.2 (gain with time) and B.10 (temperature-adjusted age). Other datums of maturity give
other numbers and are not mixed in. Two ages: `adjusted_days` fills in what was not measured,
`measured_days` counts only the time that was measured.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from math import exp, log, sqrt
from typing import Literal

from attrs import frozen

Cement = Literal["R", "N", "S"]

RATE_OF: dict[Cement, float] = {"R": 0.20, "N": 0.25, "S": 0.38}
"""s of 3.1.2 (6)."""

MEAN_OVER = 8.0
"""f_cm − f_ck, MPa, table 3.1."""

PLANNED = 20.0
"""°C taken where nothing was read."""

COLDEST, HOTTEST = 0.0, 80.0
"""°C between which B.10 holds, ends included (from memory); outside it concrete gains no age here."""

LAST = 28.0
"""Adjusted days after which the estimate grows no more, 3.1.2 (5) (from memory)."""

ROUGH = 3.0
"""Days: under this age the standard itself asks for tests, 3.1.2 (4)."""

DAY = 86_400.0
PIECE = 2.0
"""K: over so small a rise three points of Gauss give the integral to a part in a million."""

GAUSS = ((-sqrt(0.6), 5 / 9), (0.0, 8 / 9), (sqrt(0.6), 5 / 9))


@frozen(kw_only=True, eq=False, repr=False)
class Reading:
    """Temperature of the concrete at a time, °C."""

    at: datetime
    temperature: float


def factor(temperature: float) -> float:
    """Days of adjusted age in a day at this temperature, °C: exp(13.65 − 4000 / (273 + T)), B.10.

    Returns 0 below 0 °C and above 80 °C.
    """
    return exp(13.65 - 4000 / (273 + temperature)) if in_range(temperature) else 0.0


def in_range(temperature: float) -> bool:
    """Whether B.10 holds at this temperature, °C."""
    return COLDEST <= temperature <= HOTTEST


def adjusted_days(readings: Sequence[Reading], start: datetime, end: datetime) -> float:
    """The temperature-adjusted age from `start` to `end`, days; not below 0.

    `readings` rise in time. Straight between them, the first one before it, the last one after it; where
    there are none, 20 °C.
    """
    if end <= start:
        return 0.0
    if not readings:
        return _days(start, end) * factor(PLANNED)
    times = [one.at for one in readings]
    inside = readings[bisect_right(times, start) : bisect_left(times, end)]
    edges = [
        Reading(at=start, temperature=temperature_at(readings, start)),
        *inside,
        Reading(at=end, temperature=temperature_at(readings, end)),
    ]
    return sum(_between(a, b) for a, b in pairwise(edges))


def measured_days(
    readings: Sequence[Reading], start: datetime, end: datetime, gap: timedelta
) -> float:
    """The temperature-adjusted age from `start` to `end` that was measured, days.

    `readings` rise in time. Time counts from a reading to the next one where they are at most `gap` apart,
    and for `gap` after the last one.
    """
    return sum(
        adjusted_days((first, last), max(first.at, start), min(last.at, end))
        for first, last in pairwise(_held(readings, gap))
        if last.at - first.at <= gap and last.at > start and first.at < end
    )


def measured_until(
    readings: Sequence[Reading], start: datetime, days: float, gap: timedelta
) -> datetime | None:
    """The time at which the measured age comes to `days`, to a second; None where it never does."""
    reached = 0.0
    for first, last in pairwise(_held(readings, gap)):
        if last.at - first.at > gap or last.at <= start:
            continue
        begin = Reading(
            at=max(first.at, start), temperature=temperature_at((first, last), max(first.at, start))
        )
        piece = _between(begin, last)
        if reached + piece >= days:
            return _within(begin, last, days - reached)
        reached += piece
    return None


def _held(readings: Sequence[Reading], gap: timedelta) -> Sequence[Reading]:
    """The readings and, `gap` after the last one, that one again."""
    if not readings:
        return ()
    last = readings[-1]
    return (*readings, Reading(at=last.at + gap, temperature=last.temperature))


def coldest_and_hottest(
    readings: Sequence[Reading], start: datetime, end: datetime
) -> tuple[float, float] | None:
    """The lowest and the highest temperature that `adjusted_days` takes from `start` to `end`, °C.

    Returns None where nothing was read.
    """
    if not readings or end < start:
        return None
    inside = [one.temperature for one in readings if start <= one.at <= end]
    every = (*inside, temperature_at(readings, start), temperature_at(readings, end))
    return min(every), max(every)


def _between(first: Reading, last: Reading) -> float:
    """Adjusted days from one reading to the next, straight between them."""
    return _piece(first.temperature, last.temperature) * _days(first.at, last.at)


def temperature_at(readings: Sequence[Reading], at: datetime) -> float:
    """°C at a time, straight between the readings."""
    place = bisect_right(readings, at, key=lambda one: one.at)
    if place == 0:
        return readings[0].temperature
    if place == len(readings):
        return readings[-1].temperature
    before, after = readings[place - 1], readings[place]
    part = (at - before.at) / (after.at - before.at)
    return before.temperature + part * (after.temperature - before.temperature)


def _days(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / DAY


def _piece(first: float, last: float) -> float:
    """The mean factor over a straight rise from one temperature to another, 0 for what is out of range."""
    if first == last:
        return factor(first)
    low, high = sorted((first, last))
    inside = (max(low, COLDEST), min(high, HOTTEST))
    share = max(0.0, (inside[1] - inside[0]) / (high - low))
    return share * _mean_factor(*inside) if share else 0.0


def _mean_factor(first: float, last: float) -> float:
    """The mean factor over a straight rise within the range, by Gauss's rule."""
    pieces = max(1, int(abs(last - first) / PIECE) + 1)
    rise = (last - first) / pieces
    total = 0.0
    for number in range(pieces):
        middle = first + (number + 0.5) * rise
        total += sum(weight * factor(middle + rise / 2 * node) for node, weight in GAUSS) / 2
    return total / pieces


@frozen(kw_only=True, eq=False, repr=False)
class Gain:
    """The curve of one mix. `strength` MPa, characteristic at 28 days."""

    strength: float
    cement: Cement

    def estimate(self, days: float) -> float:
        """Strength at a temperature-adjusted age, MPa: f_cm(t) − 8, not below 0, at most that of 28 days."""
        if days <= 0:
            return 0.0
        if days >= LAST:
            return self.strength
        beta = exp(RATE_OF[self.cement] * (1 - sqrt(28 / days)))
        return max(0.0, beta * (self.strength + MEAN_OVER) - MEAN_OVER)

    def days_until(self, strength: float) -> float | None:
        """The adjusted age at which the estimate comes to a strength, days; None: never."""
        if strength > self.strength:
            return None
        beta = (strength + MEAN_OVER) / (self.strength + MEAN_OVER)
        return min(LAST, LAST / (1 - log(beta) / RATE_OF[self.cement]) ** 2)


def gain_of(strength: Decimal | None, cement: Cement | None) -> Gain | None:
    """The curve of a mix; None where the job does not say enough of it."""
    if strength is None or cement is None:
        return None
    return Gain(strength=float(strength), cement=cement)


def reached_at(readings: Sequence[Reading], start: datetime, days: float) -> datetime:
    """When the temperature-adjusted age comes to `days`, the last reading going on for ever.

    Raises OverflowError where no calendar goes so far, or where the last reading is out of range.
    """
    reached = 0.0
    warmth = temperature_at(readings, start) if readings else PLANNED
    here = Reading(at=start, temperature=warmth)
    for one in readings:
        if one.at <= start:
            continue
        piece = _between(here, one)
        if reached + piece >= days:
            return _within(here, one, days - reached)
        reached, here = reached + piece, one
    rate = factor(here.temperature)
    if rate == 0:
        raise OverflowError(here.temperature)
    return here.at + timedelta(days=(days - reached) / rate)


def _within(first: Reading, last: Reading, days: float) -> datetime:
    """The time between two readings at which so much adjusted age has gone by, to a second."""
    low, high = 0.0, (last.at - first.at).total_seconds()
    while high - low > 0.5:
        middle = first.at + timedelta(seconds=(low + high) / 2)
        if adjusted_days((first, last), first.at, middle) < days:
            low = (low + high) / 2
        else:
            high = (low + high) / 2
    return first.at + timedelta(seconds=high)
