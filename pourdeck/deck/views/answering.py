"""What the field takes for an item: its quantity, with what is expected of it here."""

import re
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

from attrs import evolve

from pourdeck.walk.answers import as_read_now
from pourdeck.walk.quantities import Quantity, of_item
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.words import moment_of

_WHO = re.compile(r"\bwho\b", re.IGNORECASE)
WITHOUT = "d puts it off, n says not applicable."
UNMEASURED = "y says not measured, "


def item_quantity(item: ItemView, walk: Walk, now: Callable[[], datetime]) -> Quantity:
    """What the field takes for an item that is measured, counted, timed or written.

    What a second person reads off the drawing is not hinted at: neither by a question nor by a step.
    """
    item = as_read_now(walk, item)
    expected = item.expected if isinstance(item.expected, Decimal) and not item.second else None
    quantity = evolve(
        of_item(item, walk.job.units),
        expected=expected,
        plus=item.plus if expected is not None else None,
        minus=item.minus if expected is not None else None,
        without=_without(item),
        now=now,
    )
    return evolve(quantity, offers=_offers(item, quantity))


def _without(item: ItemView) -> str:
    """How to go on where nobody has the answer, by the keys of the Walk."""
    if item.kept:
        return ""
    if item.kind == "text":
        return f"Esc, then {WITHOUT}"
    return WITHOUT if item.measured or item.kind == "time" else f"{UNMEASURED}{WITHOUT}"


def _offers(item: ItemView, quantity: Quantity) -> Callable[[], str] | None:
    """What an empty field is opened with; None: with nothing."""
    offered = item.offered
    return None if offered is None else lambda: quantity.entry(offered)


def asks_for_person(item: ItemView | None) -> bool:
    """Whether the words that are wanted are somebody's name, as the question says: then names are offered."""
    return item is not None and item.kind == "text" and _WHO.search(item.prompt) is not None


def resting_text(item: ItemView, quantity: Quantity) -> str:
    """The answer that stands, as the field would be edited from it; empty where there is none."""
    if item.found is None or item.own_state == "void":
        return ""
    if isinstance(item.found, Decimal):
        return quantity.entry(item.found)
    moment = moment_of(item.found) if item.kind == "time" else None
    return f"{moment:%H:%M}" if moment else item.found
