"""How strong a panel is, and what stands between it and its climb and its lift.

The estimate plans; it releases no lift. A climb needs its hours, and a test or the estimate; a lift needs a
test of a specimen that was cured beside this panel.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.amounts import as_meant
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import ROUGH, Gain, Reading, adjusted_days, gain_of, reached_at
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.pour_times import aged_at, pour_ended
from pourdeck.walk.strength_log import Result, field_results, results, temperatures

By = Literal["test", "estimate"]

RECORDED = "temperatures recorded"
UNRECORDED = "no temperature recorded"

HOUR = timedelta(hours=1)


@frozen(kw_only=True, eq=False, repr=False)
class Need:
    """What a limit asks for, and whether it is met: None where the job gives no limit.

    `strength` MPa as the job gives it, `hours` since the end of the pour; `aged`: they have passed.
    `by`: what shows the strength. `expected`: when all of it is there, by the test that shows it or else
    by the estimate; None where never, or where no pour has ended. `source`: the document.
    """

    strength: Decimal | None
    hours: Decimal | None
    aged: bool
    met: bool | None
    by: By | None
    expected: datetime | None
    source: str | None


@frozen(kw_only=True, eq=False, repr=False)
class Strength:
    """At a time `at`. `hours` and `days` (temperature-adjusted) since the end of the pour, None before it.

    `estimate` MPa, None where the mix gives no strength or cement. `rough`: so young that the standard asks
    for tests. `field`: those of `results` that show what the panel itself has. `needed_climb` and
    `needed_lift`: the limits as the office meant them, MPa, by which results are judged.
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
    field: tuple[Result, ...]
    climb: Need
    lift: Need
    needed_climb: Decimal | None
    needed_lift: Decimal | None

    def counts(self, one: Result) -> bool:
        """False for a result from before the end of the pour: it is of other concrete, or a time is wrong."""
        return _counts(one, self.poured)

    def reaches(self, one: Result, needed: Decimal | None) -> bool | None:
        """Whether a result that counts is at a limit or above it; None where there is no limit."""
        return None if needed is None else self.counts(one) and one.strength >= needed

    def shows_lift(self, one: Result) -> bool | None:
        """Whether a result shows the strength for the lift: a specimen cured in the field, at the limit."""
        if self.needed_lift is None:
            return None
        return self.of_panel(one) and one.strength >= self.needed_lift

    def of_panel(self, one: Result) -> bool:
        """Whether a result is of a specimen of this panel that was cured beside it."""
        return any(one.entry.key == each.entry.key for each in self.field)

    def comes_to(self, needed: Decimal | None) -> datetime | None:
        """When the estimate comes to a strength, MPa; None where never."""
        return _expected(self.poured, self.readings, self.gain, needed)

    def estimate_at(self, at: datetime) -> float | None:
        """The estimate at another time, MPa."""
        if self.gain is None or self.poured is None:
            return None
        return self.gain.estimate(adjusted_days(self.readings, self.poured, at))


def strength(job: Job, record: PanelState, at: datetime) -> Strength:
    """By the job's mix and limits, from what the log has of the panel.

    Results after `at` are left out, those from before the end of the pour show nothing.
    """
    poured, readings = pour_ended(record), temperatures(record)
    gain = gain_of(job.mix.strength, job.mix.cement)
    tested = tuple(one for one in results(record) if one.at <= at)
    of_panel = field_results(record, at)
    counted = [one for one in tested if _counts(one, poured)]
    hours = days = estimate = None
    if poured is not None:
        hours = max(0.0, (at - poured) / HOUR)
        days = adjusted_days(readings, poured, at)
        estimate = gain.estimate(days) if gain else None
    climb, lift = (_meant(job, limit.strength) for limit in (job.limits.climb, job.limits.lift))
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
        field=of_panel,
        climb=_climb(job, at, poured, readings, gain, counted, climb, estimate),
        lift=_lift(job, poured, readings, gain, of_panel, lift),
        needed_climb=climb,
        needed_lift=lift,
    )


def _meant(job: Job, limit: Decimal | None) -> Decimal | None:
    """A limit as the office meant it: 1500 psi stand in the file as 10.342136 MPa, a little more."""
    return None if limit is None else as_meant(limit, "MPa", job.units)


def _climb(
    job: Job,
    at: datetime,
    poured: datetime | None,
    readings: Sequence[Reading],
    gain: Gain | None,
    tested: Sequence[Result],
    needed: Decimal | None,
    estimate: float | None,
) -> Need:
    limit = job.limits.climb
    by: By | None = None
    shown = [one for one in tested if needed is not None and one.strength >= needed]
    expected = _expected(poured, readings, gain, needed)
    if shown:
        by, expected = "test", shown[0].at
    elif needed is not None and estimate is not None and estimate >= float(needed):
        by = "estimate"
    ready = None if poured is None or limit.hours is None else aged_at(poured, limit.hours)
    aged = poured is not None and (ready is None or at >= ready)
    if ready is not None:
        if needed is None:
            expected = ready
        elif expected is not None:
            expected = max(expected, ready)
    met: bool | None = None
    if needed is not None or limit.hours is not None:
        met = poured is not None and aged and (needed is None or by is not None)
    return Need(
        strength=limit.strength,
        hours=limit.hours,
        aged=aged,
        met=met,
        by=by,
        expected=expected if poured is not None else None,
        source=job.limits.sources.get("climb"),
    )


def _lift(
    job: Job,
    poured: datetime | None,
    readings: Sequence[Reading],
    gain: Gain | None,
    of_panel: Sequence[Result],
    needed: Decimal | None,
) -> Need:
    shown = needed is not None and any(one.strength >= needed for one in of_panel)
    return Need(
        strength=job.limits.lift.strength,
        hours=None,
        aged=poured is not None,
        met=None if needed is None else shown,
        by="test" if shown else None,
        expected=_expected(poured, readings, gain, needed),
        source=job.limits.sources.get("lift"),
    )


def _counts(one: Result, poured: datetime | None) -> bool:
    return poured is not None and one.at >= poured


def _expected(
    poured: datetime | None, readings: Sequence[Reading], gain: Gain | None, needed: Decimal | None
) -> datetime | None:
    """When the estimate comes to a strength: the first whole second at which it is there."""
    if poured is None or gain is None or needed is None:
        return None
    days = gain.days_until(float(needed))
    if days is None:
        return None
    try:
        there = reached_at(readings, poured, days)
        return there.replace(microsecond=0) + timedelta(seconds=1)
    except OverflowError:
        return None
