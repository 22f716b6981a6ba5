"""Values as the crew reads them: in the units of the job, with the unit always there."""

from datetime import datetime
from decimal import Decimal

from pourdeck.deck.spans import Spans, line
from pourdeck.plan.lengths import format_length, format_quantity, format_rl
from pourdeck.plan.records import Units
from pourdeck.walk.records import ItemState, ItemView

SIGNS: dict[str, str] = {
    "open": "·",
    "done": "✓",
    "failed": "✗",
    "deferred": "»",
    "n/a": "–",
    "locked": "▪",
    "void": "!",
}
"""One sign for each state, always beside a word where there is room for one."""

WORDS: dict[str, str] = {
    "open": "open",
    "done": "done",
    "failed": "failed",
    "deferred": "deferred",
    "n/a": "not applicable",
    "locked": "locked",
    "void": "asked again",
}

def length(mm: Decimal, units: Units) -> str:
    """A length with its unit; what a root or a division makes too fine is shown to 0.1 mm."""
    exponent = mm.as_tuple().exponent
    too_fine = isinstance(exponent, int) and exponent < -3
    return format_length(mm, units, decimals=1 if too_fine else None)


def quantity(value: Decimal | str, unit: str, decimals: int, units: Units) -> str:
    """Any value of an item with its unit."""
    if isinstance(value, str):
        return value
    if unit == "mm":
        return length(value, units)
    if unit == "m":
        return format_rl(value, units)
    return format_quantity(value, unit, decimals)


def expected_text(item: ItemView, units: Units) -> str:
    """What is expected, and what may be off it."""
    if item.expected is None:
        return ""
    wanted = quantity(item.expected, item.unit, item.decimals, units)
    return f"{wanted}{allowance(item, units)}"


def allowance(item: ItemView, units: Units) -> str:
    """`  ± 2 mm`, `  + 5 − 0 mm`; empty where nothing is given to judge by."""
    plus, minus = item.plus, item.minus
    if plus is None and minus is None:
        return ""
    if plus == minus and plus is not None:
        return f"  ± {quantity(plus, item.unit, item.decimals, units)}"
    parts = []
    if plus is not None:
        parts.append(f"+ {quantity(plus, item.unit, item.decimals, units)}")
    if minus is not None:
        parts.append(f"− {quantity(minus, item.unit, item.decimals, units)}")
    return "  " + "  ".join(parts)


def limits_text(item: ItemView, units: Units) -> str:
    """The limits judged by, ends included; says so where there are none."""
    low, high = item.low, item.high
    if low is None and high is None:
        return "no limit given: recorded, not judged" if item.kind == "measure" else ""
    shown = [
        None if one is None else quantity(one, item.unit, item.decimals, units)
        for one in (low, high)
    ]
    if shown[0] is None:
        return f"at most {shown[1]}"
    if shown[1] is None:
        return f"at least {shown[0]}"
    return f"{shown[0]} to {shown[1]}"


def found_text(item: ItemView, units: Units) -> str:
    return "" if item.found is None else quantity(item.found, item.unit, item.decimals, units)


def state_piece(state: ItemState | str, words: bool = True) -> Spans:
    """Sign and word of a state, in its ink."""
    sign = SIGNS.get(state, "·")
    return line((f"{sign} {WORDS.get(state, state)}" if words else sign, state))


def clock_text(at: datetime | None) -> str:
    return "" if at is None else f"{at:%H:%M:%S}"


def day_text(at: datetime | None) -> str:
    """`Wed 25 Nov 07:41`."""
    return "" if at is None else f"{at:%a} {at.day} {at:%b %H:%M}"


def age_text(since: datetime, now: datetime) -> str:
    """How long ago, in the words a person would use."""
    minutes = int((now - since).total_seconds() // 60)
    if minutes < 1:
        return "just now"
    if minutes < 60:
        return f"{minutes} min ago"
    hours, minutes = divmod(minutes, 60)
    if hours < 24:
        return f"{hours} h {minutes} min ago"
    days, hours = divmod(hours, 24)
    return f"{days} d {hours} h ago"
