"""Amounts that are no lengths as people type them.

    amount = number [ unit ]          bare: in the unit that people of the job read

Numbers are those of `numbers`. The units of both systems are taken in every job, in capitals or not.
A unit of another kind, and one that does not mean the same everywhere, is refused by its name.
"""

import re
from decimal import Decimal

from pourdeck.plan.amounts import (
    PAIRS,
    decimals_read,
    from_other,
    number_read,
    to_other,
    unit_read,
    value_of,
)
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import NUMBER, NotALength, parse_number, plain, shown, trimmed
from pourdeck.plan.records import Units

MOST_DECIMALS = 6
"""Of a number in a unit that the files do not hold: so many come back exactly."""

_AMOUNT = re.compile(rf"(?P<number>[+-]?{NUMBER}) *(?P<unit>[^0-9.,+\- ].*)", re.DOTALL)

_KINDS = {
    **{word: pair.kind for pair in PAIRS.values() for word in (*pair.words, *pair.other_words)},
    **dict.fromkeys(("mm", "cm", "m", "km", "in", '"', "ft", "'", "mi"), "a length"),
}
_UNCLEAR = {
    **dict.fromkeys(("°", "deg", "degrees"), "degrees of which scale?"),
    **dict.fromkeys(("t", "ton", "tons", "tonne", "tonnes"), "tons are not the same everywhere"),
    **dict.fromkeys(("gal", "gallon", "gallons"), "gallons are not the same everywhere"),
}  # fmt: skip

LETTERS = "".join(
    sorted({one for word in (*_KINDS, *_UNCLEAR) for one in word + word.upper()} | {" ", "%"})
)
"""Every character that a unit is typed with."""


def parse_amount(
    text: str, unit: str, units: Units, *, decimals: int | None = None, signed: bool = False
) -> Decimal:
    """The value in `unit`, that of the files, of what was typed in a job of these units.

    `decimals`: so many at most, in the unit of the files; None: any. Raises NotALength with what to
    write instead.
    """
    typed = trimmed(text)
    number, word = _parted(typed, unit)
    pair = PAIRS.get(unit)
    if not word:
        most = _most(decimals, unit, units)
        return value_of(parse_number(number, decimals=most, signed=signed), unit, units)
    if word in pair.words if pair else word == unit.casefold():
        return parse_number(number, decimals=decimals, signed=signed)
    if pair and word in pair.other_words:
        most = _most(decimals, unit, "imperial")
        return from_other(parse_number(number, decimals=most, signed=signed), pair)
    raise _refused(typed, word, unit, units)


def _parted(typed: str, unit: str) -> tuple[str, str]:
    """The number and the unit after it, in small letters; all and "" where no unit is meant."""
    match = _AMOUNT.fullmatch(typed)
    if not match:
        return typed, ""
    word = " ".join(match["unit"].split(" ")).casefold()
    known = word in _KINDS or word in _UNCLEAR or word == unit.casefold()
    # Of 1e5 or 1'000 it is the number that is wrong.
    return (match["number"], word) if known or word.replace(" ", "").isalpha() else (typed, "")


def _most(decimals: int | None, unit: str, units: Units) -> int | None:
    """The decimals that may be typed."""
    if unit_read(unit, units) == unit:
        return decimals
    return MOST_DECIMALS if decimals is None else decimals_read(unit, units, decimals)


def _refused(typed: str, word: str, unit: str, units: Units) -> NotALength:
    pair = PAIRS.get(unit)
    wanted, remedy = f"this is in {literal(unit)}", "Write the number alone."
    if pair:
        own, other = (pair.unit, pair.other) if units == "metric" else (pair.other, pair.unit)
        wanted, remedy = f"this is {pair.kind}", f"Write it in {own} or in {other}."
    elif not unit:
        wanted = "this is a number without a unit"
    if word in _UNCLEAR:
        why = _UNCLEAR[word]
    elif word in _KINDS:
        why = f"{word} is {_KINDS[word]}, {wanted}"
    else:
        why = f"{shown(word)} is no unit that is taken here"
    return NotALength(f"{shown(typed)}: {why}", remedy)


def in_other_unit(text: str, unit: str, units: Units) -> bool:
    """True for an amount typed in the unit that people of the job do not read."""
    pair = PAIRS.get(unit)
    word = _parted(text.strip(" "), unit)[1]
    return pair is not None and word in (pair.words if units == "imperial" else pair.other_words)


def entry_text(value: Decimal, unit: str, units: Units, decimals: int | None = None) -> str:
    """A text that is read back as exactly this value: what a field is edited from.

    A value that no number of so many decimals stands for is written as it is.
    """
    pair = PAIRS.get(unit)
    tries = [plain(number_read(value, unit, units))]
    if pair:
        tries.append(f"{plain(value)} {pair.unit}")
        tries.append(f"{plain(to_other(value, pair))} {pair.other}")
    for text in tries:
        for one in (text, _fourth(text)):
            try:
                if parse_amount(one, unit, units, decimals=decimals, signed=True) == value:
                    return one
            except NotALength:
                continue
    return tries[0]


def _fourth(text: str) -> str:
    """With a nought as fourth decimal: three alone are refused."""
    number, gap, unit = text.partition(" ")
    return f"{number}0{gap}{unit}"
