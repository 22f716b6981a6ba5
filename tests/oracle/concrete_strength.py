"""Age, both estimates and tests of a panel; strip, climb and lift, met by what and when; what is wrong."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

from .concrete_gain import LIMITS, Warmth, estimate, reached
from .concrete_log import Concrete, Result
from .concrete_order import Mix, minutes

CLOSE = 1e-3
"""The share to which the equivalent age is promised."""

FRESH_HOURS, FRESH_MPA = 24, 5.0
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Gate:
    """`met`: None where what was measured is so near the limit that its promise leaves it open. `by`: what
    may be named: what shows the strength, also while hours are still missing. `expected`: by the test that
    shows it, else by the estimate; None where it never comes. `low`: the last field result is below it.
    """

    needs: dict[str, Fraction]
    met: bool | None
    by: tuple[str | None, ...]
    expected: datetime | None
    low: bool = False


@dataclass(frozen=True)
class Strength:
    """`tests`: all up to then; those from before the pour's end show nothing. `hours`, `days`, `estimate`:
    None before the pour has ended; `estimate` also without a curve; `measured_days`: what of them was
    measured. `codes`: findings that must be there. `unsure`: those that may or may not.
    """

    hours: Fraction | None
    days: float | None
    estimate: float | None
    measured_days: float | None
    basis: str
    tests: list[Result]
    strip: Gate | None
    climb: Gate | None
    lift: Gate | None
    curve: tuple[float, str] | None
    codes: frozenset[str]
    unsure: frozenset[str]


def strength(mix: Mix, limits: dict[str, Any], concrete: Concrete, at: datetime) -> Strength:
    reading = _Reading(mix, limits, concrete, at)
    hours = days = found = measured = None
    if reading.warmth is not None:
        hours = max(minutes(at - reading.warmth.start) / 60, Fraction(0))
        days = reading.warmth.age(float(hours) / 24)
        measured = reading.warmth.measured(float(hours) / 24, reading.gap)
        found = None if reading.curve is None else estimate(*reading.curve, days)
    gates = {key: reading.timed(limits.get(key)) for key in ("strip", "climb")}
    sure, unsure = reading.codes()
    low = any(gate is not None and gate.low for gate in gates.values())
    return Strength(
        hours=hours,
        days=days,
        estimate=found,
        measured_days=measured,
        basis="temperatures recorded" if concrete.readings else "20 °C",
        tests=[one for one in concrete.tests if one.at <= at],
        strip=gates["strip"],
        climb=gates["climb"],
        lift=reading.timed(limits.get("lift")),
        curve=reading.curve,
        codes=frozenset(sure | ({"test-below"} if low else set())),
        unsure=frozenset(unsure),
    )


class _Reading:
    """One panel at one time, by the words of the rules."""

    def __init__(self, mix: Mix, limits: dict[str, Any], concrete: Concrete, at: datetime) -> None:
        self.at, self.over = at, concrete.ended
        self.gap = float(limits.get("temperature_gap", 2)) / 24
        self.curve: tuple[float, str] | None = None
        if mix.strength is not None and mix.cement is not None:
            self.curve = (float(mix.strength), mix.cement)
        self.warmth = None if self.over is None else Warmth(concrete.readings, self.over)
        # Oldest first, of two at the same time the stronger first: the last one is the one that counts.
        self.field = sorted(
            (
                one
                for one in concrete.tests
                if one.specimen.cured == "field" and self.over and self.over <= one.at <= at
            ),
            key=lambda one: (one.at, -one.strength),
        )
        self.fresh_from = concrete.began or self.over
        self.cold = self._cold(concrete)

    def _cold(self, concrete: Concrete) -> dict[str, bool | None]:
        """`cold` and `frost`: True, False, or None where the promise of the age leaves it open."""
        found: dict[str, bool | None] = {"cold": False, "frost": False}
        for when, celsius in concrete.readings.items():
            if self.over is None or self.fresh_from is None or celsius >= 5:
                continue
            if not self.fresh_from <= when <= self.at:
                continue
            code = "frost" if celsius <= 0 else "cold"
            fresh = self._fresh((when - self.over) / DAY)
            if fresh is not False and found[code] is not True:
                found[code] = fresh
        return found

    def _fresh(self, days: float) -> bool | None:
        if days * 24 < FRESH_HOURS:
            return True
        if self.curve is None or self.warmth is None:
            return False
        age = self.warmth.measured(days, self.gap)
        low, high = (estimate(*self.curve, age * (1 + one)) < FRESH_MPA for one in (-CLOSE, CLOSE))
        return low if low is high else None

    def codes(self) -> tuple[set[str], set[str]]:
        sure = {code for code, there in self.cold.items() if there}
        unsure = {code for code, there in self.cold.items() if there is None}
        if self.warmth is not None and self.over is not None and self.fresh_from is not None:
            first, last = ((one - self.over) / DAY for one in (self.fresh_from, self.at))
            every = self.warmth.extremes(first, last)
            if any(not LIMITS[0] <= one <= LIMITS[1] for one in every):
                sure.add("temperature-range")
            if every and min(abs(one - edge) for one in every for edge in LIMITS) < 1e-9:
                unsure.add("temperature-range")
        return sure, unsure

    def timed(self, raw: dict[str, Any] | None) -> Gate | None:
        """The hours, and a field-cured test or, where the limit says so, what was measured."""
        if raw is None:
            return None
        needs = {key: Fraction(raw[key]) for key in ("strength", "hours") if key in raw}
        if not needs:
            return None
        if self.over is None or self.warmth is None:
            return Gate(needs, False, (None,), None)
        aged = self.over + timedelta(hours=float(needs.get("hours", 0)))
        old = minutes(self.at - self.over) / 60 >= needs.get("hours", 0)
        limit = needs.get("strength")
        if limit is None:
            return Gate(needs, old, (None, "hours", "age"), aged)
        if self.field and self.field[-1].strength >= limit:
            shown = self.field[-1].at
            for one in reversed(self.field):
                if one.strength < limit:
                    break
                shown = one.at
            return Gate(needs, old, ("test",), max(aged, shown) if "hours" in needs else shown)
        there = None if self.curve is None else reached(self.warmth, *self.curve, float(limit))
        if there is not None and "hours" in needs:
            there = max(aged, there)
        if self.field or raw.get("by", "test") == "test":
            return Gate(needs, False, (None,), there, low=bool(self.field))
        enough = self._enough(limit)
        by = {True: ("estimate",), False: (None,), None: (None, "estimate")}[enough]
        return Gate(needs, False if not old else enough, by, there)

    def _enough(self, limit: Fraction) -> bool | None:
        """Whether what was measured comes to a limit, and no frost forbids it."""
        if self.curve is None or self.warmth is None or self.cold["frost"] or self.over is None:
            return False
        age = self.warmth.measured((self.at - self.over) / DAY, self.gap)
        low, high = (
            estimate(*self.curve, age * (1 + one)) >= float(limit) for one in (-CLOSE, CLOSE)
        )
        if low is not high or (low and self.cold["frost"] is None):
            return None
        return low
