"""Lengths, heights and quantities as people read them: always with their unit, never in exponents.

A metric length that comes out with exactly three decimals is shown with a fourth, a zero, because
the grammar of `lengths` would not read it back otherwise. Lengths have no gap between thousands, as
on the drawing. Halves are rounded away from zero.
"""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal, InvalidOperation
from math import gcd

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units

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
    """How far something is out, for a picture or a column: `+3`, `−2.5`, `0`; to 0.1 mm, or to 1/16 inch.

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
