"""Times without an offset, in the zone of the site: hours that occur twice, and those that never were."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from statistics import median

from attrs import frozen

HOURLY = timedelta(minutes=50)
"""Readings that are so far apart may show the same time twice when clocks go back."""


@frozen(kw_only=True)
class NoMoment:
    """A time of the wall clock that is no one moment, its place, and why."""

    index: int
    why: str


def moments(walls: Sequence[datetime], zone: tzinfo) -> list[datetime] | NoMoment:
    """Rising times of a wall clock with their offset.

    In the hour that occurs twice when clocks go back, the place where the times themselves go back says
    which is which; where they do not, it cannot be told. Only hourly readings can go back by standing
    still: in others the same time again is a line that is repeated.
    """
    hourly = _usual_step(walls) >= HOURLY
    found: list[datetime] = []
    index = 0
    while index < len(walls):
        wall = walls[index]
        if _skipped(wall, zone):
            return NoMoment(index=index, why="clocks went forward: this time never was")
        if not _twice(wall, zone):
            found.append(wall.replace(tzinfo=zone))
            index += 1
            continue
        end = index
        while end < len(walls) and _twice(walls[end], zone):
            end += 1
        group = walls[index:end]
        back = [n for n in range(1, len(group)) if _goes_back(group[n - 1], group[n], hourly)]
        if len(back) != 1:
            return NoMoment(
                index=index,
                why="clocks went back: this time was twice, and the readings do not show which it is",
            )
        found += [one.replace(tzinfo=zone, fold=int(n >= back[0])) for n, one in enumerate(group)]
        index = end
    return [datetime.fromisoformat(one.isoformat()) for one in found]


def _usual_step(walls: Sequence[datetime]) -> timedelta:
    steps = [(b - a).total_seconds() for a, b in pairwise(walls) if b > a]
    return timedelta(seconds=median(steps)) if steps else timedelta(0)


def _goes_back(before: datetime, after: datetime, hourly: bool) -> bool:
    return after < before or (hourly and after == before)


def _twice(wall: datetime, zone: tzinfo) -> bool:
    first, second = (wall.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first != second and not _skipped(wall, zone)


def _skipped(wall: datetime, zone: tzinfo) -> bool:
    there = wall.replace(tzinfo=zone)
    return there.astimezone(UTC).astimezone(zone).replace(tzinfo=None, fold=0) != wall
