"""How long it truly was between two times of the log, whatever was done to the computer's clock.

Times are compared in UTC, so that summer time changes nothing. A clock that was set back is known from the
key `clock` of the entry after it (`sitelog/clocks.py`); it counts only between two times that were read off
that very clock.
"""

import re
from collections.abc import Iterable
from datetime import datetime, timedelta

from attrs import field, frozen

from pourdeck.sitelog.entries import Entry

READ_OFF = timedelta(seconds=90)
"""A time this near to when it was written was read off the computer's clock, or might have been."""

_BACK = re.compile(r"back (\d+) s", re.ASCII)


@frozen(kw_only=True, eq=False, repr=False)
class Jump:
    """A clock that was set back before an entry was made."""

    station: str
    n: int
    by: timedelta


@frozen(kw_only=True, eq=False, repr=False)
class Stamp:
    """A time that was written down, and the entry that says so."""

    at: datetime
    entry: Entry = field(repr=False)

    @property
    def read_off(self) -> bool:
        return abs(self.entry.at - self.at) <= READ_OFF


def jumps(entries: Iterable[Entry]) -> tuple[Jump, ...]:
    """The jumps back; one ahead cannot be told from a night without an entry."""
    found = ((one, _BACK.fullmatch(one.clock)) for one in entries if one.clock)
    return tuple(
        Jump(station=one.station, n=one.n, by=timedelta(seconds=int(match[1])))
        for one, match in found
        if match
    )


def apart(first: Stamp, second: Stamp, known: Iterable[Jump]) -> timedelta:
    """From the first to the second; below zero where the second was earlier."""
    gone = second.at - first.at
    if not (first.read_off and second.read_off):
        return gone
    station, start, end = first.entry.station, first.entry.n, second.entry.n
    if second.entry.station != station:
        return gone
    for jump in known:
        if jump.station != station:
            continue
        if start < jump.n <= end:
            gone += jump.by
        elif end < jump.n <= start:
            gone -= jump.by
    return gone
