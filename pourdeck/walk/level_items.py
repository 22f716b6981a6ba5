"""Items of the walk that are staff readings: in which set-up one was read, and how it is asked now."""

from decimal import Decimal

from attrs import evolve

from pourdeck.walk.level_readings import (
    CLOSING,
    FIRST,
    STAFF,
    instrument,
    setup_of,
    setup_of_forms,
)
from pourdeck.walk.records import ItemView, Walk


def setup_answered(item: ItemView) -> int | None:
    """The set-up that the answer of an item was read in; None where it has none."""
    return setup_of(item.entry) if item.entry and item.entry.kind == "answer" else None


def setup_asked(walk: Walk, item: ItemView) -> int | None:
    """The set-up that an answer now is read in; None where the item is no reading of the staff.

    What stands is put right in its own set-up. What is read again, is so from where the instrument is.
    """
    if item.key != CLOSING and not item.key.startswith(STAFF):
        return None
    stands = setup_answered(item) if item.own_state == "done" and item.key != CLOSING else None
    return stands or setup_of_forms(walk.record)


def as_read_now(walk: Walk, item: ItemView) -> ItemView:
    """An item with what it expects of a reading from the set-up that an answer now is read in."""
    asked, benchmark = setup_asked(walk, item), walk.job.site.benchmark
    if asked is None or benchmark is None or item.key == CLOSING:
        return item
    answered = setup_answered(item)
    if answered in (None, asked):
        return item
    before = instrument(walk.record, benchmark, answered or FIRST)
    after = instrument(walk.record, benchmark, asked)
    if before is None or after is None:
        return item
    up = after - before

    def moved(value: Decimal | str | None) -> Decimal | None:
        return value + up if isinstance(value, Decimal) else None

    return evolve(item, expected=moved(item.expected), low=moved(item.low), high=moved(item.high))
