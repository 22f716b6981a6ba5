"""Values as the crew reads them: in the units of the job, with the unit always there."""

from datetime import datetime
from decimal import Decimal

from pourdeck.deck.paint import Spans, line
from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import Units
from pourdeck.walk.records import ItemState, ItemView
from pourdeck.walk.words import limit_texts, value_text

SIGNS: dict[str, str] = {
    "open": "·",
    "done": "✓",
    "failed": "✗",
    "deferred": "»",
    "n/a": "–",
    "locked": "▪",
    "void": "!",
    "followed-up": "✗→",
    "not-measured": "?",
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
    "followed-up": "failed, followed up",
    "not-measured": "not measured",
}


def shown_state(item: ItemView) -> str:
    """The state that people see: what failed and was followed up is not the same as what passed.

    What is out of tolerance is failed until it is settled, whatever was said of it.
    """
    if item.out is not None and item.own_state in ("done", "failed"):
        return "followed-up" if item.out.settled else "failed"
    followed = item.own_state == "done" and item.verdict == "fail" and item.follow_up
    if item.not_measured is not None and item.own_state == "done" and not followed:
        return "not-measured"
    return "followed-up" if followed else item.own_state


def length(mm: Decimal, units: Units) -> str:
    """A length with its unit; what a root or a division makes too fine is shown to 0.1 mm."""
    exponent = mm.as_tuple().exponent
    too_fine = isinstance(exponent, int) and exponent < -3
    return format_length(mm, units, decimals=1 if too_fine else None)


def limits_text(item: ItemView, units: Units) -> str:
    """The limits judged by, ends included; says so where there are none."""
    low, _, high = limit_texts(item, units)
    if item.pair and item.plus is not None:
        apart = value_text(item.plus, item.unit, units, item.decimals)
        between = f": {low} to {high}" if low and high else ""
        return f"the two at most {apart} apart{between}"
    if low and high:
        return f"{low} to {high}" if low != high else f"exactly {low}"
    if low or high:
        return f"at least {low}" if low else f"at most {high}"
    return "no limit given: recorded, not judged" if item.kind == "measure" else ""


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
