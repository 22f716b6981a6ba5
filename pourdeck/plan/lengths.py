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
from decimal import Decimal

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
from pourdeck.plan.plausible import implausible
from pourdeck.plan.records import Units
from pourdeck.plan.shown_lengths import (
    format_bare,
    format_exact,
    format_length,
    format_quantity,
    format_rl,
)

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
