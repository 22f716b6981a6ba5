"""Age, estimate and tests of a panel, and whether its climb and its lift are met, by what, and when."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

from .concrete_gain import Warmth, estimate, reached
from .concrete_log import Concrete, Result
from .concrete_order import Mix, minutes

CLOSE = 1e-3
"""The share to which the equivalent age is promised."""


@dataclass(frozen=True)
class Gate:
    """`met`: None where the estimate is so near the limit that its promise leaves it open. `by`: what may
    be named: what shows the strength, also while hours are still missing. `expected`: by the first test that
    shows it, else by the estimate; None where it never comes.
    """

    needs: dict[str, Fraction]
    met: bool | None
    by: tuple[str | None, ...]
    expected: datetime | None


@dataclass(frozen=True)
class Strength:
    """`tests`: all up to then; those from before the pour's end show nothing. `hours`, `days`, `estimate`:
    None before the pour has ended; `estimate` also without a curve.
    """

    hours: Fraction | None
    days: float | None
    estimate: float | None
    basis: str
    tests: list[Result]
    climb: Gate | None
    lift: Gate | None
    curve: tuple[float, str] | None


def strength(mix: Mix, limits: dict[str, Any], concrete: Concrete, at: datetime) -> Strength:
    curve = None
    if mix.strength is not None and mix.cement is not None:
        curve = (float(mix.strength), mix.cement)
    tests = [one for one in concrete.tests if one.at <= at]
    over = concrete.ended
    counted = [one for one in tests if over is not None and one.at >= over]
    basis = "temperatures recorded" if concrete.readings else "no temperature recorded"
    hours = days = found = warmth = None
    if concrete.ended is not None:
        hours = max(minutes(at - concrete.ended) / 60, Fraction(0))
        warmth = Warmth(concrete.readings, concrete.ended)
        days = warmth.age(float(hours) / 24)
        found = None if curve is None else estimate(*curve, days)
    return Strength(
        hours=hours,
        days=days,
        estimate=found,
        basis=basis,
        tests=tests,
        climb=_climb(limits.get("climb"), concrete, at, warmth, curve, counted),
        lift=_lift(limits.get("lift"), warmth, curve, counted),
        curve=curve,
    )


def _needs(raw: dict[str, Any]) -> dict[str, Fraction]:
    return {key: Fraction(raw[key]) for key in ("strength", "hours") if key in raw}


def _estimated(
    warmth: Warmth | None, curve: tuple[float, str] | None, limit: Fraction, at: datetime
) -> tuple[bool | None, datetime | None]:
    """Whether the estimate is enough, None where that cannot be told, and when it comes to be."""
    if warmth is None or curve is None:
        return False, None
    when = reached(warmth, *curve, float(limit))
    age = warmth.age((at - warmth.start) / timedelta(days=1))
    low, high = (estimate(*curve, age * (1 + one)) >= float(limit) for one in (-CLOSE, CLOSE))
    return (low if low is high else None), when


def _climb(
    raw: dict[str, Any] | None,
    concrete: Concrete,
    at: datetime,
    warmth: Warmth | None,
    curve: tuple[float, str] | None,
    tests: list[Result],
) -> Gate | None:
    """The hours, and either a test or the estimate."""
    if raw is None:
        return None
    needs = _needs(raw)
    if concrete.ended is None:
        return Gate(needs, False, (None,), None)
    aged = concrete.ended + timedelta(hours=float(needs.get("hours", 0)))
    old = minutes(at - concrete.ended) / 60 >= needs["hours"] if "hours" in needs else True
    limit = needs.get("strength")
    if limit is None:
        return Gate(needs, old, (None, "hours", "age"), aged)
    shown = [one.at for one in tests if one.strength >= limit]
    enough, when = _estimated(warmth, curve, limit, at)
    there = min(shown) if shown else when
    by: list[str | None] = ["test"] if shown else []
    if enough is not False:
        by.append("estimate")
    if not shown and enough is not True:
        by.append(None)
    met = False if not old else True if shown else enough
    return Gate(needs, met, tuple(by), None if there is None else max(aged, there))


def _lift(
    raw: dict[str, Any] | None,
    warmth: Warmth | None,
    curve: tuple[float, str] | None,
    tests: list[Result],
) -> Gate | None:
    """A test of a field-cured specimen of this panel; the estimate only says when one is worth making."""
    if raw is None:
        return None
    limit = Fraction(raw["strength"])
    met = any(one.specimen.cured == "field" and one.strength >= limit for one in tests)
    when = None
    if warmth is not None and curve is not None:
        when = reached(warmth, *curve, float(limit))
    return Gate({"strength": limit}, met, ("test",) if met else (None,), when)
