"""A sum opened: formula, what went in and where it came from, and the result."""

import re
from decimal import Decimal

from pourdeck.deck.spans import Spans, cells, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.amounts import PAIRS, format_computed
from pourdeck.plan.lengths import format_bare, format_quantity, format_rl, rounded
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.setout.record import Input, Sum

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_MEASURE = re.compile(r"(\d+(?:\.\d+)?) (mm|m²|m³)(?!\w)")
_NEAREST = {
    "to the nearest 0.1 mm": 'to the nearest 1/16"',
    "to the nearest 0.01 m³": "to the nearest 0.01 yd³",
}
_PER_THOUSAND = " / 1000"
"""What formulas of heights turn mm into m with."""

_FINEST = 6
"""Decimals of what a root or a division made too long to write out."""


def value_words(value: Decimal | str, unit: str, units: Units) -> str:
    """A value of a sum in the units of the job; lists and ranges of lengths too."""
    if isinstance(value, str):
        if unit == "mm" and units == "imperial":
            return _NUMBER.sub(lambda found: format_bare(Decimal(found[0]), units), value)
        return f"{value} {unit}".rstrip()
    if unit == "mm":
        return length(value, units)
    if unit == "m":
        return format_rl(value, units)
    if unit in PAIRS and units == "imperial":
        return format_computed(value, unit, units, PAIRS[unit].decimals + 1)
    return format_quantity(value, unit, 3) if unit else plain(value)


def formula_words(formula: str, units: Units) -> str:
    """A formula as it goes for the values shown."""
    return formula if units == "metric" else formula.replace(_PER_THOUSAND, "")


def sum_lines(opened: Sum, units: Units, width: int) -> list[Spans]:
    """As many lines of `width` cells as it takes."""
    rows = wrap(line((opened.title, "heading")), width)
    rows += wrap(line((formula_words(opened.formula, units), "strong")), width, 2)
    rows.append(())
    for one in opened.inputs:
        rows += _input(one, units, width)
    rows.append(())
    if opened.worked and units == "metric":
        rows += wrap(line(f" {opened.worked}"), width, 3)
    result = value_words(opened.result, opened.unit, units)
    rows += _pair(line((" result", "strong")), line((result, "value")), width)
    if units == "imperial":
        rows += [row for words in _behind(opened) for row in wrap(line(f" {words}"), width, 3)]
    if opened.rounding:
        rows += wrap(line((f" {_in_words(opened.rounding, units)}", "quiet")), width, 1)
    return rows


def _behind(opened: Sum) -> list[str]:
    """The sum as it was done, exact, in the units of the files, where other ones are shown."""
    if not isinstance(opened.result, Decimal) or not opened.unit:
        return []
    exact = -int(opened.result.as_tuple().exponent) <= _FINEST
    value = plain(opened.result if exact else rounded(opened.result, _FINEST))
    worked = f"{opened.worked} = " if opened.worked else ""
    words = [f"{'exactly' if exact else 'about'} {worked}{value} {opened.unit}"]
    if {"m³", "kg/m³"} <= {one.unit for one in opened.inputs}:
        words.append("1 yd³ is 27 ft³")
    return words


def _in_words(words: str, units: Units) -> str:
    """Words about a sum, the measures in them in the units of the job."""
    if units == "metric":
        return words
    for nearest, shown in _NEAREST.items():
        words = words.replace(nearest, shown)
    return _MEASURE.sub(lambda found: value_words(Decimal(found[1]), found[2], units), words)


def _input(one: Input, units: Units, width: int) -> list[Spans]:
    value = line((value_words(one.value, one.unit, units), "value"))
    rows = _pair(line(f" {_in_words(one.name, units)}"), value, width)
    return [*rows, *wrap(line((f"   {one.source}", "quiet")), width, 3)]


def _pair(left: Spans, right: Spans, width: int) -> list[Spans]:
    """Name and value in one line where both fit, else the value under the name."""
    if cells(left) + cells(right) < width:
        return [justify(left, right, width)]
    return [*wrap(left, width, 2), *wrap(line("   ", *right), width, 3)]
