"""Give values as the panel record holds them: exact where they are, whole where whole, harmless text."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from pourdeck.plan.lengths import rounded
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import plain
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import ItemView

Number = int | Decimal
Value = Number | str | datetime


def exact(value: Decimal) -> Number:
    """A length or count with every figure it has; a whole one without a point."""
    return int(value) if value == value.to_integral_value() else Decimal(plain(value))


def about(value: Decimal, decimals: int) -> Number:
    """Round a figure that was computed to so many decimals."""
    return exact(rounded(value, decimals))


def height(metres: Decimal) -> Decimal:
    """Three decimals at least, as on a staff, and four at most."""
    return rounded(metres, 3 if rounded(metres, 4) == rounded(metres, 3) else 4)


def positions(along: tuple[Decimal, ...]) -> str | None:
    """Positions along a side on one line; None where there are none."""
    return ", ".join(plain(at) for at in along) or None


def tidy(value: Any) -> Any:
    """Without what is not there, and with text that shows as it is in any editor."""
    if isinstance(value, dict):
        kept = {literal(str(key)): tidy(one) for key, one in value.items() if one is not None}
        return {key: one for key, one in kept.items() if one not in ([], {}, "")}
    if isinstance(value, (list, tuple)):
        return [tidy(one) for one in value]
    if isinstance(value, str):
        return literal(value)
    return value


def found(item: ItemView) -> Value | None:
    """Give what was found as the record holds it; a time as a time."""
    if item.kind == "time" and isinstance(item.found, str):
        try:
            return datetime.fromisoformat(item.found)
        except ValueError:
            return item.found
    return value(item.found, item)


def value(one: Decimal | str | None, item: ItemView) -> Number | str | None:
    if isinstance(one, Decimal):
        return height(one) if item.unit == "m" else exact(one)
    return one


def where(item: ItemView) -> str:
    """The place an item asks about, as the crew reads it; "" where it asks about the whole panel."""
    if item.label and not item.group.endswith(" side"):
        return item.label
    return f"{item.group} {item.label}".strip()


def entry_name(entry: Entry | None) -> str | None:
    """An entry of the log by its station and its number there: `shed 871`."""
    return f"{entry.station} {entry.n}" if entry else None
