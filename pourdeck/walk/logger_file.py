"""Temperatures out of a logger's file: all of its readings as moments and °C, or none and why not.

What is not written in the file is taken from the job, and said: the zone of the site where times have no
offset, the unit of the job where no column and no value names one.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta, tzinfo
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from statistics import median

from attrs import frozen

from pourdeck.plan.amounts import PAIRS, from_other
from pourdeck.plan.numbers import tidy
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.walk.logger_dates import WORDS, Order, Unclear, order_of
from pourdeck.walk.logger_table import Degrees, Line, Sheet, fault, read_sheet
from pourdeck.walk.logger_zone import NoMoment, moments
from pourdeck.walk.words import count_of

COLDEST, HOTTEST = Decimal(-20), Decimal(95)
"""°C of concrete that sets and is not steamed: outside them the probe or the unit is wrong."""

MOST_BYTES = 4_000_000

ENCODINGS = ("utf-8-sig", "cp1252")


@frozen(kw_only=True)
class Temperatures:
    """`readings` rise in time, °C. `said`: how the file was read, in sentences for people."""

    readings: tuple[tuple[datetime, Decimal], ...]
    said: tuple[str, ...]


def decoded(raw: bytes) -> str | Refusal:
    """The text of a file, whichever of the usual encodings it has."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return raw.decode("utf-16")
        except UnicodeDecodeError:
            return Refusal(title="This is no text file.", body="Export the readings as CSV.")
    for encoding in ENCODINGS:
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    return Refusal(title="This is no text file.", body="Export the readings as CSV.")


@refusable
def read_temperatures(
    text: str, units: Units, zone: tzinfo, now: datetime
) -> Temperatures | Refusal:
    """All readings of a text in the layout of its own, none of them later than `now`."""
    sheet = must(read_sheet(text.lstrip("\ufeff")))
    lines, order = must(_in_one_order(sheet))
    said = [_dates_said(lines, order)]
    if sheet.above:
        said.append(f"{count_of(sheet.above, 'line')} above the readings left out.")
    walls = [line.stamp.moment(order) for line in lines]
    if sheet.columns.offset:
        walls = [_with_offset(wall, sheet.columns.offset) for wall in walls]
    falls = len(walls) > 1 and _rank(walls[0]) > _rank(walls[-1])
    if falls:
        lines, walls = lines[::-1], walls[::-1]
        said.append("The newest stood first.")
    at, of_zone = must(_moments(lines, walls, zone))
    said.append(of_zone)
    values, of_scale = must(_in_celsius(lines, sheet, units))
    said.append(of_scale)
    readings, repeated = must(_rising(lines, at, values))
    stop_if(_not_yet(lines, at, now))
    if repeated:
        said.append(f"{repeated} repeated, with the same temperature: taken once.")
    if gap := _gap(readings):
        said.append(gap)
    return Temperatures(readings=readings, said=tuple(one for one in said if one))


@refusable
def _in_one_order(sheet: Sheet) -> tuple[list[Line], Order] | Refusal:
    lines = list(sheet.lines)
    order = order_of([line.stamp for line in lines])
    if isinstance(order, int):
        return fault(
            lines[order].number,
            f"{lines[order].stamp.text} is no date as those above it are written",
            "Put it right.",
        )
    if isinstance(order, Unclear):
        return fault(
            lines[order.index].number,
            f"{lines[order.index].stamp.text} is {order.first:%d %B %Y} or {order.second:%d %B %Y}",
            "Write dates as 2026-11-25: no line of the file shows which it is.",
        )
    return lines, order


def _dates_said(lines: Sequence[Line], order: Order) -> str:
    """How dates were read, where they could have been read in another way."""
    plain = all(len(set(line.stamp.dates)) == 3 for line in lines)
    return "" if plain else f"Dates are {WORDS[order]}."


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
            f"{lines[odd].stamp.text} is {other} an offset, unlike those above it",
            "Write all times in one way.",
        )
    found = moments(walls, zone)
    if isinstance(found, NoMoment):
        line = lines[found.index]
        return fault(
            line.number,
            f"{line.stamp.text}: {found.why}",
            "Write times with their offset, such as 2026-04-05 02:30+10:00.",
        )
    return found, f"Times have no offset: taken in the zone of the site, {zone}."


@refusable
def _in_celsius(
    lines: Sequence[Line], sheet: Sheet, units: Units
) -> tuple[list[Decimal], str] | Refusal:
    """Each value in °C, and by what it was taken so."""
    named = sheet.columns.degrees
    values = []
    bare = False
    own: Degrees = "°F" if units == "imperial" else "°C"
    for line in lines:
        if named and line.degrees and line.degrees != named:
            return fault(line.number, f"{line.degrees} in a column of {named}", "Put it right.")
        scale = line.degrees or named
        bare = bare or scale is None
        value = line.value
        if (scale or own) == "°F":
            value = from_other(value, PAIRS["°C"])
        if not COLDEST <= value <= HOTTEST:
            shown = f"{line.value} {scale or own}"
            return fault(
                line.number,
                f"{shown} is no temperature of concrete in a form",
                "Look at the probe and at the unit of the column, and put it right.",
            )
        values.append(tidy(value))
    if bare:
        return values, f"The file names no unit: taken as {own}, the unit of the job."
    return values, "Temperatures are in °F." if "°F" in {
        named,
        *(one.degrees for one in lines),
    } else ""


def _rising(
    lines: Sequence[Line], at: Sequence[datetime], values: Sequence[Decimal]
) -> tuple[tuple[tuple[datetime, Decimal], ...], int] | Refusal:
    """The readings, each time once, and how many were repeated."""
    found: list[tuple[datetime, Decimal]] = []
    repeated = 0
    for line, moment, value in zip(lines, at, values, strict=True):
        if found and moment == found[-1][0]:
            if value != found[-1][1]:
                return fault(
                    line.number,
                    f"{line.stamp.text} stands twice, with {found[-1][1]} °C and {value} °C",
                    "Take one of the lines out.",
                )
            repeated += 1
            continue
        if found and moment < found[-1][0]:
            return fault(
                line.number,
                f"{line.stamp.text} is out of order",
                "Times must rise from line to line, or fall.",
            )
        found.append((moment, value))
    return tuple(found), repeated


def _not_yet(lines: Sequence[Line], at: Sequence[datetime], now: datetime) -> Refusal | None:
    for line, moment in zip(lines, at, strict=True):
        if moment > now + timedelta(minutes=1):
            return fault(
                line.number,
                f"{line.stamp.text} is still to come",
                "Look at the clock of the logger, at its year and at its time zone.",
            )
    return None


def _gap(readings: Sequence[tuple[datetime, Decimal]]) -> str:
    """The longest time without a reading, where it is much longer than the rest."""
    steps = [(b[0] - a[0], a[0]) for a, b in pairwise(readings)]
    if len(steps) < 2:
        return ""
    usual = median([step.total_seconds() for step, _ in steps])
    longest, since = max(steps)
    if longest.total_seconds() < 3 * usual:
        return ""
    hours = longest / timedelta(hours=1)
    return (
        f"{hours:.1f} h without a reading from {since:%d %b %H:%M}: the temperature is taken straight "
        "across."
    )


def read_logger(path: Path, units: Units, now: datetime) -> Temperatures | Refusal:
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
    return read_temperatures(text, units, now.tzinfo, now)
