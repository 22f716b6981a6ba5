"""A sum opened: formula, what went in and where it came from, and the result."""

import re
from decimal import Decimal

from pourdeck.deck.spans import Spans, cells, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.lengths import format_bare, format_quantity, format_rl
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.setout.sum_record import Input, Sum

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_LENGTH = re.compile(r"(\d+(?:\.\d+)?) mm\b")


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
    return format_quantity(value, unit, 3) if unit else plain(value)


def sum_lines(opened: Sum, units: Units, width: int) -> list[Spans]:
    """As many lines of `width` cells as it takes."""
    rows = wrap(line((opened.title, "heading")), width)
    rows += wrap(line((opened.formula, "strong")), width, 2)
    rows.append(())
    for one in opened.inputs:
        rows += _input(one, units, width)
    rows.append(())
    if opened.worked:
        mm = "" if units == "metric" else ", in mm"
        rows += wrap(line(f" {opened.worked}{mm}"), width, 3)
    result = value_words(opened.result, opened.unit, units)
    rows += _pair(line((" result", "strong")), line((result, "value")), width)
    if opened.rounding:
        rows += wrap(line((f" {_rounding(opened.rounding, units)}", "quiet")), width, 1)
    return rows


def _rounding(words: str, units: Units) -> str:
    """How a result is shown, in the units it is shown in."""
    if units == "metric":
        return words
    words = words.replace("to the nearest 0.1 mm", 'to the nearest 1/16"')
    return _LENGTH.sub(lambda found: length(Decimal(found[1]), units), words)


def _input(one: Input, units: Units, width: int) -> list[Spans]:
    value = line((value_words(one.value, one.unit, units), "value"))
    rows = _pair(line(f" {one.name}"), value, width)
    return [*rows, *wrap(line((f"   {one.source}", "quiet")), width, 3)]


def _pair(left: Spans, right: Spans, width: int) -> list[Spans]:
    """Name and value in one line where both fit, else the value under the name."""
    if cells(left) + cells(right) < width:
        return [justify(left, right, width)]
    return [*wrap(left, width, 2), *wrap(line("   ", *right), width, 3)]
