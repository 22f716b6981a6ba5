"""The table in a logger's file: its delimiter, its columns of time and temperature, its lines."""

import csv
import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from io import StringIO
from itertools import pairwise
from typing import Literal

from attrs import frozen

from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_dates import Stamp, read_clock, read_date, read_stamp

Degrees = Literal["°C", "°F"]

MOST_LINES = 20_000
MOST_CHARACTERS = 2_000_000
PREAMBLE = 40
"""So many lines may stand before the readings."""

_NUMBER = re.compile(
    r"([+-]?[0-9]+(?:[.,][0-9]+)?) ?(?:°|º|deg\.? ?)?([CF])?", re.ASCII | re.IGNORECASE
)
_DEGREES = re.compile(r"(?:°|º|deg\.?|[\s(\[_,/]|^)\s*([CF])(?:[\s)\]_,]|$)", re.IGNORECASE)
_WARM = re.compile(
    r"temp|°|º|celsius|fahrenheit|deg\b|concrete|probe|channel|^ch ?\d", re.IGNORECASE
)
_ZONE = re.compile(r"\b(?:UTC|GMT)(?: ?([+-])([0-9]{1,2}):?([0-9]{2})?)?", re.IGNORECASE)
_WHEN = re.compile(r"date|time|stamp|\bday\b", re.IGNORECASE)


@frozen(kw_only=True)
class Columns:
    """Where time and temperature stand, from 0, of `width` columns.

    `clock`: the time of day where it has its own column. `offset`: the one that the heading names for all
    times, as `+10:00`, "" where none. `named`: by a heading.
    """

    when: int
    clock: int | None
    warm: int
    width: int
    degrees: Degrees | None = None
    offset: str = ""
    named: bool = False


@frozen(kw_only=True)
class Line:
    """One reading as it stands in the file, `number` from 1; `degrees` where the value names them."""

    number: int
    stamp: Stamp
    value: Decimal
    degrees: Degrees | None


@frozen(kw_only=True)
class Sheet:
    """`columns`, all lines from the first reading on, and how many stand `above` it and its heading."""

    columns: Columns
    lines: tuple[Line, ...]
    above: int


Cells = tuple[int, list[str]]
"""The number of a line in the file, and what stands in it."""


def fault(number: int, why: str, remedy: str) -> Refusal:
    """What is wrong with a line of the file: nothing of it is taken."""
    return Refusal(title=f"Line {number}: {why}.", body=f"{remedy} Nothing of the file was taken.")


def read_sheet(text: str) -> Sheet | Refusal:
    """The readings of a text, in their order."""
    if len(text) > MOST_CHARACTERS or text.count("\n") > MOST_LINES:
        return Refusal(
            title="This file is too long for the readings of one panel.",
            body=f"At most {MOST_LINES} lines. Export fewer days, or a reading every few minutes.",
        )
    if "\x00" in text:
        return Refusal(
            title="This is no text file.", body="Export the readings as CSV and read that."
        )
    rows = _rows(text)
    if isinstance(rows, Refusal):
        return rows
    if not rows:
        return Refusal(title="There is nothing in it.", body="A file of times and temperatures.")
    found = _columns(rows)
    if isinstance(found, Refusal):
        return found
    columns, start = found
    lines: list[Line] = []
    for number, cells in rows[start:]:
        one = _line(number, cells, columns)
        if isinstance(one, Refusal):
            return one
        lines.append(one)
    if not lines:
        return Refusal(
            title="There is a heading and no reading under it.",
            body="Look whether the logger was read out.",
        )
    above = start - (1 if columns.named else 0)
    return Sheet(columns=columns, lines=tuple(lines), above=above)


def _rows(text: str) -> list[Cells] | Refusal:
    """Lines that hold anything, with their numbers; a sign that parts them is found by counting."""
    lines = text.splitlines()
    counts = {sign: sum(sign in line for line in lines) for sign in ";\t,"}
    # A comma may be the decimal mark: the others go first where they are in half of the lines.
    held = sum(bool(line.strip()) for line in lines)
    sign = next((one for one in ";\t" if counts[one] * 2 >= held), ",")
    reader = csv.reader(StringIO(text, newline=""), delimiter=sign, strict=True)
    rows: list[Cells] = []
    try:
        rows.extend((reader.line_num, [cell.strip() for cell in cells]) for cells in reader)
    except csv.Error as error:
        return fault(reader.line_num, f"not to be read as CSV ({error})", "Look at its quotes.")
    return [row for row in rows if any(row[1])]


def _columns(rows: Sequence[Cells]) -> tuple[Columns, int] | Refusal:
    """The columns, and the place of the first row of readings.

    A time that stands above them is one of a preamble only where a heading follows: else it is a reading
    that cannot be read.
    """
    timed: int | None = None
    for index, (number, cells) in enumerate(rows[:PREAMBLE]):
        if len(cells) > 1 and any(_WHEN.search(cell) for cell in cells) and _warm(cells):
            named = _named_columns(number, cells)
            return named if isinstance(named, Refusal) else (named, index + 1)
        if timed is None and any(_time_in(cells)):
            timed = index
        if _holds_time(cells):
            break
    if timed is not None:
        number, cells = rows[timed]
        return _bare_columns(number, cells, timed)
    number, cells = rows[0]
    return fault(
        number,
        f"no columns of time and temperature: {_shown(','.join(cells))}",
        "It should be a heading such as Time,Temperature °C, or 2026-11-25 07:40,21.5.",
    )


def _time_in(cells: Sequence[str]) -> Iterator[bool]:
    """Whether each cell is a time, or a date with its time in the next one."""
    for one, two in pairwise((*cells, "")):
        yield read_stamp(one) is not None or (bool(read_date(one)) and read_clock(two) is not None)


def _holds_time(cells: Sequence[str]) -> bool:
    """A row of readings: a time in it, and no words beside it but units."""
    return any(_time_in(cells)) and any(_NUMBER.fullmatch(cell) for cell in cells)


def _warm(cells: Sequence[str]) -> list[int]:
    return [
        n
        for n, cell in enumerate(cells)
        if (_WARM.search(cell) or _DEGREES.search(cell)) and not _WHEN.search(cell)
    ]


def _named_columns(number: int, cells: Sequence[str]) -> Columns | Refusal:
    warm = _warm(cells)
    when = [n for n, cell in enumerate(cells) if _WHEN.search(cell)]
    if len(warm) > 1:
        names = ", ".join(_shown(cells[n]) for n in warm)
        return fault(
            number,
            f"more than one column of temperature: {names}",
            "Keep the one that was in the concrete of this panel.",
        )
    dates = [n for n in when if "date" in cells[n].lower() and "time" not in cells[n].lower()]
    clocks = [n for n in when if "time" in cells[n].lower() and "date" not in cells[n].lower()]
    if len(when) == 2 and len(dates) == 1 and len(clocks) == 1:
        return _headed(cells, dates[0], clocks[0], warm[0])
    if len(when) > 1:
        names = ", ".join(_shown(cells[n]) for n in when)
        return fault(
            number, f"more than one column of time: {names}", "Keep one, or a date and a time."
        )
    return _headed(cells, when[0], None, warm[0])


def _headed(cells: Sequence[str], when: int, clock: int | None, warm: int) -> Columns:
    offset = offset_in(cells[when]) or ("" if clock is None else offset_in(cells[clock]))
    return Columns(
        when=when,
        clock=clock,
        warm=warm,
        width=len(cells),
        degrees=degrees_in(cells[warm]),
        offset=offset,
        named=True,
    )


def offset_in(words: str) -> str:
    """The offset that a heading names: `+10:00` of `Time, GMT+10`; "" where it names none."""
    found = _ZONE.search(words)
    if found is None:
        return ""
    return f"{found[1] or '+'}{int(found[2] or 0):02}:{found[3] or '00'}"


def degrees_in(words: str) -> Degrees | None:
    """The scale that a heading names."""
    if re.search("fahrenheit", words, re.IGNORECASE):
        return "°F"
    if re.search("celsius|centigrade", words, re.IGNORECASE):
        return "°C"
    found = _DEGREES.search(words)
    return None if found is None else "°F" if found[1] in "Ff" else "°C"


def _bare_columns(number: int, cells: Sequence[str], index: int) -> tuple[Columns, int] | Refusal:
    """The columns of a file without a heading."""
    when = next((n for n, cell in enumerate(cells) if read_stamp(cell)), None)
    clock = None
    if when is None:
        when = next(n for n, found in enumerate(_time_in(cells)) if found)
        clock = when + 1
    numbers = [n for n, cell in enumerate(cells) if _NUMBER.fullmatch(cell)]
    after = [n for n in numbers if n > (when if clock is None else clock)]
    if len(after) != 1:
        return fault(
            number,
            f"{len(after)} numbers after the time",
            "Name the columns in a first line, such as Time,Temperature °C; "
            "a decimal comma needs semicolons between the columns.",
        )
    return Columns(when=when, clock=clock, warm=after[0], width=len(cells)), index


def _line(number: int, cells: Sequence[str], columns: Columns) -> Line | Refusal:
    last = max(columns.when, columns.clock or 0, columns.warm)
    shown = _shown(", ".join(cells))
    if len(cells) <= last:
        return fault(
            number, f"{len(cells)} columns where {last + 1} are needed: {shown}", "Put it right."
        )
    if any(cells[columns.width :]):
        return fault(
            number,
            f"more columns than the {columns.width} of the first line: {shown}",
            "A decimal comma needs semicolons between the columns, or quotes.",
        )
    written = cells[columns.when]
    if columns.clock is not None:
        written = f"{written} {cells[columns.clock]}"
    stamp = read_stamp(written)
    if stamp is None:
        return fault(
            number, f"{_shown(written)} is not a time", "Such as 2026-11-25 07:40 or 07:40:00."
        )
    cell = cells[columns.warm]
    match = _NUMBER.fullmatch(cell)
    if match is None:
        what = f"{_shown(cell)} is not a temperature" if cell else "no temperature"
        return fault(number, what, "Put it right, or take the line out.")
    scale = match[2].upper() if match[2] else None
    degrees: Degrees | None = None if scale is None else "°F" if scale == "F" else "°C"
    return Line(
        number=number, stamp=stamp, value=Decimal(match[1].replace(",", ".")), degrees=degrees
    )


def _shown(text: str, most: int = 48) -> str:
    return literal(text) if len(text) <= most else f"{literal(text[:most])}…"
