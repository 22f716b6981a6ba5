"""How strong a panel is, and what stands between it and its climb and its lift.

The estimate plans; it releases no lift. A climb needs its hours, and a test or the estimate; a lift needs a
test of a specimen that was cured beside this panel.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.records import Job
from pourdeck.pour.maturity import ROUGH, Gain, Reading, adjusted_days, gain_of, reached_at
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.gates import pour_ended
from pourdeck.walk.strength_log import Result, results, temperatures

By = Literal["test", "estimate"]

RECORDED = "temperatures recorded"
UNRECORDED = "no temperature recorded"

HOUR = timedelta(hours=1)


@frozen(kw_only=True)
class Need:
    """What a limit asks for, and whether it is met: None where the job gives no limit.

    `strength` MPa, `hours` since the end of the pour; `by` what shows the strength. `expected`: when the
    estimate would have it, None where never or where no pour has ended. `source`: the document.
    """

    strength: Decimal | None
    hours: Decimal | None
    met: bool | None
    by: By | None
    expected: datetime | None
    source: str | None


@frozen(kw_only=True)
class Strength:
    """At a time `at`. `hours` and `days` (temperature-adjusted) since the end of the pour, None before it.

    `estimate` MPa, None where the mix gives no strength or cement. `rough`: so young that the standard asks
    for tests.
    """

    at: datetime
    poured: datetime | None
    hours: float | None
    days: float | None
    estimate: float | None
    basis: str
    rough: bool
    readings: tuple[Reading, ...]
    gain: Gain | None
    results: tuple[Result, ...]
    climb: Need
    lift: Need


def strength(job: Job, record: PanelState, at: datetime) -> Strength:
    """By the job's mix and limits, from what the log has of the panel; results after `at` do not count."""
    poured, readings = pour_ended(record), temperatures(record)
    gain = gain_of(job.mix.strength, job.mix.cement)
    tested = tuple(one for one in results(record) if one.at <= at)
    hours = days = estimate = None
    if poured is not None:
        hours = max(0.0, (at - poured) / HOUR)
        days = adjusted_days(readings, poured, at)
        estimate = gain.estimate(days) if gain else None
    return Strength(
        at=at,
        poured=poured,
        hours=hours,
        days=days,
        estimate=estimate,
        basis=RECORDED if readings else UNRECORDED,
        rough=days is not None and days < ROUGH,
        readings=readings,
        gain=gain,
        results=tested,
        climb=_climb(job, poured, readings, gain, tested, hours, estimate),
        lift=_lift(job, poured, readings, gain, tested),
    )


def _climb(
    job: Job,
    poured: datetime | None,
    readings: Sequence[Reading],
    gain: Gain | None,
    tested: Sequence[Result],
    hours: float | None,
    estimate: float | None,
) -> Need:
    limit = job.limits.climb
    by: By | None = None
    if limit.strength is not None:
        if any(one.strength >= limit.strength for one in tested):
            by = "test"
        elif estimate is not None and estimate >= float(limit.strength):
            by = "estimate"
    met: bool | None = None
    if limit.strength is not None or limit.hours is not None:
        aged = limit.hours is None or (hours is not None and hours >= float(limit.hours))
        met = poured is not None and aged and (limit.strength is None or by is not None)
    expected = _expected(poured, readings, gain, limit.strength)
    if poured is not None and limit.hours is not None:
        aged_at = poured + timedelta(hours=float(limit.hours))
        if limit.strength is None:
            expected = aged_at
        elif expected is not None:
            expected = max(expected, aged_at)
    return Need(
        strength=limit.strength,
        hours=limit.hours,
        met=met,
        by=by,
        expected=expected,
        source=job.limits.sources.get("climb"),
    )


def _lift(
    job: Job,
    poured: datetime | None,
    readings: Sequence[Reading],
    gain: Gain | None,
    tested: Sequence[Result],
) -> Need:
    needed = job.limits.lift.strength
    shown = needed is not None and any(
        one.cured == "field" and one.strength >= needed for one in tested
    )
    return Need(
        strength=needed,
        hours=None,
        met=None if needed is None else shown,
        by="test" if shown else None,
        expected=_expected(poured, readings, gain, needed),
        source=job.limits.sources.get("lift"),
    )


def _expected(
    poured: datetime | None, readings: Sequence[Reading], gain: Gain | None, needed: Decimal | None
) -> datetime | None:
    """When the estimate comes to a strength."""
    if poured is None or gain is None or needed is None:
        return None
    days = gain.days_until(float(needed))
    if days is None:
        return None
    try:
        return reached_at(readings, poured, days)
    except OverflowError:
        return None
