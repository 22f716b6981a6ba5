"""Temperatures out of a logger's file: all of its readings as moments and °C, or none and why not.

How each thing was read that the file does not say is said: the zone of the site where times have no offset,
the day, the order of dates, the unit. What cannot be known is asked for, see `logger_cells`.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from statistics import median

from attrs import frozen

from pourdeck.plan.messages import Refusal, must, refusable, stop_if
from pourdeck.plan.numbers import tidy
from pourdeck.plan.records import Units
from pourdeck.walk.logger_cells import (
    MOST_BYTES,
    Degrees,
    Given,
    Pour,
    Stamp,
    decoded,
    fault,
    line_words,
    offset_text,
    shown,
)
from pourdeck.walk.logger_days import dated
from pourdeck.walk.logger_table import Line, Sheet, order_of, read_sheet
from pourdeck.walk.logger_units import to_celsius, unit_of
from pourdeck.walk.quantities import COLDEST, HOTTEST

# Times without an offset: by what the file says of its zone, else in the zone of the site.
#
# In the zone of the site there are hours that occur twice, and those that never were.

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


# Temperatures out of a logger's file: all of its readings as moments and °C, or none and why not.

NEAR_POUR = timedelta(hours=6)
"""So long after the pour began the concrete is still about as warm as it came."""


@frozen(kw_only=True)
class Temperatures:
    """`readings` rise in time, °C, and were written in `unit`. `said`: how the file was read, in sentences.

    The numbers of the lines that were not taken: `over` are no readings, `repeated` stand twice, `headings`.
    """

    readings: tuple[tuple[datetime, Decimal], ...]
    said: tuple[str, ...]
    unit: Degrees
    over: tuple[int, ...] = ()
    repeated: tuple[int, ...] = ()
    headings: tuple[int, ...] = ()


@refusable
def read_temperatures(
    text: str,
    units: Units,
    zone: tzinfo,
    now: datetime,
    pour: Pour | None = None,
    given: Given | None = None,
) -> Temperatures | Refusal:
    """All readings of a text in the layout of its own, none of them later than `now`."""
    pour, given = pour or Pour(), given or Given()
    sheet = must(read_sheet(text, given))
    sheet, of_day = must(dated(sheet, pour, zone, now, given))
    lines = list(sheet.lines)
    ordered = must(order_of(lines, pour, zone, now, given))
    said = [sheet.columns.said, of_day, ordered.said]
    walls = [_stamp(line).moment(ordered.order) for line in lines]
    offset, of_offset = must(offset_told(sheet, zone))
    if offset:
        walls = [_with_offset(wall, offset) for wall in walls]
    if len(walls) > 1 and _rank(walls[0]) > _rank(walls[-1]):
        lines, walls = lines[::-1], walls[::-1]
        said.append("The newest stood first.")
    at, of_zone = must(_moments(lines, walls, zone))
    said.append(of_zone or of_offset)
    # Shown and kept by the clocks of the site, whichever the logger's was.
    at = [datetime.fromisoformat(one.astimezone(zone).isoformat()) for one in at]
    values, unit, of_unit = must(_in_celsius(lines, at, sheet, units, pour, given))
    said.append(of_unit)
    readings, repeated = must(_rising(lines, at, values, unit))
    stop_if(_not_yet(lines, at, now))
    if repeated:
        said.append(f"Repeated with the same temperature, taken once: {line_words(repeated)}.")
    over = tuple(row.number for row in (*sheet.above, *sheet.below))
    if over:
        said.append(_over_said(sheet))
    return Temperatures(
        readings=readings,
        said=tuple(one for one in said if one),
        unit=unit,
        over=tuple(sorted(over)),
        repeated=repeated,
        headings=sheet.headings,
    )


def _stamp(line: Line) -> Stamp:
    assert line.stamp is not None
    return line.stamp


def _over_said(sheet: Sheet) -> str:
    """`Lines 1 to 3 and 504 passed over, no readings: End of data.`"""
    rows = sorted((*sheet.above, *sheet.below), key=lambda row: row.number)
    words = line_words(tuple(row.number for row in rows))
    last = f": {shown(sheet.below[-1].text, 40)}" if sheet.below else ""
    return f"{words.capitalize()} passed over, no readings{last}."


def _with_offset(wall: datetime, offset: str) -> datetime:
    return wall if wall.tzinfo else datetime.fromisoformat(wall.isoformat() + offset)


def _rank(wall: datetime) -> datetime:
    """To tell which of two times of one file is later, roughly."""
    return wall.replace(tzinfo=None)


@refusable
def _moments(
    lines: Sequence[Line], walls: Sequence[datetime], zone: tzinfo
) -> tuple[list[datetime], str] | Refusal:
    """Each time with its offset, and how those without one were taken."""
    bare = [n for n, wall in enumerate(walls) if wall.tzinfo is None]
    if not bare:
        return list(walls), ""
    if len(bare) < len(walls):
        other = "without" if walls[0].tzinfo else "with"
        odd = next(
            n for n, wall in enumerate(walls) if (wall.tzinfo is None) != (walls[0].tzinfo is None)
        )
        return fault(
            lines[odd].number,
            f"{_stamp(lines[odd]).text} is {other} an offset, unlike those above it",
            "Write all times in one way.",
            lines[odd].text,
        )
    found = moments(walls, zone)
    if isinstance(found, NoMoment):
        line = lines[found.index]
        return fault(
            line.number,
            f"{_stamp(line).text}: {found.why}",
            "Write times with their offset, such as 2026-04-05 02:30+10:00.",
            line.text,
        )
    return found, f"Times have no offset: taken in the zone of the site, {zone}."


@refusable
def _in_celsius(
    lines: Sequence[Line],
    at: Sequence[datetime],
    sheet: Sheet,
    units: Units,
    pour: Pour,
    given: Given,
) -> tuple[list[Decimal], Degrees, str] | Refusal:
    """Each value in °C, their unit, and by what it is known where the file does not name it plainly."""
    columns = sheet.columns
    first = None
    if pour.began is not None:
        near = [n for n, one in enumerate(at) if pour.began <= one <= pour.began + NEAR_POUR]
        first = lines[near[0]].value if near else None
    unit, by = must(
        unit_of(
            sorted(
                ((line.number, line.text, line.value, line.degrees) for line in lines),
                key=lambda one: one[0],
            ),
            columns.degrees,
            columns.heading,
            (*sheet.above, *sheet.below),
            given,
            units,
            pour,
            first,
        )
    )
    values = []
    for line in lines:
        value = to_celsius(line.value, unit)
        if not COLDEST <= value <= HOTTEST:
            return fault(
                line.number,
                f"{line.value} {unit} is no temperature of concrete in a form",
                "Look at the probe and at the unit of the column, and put it right or take the line out.",
                line.text,
            )
        values.append(tidy(value))
    if by == "as it names none":
        return values, unit, f"The file names no unit: taken as {unit}, the unit of the job."
    if by == "by its heading":
        return values, unit, "" if unit == "°C" else f"Temperatures are in {unit}."
    return values, unit, f"Temperatures are in {unit}, {by}."


def _rising(
    lines: Sequence[Line], at: Sequence[datetime], values: Sequence[Decimal], unit: Degrees
) -> tuple[tuple[tuple[datetime, Decimal], ...], tuple[int, ...]] | Refusal:
    """The readings, each time once, and the lines that repeat one."""
    found: list[tuple[datetime, Decimal]] = []
    repeated: list[int] = []
    kept: Line | None = None
    for line, moment, value in zip(lines, at, values, strict=True):
        text = _stamp(line).text
        if kept is not None and moment == found[-1][0]:
            if value != found[-1][1]:
                first, last = sorted((kept, line), key=lambda one: one.number)
                return fault(
                    last.number,
                    f"{text} stands twice, with {last.value} {unit} here and {first.value} {unit} on line "
                    f"{first.number}",
                    "Take one of the two lines out.",
                    last.text,
                )
            repeated.append(line.number)
            continue
        if found and moment < found[-1][0]:
            return fault(
                line.number,
                f"{text} is out of order",
                "Times must rise from line to line, or fall.",
                line.text,
            )
        found.append((moment, value))
        kept = line
    return tuple(found), tuple(sorted(repeated))


def _not_yet(lines: Sequence[Line], at: Sequence[datetime], now: datetime) -> Refusal | None:
    for line, moment in zip(lines, at, strict=True):
        if moment > now + timedelta(minutes=1):
            return fault(
                line.number,
                f"{_stamp(line).text} is still to come",
                "Look at the clock of the logger, at its year and at its time zone.",
                line.text,
            )
    return None


def read_logger(
    path: Path, units: Units, now: datetime, pour: Pour | None = None, given: Given | None = None
) -> Temperatures | Refusal:
    """The readings of a file on disk; times without an offset in the zone of `now`, that of the site."""
    try:
        if path.exists() and not path.is_file():
            # A pipe would be waited for.
            raise OSError("it is no ordinary file")
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        return Refusal(
            title=f"The file cannot be read: {why}.",
            body="Give its whole name with its folder, or paste its text.",
        )
    if len(raw) > MOST_BYTES:
        return Refusal(
            title="This file is too long for the readings of one panel.",
            body="Export fewer days, or a reading every few minutes.",
        )
    text = decoded(raw)
    if isinstance(text, Refusal):
        return text
    assert now.tzinfo is not None
    return read_temperatures(text, units, now.tzinfo, now, pour, given)
