"""Which columns of a logger's file hold the time and the temperature of the concrete.

Where times stand shows in the readings themselves; what a column is, its heading says. Of several
temperatures the one that is called concrete is taken, and nothing else is guessed.
"""

import re
from collections.abc import Sequence
from typing import Literal

from attrs import frozen

from pourdeck.plan.messages import Refusal, must, refusable, stop_if
from pourdeck.walk.logger_cells import (
    NOTHING,
    Degrees,
    Given,
    Question,
    Row,
    fault,
    read_clock,
    read_date,
    read_stamp,
    shown,
)
from pourdeck.walk.logger_units import heading_unit, is_number, lettered, unit_alone, units_in

Kind = Literal["stamp", "clock", "elapsed"]
"""A date and a time; a time of day alone; what has passed since a start."""

WHEN = re.compile(
    r"date|time|stamp|\bday\b|datum|zeit|\buhr|fecha|hora\b|heure|horodat|\bdata\b|\bora\b|dato\b|\btid\b|tijd|"
    r"godz|czas|\bpvm\b|\bklo\b|\butc\b|\bgmt\b|clock",
    re.IGNORECASE,
)
WARM = re.compile(
    r"temp|°|celsius|fahrenheit|kelvin|\bdeg\b|concrete|b[eé]t[oó]n|hormig|calcestr|probe|sond[ea]|f[üu]hler|"
    r"sensor|channel|kanal|\bch ?\d|thermo|\btc ?\d|slab|panel|^t ?\d?$",
    re.IGNORECASE,
)
CONCRETE = re.compile(
    r"concrete|b[eé]t[oó]n|hormig|calcestr|slab|panel|\bcore\b|embed|\bcast\b|in[ -]situ",
    re.IGNORECASE,
)
AIR = re.compile(
    r"ambient|\bair\b|outside|outdoor|shade|\bluft|umgebung|weather|\baire\b|\baria\b|au(?:ß|ss)en|\bwater\b|"
    r"\bptemp|enclosure",
    re.IGNORECASE,
)
NO_TEMPERATURE = re.compile(
    r"dew|taupunkt|humid|feuchte|\brh\b|%|volt|\bbatt?|alarm|limit|set ?point|pressure|signal|rssi|maturity|"
    r"strength|\bage\b|°[cf][ ·*.-]*h|\b[cf][·*-]h|hours?\b|^#|^no\b|^nr\b|record|\brn\b|index|\bid\b|sample|"
    r"\bscan",
    re.IGNORECASE,
)
ELAPSED = re.compile(
    r"elapsed|since|duration|run ?time|dauer|vergangen|^(?:(?:time|zeit|t)\W*)?"
    r"[(\[]? *(?:s|secs?|seconds?|min|mins|minutes?|h|hrs?|hours?|d|days?)\.? *[)\]]?$",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"(?:start|stop|begin|end|first|last|date|time|export|print|creat|interval|calib|download|report|launch)"
    r"[^0-9]*",
    re.IGNORECASE,
)


@frozen(kw_only=True)
class Columns:
    """Where time and temperature stand, from 0, of `width` columns.

    `clock`: the time of day where it has its own column. `unit`: the unit where that has one. `degrees`: the
    unit the heading names. `time_words` and `said`: what the heading says of the time, and how the column was
    chosen.
    """

    kind: Kind
    when: int
    clock: int | None
    warm: int
    width: int
    unit: int | None = None
    degrees: Degrees | None = None
    heading: Row | None = None
    time_words: str = ""
    said: str = ""


def times_in(cells: Sequence[str]) -> list[tuple[int, int | None]]:
    """Where a date stands with its time: in one cell, or in two beside each other."""
    found: list[tuple[int, int | None]] = [
        (n, None) for n, cell in enumerate(cells) if read_stamp(cell) is not None
    ]
    if found:
        return found
    days = [n for n, cell in enumerate(cells) if read_date(cell)]
    for day in days:
        for beside in (day + 1, day - 1):
            if 0 <= beside < len(cells) and read_clock(cells[beside]) is not None:
                return [(day, beside)]
    return []


def holds_reading(cells: Sequence[str]) -> bool:
    """A time in one cell and a number in another; not the label of a start or of an export."""
    times = times_in(cells)
    if not times or (cells[0] and _LABEL.fullmatch(cells[0])):
        return False
    taken = {n for pair in times for n in pair}
    return any(is_number(cell) for n, cell in enumerate(cells) if n not in taken)


def holds_clock(cells: Sequence[str]) -> bool:
    """A time of day alone in one cell and a number in another."""
    clocks = [n for n, cell in enumerate(cells) if read_clock(cell) is not None]
    if not clocks or _LABEL.fullmatch(cells[0]):
        return False
    return any(is_number(cell) for n, cell in enumerate(cells) if n not in clocks)


def is_heading(cells: Sequence[str]) -> bool:
    """Two words at least, and nothing that is read."""
    words = [cell for cell in cells if re.search(r"[^\W\d]|°|#", cell)]
    read = any(is_number(cell) or read_date(cell) or read_clock(cell) for cell in cells)
    return len(words) > 1 and not read and not times_in(cells)


def is_units(cells: Sequence[str]) -> bool:
    """A line under a heading: units, formats, or a rule; no figure in it."""
    return not any(char.isdigit() for cell in cells for char in cell) and not times_in(cells)


@refusable
def columns_of(
    rows: Sequence[Row], heading: int | None, first: int, given: Given, sign: str
) -> Columns | Refusal:
    """The columns of the readings from `rows[first]` on, under the heading `rows[heading]`."""
    row = rows[heading] if heading is not None else None
    width = len(row.cells) if row else len(rows[first].cells)
    stop_if(too_wide(rows[first], width))
    names = _names(rows[heading:first] if heading is not None else (), width)
    kind, when, clock = must(_time(names, rows[first], row))
    tops = [cell.replace("_", " ") for cell in row.cells] if row else [""] * width
    taken = {when, clock}
    filled = _filled(rows[first : first + 60], width)
    warm = [
        n
        for n in range(width)
        if n not in taken and n in filled and _is_warm(tops[n], names[n]) and not _off(tops[n])
    ]
    warm = [n for n in warm if not _is_label(rows[first:], n, names[n])]
    if not warm:
        warm = [n for n in range(width) if n not in taken and n in filled and not _off(tops[n])]
    if row is None:
        # What counts the readings stands before their times.
        after = [n for n in warm if n > max(when, -1 if clock is None else clock)]
        warm = after or warm
    if not warm:
        return fault(
            rows[first].number,
            "no temperature beside its time",
            "Name the columns in a first line, such as Time,Temperature °C.",
            rows[first].text,
        )
    if row is None and sign == "," and _broken(rows[first : first + 60], warm):
        return fault(
            rows[first].number,
            f"{len(warm)} numbers after the time",
            "A decimal comma needs semicolons between the columns, or quotes.",
            rows[first].text,
        )
    one, said = must(_chosen(warm, names, tops, row, rows[first], given))
    over = (
        [(line, line.cells[one]) for line in rows[heading:first] if one < len(line.cells)]
        if row
        else []
    )
    degrees = must(heading_unit(over, lettered(tops), given))
    return Columns(
        kind=kind,
        when=when,
        clock=clock,
        warm=one,
        unit=_unit_beside(rows[first : first + 60], one, width),
        width=width,
        degrees=degrees,
        heading=row,
        time_words=" ".join((names[when], names[clock] if clock is not None else "")).strip(),
        said=said,
    )


def too_wide(row: Row, width: int) -> Refusal | None:
    """More stands in a line than there are columns."""
    if len(row.cells) <= width or not any(row.cells[width:]):
        return None
    return fault(
        row.number,
        f"more columns than the {width} of the first line",
        "A decimal comma needs semicolons between the columns, or quotes.",
        row.text,
    )


def _names(rows: Sequence[Row], width: int) -> list[str]:
    """Give what each column is called, with what stands under its heading."""
    return [
        " ".join(row.cells[n] for row in rows if n < len(row.cells) and row.cells[n])
        for n in range(width)
    ]


def _filled(rows: Sequence[Row], width: int) -> set[int]:
    """Columns in which any number stands; all of them where there is none at all."""
    found = {n for row in rows for n, cell in enumerate(row.cells[:width]) if is_number(cell)}
    return found or set(range(width))


def _unit_beside(rows: Sequence[Row], warm: int, width: int) -> int | None:
    """The column right beside the temperature that holds units and nothing else."""
    for n in (warm + 1, warm - 1):
        cells = [row.cells[n] for row in rows if 0 <= n < min(width, len(row.cells))]
        if cells and any(cells) and all(not cell or unit_alone(cell) for cell in cells):
            return n
    return None


def _is_warm(top: str, all_words: str) -> bool:
    return WARM.search(top) is not None or bool(units_in(all_words))


def _is_label(rows: Sequence[Row], n: int, words: str) -> bool:
    """The number of a panel or of a probe, the same in every line, in a column that names no temperature."""
    if units_in(words) or "temp" in words.casefold():
        return False
    held = {row.cells[n] for row in rows if n < len(row.cells)}
    return len(rows) > 1 and len(held) == 1 and next(iter(held)).isdigit()


def _off(top: str) -> bool:
    return NO_TEMPERATURE.search(top) is not None


def _time(
    names: Sequence[str], row: Row, heading: Row | None
) -> tuple[Kind, int, int | None] | Refusal:
    """The columns of the time: where dates stand, else a clock, else what has passed since a start."""
    stamps = times_in(row.cells)
    if len(stamps) > 1:
        many = ", ".join(shown(names[n] or row.cells[n]) for n, _ in stamps if n < len(names))
        line = heading or row
        return fault(
            line.number, f"more than one column of time: {many}", "Keep one of them.", line.text
        )
    if stamps:
        return "stamp", *stamps[0]
    spans = [n for n, name in enumerate(names) if ELAPSED.search(name.replace("_", " "))]
    spans = [n for n in spans if n < len(row.cells)]
    clocks = [n for n, cell in enumerate(row.cells) if read_clock(cell) and n not in spans]
    if clocks:
        return "clock", clocks[0], None
    if spans:
        return "elapsed", spans[0], None
    return fault(row.number, "no time on it", "Such as 2026-11-25 07:40.", row.text)


def _broken(rows: Sequence[Row], warm: Sequence[int]) -> bool:
    """Whether two columns of whole numbers may be one number with a decimal comma."""
    cells = [row.cells[n] for row in rows for n in warm if n < len(row.cells)]
    return (
        len(warm) == 2
        and warm[1] == warm[0] + 1
        and all(cell.lstrip("+-").isdigit() for cell in cells)
    )


def _chosen(
    warm: Sequence[int],
    names: Sequence[str],
    tops: Sequence[str],
    heading: Row | None,
    first: Row,
    given: Given,
) -> tuple[int, str] | Refusal:
    """The one column of the concrete, and how it was chosen where there was a choice."""
    line = heading or first
    called = [shown(names[n]) if names[n] else f"column {n + 1}" for n in warm]
    listed = ", ".join(called)
    if given.column:
        typed = given.column.strip()
        for n, name in zip(warm, called, strict=True):
            same = typed.casefold() in (names[n].casefold(), tops[n].casefold(), name.casefold())
            if typed == str(n + 1) or (same and typed):
                return n, f"Of the columns the one taken is {name}, as was said."
        return Refusal(
            title=f"Line {line.number}: there is no column of temperatures {shown(typed)}.",
            body=f"There are {listed}. {NOTHING}",
        )
    concrete = [n for n in warm if CONCRETE.search(tops[n]) and not AIR.search(tops[n])]
    if len(warm) == 1 and (concrete or not AIR.search(tops[warm[0]])):
        return warm[0], ""
    if len(concrete) == 1:
        rest = ", ".join(one for n, one in zip(warm, called, strict=True) if n != concrete[0])
        return concrete[0], f"The column {shown(names[concrete[0]])} is taken, {rest} left."
    why = (
        f"the only temperature is not of the concrete: {listed}"
        if len(warm) == 1
        else f"more than one column of temperature: {listed}"
    )
    return Question(
        title=f"Line {line.number}: {why}.",
        body=f"Take the one that was in the concrete of this panel. {NOTHING}",
        about="column",
        choices=tuple((str(n + 1), one) for n, one in zip(warm, called, strict=True)),
    )
