"""Lengths as people type and read them, exact in both directions; millimetres inside.

length      = metric | feet | inches | feet gap inches
    metric      = number [ "mm" | "m" ]                     bare: mm in a metric job
    feet        = number ( "'" | "ft" )
    inches      = ( number | fraction | digits ( "-" | spaces ) fraction ) ( '"' | "in" )
    fraction    = digits "/" ( 2 | 4 | 8 | 16 | 32 | 64 )   less than one
    gap         = spaces | "-" | " - " | nothing            whole feet, inches under 12

In an imperial job a bare number, fraction or whole with fraction is inches. Numbers are those of
`numbers`; three figures after the mark are taken in m, whose resolution they are, and after a point
in inches and feet.
Plain spaces may stand round the whole and before a unit. Units are in small letters. A sign, where
the item allows one, stands first and covers the whole. 1 inch = 25.4 mm and 1 foot = 0.3048 m,
exactly (NIST SP 811, 2008, appendix B.8).
"""

import re
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal, InvalidOperation
from math import gcd

from pourdeck.plan.numbers import (
    EXACT,
    LENGTH_LETTERS,
    NUMBER,
    NotALength,
    check_figures,
    parse_number,
    plain,
    read_number,
    refuse_characters,
    refuse_marks,
    shown,
    split_sign,
    tidy,
    trimmed,
)
from pourdeck.plan.records import Units

__all__ = [
    "NotALength",
    "format_bare",
    "format_exact",
    "format_length",
    "format_quantity",
    "format_rl",
    "implausible",
    "parse_length",
    "parse_number",
    "parse_rl",
    "typed_in_other_unit",
]


# Whether a reading looks like a slip of the decimal mark or the unit.

_SLIPS = (Decimal(10), Decimal("25.4"), Decimal(12), Decimal(1000))


def implausible(
    value: Decimal, expected: Decimal | None, plus: Decimal | None, minus: Decimal | None
) -> Decimal | None:
    """Give the expected value where a slip of unit or mark would explain what was typed.

    That is within 2 % of 10, 25.4, 12 or 1000 times the expected value, or of that part of it. None
    inside the tolerance, and where nothing is expected.
    """
    if not expected or expected - (minus or 0) <= value <= expected + (plus or 0):
        return None
    leeway = abs(expected) / 50
    for factor in _SLIPS:
        too_small = abs(value * factor - expected) <= leeway
        too_large = abs(value - expected * factor) <= leeway * factor
        if too_small or too_large:
            return expected
    return None


# Lengths, heights and quantities as people read them: always with their unit, never in exponents.
#
# A metric length that comes out with exactly three decimals is shown with a fourth, a zero, because
# the grammar of `lengths` would not read it back otherwise. Lengths have no gap between thousands, as
# on the drawing. Halves are rounded away from zero.

_FINER = (16, 32, 64)
"""Parts of an inch on a tape, the coarsest that lengths are shown to first."""

_ROUNDING = Context(prec=80, rounding=ROUND_HALF_UP, traps=[InvalidOperation])


def format_length(mm: Decimal, units: Units, *, decimals: int | None = None) -> str:
    """`7200.5 mm`, or `23' 7-1/2"` to the nearest 1/16 inch, `~` in front where that is not exact.

    `decimals` rounds a metric length that was computed; None shows every decimal there is. What
    begins with `~` is for reading only and is not taken as an entry.
    """
    if units == "imperial":
        return _feet_and_sixteenths(mm)
    return f"{format_bare(mm, units, decimals=decimals)} mm"


def format_bare(mm: Decimal, units: Units, *, decimals: int | None = None) -> str:
    """As `format_length` for a column headed mm; feet and inches carry their own marks."""
    if units == "imperial":
        return _feet_and_sixteenths(mm)
    if decimals is not None:
        return plain(rounded(mm, decimals))
    text = plain(mm)
    return f"{text}0" if len(text.partition(".")[2]) == 3 else text


def format_out(mm: Decimal, units: Units) -> str:
    """Show how far something is out, for a picture or a column: `+3`, `−2.5`, `0`; to 0.1 mm or 1/16 inch.

    Never exact, and so without `~`: the head says what it is rounded to.
    """
    text = format_bare(mm.copy_abs(), units, decimals=1).removeprefix("~")
    if not any(char in "123456789" for char in text):
        return text
    return f"{'+' if mm > 0 else '−'}{text}"


def format_exact(mm: Decimal, units: Units) -> str:
    """A text that `parse_length` reads back as exactly this length: what a field is edited from."""
    if units == "metric":
        return format_bare(mm, units)
    parts, rest, _ = _parts_of_an_inch(mm, 64)
    return f"{format_bare(mm, 'metric')} mm" if rest else _in_feet(parts, 64, mm < 0)


def format_read(mm: Decimal, units: Units) -> str:
    """A length that was read or is judged by: in feet and inches to 1/64 inch where that is exact.

    Anything else as `format_length`, metric to 0.1 mm.
    """
    if units == "metric":
        return format_length(mm, units, decimals=1)
    return next((text for part in _FINER if (text := _exactly(mm, part))), _feet_and_sixteenths(mm))


def format_together(lengths: Sequence[Decimal], units: Units) -> tuple[str, ...]:
    """Lengths side by side, such as a size and its limits, so that those which differ look different.

    In feet and inches to the coarsest of 1/16, 1/32 and 1/64 inch that tells them apart and is exact
    for all that 1/64 is exact for; else in thousandths of an inch.
    """
    if units == "metric":
        return tuple(format_length(one, units, decimals=1) for one in lengths)
    different = len(set(lengths))
    for part in _FINER:
        lost = any(_exactly(one, 64) and not _exactly(one, part) for one in lengths)
        texts = tuple(_to_nearest(one, part) for one in lengths)
        if not lost and len({text.lstrip("~") for text in texts}) == different:
            return texts
    return tuple(_in_thousandths(one) for one in lengths)


def _exactly(mm: Decimal, parts: int) -> str:
    """In such parts of an inch, "" where it is not a whole number of them."""
    count, rest, _ = _parts_of_an_inch(mm, parts)
    return "" if rest else _in_feet(count, parts, mm < 0)


def _in_thousandths(mm: Decimal) -> str:
    """`23' 7.488"`: whole feet, inches to 0.001."""
    count, rest, over = _parts_of_an_inch(mm, 1000)
    feet, inches = divmod(count + (2 * rest >= over), 12_000)
    sign = "-" if mm < 0 and (feet or inches) else ""
    text = f'{inches // 1000}.{inches % 1000:03d}"'
    return ("~" if rest else "") + sign + (f"{feet}' {text}" if feet else text)


def _feet_and_sixteenths(mm: Decimal) -> str:
    return _to_nearest(mm, 16)


def _to_nearest(mm: Decimal, parts: int) -> str:
    """To the nearest such part of an inch, `~` in front where that is not exact."""
    count, rest, over = _parts_of_an_inch(mm, parts)
    return ("~" if rest else "") + _in_feet(count + (2 * rest >= over), parts, mm < 0)


def _parts_of_an_inch(mm: Decimal, parts: int) -> tuple[int, int, int]:
    """Whole parts in |mm|, and what is left over as a fraction of one part."""
    top, bottom = mm.copy_abs().as_integer_ratio()
    over = bottom * 127
    whole, rest = divmod(top * 5 * parts, over)
    return whole, rest, over


def _in_feet(count: int, parts: int, negative: bool) -> str:
    feet, rest = divmod(count, 12 * parts)
    inches, top = divmod(rest, parts)
    text = str(inches) if inches or feet or not top else ""
    if top:
        shared = gcd(top, parts)
        text += f"{'-' if text else ''}{top // shared}/{parts // shared}"
    sign = "-" if negative and count else ""
    return f"{sign}{feet}' {text}\"" if feet else f'{sign}{text}"'


def format_rl(metres: Decimal, units: Units) -> str:
    """`42.955 m`: three decimals, a fourth where there is one; `140.928 ft` to 0.001 ft."""
    if units == "imperial":
        top, bottom = metres.as_integer_ratio()
        thousandths = (abs(top) * 2_500_000 + bottom * 381) // (bottom * 762)
        sign = "-" if top < 0 and thousandths else ""
        return f"{sign}{thousandths // 1000}.{thousandths % 1000:03d} ft"
    places = 4 if rounded(metres, 4) != rounded(metres, 3) else 3
    height = rounded(metres, places)
    return f"{format(height if height else height.copy_abs(), 'f')} m"


def format_quantity(value: Decimal | int, unit: str, decimals: int) -> str:
    """`60.54 m²`: so many decimals, thousands apart from 10 000 up.

    The gap between thousands is a no-break space, the narrowest a terminal has.
    """
    number = rounded(Decimal(value), decimals)
    whole, mark, rest = format(number.copy_abs(), "f").partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", "\u00a0")
    sign = "-" if number < 0 else ""
    return f"{sign}{whole}{mark}{rest} {unit}".rstrip(" ")


def rounded(value: Decimal, decimals: int) -> Decimal:
    """To so many decimals, halves away from zero."""
    return value.quantize(Decimal((0, (1,), -decimals)), context=_ROUNDING)


# Lengths as people type and read them, exact in both directions; millimetres inside.

_INCH = Decimal("25.4")
_MM = {
    "mm": Decimal(1),
    "m": Decimal(1000),
    '"': _INCH,
    "in": _INCH,
    "'": Decimal("304.8"),
    "ft": Decimal("304.8"),
}
_IN_THOUSANDTHS = ('"', "in", "'", "ft")
"""Three decimals of these are ordinary."""

_PARTS = (2, 4, 8, 16, 32, 64)

_ONE_NUMBER = re.compile(rf"(?P<number>{NUMBER}) *(?P<unit>mm|m|ft|in|'|\"|)")
_INCHES = re.compile(
    rf"(?:(?P<feet>{NUMBER}) *(?:'|ft)(?: *| - |-))?"
    rf"(?:(?:(?P<whole>[0-9]+)(?: +|-))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)|(?P<number>{NUMBER}))"
    r" *(?P<mark>\"|in|)"
)
_METRIC_UNIT = re.compile(r"mm?$")
_IMPERIAL_UNIT = re.compile(r"""['"/]|in|ft""")


def parse_length(text: str, units: Units, *, signed: bool = False) -> Decimal:
    """Exact millimetres of a typed length. Raises NotALength with what to write instead."""
    typed = trimmed(text)
    sign, body = split_sign(typed, signed=signed)
    check_figures(body)
    if match := _ONE_NUMBER.fullmatch(body):
        unit = match["unit"] or ("mm" if units == "metric" else "in")
        number = read_number(
            match["number"], thousandths=unit == "m", point=unit in _IN_THOUSANDTHS
        )
        return tidy(EXACT.multiply(sign, EXACT.multiply(number, _MM[unit])))
    if match := _INCHES.fullmatch(body):
        return tidy(EXACT.multiply(sign, _feet_and_inches(match, typed, units)))
    raise _explain(typed, body)


def _feet_and_inches(match: re.Match[str], typed: str, units: Units) -> Decimal:
    feet, mark = match["feet"], match["mark"]
    if not mark and (feet or units == "metric"):
        raise NotALength(f"{shown(typed)}: inches without their mark", f'Write {shown(typed)}".')
    if match["number"]:
        inches = read_number(match["number"], thousandths=False, point=True)
    else:
        inches = EXACT.add(Decimal(match["whole"] or 0), _fraction(match["top"], match["bottom"]))
    if feet is None:
        return EXACT.multiply(inches, _INCH)
    if not feet.isdigit():
        raise NotALength(
            f"{shown(typed)}: part of a foot and inches", "Write whole feet, then inches."
        )
    if inches >= 12:
        raise NotALength(
            f"{shown(typed)}: {plain(inches)} inches after the feet",
            "Inches after feet stay under 12. Write it all in inches, or carry them over.",
        )
    return EXACT.add(EXACT.multiply(Decimal(feet), _MM["ft"]), EXACT.multiply(inches, _INCH))


def _fraction(top: str, bottom: str) -> Decimal:
    numerator, denominator = int(top), int(bottom)
    if denominator not in _PARTS:
        raise NotALength(
            f"{top}/{bottom}: not a fraction of an inch on a tape",
            "Write halves, quarters, 8ths, 16ths, 32nds or 64ths.",
        )
    if not 0 < numerator < denominator:
        raise NotALength(
            f"{top}/{bottom}: the fraction must lie between 0 and 1",
            "Write whole inches in front of it, such as 7-1/2.",
        )
    return EXACT.divide(Decimal(numerator), Decimal(denominator))


_EXAMPLES = "Write it like 7200, 7.2 m or 23' 7-1/2\"."


def _explain(typed: str, body: str) -> NotALength:
    """Why this is no length, the nearest reason first."""
    if "cm" in body:
        return NotALength(f"{shown(typed)}: centimetres are not used here", "Write it in mm or m.")
    if body != body.lower() and not refuse_characters(body.lower(), letters=LENGTH_LETTERS):
        return NotALength(f"{shown(typed)}: capital letters", "Write the unit in small letters.")
    if fault := refuse_characters(typed, letters=LENGTH_LETTERS) or refuse_marks(body):
        return fault
    if body[0] not in "0123456789":
        return NotALength(f"{shown(typed)}: no figure in front", _EXAMPLES)
    if re.fullmatch(r"[0-9]+(?: +[0-9]+)+", body):
        together = body.replace(" ", "")
        return NotALength(f"{shown(typed)}: a space inside a number", f"Write {together}.")
    if "/" in body:
        return NotALength(f"{shown(typed)}: not a fraction of an inch", 'Write it like 7-1/2".')
    return NotALength(f"{shown(typed)}: not a length", _EXAMPLES)


def typed_in_other_unit(text: str, units: Units) -> bool:
    """True for a length in another unit than the job's own (mm, or feet and inches)."""
    typed = text.strip(" ")
    try:
        parse_length(typed, units, signed=True)
    except NotALength:
        return False
    metric = _METRIC_UNIT.search(typed)
    if units == "imperial":
        return metric is not None
    return _IMPERIAL_UNIT.search(typed) is not None or (metric is not None and metric[0] == "m")


def parse_rl(text: str, units: Units) -> Decimal:
    """Exact metres of a height on the site datum: metres, or decimal feet in an imperial job.

    A unit `m`, `ft` or `'` says otherwise. Raises NotALength.
    """
    typed = trimmed(text)
    match = re.fullmatch(r"(?P<number>.*?) *(?P<unit>m|ft|'|)", typed, re.DOTALL)
    unit = match["unit"] if match else ""
    number = parse_number(match["number"] if match else typed, decimals=9, signed=True)
    if unit == "m" or (not unit and units == "metric"):
        return number
    return tidy(EXACT.multiply(number, Decimal("0.3048")))
