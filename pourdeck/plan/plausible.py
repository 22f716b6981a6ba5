"""Whether a reading looks like a slip of the decimal mark or the unit."""

from decimal import Decimal

_SLIPS = (Decimal(10), Decimal("25.4"), Decimal(12), Decimal(1000))


def implausible(
    value: Decimal, expected: Decimal | None, plus: Decimal | None, minus: Decimal | None
) -> Decimal | None:
    """What was probably meant: the expected value, where a slip of unit or mark would explain it.

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
