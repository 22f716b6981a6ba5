"""How long it truly was between two times of the log, whatever was done to the computer's clock.

Times are compared in UTC, so that summer time changes nothing. A clock that was set back is known from the
key `clock` of the entry after it (`sitelog/clocks.py`), and before there is one from the desk that sees it.
Every time is on the clock as it went when it was first written down, off the computer or off a docket:
across a jump the minutes go on as if there had been none, so that nothing that was late is late no more.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Protocol

from attrs import frozen

from pourdeck.sitelog.entries import Entry

READ_OFF = timedelta(seconds=90)
"""A time this near to when it was written was read off the computer's clock, or might have been."""

_BACK = re.compile(r"back (\d+) s", re.ASCII)
_NEVER = 2**63
"""No log has so many entries."""


class Written(Protocol):
    """What says when and where a time was written down: an entry."""

    @property
    def station(self) -> str: ...
    @property
    def n(self) -> int: ...
    @property
    def at(self) -> datetime: ...


@frozen(kw_only=True, eq=False, repr=False)
class Writing:
    """The entry that is about to be written."""

    station: str
    at: datetime
    n: int = _NEVER


@frozen(kw_only=True, eq=False, repr=False)
class Jump:
    """A clock that was set back before an entry was made; `at` is that entry's time, after the jump."""

    station: str
    n: int
    by: timedelta
    at: datetime


@frozen(kw_only=True, eq=False, repr=False)
class Stamp:
    """A time, and which clock it is on: that of a station as it went when it wrote its entry `n`."""

    at: datetime
    station: str
    n: int


def jumps(entries: Iterable[Entry]) -> tuple[Jump, ...]:
    """The jumps back; one ahead cannot be told from a night without an entry."""
    return tuple(
        Jump(station=one.station, n=one.n, by=gone, at=one.at)
        for one in entries
        if (gone := gone_back(one.clock))
    )


def gone_back(said: str) -> timedelta | None:
    """How far `back 3600 s` is; None for what says something else."""
    match = _BACK.fullmatch(said)
    return timedelta(seconds=int(match[1])) if match else None


def set_back(known: Iterable[Jump]) -> timedelta:
    """How far all of them come to: what was read off that clock before may be so much ahead of it now."""
    return sum((jump.by for jump in known), timedelta())


def stamp(at: datetime, entries: Sequence[Written], known: Iterable[Jump]) -> Stamp:
    """A time with the clock it is on. `entries`: those that gave it and put it right, oldest first.

    What is put right is on the clock of what stood, unless it was read off as it was written. A time that
    is still to come by the clock it was written by was read off it before it was set back.
    """
    first, last = entries[0], entries[-1]
    entry = last if abs(last.at - at) <= READ_OFF or at > first.at + READ_OFF else first
    n, latest = entry.n, entry.at
    before = [jump for jump in known if jump.station == entry.station and jump.n <= entry.n]
    for jump in sorted(before, key=lambda jump: jump.n, reverse=True):
        if at <= latest + READ_OFF:
            break
        n, latest = jump.n - 1, latest + jump.by
    return Stamp(at=at, station=entry.station, n=n)


def clock_now(now: datetime, beside: Stamp) -> Stamp:
    """The time now, by the clock of the station that wrote `beside`."""
    return Stamp(at=now, station=beside.station, n=_NEVER)


def apart(first: Stamp, second: Stamp, known: Iterable[Jump]) -> timedelta:
    """From the first to the second; below zero where the second was earlier."""
    gone = second.at - first.at
    if second.station != first.station:
        return gone
    for jump in known:
        if jump.station != first.station:
            continue
        if first.n < jump.n <= second.n:
            gone += jump.by
        elif second.n < jump.n <= first.n:
            gone -= jump.by
    return gone


def even(one: Stamp, known: Iterable[Jump]) -> datetime:
    """The time by a clock that was never set back: to put what one station wrote in its order."""
    before = (jump.by for jump in known if jump.station == one.station and jump.n <= one.n)
    return one.at + sum(before, timedelta())
