"""Readings whose file has no dates: a time of day alone, or what has passed since a start.

A time of day is taken from the day on which the pour ended, over midnight as often as it falls back, where no
other day can be meant. What has passed since a start needs that start: from a line of the file that names
it, or from somebody. When the logger was started is not when the pour was.
"""

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise

from attrs import evolve

from pourdeck.plan.messages import Refusal, must, refusable, stop_if
from pourdeck.walk.clock import read_time
from pourdeck.walk.logger_cells import (
    NOTHING,
    ORDERS,
    Given,
    Order,
    Pour,
    Question,
    Row,
    Stamp,
    fault,
    read_clock,
    read_date,
    read_stamp,
    shown,
)
from pourdeck.walk.logger_heading import Columns
from pourdeck.walk.logger_table import Line, Sheet
from pourdeck.walk.logger_units import read_cell

OVERNIGHT = timedelta(hours=6)
"""A time of day that falls back by so much is of the next day; by less it is out of order. Between the last
reading of an evening and the first of a morning there are 18 hours at most. Common practice, no source."""

DAY = timedelta(days=1)

_SPAN = re.compile(r"([0-9]{1,4}):([0-5][0-9])(?::([0-5][0-9])(?:[.,][0-9]+)?)?", re.ASCII)
_STEPS: tuple[tuple[str, timedelta], ...] = (
    (r"\bm(?:in|ins|inutes?)?\b", timedelta(minutes=1)),
    (r"\bs(?:ec|ecs|econds?|ekunden?)?\b", timedelta(seconds=1)),
    (r"\b(?:h|hrs?|hours?|std|stunden?)\b", timedelta(hours=1)),
    (r"\b(?:d|days?|tage?)\b", timedelta(days=1)),
)
_START = re.compile(r"start|begin|began|launch|first|\bdate|datum|\bday\b", re.IGNORECASE)


@refusable
def dated(
    sheet: Sheet, pour: Pour, zone: tzinfo, now: datetime, given: Given
) -> tuple[Sheet, str] | Refusal:
    """The sheet with a date at each of its times, and how it was found."""
    if sheet.columns.kind == "stamp":
        return sheet, ""
    if sheet.columns.kind == "clock":
        lines, said = must(_by_clock(sheet, pour, zone, now, given))
    else:
        lines, said = must(_by_span(sheet, pour, zone, given))
    return evolve(sheet, lines=tuple(lines)), said


@refusable
def _by_clock(
    sheet: Sheet, pour: Pour, zone: tzinfo, now: datetime, given: Given
) -> tuple[list[Line], str] | Refusal:
    clocks = [must(_clock(line)) for line in sheet.lines]
    lines = list(sheet.lines)
    falls = sum(_falls(a, b) for a, b in pairwise(clocks))
    rises = sum(_falls(b, a) for a, b in pairwise(clocks))
    if falls > rises:
        clocks, lines = clocks[::-1], lines[::-1]
    days = must(_days(lines, clocks))
    day, by = must(_first_day(sheet.above, lines[0], clocks, days, pour, zone, now, given))
    stamped = [
        evolve(line, stamp=_stamp(line, day + n * DAY, clock))
        for line, n, clock in zip(lines, days, clocks, strict=True)
    ]
    return stamped, f"Times have no date: the first one is taken on {day:%d %b %Y}, {by}."


def _stamp(line: Line, day: date, clock: time, offset: str = "") -> Stamp:
    return Stamp(dates=dict.fromkeys(ORDERS, day), clock=clock, offset=offset, text=line.written)


def _clock(line: Line) -> time | Refusal:
    clock = read_clock(line.written)
    if clock is None:
        return fault(
            line.number,
            f"{shown(line.written)} is no time of day",
            "Put it right, or take the line out.",
            line.text,
        )
    return clock


def _since(clock: time) -> timedelta:
    return timedelta(hours=clock.hour, minutes=clock.minute, seconds=clock.second)


def _falls(before: time, after: time) -> bool:
    """By less than a night."""
    return timedelta(0) < _since(before) - _since(after) < OVERNIGHT


def _days(lines: Sequence[Line], clocks: Sequence[time]) -> list[int] | Refusal:
    """Count how often midnight has passed before each reading."""
    found = [0]
    for n in range(1, len(clocks)):
        if _falls(clocks[n - 1], clocks[n]):
            return fault(
                lines[n].number,
                f"{shown(lines[n].written)} is out of order",
                "Times must rise from line to line, or write the date too.",
                lines[n].text,
            )
        found.append(found[-1] + (clocks[n] < clocks[n - 1]))
    return found


def _first_day(
    above: Sequence[Row],
    line: Line,
    clocks: Sequence[time],
    days: Sequence[int],
    pour: Pour,
    zone: tzinfo,
    now: datetime,
    given: Given,
) -> tuple[date, str] | Refusal:
    """The day of the first reading, and by what."""
    if given.start is not None:
        return given.start.astimezone(zone).date(), "as was said"
    for row in above:
        found = [
            one
            for cell in row.cells
            for text in (cell, re.split(r"[:=]\s", cell)[-1])
            for one in _dates_in(text).values()
        ]
        if found and _START.search(row.text):
            if len(set(found)) > 1:
                return _which_day(line, pour, zone)
            return found[0], f"by line {row.number}"
    poured = pour.ended or pour.began
    if poured is None or pour.began is None:
        return _which_day(line, pour, zone)
    day = poured.astimezone(zone).date()
    began = pour.began.astimezone(zone).replace(tzinfo=None, second=0, microsecond=0)
    first = datetime.combine(day, clocks[0])
    last = datetime.combine(day + (days[-1] + 1) * DAY, clocks[-1])
    # Before the pour, or on the day after it: certain only where the next day is not over yet. A first
    # reading at midnight may be what has passed since a start.
    late = last > now.astimezone(zone).replace(tzinfo=None)
    if first >= began or (late and clocks[0] != time(0)):
        return day, "the day the pour ended"
    return _which_day(line, pour, zone)


def _dates_in(text: str) -> dict[Order, date]:
    stamp = read_stamp(text)
    return stamp.dates if stamp is not None else read_date(text)


def _which_day(line: Line, pour: Pour, zone: tzinfo) -> Question:
    poured = pour.ended or pour.began
    day = poured.astimezone(zone).date() if poured is not None else None
    known = f" The pour ended on {day:%d %b %Y}." if day is not None else ""
    return Question(
        title=f"Line {line.number}: {shown(line.written)}, on which day?",
        body=f"The times of the file have no date.{known} Say the day of its first reading. {NOTHING}",
        about="start",
    )


@refusable
def _by_span(
    sheet: Sheet, pour: Pour, zone: tzinfo, given: Given
) -> tuple[list[Line], str] | Refusal:
    spans = [must(_span(line, sheet.columns)) for line in sheet.lines]
    for n in range(1, len(spans)):
        if spans[n] < spans[n - 1]:
            line = sheet.lines[n]
            return fault(
                line.number,
                f"{shown(line.written)} is out of order",
                "What has passed since the start must rise.",
                line.text,
            )
    start, by = must(_start(sheet, pour, zone, given))
    lines = []
    for line, span in zip(sheet.lines, spans, strict=True):
        stop_if(_too_long(line, span))
        there = (start.astimezone(UTC) + span).replace(microsecond=0)
        lines.append(evolve(line, stamp=_stamp(line, there.date(), there.time(), "+00:00")))
    shown_start = start.astimezone(zone)
    return lines, f"Times count from {shown_start:%d %b %Y %H:%M}, {by}."


def _too_long(line: Line, span: timedelta) -> Refusal | None:
    if span <= timedelta(days=3650):
        return None
    return fault(
        line.number,
        f"{shown(line.written)} is ten years after the start",
        "Look at its unit.",
        line.text,
    )


def _span(line: Line, columns: Columns) -> timedelta | Refusal:
    """Read how much time has passed since the start."""
    written = line.written
    match = _SPAN.fullmatch(written)
    if match:
        return timedelta(hours=int(match[1]), minutes=int(match[2]), seconds=int(match[3] or 0))
    found = read_cell(written)
    if found is None or found[0] < 0 or found[0] > 10**9:
        return fault(
            line.number,
            f"{shown(written)} is not what has passed since a start",
            "Put it right, or take the line out.",
            line.text,
        )
    words = columns.time_words.replace("_", " ")
    step = next((one for word, one in _STEPS if re.search(word, words, re.IGNORECASE)), None)
    if step is None:
        heading = columns.heading
        return fault(
            heading.number if heading else line.number,
            "what has passed since the start, in seconds, minutes or hours?",
            "Name it in the heading, such as Elapsed (min).",
            heading.text if heading else line.text,
        )
    return timedelta(seconds=float(found[0]) * step.total_seconds())


def _start(sheet: Sheet, pour: Pour, zone: tzinfo, given: Given) -> tuple[datetime, str] | Refusal:
    """When the count began, and by what."""
    if given.start is not None:
        return given.start, "as was said"
    for row in sheet.above:
        if not re.search(r"start|begin|began|launch|first", row.text, re.IGNORECASE):
            continue
        for cell in row.cells:
            stamp = read_stamp(cell) or read_stamp(re.split(r"[:=]\s", cell, maxsplit=1)[-1])
            if stamp is not None and len(set(stamp.dates.values())) == 1:
                wall = stamp.moment(next(iter(stamp.dates)))
                there = wall if wall.tzinfo else wall.replace(tzinfo=zone)
                return there, f"by line {row.number}"
    ended = pour.ended or pour.began
    known = (
        f" The pour ended {ended.astimezone(zone):%d %b %Y %H:%M}; when the logger was started is not known."
        if ended is not None
        else ""
    )
    line = sheet.lines[0]
    return Question(
        title=f"Line {line.number}: {shown(line.written)} since when?",
        body=f"The file has no dates, only what has passed since a start.{known} {NOTHING}",
        about="start",
    )


def read_start(typed: str, now: datetime) -> datetime | Refusal:
    """When the readings of a file begin, as somebody says it: a time, or a day alone."""
    try:
        day = date.fromisoformat(typed.strip())
    except ValueError:
        return read_time(typed, now)
    if day > now.date():
        return Refusal(title=f"{shown(typed)} is still to come.", body="Write the day it was.")
    return datetime.combine(day, time(0), now.tzinfo)
