"""Times as they are typed: of today, of last night, of another day."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.people import folded

NOW = "now"

_OF_DAY = re.compile(r"(?:([01]?\d|2[0-3])[:.]|([01]\d|2[0-3]))([0-5]\d)", re.ASCII)
_OF_HALF_DAY = re.compile(r"(0?[1-9]|1[0-2])(?:[:.]?([0-5]\d))? ?([ap])\.?m\.?", re.ASCII | re.I)
"""As an imperial crew writes it: 11:05 pm, 1105pm, 7am."""

_SLACK = timedelta(minutes=1)
_LAST_NIGHT = timedelta(hours=12)
"""A time of day that is still to come today was last night's, if that is no longer ago than this."""


def read_time(typed: str, now: datetime, set_back: timedelta = timedelta()) -> datetime | Refusal:
    """`07:40`, `0740` or `7:40am` (the last time it was that), `2026-11-25 07:40`, or `now`; never later.

    In the zone of `now`. Of an hour that comes twice, because clocks went back, the later one that is over.
    A computer's clock that was `set_back` showed times that are still to come by it now.
    """
    text = typed.strip()
    if folded(text) == NOW:
        return now.replace(microsecond=0)
    if set_back:
        now = (now.astimezone(UTC) + set_back).astimezone(now.tzinfo)
    of_day = _OF_DAY.fullmatch(text)
    if of_day:
        return _of_day(int(of_day[1] or of_day[2]), int(of_day[3]), now)
    half = _OF_HALF_DAY.fullmatch(text)
    if half:
        hour = int(half[1]) % 12 + (12 if half[3].lower() == "p" else 0)
        return _of_day(hour, int(half[2] or 0), now)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return Refusal(
            title=f"{literal(text) or 'Nothing'} is not a time.",
            body="Write hours and minutes, such as 07:40; another day as 2026-11-25 07:40; or now.",
        )
    if moment.tzinfo is None:
        there = tuple(_by_the_clock(moment.replace(tzinfo=now.tzinfo)))
        if not there:
            return _never_was(moment)
        moment = _last(there, now) or there[0]
    if _after(moment, now):
        return Refusal(
            title=f"{literal(text)} is still to come.", body="Write when it was, or now."
        )
    return moment


def day_taken(typed: str, now: datetime, set_back: timedelta = timedelta()) -> str:
    """`23:50 is taken as Sun 29 Nov`: of a time without a date that is not of today; else ""."""
    text = typed.strip()
    if not (_OF_DAY.fullmatch(text) or _OF_HALF_DAY.fullmatch(text)):
        return ""
    at = read_time(text, now, set_back)
    if isinstance(at, Refusal) or at.date() == now.date():
        return ""
    return f"{literal(text)} is taken as {at:%a %d %b}"


def _of_day(hour: int, minute: int, now: datetime) -> datetime | Refusal:
    today = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    there = tuple(_by_the_clock(today))
    if not there:
        return _never_was(today)
    moment = _last((*there, *_by_the_clock(today - timedelta(days=1))), now)
    gone = None if moment is None else now.astimezone(UTC) - moment.astimezone(UTC)
    if moment is None or gone is None or (gone > _LAST_NIGHT and moment.date() != now.date()):
        yesterday = today - timedelta(days=1)
        return Refusal(
            title=f"{hour:02}:{minute:02} is still to come today.",
            body=f"If it was yesterday, write {yesterday:%Y-%m-%d %H:%M}.",
        )
    return moment


def _by_the_clock(wall: datetime) -> Iterator[datetime]:
    """When the clock on the wall shows that: twice where it goes back, never where it goes ahead."""
    shown: datetime | None = None
    for fold in (0, 1):
        moment = wall.replace(fold=fold)
        back = moment.astimezone(UTC).astimezone(wall.tzinfo)
        same = back.replace(tzinfo=None) == wall.replace(tzinfo=None)
        if same and (shown is None or shown.utcoffset() != moment.utcoffset()):
            shown = moment
            yield moment


def _after(moment: datetime, now: datetime) -> bool:
    """Later than now; two times of one zone are compared by what the clock shows, and it can go back."""
    return moment.astimezone(UTC) > now.astimezone(UTC) + _SLACK


def _last(moments: tuple[datetime, ...], now: datetime) -> datetime | None:
    over = [one for one in moments if not _after(one, now)]
    return max(over, key=lambda one: one.astimezone(UTC)) if over else None


def _never_was(wall: datetime) -> Refusal:
    return Refusal(
        title=f"{wall:%H:%M} never was: the clocks went ahead over it.",
        body="Write what the clock showed.",
    )
