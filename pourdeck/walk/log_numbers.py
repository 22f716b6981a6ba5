"""Values as the entries of the log hold them."""

from decimal import Decimal, InvalidOperation


def number_of(value: object) -> Decimal | None:
    """An exact number of the log, None where it is none."""
    if not isinstance(value, str):
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
