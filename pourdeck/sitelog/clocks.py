"""Whether the clocks of stations agree, by what each had seen of the others.

Whoever has seen an entry comes after it. Where that entry's time is nevertheless the later one, the clock
it was written by was ahead by at least the difference. Both ways between two stations that bounds how far
their clocks were apart from both ends.
"""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import timedelta
from operator import attrgetter

from attrs import frozen

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.union import Lines

ENOUGH = timedelta(minutes=2)
"""Nothing is said of clocks that are less than this apart (ours)."""

_number = attrgetter("n")


@frozen(kw_only=True)
class Lead:
    """How far the clock of the first station was ahead of the second's: `after` had seen `seen`."""

    seen: Entry
    after: Entry

    @property
    def least(self) -> timedelta:
        """At least so much; below zero where it may have been so much behind."""
        return self.seen.at - self.after.at


@frozen(kw_only=True)
class Clock:
    """What is known of one station's clock against another's.

    `ahead` and `behind` prove how far it was ahead, and how far behind, at least; None where the one that
    would prove it has not seen the other.
    """

    other: str
    ahead: Lead | None
    behind: Lead | None

    @property
    def apart(self) -> bool:
        """True where the two did not agree at some time."""
        return any(lead is not None and lead.least >= ENOUGH for lead in (self.ahead, self.behind))

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
