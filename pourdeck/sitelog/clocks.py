"""Tell how a computer's clock jumped, and whether the clocks of stations agree.

Whoever has seen an entry comes after it. Where that entry's time is nevertheless the later one, the clock
it was written by was ahead by at least the difference. Both ways between two stations that bounds how far
their clocks were apart from both ends.
"""

import re
from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from operator import attrgetter

from attrs import frozen

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.union import Lines

# A computer's clock that has jumped, told from the entries it dates.
#
# Order never comes from the clock, so a jump does no harm to the log; people should still see it, and hours
# that were counted across one are not known (`walk/clock.py`).

STEP = timedelta(seconds=2)
"""Clocks are set right by steps up to this without anybody being told, and `at` is in whole
seconds.
"""

AHEAD = timedelta(hours=12)
"""So long there is often no entry: over a night nothing but the clock itself tells what passed."""

LEAP = timedelta(minutes=2)
"""A clock that goes forward by more, while another goes on steadily, was set; so was one that differs by more
from that of another computer."""

_CLOCK = re.compile(r"(back|forward|behind) ([0-9]{1,11}) s")


def jump(last: datetime, at: datetime, elapsed: timedelta | None = None) -> str:
    """Tell how the clock jumped between two times: `back 3600 s`, `forward 14400 s`, or nothing.

    `elapsed` is what truly passed between them by a clock nobody sets, None where that is not known; then
    what goes back is a jump, and more than AHEAD is `ahead 50400 s`: a jump, or a night and a day.
    """
    # In UTC: two times of one zone are subtracted by what the wall shows, and summer time ends.
    gone = at.astimezone(UTC) - last.astimezone(UTC) - (elapsed or timedelta())
    if gone < -STEP:
        return f"back {round(-gone.total_seconds())} s"
    if elapsed is not None:
        return f"forward {round(gone.total_seconds())} s" if gone > LEAP else ""
    return f"ahead {round(gone.total_seconds())} s" if gone > AHEAD else ""


def read_off(clock: str) -> tuple[str, timedelta] | None:
    """Read how a clock jumped: `back`, `forward` or `behind`, and how far; None where it did not."""
    match = _CLOCK.fullmatch(clock) if clock else None
    return (match[1], timedelta(seconds=int(match[2]))) if match else None


class Watch:
    """Tell whether a clock jumped, by when the last entry was made and by a clock nobody sets.

    `behind`: how far it was behind what others had written when that was told last.
    """

    def __init__(self) -> None:
        self.last: datetime | None = None
        self.behind = timedelta()
        self._ahead_of_us: datetime | None = None
        self._sure: tuple[datetime, float] | None = None

    def jump(self, at: datetime, tick: float | None) -> str:
        """Tell how the clock jumped since the last entry; nothing where that cannot be told."""
        if at.utcoffset() is None:
            return ""
        if tick is not None and self._sure is not None:
            since, before = self._sure
            return jump(since, at, timedelta(seconds=tick - before)) or self._is_behind(at)
        return (jump(self.last, at) if self.last else "") or self._is_behind(at)

    def _is_behind(self, at: datetime) -> str:
        if self._ahead_of_us is None:
            return ""
        gone = self._ahead_of_us - at
        return f"behind {round(gone.total_seconds())} s" if gone > self.behind + LEAP else ""

    def note(self, at: datetime, tick: float | None) -> None:
        """An entry was made at that time, and `tick` seconds of a clock nobody sets."""
        self.last, self._ahead_of_us = at, None
        self._sure = None if tick is None else (at, tick)

    def be_sure(self, at: datetime, tick: float) -> None:
        """At that time the steady clock of this run was at `tick` seconds."""
        self._sure = (at, tick)

    def others_at(self, latest: datetime | None) -> None:
        """Entries of others have come into view, the latest made at that time."""
        if latest is not None:
            known = self._ahead_of_us
            self._ahead_of_us = latest if known is None else max(known, latest)


# How far clocks of different computers were apart, by what their entries had seen of each other.


_number = attrgetter("n")


@frozen(kw_only=True)
class Lead:
    """Prove how far the clock of the first station was ahead of the second's: `after` had seen `seen`."""

    seen: Entry
    after: Entry

    @property
    def least(self) -> timedelta:
        """At least so much; below zero where it may have been so much behind."""
        return self.seen.at - self.after.at


@frozen(kw_only=True)
class Clock:
    """Hold what is known of one station's clock against another's.

    `ahead` and `behind` prove how far it was ahead, and how far behind, at least; None where the one that
    would prove it has not seen the other.
    """

    other: str
    ahead: Lead | None
    behind: Lead | None

    @property
    def apart(self) -> bool:
        """True where the two did not agree at some time."""
        return any(lead is not None and lead.least >= LEAP for lead in (self.ahead, self.behind))

    @property
    def most_ahead(self) -> timedelta | None:
        """The most it can have been ahead, below zero where it was behind; None where nothing bounds it."""
        return -self.behind.least if self.behind else None

    @property
    def most_behind(self) -> timedelta | None:
        """The most it can have been behind, as `most_ahead`."""
        return -self.ahead.least if self.ahead else None


def leads(lines: Lines) -> dict[tuple[str, str], Lead]:
    """Find, for each two stations of which the second had seen the first, the entries that prove most."""
    latest = {name: _latest_so_far(entries) for name, entries in lines.items()}
    found: dict[tuple[str, str], Lead] = {}
    for name, entries in lines.items():
        for entry in entries:
            if entry.odd:
                continue
            for other, n in entry.past.items():
                seen = _latest_up_to(lines.get(other, ()), latest.get(other, ()), n)
                known = found.get((other, name))
                if seen is not None and (
                    known is None or seen.at - entry.at > known.seen.at - known.after.at
                ):
                    found[other, name] = Lead(seen=seen, after=entry)
    return found


def clock_of(name: str, other: str, found: dict[tuple[str, str], Lead]) -> Clock:
    """Take what is known of two stations from all `leads`."""
    return Clock(
        other=other,
        ahead=found.get((name, other)),
        behind=found.get((other, name)),
    )


def _latest_so_far(entries: Sequence[Entry]) -> list[Entry | None]:
    """For each entry, the one with the latest time up to it; times that no clock shows count for nothing."""
    found: list[Entry | None] = []
    last: Entry | None = None
    for entry in entries:
        if not entry.odd and (last is None or entry.at > last.at):
            last = entry
        found.append(last)
    return found


def _latest_up_to(entries: Sequence[Entry], latest: Sequence[Entry | None], n: int) -> Entry | None:
    place = bisect_right(entries, n, key=_number)
    return latest[place - 1] if place else None
