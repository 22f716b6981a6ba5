"""Temperatures out of a logger's file: all of its readings as moments and °C, or none and why not.

How each thing was read that the file does not say is said: the zone of the site where times have no offset,
the day, the order of dates, the unit. What cannot be known is asked for, see `logger_asked`.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta, tzinfo
from decimal import Decimal
from pathlib import Path

from attrs import frozen

from pourdeck.plan.numbers import tidy
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.walk.logger_asked import Degrees, Given, Pour, fault, line_words, shown
from pourdeck.walk.logger_dates import Stamp
from pourdeck.walk.logger_days import dated
from pourdeck.walk.logger_order import order_of
from pourdeck.walk.logger_table import Line, Sheet, read_sheet
from pourdeck.walk.logger_text import MOST_BYTES, decoded
from pourdeck.walk.logger_units import to_celsius, unit_of
from pourdeck.walk.logger_zone import NoMoment, moments, offset_told
from pourdeck.walk.quantities import COLDEST, HOTTEST

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
