"""Strength of a panel: readings and results of the log, what is missing for strip, climb and lift.

The estimate plans. Where the job says so, what of it was measured opens a strip or a climb. Nothing but a
test of a specimen that was cured beside this panel opens a lift.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import field, frozen

from pourdeck.plan.amounts import as_meant
from pourdeck.plan.records import ClimbLimit, Job, ShownBy
from pourdeck.pour.maturity import (
    PLANNED,
    ROUGH,
    Gain,
    Reading,
    adjusted_days,
    coldest_and_hottest,
    gain_of,
    in_range,
    measured_days,
    measured_until,
    reached_at,
)
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import aged_at, pour_began, pour_ended
from pourdeck.walk.words import folded, number_of

# What the log says of the strength of a panel: temperatures of its concrete, results of its specimens.

Cured = Literal["field", "standard"]

BEFORE_POUR = timedelta(hours=2)
"""So long before the first concrete is in the form a specimen may be taken, at the truck."""


@frozen(kw_only=True, eq=False, repr=False)
class Specimen:
    """A cylinder or cube that was taken. `load` is the number of its load."""

    name: str
    cured: Cured
    load: int | None
    taken: datetime | None
    by: str
    entry: Entry = field(repr=False)


@frozen(kw_only=True, eq=False, repr=False)
class Result:
    """A test of one specimen, MPa."""

    name: str
    cured: Cured
    strength: Decimal
    at: datetime
    by: str
    entry: Entry = field(repr=False)


def temperatures(record: PanelState) -> tuple[Reading, ...]:
    """The readings in the order of their times; of two at the same time the one written last."""
    found = temperatures_of(record)
    return tuple(Reading(at=at, temperature=float(found[at][0])) for at in sorted(found))


def temperatures_of(record: PanelState) -> dict[datetime, tuple[Decimal, Entry]]:
    """Give the temperature that stands at each time, °C, and the entry it is from."""
    found: dict[datetime, tuple[Decimal, Entry]] = {}
    for entry in record.temperatures:
        for written, value in entry.data["readings"]:
            moment, number = moment_of(written), number_of(value)
            if moment is not None and number is not None:
                found[moment] = (number, entry)
    return found


def specimens(record: PanelState) -> tuple[Specimen, ...]:
    """By name, the last word on each."""
    found = {folded(entry.data["specimen"]): _specimen(entry) for entry in record.specimens}
    return tuple(found.values())


def _specimen(entry: Entry) -> Specimen:
    load = entry.data.get("load")
    return Specimen(
        name=entry.data["specimen"],
        cured=entry.data["cured"],
        load=load if type(load) is int else None,
        taken=moment_of(entry.data.get("time")),
        by=entry.by,
        entry=entry,
    )


def results(record: PanelState) -> tuple[Result, ...]:
    """One for each specimen, the last word on it, in the order of their times.

    Where the specimen itself is in the log, it is what says where it was cured, and how its name is written:
    one that is put right from field to standard takes its result with it.
    """
    known = {folded(one.name): one for one in specimens(record)}
    found = {folded(one.name): one for one in _results(record.tests, known)}
    return tuple(sorted(found.values(), key=lambda one: one.at))


def _results(entries: Iterable[Entry], known: Mapping[str, Specimen]) -> Iterable[Result]:
    for entry in entries:
        strength, name = number_of(entry.data["strength"]), entry.data["specimen"]
        if strength is not None:
            specimen = known.get(folded(name))
            yield Result(
                name=specimen.name if specimen else name,
                cured=specimen.cured if specimen else entry.data["cured"],
                strength=strength,
                at=moment_of(entry.data["time"]) or entry.at,
                by=entry.by,
                entry=entry,
            )


def untested(record: PanelState) -> tuple[Specimen, ...]:
    """Specimens without a result."""
    tested = {folded(one.name) for one in results(record)}
    return tuple(one for one in specimens(record) if folded(one.name) not in tested)


def field_results(record: PanelState, at: datetime) -> tuple[Result, ...]:
    """Results that show what this very panel has: of a specimen of its concrete, cured beside it, by `at`.

    A result whose specimen is not in the log, or no longer, shows nothing: nobody says where it lay.
    """
    began, ended = pour_began(record), pour_ended(record)
    if began is None or ended is None:
        return ()
    own = {folded(one.name): one for one in specimens(record) if one.cured == "field"}
    since = began.replace(second=0, microsecond=0) - BEFORE_POUR
    return tuple(
        one
        for one in results(record)
        if ended <= one.at <= at
        and (taken := own.get(folded(one.name))) is not None
        and (taken.taken is None or since <= taken.taken <= one.at)
    )


def showing(found: Sequence[Result], needed: Decimal | None) -> tuple[Result, ...]:
    """The results that show a strength, MPa: at or above it, and later than every result below it.

    `found` is in the order of its times, and so is what is returned; nothing shows a strength of None.
    """
    if needed is None:
        return ()
    low = last_below(found, needed)
    return tuple(
        one for one in found if one.strength >= needed and (low is None or one.at > low.at)
    )


def last_below(found: Sequence[Result], needed: Decimal) -> Result | None:
    """The last result below a strength, MPa; of two at the same time the lower one."""
    low = [one for one in found if one.strength < needed]
    return max(low, key=lambda one: (one.at, -one.strength), default=None)


# Strength of a panel, and what is missing for its forms to come off, for its climb and for its lift.

Timed = Literal["strip", "climb"]
"""Limits that may ask for hours beside the strength."""

RECORDED = "temperatures recorded"
UNRECORDED = f"no temperature recorded: {PLANNED:.0f} °C assumed"
FIRST_TAKEN = "the first one taken for the time before it"
LAST_TAKEN = "the last one taken for the time after it"

HOUR = timedelta(hours=1)
FRESH = timedelta(hours=24)
FRESH_STRENGTH = 5.0
"""MPa by what was measured: concrete that is weaker, or younger than FRESH, is fresh."""

COLD, FROST = 5.0, 0.0
"""°C: a reading of fresh concrete below the one is cold, at the other or below it frost."""


@frozen(kw_only=True, eq=False, repr=False)
class Need:
    """A limit, and whether it is met: None where the job gives no limit.

    `strength` MPa as the job gives it, `hours` since the end of the pour; `aged`: they have passed.
    `accepts`: what the job lets show the strength. `by`: what shows it. `low`: the last field-cured result,
    where it is below the limit. `expected`: the time of the test that shows it, else of the planning
    estimate, and of the hours; None where it never comes, or where no pour has ended. `opens`: when what
    was measured up to now meets it, at the latest by the clock alone. `source`: the document.
    """

    strength: Decimal | None
    hours: Decimal | None
    aged: bool
    met: bool | None
    accepts: ShownBy
    by: ShownBy | None
    low: Result | None
    expected: datetime | None
    opens: datetime | None
    source: str | None


@frozen(kw_only=True, eq=False, repr=False)
class _Known:
    """Hold what limits are judged by. `field`: results of this very panel; `frost`: no estimate counts."""

    at: datetime
    poured: datetime | None
    readings: tuple[Reading, ...]
    gap: timedelta
    gain: Gain | None
    measured: float | None
    field: tuple[Result, ...]
    frost: bool


@frozen(kw_only=True, eq=False, repr=False)
class Strength:
    """At a time `at`. `hours` and `days` (temperature-adjusted) since the end of the pour, None before it.

    `estimate` MPa for planning, `measured` MPa by the time that was measured alone; both None where the mix
    gives no strength or cement. `rough`: so young that the standard asks for tests. `field`: those of
    `results` that show what the panel itself has. `gap`: the longest time between two readings that counts.
    `cold` and `frost`: readings of fresh concrete. `out_of_range`: coldest and hottest °C, where one of them
    is outside the range of the formula. `needed_strip`, `needed_climb` and `needed_lift`: the limits as the
    office meant them, MPa, by which results are judged.
    """

    at: datetime
    poured: datetime | None
    hours: float | None
    days: float | None
    estimate: float | None
    measured: float | None
    basis: str
    rough: bool
    readings: tuple[Reading, ...]
    gap: timedelta
    cold: tuple[Reading, ...]
    frost: tuple[Reading, ...]
    out_of_range: tuple[float, float] | None
    gain: Gain | None
    results: tuple[Result, ...]
    field: tuple[Result, ...]
    strip: Need
    climb: Need
    lift: Need
    needed_strip: Decimal | None
    needed_climb: Decimal | None
    needed_lift: Decimal | None

    def counts(self, one: Result) -> bool:
        """False for a result from before the end of the pour: it is of other concrete, or a time is wrong."""
        return self.poured is not None and one.at >= self.poured

    def shows(self, one: Result, needed: Decimal | None) -> bool | None:
        """Whether a result shows a strength of this panel, MPa; None where there is no limit."""
        if needed is None:
            return None
        return any(one.entry.key == each.entry.key for each in showing(self.field, needed))

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


def strength(job: Job, record: PanelState, at: datetime, out: timedelta = timedelta()) -> Strength:
    """By the job's mix and limits, from what the log has of the panel.

    Results after `at` are left out, those from before the end of the pour show nothing. `out`: so much of
    the age nobody can be sure of, because a clock was set; it is not counted.
    """
    sure = at - out
    poured, readings = pour_ended(record), temperatures(record)
    gap = timedelta(hours=float(job.limits.temperature_gap))
    gain = gain_of(job.mix.strength, job.mix.cement)
    hours = days = estimate = measured = extremes = None
    cold: tuple[Reading, ...] = ()
    if poured is not None:
        hours = max(0.0, (sure - poured) / HOUR)
        days = adjusted_days(readings, poured, max(sure, poured))
        fresh = pour_began(record) or poured
        extremes = coldest_and_hottest(readings, fresh, at)
        cold = _cold(readings, fresh, poured, at, gain, gap)
        if gain is not None:
            estimate = gain.estimate(days)
            measured = gain.estimate(measured_days(readings, poured, max(sure, poured), gap))
    frost = tuple(one for one in cold if one.temperature <= FROST)
    known = _Known(
        at=sure,
        poured=poured,
        readings=readings,
        gap=gap,
        gain=gain,
        measured=measured,
        field=field_results(record, at),
        frost=bool(frost),
    )
    limits = job.limits
    strip, climb, lift = (
        _meant(job, limit.strength) for limit in (limits.strip, limits.climb, limits.lift)
    )
    return Strength(
        at=at,
        poured=poured,
        hours=hours,
        days=days,
        estimate=estimate,
        measured=measured,
        basis=_basis(readings, poured, at, gap),
        rough=days is not None and hours is not None and min(days, hours / 24) < ROUGH,
        readings=readings,
        gap=gap,
        cold=tuple(one for one in cold if one.temperature > FROST),
        frost=frost,
        out_of_range=extremes if extremes and not all(map(in_range, extremes)) else None,
        gain=gain,
        results=tuple(one for one in results(record) if one.at <= at),
        field=known.field,
        strip=_need(known, limits.strip, strip, limits.sources.get("strip")),
        climb=_need(known, limits.climb, climb, limits.sources.get("climb")),
        lift=_need(
            known, ClimbLimit(strength=limits.lift.strength), lift, limits.sources.get("lift")
        ),
        needed_strip=strip,
        needed_climb=climb,
        needed_lift=lift,
    )


def _meant(job: Job, limit: Decimal | None) -> Decimal | None:
    """A limit as the office meant it: 1500 psi stand in the file as 10.342136 MPa, a little more."""
    return None if limit is None else as_meant(limit, "MPa", job.units)


def _basis(
    readings: Sequence[Reading], poured: datetime | None, at: datetime, gap: timedelta
) -> str:
    """Say what the estimate rests on, and what it takes where nothing was read for longer than `gap`."""
    if not readings:
        return UNRECORDED
    said = [RECORDED]
    if poured is not None:
        said += [FIRST_TAKEN] if min(readings[0].at, at) - poured > gap else []
        said += [LAST_TAKEN] if at - max(readings[-1].at, poured) > gap else []
    return "; ".join(said)


def _cold(
    readings: Sequence[Reading],
    began: datetime,
    poured: datetime,
    at: datetime,
    gain: Gain | None,
    gap: timedelta,
) -> tuple[Reading, ...]:
    """Readings below COLD while the concrete was fresh; by its hours alone where the mix gives no curve.

    It is fresh from the first concrete in the form, `began`; its hours count from the end of the pour.
    """
    found = tuple(one for one in readings if began <= one.at <= at and one.temperature < COLD)
    fresh_until: datetime | None = poured + FRESH
    if found and gain is not None:
        days = gain.days_until(FRESH_STRENGTH)
        firm = None if days is None else measured_until(readings, poured, days, gap)
        fresh_until = None if firm is None else max(poured + FRESH, firm)
    return tuple(one for one in found if fresh_until is None or one.at < fresh_until)


def _need(known: _Known, limit: ClimbLimit, needed: Decimal | None, source: str | None) -> Need:
    """The hours, and a strength by the last field-cured results or, where the limit says so, as measured."""
    shown = showing(known.field, needed)
    low = None if needed is None or shown else last_below(known.field, needed)
    by: ShownBy | None = "test" if shown else None
    may_estimate = limit.by == "estimate" and not known.field and not known.frost
    if may_estimate and needed is not None and (known.measured or 0.0) >= float(needed):
        by = "estimate"
    ready = None
    if known.poured is not None and limit.hours is not None:
        ready = aged_at(known.poured, limit.hours)
    aged = known.poured is not None and (ready is None or known.at >= ready)
    expected = shown[0].at if shown else _expected(known.poured, known.readings, known.gain, needed)
    if ready is not None:
        if needed is None:
            expected = ready
        elif expected is not None:
            expected = max(expected, ready)
    opens = ready
    if needed is not None and not shown:
        opens = _measured_at(known, needed) if may_estimate else None
        opens = max(opens, ready) if opens and ready else opens
    met: bool | None = None
    if needed is not None or limit.hours is not None:
        met = aged and (needed is None or by is not None)
    return Need(
        strength=limit.strength,
        hours=limit.hours,
        aged=aged,
        met=met,
        accepts=limit.by,
        by=by,
        low=low,
        expected=expected if known.poured is not None else None,
        opens=opens,
        source=source,
    )


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
        return _second_after(reached_at(readings, poured, days))
    except OverflowError:
        return None


def _measured_at(known: _Known, needed: Decimal) -> datetime | None:
    """When the measured age comes to a strength without another reading; None where it does not."""
    if known.poured is None or known.gain is None:
        return None
    days = known.gain.days_until(float(needed))
    there = days and measured_until(known.readings, known.poured, days, known.gap)
    return _second_after(there) if there else None


def _second_after(at: datetime) -> datetime:
    """The first whole second after a time."""
    return at.replace(microsecond=0) + timedelta(seconds=1)
