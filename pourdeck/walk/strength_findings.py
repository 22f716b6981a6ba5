"""Findings of a panel's strength, and what of its temperatures was not measured."""

from collections.abc import Sequence
from datetime import datetime, timedelta, tzinfo
from itertools import pairwise
from typing import Literal, NamedTuple

from attrs import frozen

from pourdeck.plan.messages import Finding, Severity, Spot
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import COLDEST, HOTTEST, Reading
from pourdeck.walk.strength import COLD, Strength
from pourdeck.walk.strength_words import (
    age_text,
    celsius,
    doubts,
    frost_words,
    low_words,
    moment_text,
    mpa,
)

# What was not measured of a panel's concrete, between the end of its pour and now.
#
# The estimate takes the first reading for the time before it, the last one for the time after it, and goes
# straight across what is between. What was measured leaves all of it out. How long that is is said here.

LONG = timedelta(hours=2)
"""More than so long without a reading is a warning, where the job gives no other `limits.temperature_gap`.

ASTM C1074 asks for a reading every half hour in the first two days and every hour after them (from memory).
Twice that is let pass. In more of it a panel that warms by its own heat goes up by several K, and each K is
about 5 per cent of the age that it gains in that time (B.10 near 20 °C).
"""

SHORTEST = timedelta(minutes=30)
"""Where a file is read, a gap is told from three times its usual step on, and not below this."""

HOUR = timedelta(hours=1)


@frozen(kw_only=True, repr=False)
class Gap:
    """`begin`: before the first reading. `hole`: between two. `end`: after the last one."""

    kind: Literal["begin", "hole", "end"]
    since: datetime
    until: datetime

    @property
    def length(self) -> timedelta:
        return self.until - self.since


def gaps_of(found: Strength) -> tuple[Gap, ...]:
    """The gaps under an estimate; none where it says itself that nothing was read."""
    if found.poured is None or not found.readings:
        return ()
    return gaps(found.readings, found.poured, found.at, found.gap)


def gaps(
    readings: Sequence[Reading],
    start: datetime,
    end: datetime,
    longer: timedelta,
    hole: timedelta | None = None,
) -> tuple[Gap, ...]:
    """Find where there is no reading for `longer` between `start` and `end`. `readings` rise in time.

    `hole`: how long a gap between two readings may be, where that is another time.
    """
    if not readings or end <= start:
        return ()
    first, last = readings[0].at, readings[-1].at
    found = [Gap(kind="begin", since=start, until=min(first, end))] if first > start else []
    found += [
        Gap(kind="hole", since=max(one.at, start), until=min(two.at, end))
        for one, two in pairwise(readings)
        if two.at > start and one.at < end
    ]
    found.append(Gap(kind="end", since=max(last, start), until=end))
    most = {"hole": hole or longer}
    return tuple(one for one in found if one.length > most.get(one.kind, longer))


def longest_usual(readings: Sequence[datetime], longest: timedelta = LONG) -> timedelta:
    """Give how long a gap in the readings of one file may be before it is told; at most `longest`."""
    steps = sorted(two - one for one, two in pairwise(readings))
    if not steps:
        return longest
    return min(longest, max(SHORTEST, 3 * steps[len(steps) // 2]))


def gap_words(
    found: Sequence[Gap], zone: tzinfo | None, allowed: timedelta = LONG
) -> tuple[str, ...]:
    """Say what is missing and what is taken instead, a sentence for the begin, the holes and the end."""
    said = [
        f"First reading {_at(one.until, zone)}, {_hours(one)} after the pour ended: the same is taken for "
        "the time before it."
        for one in found
        if one.kind == "begin"
    ]
    holes = [one for one in found if one.kind == "hole"]
    if holes:
        longest = max(holes, key=lambda one: one.length)
        since = _at(longest.since, zone)
        if len(holes) == 1:
            said.append(f"{_hours(longest)} without a reading from {since}: taken straight across.")
        else:
            shortest = min(one.length for one in holes)
            more = f"{shortest / HOUR:.1f} h or more"
            if shortest > allowed:
                more = f"more than {allowed / HOUR:g} h"
            said.append(
                f"{len(holes)} times {more} without a reading, longest {_hours(longest)} from {since}: taken "
                "straight across."
            )
    said += [
        f"Last reading {_at(one.since, zone)}, {_hours(one)} before {_at(one.until, zone)}: it is taken to "
        "have stayed so."
        for one in found
        if one.kind == "end"
    ]
    return tuple(said)


def unmeasured_words(found: Sequence[Gap], hours: float | None) -> str:
    """`3 d 6 h of 3 d 20 h not measured`; "" where all is."""
    total = sum((one.length for one in found), timedelta(0))
    return f"{age_text(total / HOUR)} of {age_text(hours)} not measured" if found else ""


def gap_codes(found: Sequence[Gap]) -> tuple[str, ...]:
    """A code for each sentence of `gap_words`."""
    codes = {"begin": "temperatures-late", "hole": "temperatures-gap", "end": "temperatures-ended"}
    return tuple(dict.fromkeys(codes[one.kind] for one in found))


def _at(moment: datetime, zone: tzinfo | None) -> str:
    return f"{moment.astimezone(zone):%d %b %H:%M}"


def _hours(one: Gap) -> str:
    return age_text(one.length / HOUR)


# What is wrong with the strength of a panel: errors first, then what its estimate does not know.


class Trouble(NamedTuple):
    code: str
    severity: Severity
    words: str


def strength_findings(job: Job, spot: Spot, found: Strength) -> tuple[Finding, ...]:
    """Everything that is wrong, as findings of the panel at `spot`."""
    every = (*troubles(job, found, found.at.tzinfo), *missed(found, found.at.tzinfo))
    return tuple(
        spot.error(one.code, one.words)
        if one.severity == "error"
        else spot.warning(one.code, one.words)
        for one in every
    )


HARM = frozenset({"test-below", "frost", "temperature-range", "cold"})
"""Codes of what is wrong with the concrete itself, whatever its estimate knows."""


def harm(job: Job, spot: Spot, found: Strength) -> tuple[Finding, ...]:
    """Find what is wrong with the concrete of a panel, for the findings of the job."""
    return tuple(one for one in strength_findings(job, spot, found) if one.code in HARM)


def troubles(job: Job, found: Strength, zone: tzinfo | None) -> tuple[Trouble, ...]:
    """Results below their limit, temperatures that harm or that the formula does not hold for, doubts."""
    said = []
    for name, need, needed in (
        ("strip", found.strip, found.needed_strip),
        ("climb", found.climb, found.needed_climb),
    ):
        if need.low is not None and needed is not None:
            words = low_words(job, need.low, f"{mpa(job, needed)}, the limit for the {name}", zone)
            said.append(
                Trouble(
                    "test-below",
                    "error",
                    f"{words}. No estimate and no earlier result counts: test another field-cured specimen.",
                )
            )
    if found.frost:
        said.append(
            Trouble(
                "frost",
                "error",
                f"Frost: {frost_words(job, found, zone)}. Its estimate opens no climb: a field-cured test "
                "must show the strength. Tell the engineer.",
            )
        )
    if found.out_of_range is not None:
        low, high = (celsius(job, one) for one in found.out_of_range)
        least, most = (celsius(job, one) for one in (COLDEST, HOTTEST))
        said.append(
            Trouble(
                "temperature-range",
                "error",
                f"Concrete from {low} to {high}: the formula holds from {least} to {most}. Time outside that "
                "counts as no age. The engineer decides what it means.",
            )
        )
    if found.cold:
        worst = min(found.cold, key=lambda one: one.temperature)
        said.append(
            Trouble(
                "cold",
                "warning",
                f"Fresh concrete at {celsius(job, worst.temperature)} on {moment_text(worst.at, zone)}, "
                f"below {celsius(job, COLD)}: keep it warm.",
            )
        )
    return (*said, *(Trouble("below-estimate", "warning", one) for one in doubts(job, found)))


def missed(found: Strength, zone: tzinfo | None) -> tuple[Trouble, ...]:
    """List what was not measured under the estimate."""
    gone = gaps_of(found)
    words = gap_words(gone, zone, found.gap)
    return tuple(
        Trouble(code, "warning", said) for code, said in zip(gap_codes(gone), words, strict=True)
    )
