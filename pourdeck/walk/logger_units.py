"""The unit of a logger's temperatures: as the file names it, or somebody says, never guessed.

A cell, the heading, a line of units under it or a line that is no reading may name it; where two of them
differ nothing is taken. Where nothing names it the unit of the job is taken only if nothing else can be
meant: all readings are then 0 to 60 °C, and in no other unit they would be; or the loads of the panel came
within 15 K of the first one. Else somebody must say it.
"""

import re
from collections.abc import Sequence
from decimal import Decimal

from pourdeck.plan.amounts import PAIRS, from_other, to_other
from pourdeck.plan.messages import Refusal
from pourdeck.plan.numbers import tidy
from pourdeck.plan.records import Units
from pourdeck.walk.logger_cells import (
    NOTHING,
    UNITS,
    Degrees,
    Given,
    Pour,
    Question,
    Row,
    fault,
    line_words,
)
from pourdeck.walk.quantities import COLDEST, HOTTEST

LIKELY = (Decimal(0), Decimal(60))
"""°C that are believed without a unit: fresh concrete does not freeze, and a wall panel is too thin to come
to more than about 60 °C by its own heat. Common practice, no source."""

WARMED = Decimal(10)
"""°C that concrete comes to at some time, or it would not set in days. Common practice, no source."""

NEAR = Decimal(15)
"""K that the first reading may be off what the loads came with, in the first hours. Common practice."""

ZERO = Decimal("273.15")

_CELL = re.compile(
    r"([+-]?[0-9]+(?:[.,][0-9]+)?) ?(?:(?:°|deg(?:rees?)?\.?)? ?([CFK])|(celsius|fahrenheit|kelvin))?",
    re.ASCII | re.IGNORECASE,
)
_WORDS = re.compile(r"(c)elsius|(c)entigrade|(f)ah?renh?eit|(k)elvin", re.IGNORECASE)
_SURE = re.compile(r"(?:°|deg(?:rees?)?\.?[\s_]*)\s*([CFK])(?![A-Za-z])", re.IGNORECASE)
_BRACKET = re.compile(r"[(\[]\s*([CFK])\s*[)\]]", re.IGNORECASE)
_LETTER = re.compile(
    r"(?:^|[,/;_])\s*([CFK])\s*(?=$|[,;/()\]_])|temp(?:erature?s?|\.)?[\s_.-]*[0-9]*[\s_.-]*([CFK])"
    r"(?=$|[\s)\],;/_(])",
    re.IGNORECASE,
)
_ONLY = re.compile(
    r"(?:°|deg(?:rees?)?\.?)? ?([CFK])|(celsius|fahrenheit|kelvin)", re.ASCII | re.IGNORECASE
)
_ENDS = re.compile(r"[\s_]([A-Z])$", re.IGNORECASE)
_UNIT = re.compile(r"unit|scale|einheit|skala|temp", re.IGNORECASE)
_ALONE = re.compile(r"\W*([CFK])\W*", re.IGNORECASE)


def read_cell(cell: str) -> tuple[Decimal, Degrees | None] | None:
    """A number and the unit behind it; None where it is no number."""
    match = _CELL.fullmatch(cell)
    if match is None:
        return None
    letter = match[2] or match[3]
    return Decimal(match[1].replace(",", ".")), _unit(letter[0]) if letter else None


def unit_alone(cell: str) -> Degrees | None:
    """The unit that a cell holds and nothing else."""
    found = _ONLY.fullmatch(cell)
    return _unit((found[1] or found[2])[0]) if found else None


def is_number(cell: str) -> bool:
    return _CELL.fullmatch(cell) is not None


def _unit(letter: str) -> Degrees:
    return {"C": "°C", "F": "°F", "K": "K"}[letter.upper()]  # type: ignore[return-value]


def _all(pattern: re.Pattern[str], words: str) -> set[Degrees]:
    return {_unit(next(filter(None, found.groups()))) for found in pattern.finditer(words)}


def units_in(words: str, lettered: bool = False) -> set[Degrees]:
    """The units that a heading names. `lettered`: a letter at its end may be the name of a probe."""
    found = _all(_WORDS, words) | _all(_SURE, words) | _all(_BRACKET, words)
    return found if found or lettered else _all(_LETTER, words)


def lettered(headings: Sequence[str]) -> bool:
    """Whether columns are called by letters, A B C: a C or an F is then no unit."""
    return any(found[1].upper() not in "CFK" for one in headings if (found := _ENDS.search(one)))


def units_told(row: Row) -> set[Degrees]:
    """The unit that a line names that is no reading: `Units: Fahrenheit`, `Temperature unit;F`."""
    words = " ".join(row.cells)
    last = re.split(r"[:=]", [cell for cell in row.cells if cell][-1])[-1]
    alone = _ALONE.fullmatch(last)
    if alone is not None and _UNIT.search(words):
        return {_unit(alone[1])}
    for text in (last, words):
        found = _all(_SURE, text) | _all(_WORDS, text) | _all(_BRACKET, text)
        if "K" in found and not _UNIT.search(words):
            # It is a name of people and of streets too.
            found -= {"K"}
        if len(found) == 1:
            return found
    return set()


def to_celsius(value: Decimal, unit: Degrees) -> Decimal:
    if unit == "K":
        return value - ZERO
    return from_other(value, PAIRS["°C"]) if unit == "°F" else value


def heading_unit(
    over: Sequence[tuple[Row, str]], by_letter: bool, given: Given
) -> Degrees | Refusal | None:
    """The one unit that the heading of the column names, or what stands under it: lines and their words."""
    known: Degrees | None = None
    for row, words in over:
        found = units_in(words, by_letter)
        if given.unit in found:
            found = {given.unit}
        if len(found) > 1:
            why = f"it names two units, {' and '.join(sorted(found))}"
            return fault(row.number, why, "Leave the one that is true.", row.text)
        one = next(iter(found), known)
        if known is not None and one != known:
            why = f"it names {one}, and the heading above it {known}"
            return fault(row.number, why, "Leave the one that is true.", row.text)
        known = one
    return known


def unit_of(
    lines: Sequence[tuple[int, str, Decimal, Degrees | None]],
    named: Degrees | None,
    heading: Row | None,
    others: Sequence[Row],
    given: Given,
    units: Units,
    pour: Pour,
    first: Decimal | None,
) -> tuple[Degrees, str] | Refusal:
    """The unit of all lines (number, text, value, own unit), and in words by what it is known.

    `others`: what is no reading. `first`: the value read nearest to the pour, None where that was long after.
    """
    own = next((one for _, _, _, one in lines if one is not None), None)
    for number, text, _, one in lines:
        if named is not None and one not in (None, named):
            return fault(number, f"{one} in a column of {named}", "Put it right.", text)
        if named is None and one != own and own is not None:
            why = (
                f"{one} where another line has {own}" if one else f"no unit where others have {own}"
            )
            return fault(number, why, "Write the unit in the heading, one for all lines.", text)
    known = named or own
    by = "by its heading" if named else "as each line says"
    told = [(row, one) for row in others for one in units_told(row)]
    if known is None and given.unit is None:
        if told and any(one != told[0][1] for _, one in told):
            row, one = next(pair for pair in told if pair[1] != told[0][1])
            why = f"it names {one}, and line {told[0][0].number} names {told[0][1]}"
            return fault(row.number, why, "Leave the one that is true.", row.text)
        if told:
            return told[0][1], f"by {line_words((told[0][0].number,))}"
        return _unnamed(lines, units, pour, first)
    if known is not None and given.unit not in (None, known):
        number = heading.number if named and heading else lines[0][0]
        return fault(number, f"it says {known}", f"Not {given.unit}: look again, or put it right.")
    if known is None:
        assert given.unit is not None
        return given.unit, "as was said"
    for row, one in told:
        if one != known and given.unit is None:
            why = f"it names {one}, and the readings are {known} {by}"
            return fault(row.number, why, "Put it right, or take the line out.", row.text)
    return known, by


def _unnamed(
    lines: Sequence[tuple[int, str, Decimal, Degrees | None]],
    units: Units,
    pour: Pour,
    first: Decimal | None,
) -> tuple[Degrees, str] | Refusal:
    """The unit of the job where nothing else can be meant, or the question."""
    job: Degrees = "°F" if units == "imperial" else "°C"
    low, high = min(one[2] for one in lines), max(one[2] for one in lines)
    for number, text, value, _ in lines:
        if not any(_possible(to_celsius(value, unit)) for unit in UNITS):
            return fault(
                number,
                f"{value} is no temperature of concrete in any unit",
                "Put it right, or take the line out.",
                text,
            )
    can = {unit for unit in UNITS if _likely(to_celsius(low, unit), to_celsius(high, unit))}
    if first is not None and pour.warm:
        can = {unit for unit in can if _near(to_celsius(first, unit), pour.warm)}
    if can == {job}:
        return job, "as it names none"
    odd = (one for one in lines if not LIKELY[0] <= to_celsius(one[2], job) <= LIKELY[1])
    number, _, value, _ = next(odd, lines[0])
    could = [unit for unit in UNITS if all(_possible(to_celsius(one, unit)) for one in (low, high))]
    could.sort(key=lambda unit: (unit not in can, unit != job))
    return Question(
        title=f"Line {number}: {value}, in which unit?",
        body=f"No heading, line or reading names one, and as {job} it is "
        f"{'not the only one it can be' if job in can else 'not what this concrete would be'}: "
        f"the readings are {tidy(low):f} to {tidy(high):f}. {NOTHING}",
        about="unit",
        choices=tuple((unit[-1], _as(low, high, unit, job)) for unit in could or UNITS),
    )


def _possible(value: Decimal) -> bool:
    return COLDEST <= value <= HOTTEST


def _likely(low: Decimal, high: Decimal) -> bool:
    return LIKELY[0] <= low and WARMED <= high <= LIKELY[1]


def _near(value: Decimal, warm: Sequence[Decimal]) -> bool:
    return min(warm) - NEAR <= value <= max(warm) + NEAR


def _as(low: Decimal, high: Decimal, unit: Degrees, job: Degrees) -> str:
    """`°F: that is 10 °C to 15 °C`, what the readings are in the unit of the job."""
    if unit == job:
        return unit
    warm = [to_celsius(one, unit) for one in (low, high)]
    ends = [to_other(one, PAIRS["°C"]) if job == "°F" else one for one in warm]
    first, last = (f"{tidy(round(one, 1)):f} {job}" for one in ends)
    return f"{unit}: that is {first} to {last}"
