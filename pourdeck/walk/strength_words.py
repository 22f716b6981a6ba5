"""Strength in words, and what waits for it: forms that come off, and the panel above."""

from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal

from pourdeck.plan.amounts import as_meant, format_amount, format_computed
from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import PLANNED
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import how_to_confirm, left_out_words, pour_ended
from pourdeck.walk.records import Gate, Walk
from pourdeck.walk.strength import Cured, Need, Result, Strength, strength
from pourdeck.walk.words import clock_text, zone_of

# What is said of the strength of a panel: what the estimate is, what is missing, when it is expected.

CURED: dict[Cured, str] = {"field": "field-cured", "standard": "standard-cured"}
"""Where a specimen was kept: beside its panel, or in the laboratory."""

NO_LIMIT = "no limit given"
ASSUMED = Decimal(int(PLANNED))
UNKNOWN = "its specimen is not in the log, or of another day"

ONLY_AN_ESTIMATE = "an estimate for planning; it never releases a lift"


def mpa(job: Job, value: Decimal | float | None) -> str:
    """A strength in the unit of the job; what was computed to a tenth of a MPa, rounded down.

    9.98 is not shown as the 10.0 that it is still short of.
    """
    if value is None:
        return "not known"
    if isinstance(value, Decimal):
        return literal(format_amount(value, "MPa", job.units))
    down = Decimal(repr(int(value * 10) / 10))
    return literal(format_computed(down, "MPa", job.units, 1))


def celsius(job: Job, value: Decimal | float) -> str:
    """A temperature in the unit of the job."""
    if isinstance(value, Decimal):
        return literal(format_amount(value, "°C", job.units, 1))
    return literal(format_computed(Decimal(repr(value)), "°C", job.units, 1))


def age_text(hours: float | None) -> str:
    """`31.5 h`, from two days on `6 d 4 h`."""
    if hours is None:
        return "not poured"
    if hours < 48:
        return f"{int(hours * 10) / 10} h"
    days, rest = divmod(int(hours), 24)
    return f"{days} d {rest} h"


def assumed(job: Job) -> str:
    """The temperature that is taken where none was measured, in the unit of the job."""
    return literal(format_amount(ASSUMED, "°C", job.units))


def assumed_words(job: Job, found: Strength) -> str:
    """Say what an estimate rests on where nothing was measured; "" where something was."""
    if found.readings:
        return ""
    return f"on an assumed {assumed(job)}: nothing measured"


def basis_words(job: Job, found: Strength) -> str:
    """The basis of the estimate with its temperature in the unit of the job."""
    return found.basis.replace(f"{PLANNED:.0f} °C", assumed(job))


def estimate_words(job: Job, found: Strength) -> str:
    """Say what the estimate is, in a line: never more than an estimate."""
    if found.poured is None:
        return "no pour has ended"
    if found.gain is None:
        return "no estimate: the mix gives no strength or no cement class"
    rough = "rough: under 3 days the standard asks for tests; " if found.rough else ""
    basis = assumed_words(job, found)
    return f"{rough}{f'{basis}; ' if basis else ''}{ONLY_AN_ESTIMATE}"


def when(need: Need, day: date, zone: tzinfo | None) -> str:
    """When a limit is expected to be there, with its date: who reads it may have another day than `day`."""
    return "not to be told" if need.expected is None else when_at(need.expected, day, zone)


def when_at(at: datetime, day: date, zone: tzinfo | None) -> str:
    """`Thu 26 Nov 07:00`, with the year where it is not that of `day`."""
    there = at.astimezone(zone)
    return there.strftime("%a %d %b %H:%M" if there.year == day.year else "%a %d %b %Y %H:%M")


def strip_missing(job: Job, found: Strength, zone: tzinfo | None) -> tuple[str, ...]:
    """List what is still missing before the panel's forms come off, each in a sentence."""
    return _timed_missing(job, found, found.strip, found.needed_strip, zone)


def climb_missing(job: Job, found: Strength, zone: tzinfo | None) -> tuple[str, ...]:
    """List what is still missing before brackets are hung on the panel's anchors, each in a sentence."""
    return _timed_missing(job, found, found.climb, found.needed_climb, zone)


def _timed_missing(
    job: Job, found: Strength, need: Need, needed: Decimal | None, zone: tzinfo | None
) -> tuple[str, ...]:
    if need.met is None:
        return (f"{NO_LIMIT}.",)
    if found.poured is None:
        return ("The end of its pour is not recorded.",)
    said = []
    if need.hours is not None and not need.aged:
        said.append(f"{plain(need.hours)} h since the pour: it is {age_text(found.hours)} old.")
    if needed is not None and need.by is None:
        said += strength_missing(job, found, need, needed, zone)
    elif said:
        said.append(f"Expected {when(need, found.at.astimezone(zone).date(), zone)}.")
    return tuple(said)


def strength_missing(
    job: Job, found: Strength, need: Need, needed: Decimal, zone: tzinfo | None
) -> tuple[str, ...]:
    """Why a strength is not shown and what would show it, each in a sentence."""
    wanted, day = mpa(job, needed), found.at.astimezone(zone).date()
    if need.low is not None:
        return (
            f"{low_words(job, need.low, wanted, zone)}.",
            f"A field-cured test of this panel, later than that one and at {wanted} or above, shows it.",
        )
    if need.accepts == "test":
        said = [f"A test of a field-cured specimen of this panel at {wanted}."]
    elif found.frost:
        said = [
            f"{wanted} by a field-cured test of this panel: {frost_words(job, found, zone)}, and no estimate "
            "counts after frost."
        ]
    elif found.gain is None:
        said = [f"{wanted} by a field-cured test of this panel: the mix gives no estimate."]
    else:
        said = [
            f"{wanted}: {mpa(job, found.measured)} by what was measured. A field-cured test shows it too."
        ]
    if found.poured is None and found.results:
        said.append("The end of its pour is not recorded: no result counts before.")
    said += _of_no_use(found, needed)
    if need.opens is not None:
        said.append(f"Met {when_at(need.opens, day, zone)} by what is measured so far.")
    elif need.expected is not None:
        said.append(f"Worth testing from {when(need, day, zone)}, by the estimate.")
    elif found.poured is not None and found.gain is not None:
        said.append("The estimate never comes to it: by a test only.")
    return tuple(said)


def _of_no_use(found: Strength, needed: Decimal) -> list[str]:
    """Results at a strength that show nothing of the panel itself, and why."""
    enough = [one for one in found.results if found.counts(one) and one.strength >= needed]
    standard = [one for one in enough if one.cured != "field"]
    unknown = [one for one in enough if one.cured == "field" and not found.of_panel(one)]
    said = []
    if standard:
        names = ", ".join(literal(one.name) for one in standard)
        said.append(f"{names}: standard-cured, shows nothing of the panel itself.")
    if unknown:
        names = ", ".join(literal(one.name) for one in unknown)
        said.append(f"{names}: {UNKNOWN}, shows nothing of the panel itself. Record the specimen.")
    return said


def low_words(job: Job, low: Result, wanted: str, zone: tzinfo | None) -> str:
    """`F2, tested 26 Nov 07:00, has 8 MPa: below 10 MPa`."""
    return (
        f"{literal(low.name)}, tested {moment_text(low.at, zone)}, has {mpa(job, low.strength)}: below "
        f"{wanted}"
    )


def frost_words(job: Job, found: Strength, zone: tzinfo | None) -> str:
    """`its fresh concrete was at -1 °C on 26 Nov 05:00`, the coldest reading."""
    worst = min(found.frost, key=lambda one: one.temperature)
    return f"its fresh concrete was at {celsius(job, worst.temperature)} on {moment_text(worst.at, zone)}"


def lift_missing(job: Job, found: Strength, zone: tzinfo | None) -> tuple[str, ...]:
    """List what of strength is still missing before the panel is lifted; the rest is for the engineer."""
    need = found.lift
    if need.met is None or found.needed_lift is None:
        return (f"{NO_LIMIT}: the engineer must give one.",)
    return () if need.met else strength_missing(job, found, need, found.needed_lift, zone)


def met_words(need: Need) -> str:
    """`met by test`, `not met`, or that no limit is given."""
    if need.met is None:
        return NO_LIMIT
    if not need.met:
        return "not met"
    estimate = "met by the estimate, as measured"
    return {"test": "met by test", "estimate": estimate, None: "met"}[need.by]


def asks(job: Job, need: Need) -> str:
    """`10 MPa and 18 h`, what a limit asks for; "" where it asks nothing."""
    return asks_words(job, need.strength, need.hours)


def asks_words(job: Job, strength: Decimal | None, hours: Decimal | None) -> str:
    """`10 MPa and 18 h`; "" where both are None."""
    parts = [mpa(job, as_meant(strength, "MPa", job.units))] if strength is not None else []
    parts += [f"{plain(hours)} h"] if hours is not None else []
    return " and ".join(parts)


def result_verdicts(found: Strength, one: Result) -> tuple[tuple[str, bool | None], ...]:
    """A result against each limit: its name, and whether it shows it; strip only where the job limits it."""
    limits = (
        ("strip", found.needed_strip),
        ("climb", found.needed_climb),
        ("lift", found.needed_lift),
    )
    return tuple(
        (name, found.shows(one, needed))
        for name, needed in limits
        if name != "strip" or needed is not None
    )


def verdict_word(found: Strength, limit: str, one: Result, shown: bool | None) -> str:
    """Why a result does or does not show a limit, in a word or three."""
    if shown is None:
        return NO_LIMIT
    if shown:
        return "shows it"
    if not found.counts(one):
        return "before pour end" if found.poured else "no pour end"
    if not found.of_panel(one):
        return "not field-cured" if one.cured != "field" else "specimen not known"
    needed = {"strip": found.needed_strip, "climb": found.needed_climb, "lift": found.needed_lift}
    enough = needed[limit]
    return "later one below" if enough is not None and one.strength >= enough else "below"


def doubts(job: Job, found: Strength) -> tuple[str, ...]:
    """Results that are below what was estimated for their time: the estimate is then not to be believed."""
    said = []
    for one in found.results:
        estimate = found.estimate_at(one.at)
        if estimate is not None and float(one.strength) < estimate - 0.05:
            said.append(
                f"{literal(one.name)} has {mpa(job, one.strength)} where the estimate was "
                f"{mpa(job, estimate)}: do not plan by the estimate, ask the engineer."
            )
    return tuple(said)


def moment_text(at: datetime, zone: tzinfo | None) -> str:
    """`26 Nov 07:00` in the zone of the site."""
    return at.astimezone(zone).strftime("%d %b %H:%M")


# What the panel below has of strength, told where brackets are to be hung: a test, or the estimate.

FAR = timedelta(days=36_500)


def below_words(job: Job, record: PanelState) -> str:
    """`P1: 12.5 MPa by test, C1, field-cured, 26 Nov 07:00`, else when the estimate comes to the limit.

    The same at any time of day, so that it can be kept: of the estimate it says when, not how much now.
    """
    ended, mark = pour_ended(record), literal(record.mark)
    if ended is None:
        return ""
    zone = zone_of(job, ended.tzinfo)
    found = strength(job, record, ended + FAR)
    if found.field:
        last = found.field[-1].at
        low = min((one for one in found.field if one.at == last), key=lambda one: one.strength)
        value, at = mpa(job, low.strength), moment_text(low.at, zone)
        return f"{mark}: {value} by test, {literal(low.name)}, {CURED[low.cured]}, {at}"
    untested = f"{mark}: no field-cured test"
    if found.climb.by == "estimate" and found.climb.opens is not None:
        at = moment_text(found.climb.opens, zone)
        return f"{untested}; {mpa(job, found.needed_climb)} by what was measured from {at}"
    if found.frost:
        return f"{untested}; {frost_words(job, found, zone)}"
    if found.gain is None:
        return f"{untested}, and the mix gives no estimate"
    assumed = assumed_words(job, found)
    reached = found.comes_to(found.needed_climb)
    if reached is None:
        return f"{untested}; an estimate that never comes to it{f', {assumed}' if assumed else ''}"
    return (
        f"{untested}; only an estimate{f', {assumed};' if assumed else ':'} "
        f"{mpa(job, found.needed_climb)} from {moment_text(reached, zone)}"
    )


# The items that say the forms of a panel are off, and what `limits.strip` says of them.

BELOW, OWN = "strip.forms-off", "close.stripped"
"""Of the panel below, before the panel on it is formed, and of the panel itself, before it is closed."""

FORMS_OFF = frozenset({BELOW, OWN})

STILL_ON = "still on"
"""The answer that says nothing came off."""


def forms_off_note(key: str, job: Job) -> str:
    """Say what the job asks for before forms come off, beside the item of that key; "" beside any other."""
    if key not in (BELOW, OWN):
        return ""
    limit = job.limits.strip
    if not limit.given:
        return NO_LIMIT
    source = job.limits.sources.get("strip")
    wanted = asks_words(job, limit.strength, limit.hours)
    return f"not before {wanted}{f' ({literal(source)})' if source else ''}"


def stripped_early(walk: Walk, key: str, value: object, now: datetime) -> str | None:
    """Why forms that are off now came off too early and what would allow it; None where they did not."""
    record = {BELOW: walk.below, OWN: walk.record}.get(key)
    if record is None or value == STILL_ON:
        return None
    # Loaded here: no other answer needs the sums of strength.
    from pourdeck.walk.strength import strength

    out = walk.clocks.left_out(record.pour_end)
    found = strength(walk.job, record, now, out)
    if found.strip.met is not False:
        return None
    missing = " ".join(strip_missing(walk.job, found, now.tzinfo))
    source = f" ({literal(found.strip.source)})" if found.strip.source else ""
    return (
        f"Too early for the forms of {literal(record.mark)} to come off{source}. Missing: "
        f"{missing}{left_out_words(out)}"
    )


# The gate that the strength of the panel below puts before a panel: open, or what opens it and when.


def strength_gate(
    job: Job,
    mark: str,
    under: str,
    record: PanelState,
    now: datetime,
    *,
    answered: bool,
    out: timedelta = timedelta(),
) -> Gate | None:
    """Give what waits for the strength of a panel whose pour has ended, `under`; None where nothing does.

    `answered`: it was read and passed in the walk of `mark`, as older logs have it. That opens the gate
    where the log has no result of `under` at all, and no frost. The hours are waited for here only where
    the strength is too. `out`: so much of its age nobody can be sure of.
    """
    found = strength(job, record, now, out)
    need = found.climb
    if found.needed_climb is None or need.by is not None:
        return None
    if answered and not found.results and not found.frost:
        return None
    both = need.hours is not None and not need.aged
    what = "the hours and the strength" if both else "the strength"
    body = _body(job, mark, under, found, now) + how_to_confirm(out)
    return Gate(
        refusal=Refusal(title=f"{mark} waits for {what} of {under}.", body=body),
        until=None if need.opens is None else need.opens.astimezone(now.tzinfo) + out,
    )


def _body(job: Job, mark: str, under: str, found: Strength, now: datetime) -> str:
    """Say what opens the gate, why it is shut, and when something is worth doing about it."""
    need, wanted = found.climb, mpa(job, found.needed_climb)
    source = f" ({literal(need.source)})" if need.source else ""
    test = f"field-cured test of {under} shows {wanted}{source}"
    hours = f", and {plain(need.hours)} h after {under}'s pour end" if need.hours else ""
    if need.low is not None:
        low = low_words(job, need.low, wanted, now.tzinfo)
        return f"{low}{source}. {mark} may be formed when a later {test}{hours}."
    if need.accepts == "test":
        said = f"{mark} may be formed when a {test}{hours}."
    elif found.frost:
        frost = frost_words(job, found, now.tzinfo)
        return f"{mark} may be formed when a {test}{hours}: {frost}, and no estimate counts after frost."
    else:
        said = (
            f"{mark} may be formed when a {test} or what was measured comes to it{hours}; it is "
            f"{mpa(job, found.measured)} now."
        )
    return f"{said} {_when(job, under, found, now)}"


def _when(job: Job, under: str, found: Strength, now: datetime) -> str:
    """When it opens by the clock, or from when a test is worth making."""
    need = found.climb
    if need.opens is not None:
        at = clock_text(need.opens.astimezone(now.tzinfo), now.date())
        return f"By what is measured so far that is {at}."
    if found.gain is None:
        return "The mix gives no estimate."
    if need.expected is None:
        return f"By the estimate {under} never comes to it."
    at = clock_text(need.expected.astimezone(now.tzinfo), now.date())
    assumed = assumed_words(job, found)
    return f"Worth testing from {at}, by the estimate{f', {assumed}' if assumed else ''}."
