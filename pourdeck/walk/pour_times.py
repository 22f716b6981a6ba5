"""When the pour of a panel began and ended, by the times that were written down."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.clock_jumps import Jump, Stamp, stamp
from pourdeck.walk.words import moment_of

MICROSECONDS = 3_600_000_000
"""In an hour."""


def pour_began(record: PanelState) -> datetime | None:
    """When the first concrete was in the form; None before it."""
    return _time(record.pour_start)


def pour_ended(record: PanelState) -> datetime | None:
    """When the pour ended, by the entry's own time where it has one."""
    return _time(record.pour_end)


def pour_over(record: PanelState, jumps: Sequence[Jump]) -> Stamp | None:
    """The end of the pour with the clock that it is on."""
    at = pour_ended(record)
    return None if at is None or record.pour_end is None else stamp(at, [record.pour_end], jumps)


def _time(entry: Entry | None) -> datetime | None:
    return None if entry is None else moment_of(entry.data.get("time")) or entry.at


def aged_at(ended: datetime, hours: Decimal) -> datetime:
    """When so many hours have passed since the end of a pour."""
    return ended + timedelta(microseconds=int(hours * MICROSECONDS))
