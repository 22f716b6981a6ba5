"""The table in a logger's file: where its readings begin and end, and the order of its dates.

What stands above the readings is passed over, and what stands below them where it is plainly none: both by
their numbers. A line between two readings is a reading, or the file is refused by its number.
"""

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from itertools import pairwise

from attrs import frozen

from pourdeck.plan.messages import Refusal, must, refusable, stop_if
from pourdeck.walk.logger_cells import (
    NOTHING,
    ORDERS,
    WORDS,
    Degrees,
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
    rows_of,
    shown,
)
from pourdeck.walk.logger_heading import (
    ELAPSED,
    WARM,
    WHEN,
    Columns,
    columns_of,
    holds_clock,
    holds_reading,
    is_heading,
    is_units,
    times_in,
    too_wide,
)
from pourdeck.walk.logger_units import is_number, read_cell, unit_alone, units_in

# The table in a logger's file: where its readings begin and end, and each of them as it stands there.

PREAMBLE = 120
"""So many lines may stand before the readings."""

REMEDY = "Put it right, or take the line out."

_REMARK = re.compile(
    r"\W*(?:"
    r"end|ende|fin|eof|min|max|minimum|maximum|avg|average|mean|mittel|mittelwert|median|std|stdev|"
    r"sum|total|count|records|readings|samples|data|checksum|crc|crc16|crc32|md5|sha|sha1|sha256|hash|"
    r"signature|export|exported|generated|printed|created|downloaded|logger|serial|battery|alarm|note|"
    r"notes|comment|remark|summary|statistics|report|page|stop|stopped|finished|unit|units|scale|"
    r"temperature|temperatures|operator|interval|location|file|high|highest|low|lowest|range|number|"
    r"model|device|firmware|version|start|started|first|last|duration|elapsed|mkt|time|date|copyright|"
    r"host"
    r")(?![^\W\d_])",
    re.IGNORECASE,
)
"""Words with which a line begins that is no reading. Common practice, no source."""

_WRONG = re.compile(
    r"\b(?:err\w*|nan|n/?a|null|none|open|short|fault|invalid|over|under)\b", re.IGNORECASE
)


@frozen(kw_only=True, eq=False, repr=False)
class Line:
    """One reading as it stands in the file; `degrees` where the value names them.

    `stamp`: None where only a time of day or what has passed since a start is `written`.
    """

    number: int
    text: str
    written: str
    stamp: Stamp | None
    value: Decimal
    degrees: Degrees | None


@frozen(kw_only=True)
class Sheet:
    """The readings in their order, and the rows `above` and `below` them that are none.

    `headings`: the numbers of the heading and of the lines of units under it.
    """

    columns: Columns
    lines: tuple[Line, ...]
    above: tuple[Row, ...]
    below: tuple[Row, ...]
    headings: tuple[int, ...]


@refusable
def read_sheet(text: str, given: Given) -> Sheet | Refusal:
    """The readings of a text, in their order."""
    rows, sign = must(rows_of(text, holds_reading))
    if not rows:
        return Refusal(title="There is nothing in it.", body="A file of times and temperatures.")
    heading, first = must(_beginning(rows))
    if first == len(rows):
        return Refusal(
            title="There is a heading and no reading under it.",
            body="Look whether the logger was read out.",
        )
    good = next(
        (n for n in range(first, min(len(rows), first + PREAMBLE)) if _readable(rows[n].cells)),
        first,
    )
    if heading is not None and sign == " " and len(rows[heading].cells) != len(rows[good].cells):
        # Words apart are no columns apart: what stands there may still name the unit.
        heading = None
    above = tuple(rows[: first if heading is None else heading])
    columns = must(columns_of([*rows[:first], *rows[good:]], heading, first, given, sign))
    stop_if(too_wide(rows[first], columns.width))
    last = len(rows)
    while last > first and _is_remark(rows[last - 1], columns, sign):
        last -= 1
    while first < last and _is_event(rows[first], columns):
        first += 1
    lines = [must(_line(row, columns)) for row in rows[first:last]]
    if not lines:
        return fault(rows[first].number, "no reading", "Look whether the logger was read out.")
    between = rows[len(above) : first]
    events = tuple(row for row in between if _is_event(row, columns))
    return Sheet(
        columns=columns,
        lines=tuple(lines),
        above=above,
        below=(*events, *rows[last:]),
        headings=tuple(row.number for row in between if row not in events),
    )


def _readable(cells: Sequence[str]) -> bool:
    return holds_reading(cells) or holds_clock(cells)


def _beginning(rows: Sequence[Row]) -> tuple[int | None, int] | Refusal:
    """The place of the heading, None where there is none, and of the first reading."""
    top = rows[:PREAMBLE]
    for holds in (holds_reading, holds_clock):
        first = next((n for n, row in enumerate(top) if holds(row.cells)), None)
        if first is not None and not (holds is holds_clock and _elapsed(top[:first])):
            return _heading_over(rows, first)
    passed = _elapsed(top)
    if passed is not None:
        first = passed + 1
        while first < len(rows) and is_units(rows[first].cells):
            first += 1
        return passed, first
    timed = next((row for row in top if times_in(row.cells)), None)
    titled = next((n for n, row in enumerate(top) if _titles(row.cells)), None)
    if titled is not None:
        return titled, titled + 1
    if timed is not None:
        return fault(timed.number, "no temperature beside its time", REMEDY, timed.text)
    return fault(
        rows[0].number,
        "no columns of time and temperature",
        "It should be a heading such as Time,Temperature °C, or 2026-11-25 07:40,21.5.",
        rows[0].text,
    )


def _titles(cells: Sequence[str]) -> bool:
    """A heading of a time and a temperature."""
    when = [n for n, cell in enumerate(cells) if WHEN.search(cell)]
    warm = [n for n, cell in enumerate(cells) if WARM.search(cell) or units_in(cell)]
    return bool(when) and any(n not in when for n in warm) and is_heading(cells)


def _elapsed(rows: Sequence[Row]) -> int | None:
    """The place of a heading of what has passed since a start."""
    for place, row in enumerate(rows):
        passed = {n for n, cell in enumerate(row.cells) if ELAPSED.search(cell.replace("_", " "))}
        warm = {n for n, cell in enumerate(row.cells) if WARM.search(cell) or units_in(cell)}
        if passed and warm - passed and is_heading(row.cells):
            return place
    return None


def _heading_over(rows: Sequence[Row], first: int) -> tuple[int | None, int] | Refusal:
    """The heading over the reading at `first`, and where the readings under it begin.

    What stands between them and is no line of units is a reading that cannot be read.
    """
    when = next((n for n, _ in times_in(rows[first].cells)), 0)
    place: int | None = None
    for n in range(first - 1, -1, -1):
        cells = rows[n].cells
        if not is_heading(cells):
            continue
        if when < len(cells) and WHEN.search(cells[when]):
            place = n
            break
        if place is None and n == first - 1 and len(cells) == len(rows[first].cells):
            place = n
        if _titles(cells):
            place = n
            break
    if place is None:
        while first and times_in(rows[first - 1].cells) and len(rows[first - 1].cells) > 1:
            first -= 1
        return None, first
    under = place + 1
    while under < first and is_units(rows[under].cells):
        under += 1
    return place, under


def _line(row: Row, columns: Columns) -> Line | Refusal:
    cells = row.cells
    wide = too_wide(row, columns.width)
    if wide is not None:
        return wide
    if len(cells) < columns.width:
        cells = (*cells, *[""] * (columns.width - len(cells)))
    written = cells[columns.when]
    if columns.clock is not None:
        written = f"{written} {cells[columns.clock]}"
    stamp = read_stamp(written) if columns.kind == "stamp" else None
    if columns.kind == "stamp" and stamp is None:
        why = f"{shown(written)} is not a time" if written.strip() else "no time on it"
        return fault(row.number, why, f"A time is such as 2026-11-25 07:40. {REMEDY}", row.text)
    cell = cells[columns.warm]
    found = read_cell(cell)
    if found is None:
        what = f"{shown(cell)} is not a temperature" if cell else "no temperature"
        return fault(row.number, what, REMEDY, row.text)
    return Line(
        number=row.number,
        text=row.text,
        written=written,
        stamp=stamp,
        value=found[0],
        degrees=found[1] if columns.unit is None else found[1] or unit_alone(cells[columns.unit]),
    )


def _is_event(row: Row, columns: Columns) -> bool:
    """A time and no temperature, but words of what the logger did then."""
    if columns.warm < len(row.cells) and row.cells[columns.warm]:
        return False
    taken = (columns.when, columns.clock)
    rest = [cell for n, cell in enumerate(row.cells) if n not in taken and cell]
    return bool(times_in(row.cells)) and any(re.search(r"[^\W\d]{3}", cell) for cell in rest)


def _is_remark(row: Row, columns: Columns, sign: str) -> bool:
    """A line below the readings that is plainly none."""
    if times_in(row.cells[: columns.width]) and columns.when < len(row.cells):
        first = row.cells[columns.when]
        if columns.clock is not None or read_stamp(first) is not None:
            return _is_event(row, columns)
    held = [cell for cell in row.cells if cell]
    text = row.text.strip()
    if not any(char.isalnum() for char in text):
        return True
    if text[0] in "#*!=-/<" and not text[1:2].isdigit():
        return True
    if _REMARK.match(text):
        return True
    if any(is_number(cell) or read_date(cell) or read_clock(cell) for cell in held):
        return False
    words = re.findall(r"[^\W\d]{2,}", text)
    alone = len(held) == 1 or sign == " "
    return alone and len(words) > 1 and text[0].isalpha() and not _WRONG.search(text)


# The order of the figures in the dates of a logger's file: the one that leaves no doubt, or a question.
#
# An order is out where a date would be none, where the readings would be still to come, where all of
# them would be from before the pour, and where they would neither rise nor fall. Only then is it
# asked for.

DAY = timedelta(days=1)


@frozen(kw_only=True)
class Ordered:
    """The order, and how it is known where the dates themselves leave a choice."""

    order: Order
    said: str = ""


def order_of(
    lines: Sequence[Line], pour: Pour, zone: tzinfo, now: datetime, given: Given
) -> Ordered | Refusal:
    """The one order in which all dates are dates, of readings that can be of this pour."""
    stamps = [line.stamp for line in lines if line.stamp is not None]
    left: tuple[Order, ...] = ORDERS
    for line, stamp in zip(lines, stamps, strict=True):
        still = tuple(order for order in left if order in stamp.dates)
        if given.dates is not None and given.dates not in stamp.dates:
            return fault(
                line.number,
                f"{stamp.text} is no date {WORDS[given.dates]}",
                "Put it right.",
                line.text,
            )
        if not still:
            return fault(
                line.number,
                f"{stamp.text} is no date as those above it are written",
                "Put it right.",
                line.text,
            )
        left = still
    if given.dates is not None:
        return Ordered(order=given.dates, said=f"Dates are {WORDS[given.dates]}, as was said.")
    days = {order: tuple(stamp.dates[order] for stamp in stamps) for order in left}
    differ = [one for n, one in enumerate(left) if days[one] not in [days[two] for two in left[:n]]]
    if len(differ) == 1:
        plain = all(len(set(stamp.dates)) == 3 for stamp in stamps)
        return Ordered(order=left[0], said="" if plain else f"Dates are {WORDS[left[0]]}.")
    outs = {order: _out(stamps, days[order], pour, zone, now) for order in differ}
    can = [order for order in differ if not outs[order]]
    if len(can) == 1:
        why = "; ".join(f"{WORDS[one]} they would be {outs[one]}" for one in differ if outs[one])
        return Ordered(order=can[0], said=f"Dates are {WORDS[can[0]]}: {why}.")
    can = can or differ
    n = next(n for n in range(len(stamps)) if len({days[one][n] for one in can}) > 1)
    shown = " or ".join(dict.fromkeys(_day(days[one][n]) for one in can))
    return Question(
        title=f"Line {lines[n].number}: {stamps[n].text} is {shown}.",
        body=f"No line of the file shows which it is. {NOTHING}",
        about="dates",
        choices=tuple((one, f"{WORDS[one]}: {_day(days[one][n])}") for one in can),
    )


def _day(day: date) -> str:
    return f"{day:%d %B %Y}"


def _out(
    stamps: Sequence[Stamp], days: Sequence[date], pour: Pour, zone: tzinfo, now: datetime
) -> str:
    """Why dates cannot be read so; "" where they can."""
    walls = [datetime.combine(day, one.clock) for day, one in zip(days, stamps, strict=True)]
    # Offsets are not known yet: a day either way is left to them.
    if max(walls) > now.astimezone(zone).replace(tzinfo=None) + DAY:
        return "still to come"
    if pour.began is not None:
        began = pour.began.astimezone(zone).replace(tzinfo=None)
        if max(walls) < began - DAY:
            return "from before the pour"
    hour = timedelta(hours=1)
    rise = all(b >= a - hour for a, b in pairwise(walls))
    fall = all(b <= a + hour for a, b in pairwise(walls))
    return "" if rise or fall else "out of order"
