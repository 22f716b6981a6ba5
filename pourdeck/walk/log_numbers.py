"""Values as the entries of the log hold them."""

from decimal import Decimal, InvalidOperation

from pourdeck.plan.numbers import plain
from pourdeck.sitelog.entries import Entry


def number_of(value: object) -> Decimal | None:
    """An exact number of the log, None where it is none."""
    if not isinstance(value, str):
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def canonical(value: Decimal | str | None) -> str | None:
    """A value as the log holds it."""
    return plain(value) if isinstance(value, Decimal) else value


def not_measured_in(entry: Entry) -> str | None:
    """Why an answer has no value: the reason it gives; None where it has one."""
    if entry.kind != "answer" or entry.data.get("value") is not None:
        return None
    reason = entry.data.get("not_measured")
    return reason if isinstance(reason, str) and reason else None
