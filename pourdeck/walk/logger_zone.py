"""Times without an offset: by what the file says of its zone, else in the zone of the site.

In the zone of the site there are hours that occur twice, and those that never were.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from statistics import median

from attrs import frozen

from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_asked import fault
from pourdeck.walk.logger_dates import offset_text
from pourdeck.walk.logger_table import Sheet

HOURLY = timedelta(minutes=50)
"""Readings that are so far apart may show the same time twice when clocks go back."""


@frozen(kw_only=True)
class NoMoment:
    """A time of the wall clock that is no one moment, its place, and why."""

    index: int
    why: str


def moments(walls: Sequence[datetime], zone: tzinfo) -> list[datetime] | NoMoment:
    """Rising times of a wall clock with their offset.

    In the hour that occurs twice when clocks go back, the place where the times themselves go back says
    which is which; where they do not, it cannot be told. Only hourly readings can go back by standing
    still: in others the same time again is a line that is repeated.
    """
    hourly = _usual_step(walls) >= HOURLY
    found: list[datetime] = []
    index = 0
    while index < len(walls):
        wall = walls[index]
        if _skipped(wall, zone):
            return NoMoment(index=index, why="clocks went forward: this time never was")
        if not _twice(wall, zone):
            found.append(wall.replace(tzinfo=zone))
            index += 1
            continue
        end = index
        while end < len(walls) and _twice(walls[end], zone):
            end += 1
        group = walls[index:end]
        back = [n for n in range(1, len(group)) if _goes_back(group[n - 1], group[n], hourly)]
        if len(back) != 1:
            return NoMoment(
                index=index,
                why="clocks went back: this time was twice, and the readings do not show which it is",
            )
        found += [one.replace(tzinfo=zone, fold=int(n >= back[0])) for n, one in enumerate(group)]
        index = end
    return [datetime.fromisoformat(one.isoformat()) for one in found]


def _usual_step(walls: Sequence[datetime]) -> timedelta:
    steps = [(b - a).total_seconds() for a, b in pairwise(walls) if b > a]
    return timedelta(seconds=median(steps)) if steps else timedelta(0)


def _goes_back(before: datetime, after: datetime, hourly: bool) -> bool:
    return after < before or (hourly and after == before)


def _twice(wall: datetime, zone: tzinfo) -> bool:
    first, second = (wall.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first != second and not _skipped(wall, zone)


def _skipped(wall: datetime, zone: tzinfo) -> bool:
    there = wall.replace(tzinfo=zone)
    return there.astimezone(UTC).astimezone(zone).replace(tzinfo=None, fold=0) != wall


_OFFSET = re.compile(
    r"\b(?:UTC|GMT)(?:[\s:]*([+-] ?[0-9]{1,2}(?::?[0-9]{2})?))?(?![0-9])", re.IGNORECASE
)
_ZONE = re.compile(
    r"time ?-?zone|zeitzone|\btz\b|\butc offset|all times|times? (?:are |is )?in\b", re.IGNORECASE
)
_SHORT = re.compile(
    r"(?:^|[\s(\[,/])((?:E|C|M|P|AK|AE|AC|NZ)[SD]T|AWST|HST|CES?T|WES?T|EES?T|BST|IST|JST|SAST|MES?Z|MSK|SGT|HKT)"
    r"(?=$|[\s)\],;/])"
)
"""Short names of zones, of which some stand for two."""

_GERMAN = {"MEZ": "CET", "MESZ": "CEST"}


def offset_in(words: str) -> str:
    """The offset that a heading names: `+10:00` of `Time, GMT+10`; "" where it names none."""
    found = _OFFSET.search(words)
    return "" if found is None else offset_text((found[1] or "+0").replace(" ", ""))


def offset_told(sheet: Sheet, zone: tzinfo) -> tuple[str, str] | Refusal:
    """The offset of all times that the heading names, or a line that is no reading; "" where none does."""
    words, heading = sheet.columns.time_words, sheet.columns.heading
    told: list[tuple[int, str, str]] = []
    if heading is not None and (offset := offset_in(words)):
        told.append((heading.number, offset, heading.text))
    told += [
        (row.number, offset, row.text)
        for row in (*sheet.above, *sheet.below)
        if _ZONE.search(row.text) and (offset := offset_in(row.text))
    ]
    if told:
        first = told[0]
        for number, offset, text in told[1:]:
            if offset != first[1]:
                why = f"it says an offset of {offset}, and line {first[0]} one of {first[1]}"
                return fault(number, why, "Leave the one that is true.", text)
        return first[1], f"Times have the offset {first[1]}, by line {first[0]}."
    short = found[1] if (found := _SHORT.search(words)) else None
    if short is None or heading is None:
        return "", ""
    for month in (1, 7):
        there = datetime(2026, month, 1, 12, tzinfo=zone)
        if there.tzname() == _GERMAN.get(short, short):
            offset = there.isoformat()[-6:]
            return offset, f"Times have the offset {offset}, {short} by line {heading.number}."
    return fault(
        heading.number,
        f"times in {short}, which is not a time of the site ({zone})",
        "Write its offset instead, such as Time (UTC+10).",
        heading.text,
    )
