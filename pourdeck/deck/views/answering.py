"""What the field takes for an item: a length, a height, a number, a count, a time, or words."""

import re
from collections.abc import Callable
from decimal import Decimal

from attrs import evolve

from pourdeck.deck.widgets.field_rules import FieldRules, Kind
from pourdeck.walk.level_items import as_read_now
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.words import LENGTHS, moment_of

MOST_WORDS = 200
_WHO = re.compile(r"\bwho\b", re.IGNORECASE)
WITHOUT = "d puts it off, n says not applicable."
UNMEASURED = "y says not measured, "
TIME_WANTED = "Hours and minutes: 18:30, 18.30 or 1830"


def field_rules(
    item: ItemView, walk: Walk, meaning: Callable[[str], str] | None = None
) -> FieldRules:
    """The rules for an item that is measured, counted, timed or written. `meaning`: of a time that is typed.

    What a second person reads off the drawing is not hinted at: neither by a question nor by a step.
    """
    units = walk.job.units
    item = as_read_now(walk, item)
    without = _without(item)
    if item.kind in ("text", "time"):
        wanted = TIME_WANTED if item.kind == "time" else ""
        return FieldRules(
            kind="text",
            units=units,
            max_length=MOST_WORDS,
            wanted=wanted,
            without=without,
            offers=_offers(item, None),
            meaning=meaning if item.kind == "time" else None,
        )
    expected = item.expected if isinstance(item.expected, Decimal) and not item.second else None
    kind: Kind = "number"
    label: str | None = item.unit
    if item.unit in LENGTHS:
        kind, label = "length", None
    elif item.unit == "m":
        kind, label = "rl", None
    rules = FieldRules(
        kind=kind,
        units=units,
        unit_label=label,
        expected=expected,
        plus=item.plus if expected is not None else None,
        minus=item.minus if expected is not None else None,
        decimals=0 if item.kind == "count" else item.decimals if kind == "number" else None,
        signed=item.signed,
        without=without,
    )
    return evolve(rules, offers=_offers(item, rules))


def _without(item: ItemView) -> str:
    """How to go on where nobody has the answer, by the keys of the Walk."""
    if item.kept:
        return ""
    if item.kind == "text":
        return f"Esc, then {WITHOUT}"
    return WITHOUT if item.measured or item.kind == "time" else f"{UNMEASURED}{WITHOUT}"


def _offers(item: ItemView, rules: FieldRules | None) -> Callable[[], str] | None:
    """What an empty field is opened with; None: with nothing."""
    offered = item.offered
    if offered is None:
        return None
    if isinstance(offered, str) or rules is None:
        return lambda: str(offered)
    return lambda: rules.entry(offered)


def asks_for_person(item: ItemView | None) -> bool:
    """Whether the words that are wanted are somebody's name, as the question says: then names are offered."""
    return item is not None and item.kind == "text" and _WHO.search(item.prompt) is not None


def resting_text(item: ItemView, rules: FieldRules) -> str:
    """The answer that stands, as the field would be edited from it; empty where there is none."""
    if item.found is None or item.own_state == "void":
        return ""
    if isinstance(item.found, Decimal):
        return rules.entry(item.found)
    moment = moment_of(item.found) if item.kind == "time" else None
    return f"{moment:%H:%M}" if moment else item.found
