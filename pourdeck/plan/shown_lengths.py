"""Lengths, heights and quantities as people read them: always with their unit, never in exponents.

A metric length that comes out with exactly three decimals is shown with a fourth, a zero, because
the grammar of `lengths` would not read it back otherwise. Lengths have no gap between thousands, as
on the drawing. Halves are rounded away from zero.
"""

from decimal import ROUND_HALF_UP, Context, Decimal, InvalidOperation
from math import gcd

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units

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


def format_exact(mm: Decimal, units: Units) -> str:
    """A text that `parse_length` reads back as exactly this length: what a field is edited from."""
    if units == "metric":
        return format_bare(mm, units)
    parts, rest, _ = _parts_of_an_inch(mm, 64)
    return f"{format_bare(mm, 'metric')} mm" if rest else _in_feet(parts, 64, mm < 0)


def _feet_and_sixteenths(mm: Decimal) -> str:
    parts, rest, over = _parts_of_an_inch(mm, 16)
    nearest = parts + (2 * rest >= over)
    return ("~" if rest else "") + _in_feet(nearest, 16, mm < 0)


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
