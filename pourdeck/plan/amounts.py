"""Amounts that are no lengths: their units, how they are shown, and how they are typed.

Values are in the unit of the files. What was typed in the other system is kept to twelve decimals, so
that it is shown again as exactly what was typed; a number that was computed is rounded for the eye.

Factors: yard, foot, mile and pound by the international agreement of 1959 (1 yd = 0.9144 m, 1 lb =
0.453 592 37 kg) and standard gravity, 9.806 65 m/s², all exact: NIST SP 811 (2008), appendix B.8.
Degrees Fahrenheit by definition: 9/5 °C + 32.
"""

import re
from decimal import ROUND_HALF_EVEN, Context, Decimal

from attrs import frozen

from pourdeck.plan.lengths import format_quantity
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import NUMBER, NotALength, parse_number, plain, shown, tidy, trimmed
from pourdeck.plan.records import Units

# Amounts that are no lengths, in the units of the files and in those that people of a job read.

KEPT = Decimal("1e-12")
"""To which a value that was typed in the other system is kept."""

_CONVERTED = Decimal("1e-9")
"""To which a number is turned into the other system; one that needs all of it was not typed so."""

_PLAN = Decimal("5e-7")
"""Bound how far a figure of job.toml, at most six decimals, may be from the number the office meant."""

_TYPED_SO = 8
"""Decimals up to which a number may have been typed; more come of a conversion or a division."""

_WORK = Context(prec=60, rounding=ROUND_HALF_EVEN)


@frozen(kw_only=True, eq=False, repr=False)
class Pair:
    """Two units of one kind. `top` / `bottom` of the file's unit are one of the other.

    `zero` is what the other one reads at the file's nought. `decimals` of the file's unit are worth
    reading, `finer` more, or fewer, of the other. `words` and `other_words`: how people type the
    units, in small letters.
    """

    kind: str
    unit: str
    other: str
    top: Decimal
    bottom: Decimal = Decimal(1)
    zero: Decimal = Decimal(0)
    decimals: int = 0
    finer: int = 0
    words: tuple[str, ...]
    other_words: tuple[str, ...]


_POUND = Decimal("0.45359237")  # kg
_POUND_FORCE = Decimal("4.4482216152605")  # N, the pound under standard gravity
_SQUARE_INCH = Decimal("645.16")  # mm²
_SQUARE_FOOT = Decimal("0.09290304")  # m²
_CUBIC_FOOT = Decimal("0.028316846592")  # m³
_CUBIC_YARD = Decimal("0.764554857984")  # m³
_MILE = Decimal("1.609344")  # km

PAIRS = {pair.unit: pair for pair in (
    Pair(kind="a volume", unit="m³", decimals=2, other="yd³", top=_CUBIC_YARD,
         words=("m³", "m3", "cu m"), other_words=("yd³", "yd3", "yd", "yds", "cu yd", "cy")),
    Pair(kind="an area", unit="m²", decimals=2, other="ft²", top=_SQUARE_FOOT, finer=-1,
         words=("m²", "m2", "sq m"), other_words=("ft²", "ft2", "sq ft", "sqft")),
    Pair(kind="a mass", unit="kg", other="lb", top=_POUND,
         words=("kg",), other_words=("lb", "lbs")),
    Pair(kind="a density", unit="kg/m³", other="lb/ft³", top=_POUND, bottom=_CUBIC_FOOT, finer=1,
         words=("kg/m³", "kg/m3"), other_words=("lb/ft³", "lb/ft3", "pcf")),
    Pair(kind="a strength", unit="MPa", decimals=1, other="psi",
         top=_POUND_FORCE, bottom=_SQUARE_INCH, finer=-1,
         words=("mpa", "n/mm²", "n/mm2"), other_words=("psi",)),
    Pair(kind="a temperature", unit="°C", decimals=1, other="°F", top=Decimal(5), bottom=Decimal(9),
         zero=Decimal(32), words=("°c", "c"), other_words=("°f", "f")),
    Pair(kind="a wind speed", unit="km/h", decimals=1, other="mph", top=_MILE,
         words=("km/h", "kmh", "kph"), other_words=("mph", "mi/h")),
    Pair(kind="an evaporation", unit="kg/m²/h", decimals=2, other="lb/ft²/h", top=_POUND, bottom=_SQUARE_FOOT,
         finer=1, words=("kg/m²/h", "kg/m2/h"), other_words=("lb/ft²/h", "lb/ft2/h")),
)}  # fmt: skip
"""By the unit of the files."""


def _read(unit: str, units: Units) -> Pair | None:
    """The pair whose other unit people of the job read; None where they read the file's own."""
    return PAIRS.get(unit) if units == "imperial" else None


def unit_read(unit: str, units: Units) -> str:
    """The unit people of the job read what the files hold in `unit`; an unknown one stays."""
    pair = _read(unit, units)
    return pair.other if pair else unit


def decimals_read(unit: str, units: Units, decimals: int) -> int:
    """Give to how many decimals people read a number that has `decimals` of them in the unit of the files."""
    pair = _read(unit, units)
    return max(0, decimals + pair.finer) if pair else decimals


def number_read(value: Decimal, unit: str, units: Units, *, apart: bool = False) -> Decimal:
    """The number people of the job read; `apart`: of the difference of two values."""
    pair = _read(unit, units)
    return to_other(value, pair, apart=apart) if pair else value


def value_of(number: Decimal, unit: str, units: Units) -> Decimal:
    """Give the value the files hold for a number that people of the job read."""
    pair = _read(unit, units)
    return from_other(number, pair) if pair else number


def to_other(value: Decimal, pair: Pair, *, apart: bool = False) -> Decimal:
    """A value of the files in the other unit."""
    number = _WORK.divide(_WORK.multiply(value, pair.bottom), pair.top)
    number = number if apart else _WORK.add(number, pair.zero)
    return tidy(number.quantize(_CONVERTED, context=_WORK))


def from_other(number: Decimal, pair: Pair) -> Decimal:
    """A number in the other unit as the files hold it."""
    part = _WORK.subtract(number, pair.zero)
    value = _WORK.divide(_WORK.multiply(part, pair.top), pair.bottom)
    return tidy(value.quantize(KEPT, context=_WORK))


def as_read(value: Decimal, unit: str, units: Units, decimals: int) -> Decimal:
    """A computed value rounded, halves to even, to what people of the job read of it."""
    finest = Decimal((0, (1,), -decimals_read(unit, units, decimals)))
    number = number_read(value, unit, units).quantize(finest, context=_WORK)
    return value_of(number, unit, units)


def as_meant(value: Decimal, unit: str, units: Units) -> Decimal:
    """A figure of job.toml as the office meant it in the units of the job.

    90 °F stand there as 32.222222: with all decimals 90 °F would be above that.
    """
    pair = _read(unit, units)
    if pair is None:
        return value
    number = to_other(value, pair)
    for finest in (Decimal(1), Decimal("0.1"), Decimal("0.01")):
        meant = from_other(number.quantize(finest, context=_WORK), pair)
        if abs(meant - value) <= _PLAN:
            return meant
    return value


def format_amount(
    value: Decimal, unit: str, units: Units, decimals: int = 0, *, apart: bool = False
) -> str:
    """`9.07 m³`, or `11.86 yd³`: at least so many decimals of the file's unit, thousands apart."""
    number = number_read(value, unit, units, apart=apart)
    return format_quantity(number, unit_read(unit, units), _places(number, unit, units, decimals))


def format_computed(value: Decimal, unit: str, units: Units, decimals: int) -> str:
    """`9.07 m³`, or `11.86 yd³`: a computed value to just so many decimals of the file's unit."""
    places = decimals_read(unit, units, decimals)
    return format_quantity(number_read(value, unit, units), unit_read(unit, units), places)


def bare_amount(value: Decimal, unit: str, units: Units, decimals: int = 0) -> str:
    """As `format_amount` without the unit."""
    number = number_read(value, unit, units)
    return format_quantity(number, "", _places(number, unit, units, decimals))


def _places(number: Decimal, unit: str, units: Units, decimals: int) -> int:
    """Decimals to show: those that were typed, three at the most; what is worth reading of any other."""
    own = -int(tidy(number).as_tuple().exponent)
    if own <= _TYPED_SO:
        return max(decimals_read(unit, units, decimals), min(3, own))
    pair = PAIRS.get(unit)
    return decimals_read(unit, units, max(decimals, pair.decimals) if pair else max(decimals, 1))


# Amounts that are no lengths as people type them.
#
# amount = number [ unit ]          bare: in the unit that people of the job read
#
# Numbers are those of `numbers`. The units of both systems are taken in every job, in capitals or not.
# A unit of another kind, and one that does not mean the same everywhere, is refused by its name.

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
