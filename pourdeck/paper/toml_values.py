"""Values as the panel record holds them: exact where they are, whole where they are whole, harmless text."""

from decimal import Decimal
from typing import Any

from pourdeck.plan.lengths import rounded
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import plain

Number = int | Decimal


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
