"""Times as they are typed, the clock that each is on, and the hours not counted because a clock jumped.

A jump stands in the entry after it (`sitelog/clocks.py`): `forward` and `back` against a clock that nobody
sets, `behind` what another computer had written already.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Protocol

from attrs import field, frozen

from pourdeck.plan.messages import Finding, Refusal, literal
from pourdeck.sitelog.clocks import LEAP, read_off
from pourdeck.sitelog.entries import Entry, Key, log_name, moment_of, settled_by
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.words import folded

# How long it truly was between two times of the log, whatever was done to the computer's clock.
#
# Times are compared in UTC, so that summer time changes nothing. A clock that was set back is known
# from the key `clock` of the entry after it (`sitelog/clocks.py`), and before there is one from the
# desk that sees it. Every time is on the clock as it went when it was first written down, off the
# computer or off a docket: across a jump the minutes go on as if there had been none, so that nothing
# that was late is late no more.

READ_OFF = timedelta(seconds=90)
"""A time this near to when it was written was read off the computer's clock, or might have been."""

_NEVER = 2**63
"""No log has so many entries."""


class Written(Protocol):
    """Say when and where a time was written down, as an entry does."""

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
    """Read how far `back 3600 s` is; None for what says something else."""
    off = read_off(said)
    return off[1] if off and off[0] == "back" else None


def set_back(known: Iterable[Jump]) -> timedelta:
    """Sum up all of them: what was read off that clock before may be so much ahead of it now."""
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


# When the pour of a panel began and ended, by the times that were written down.

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


# Times as they are typed: of today, of last night, of another day.

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


# The jumps after which nobody has confirmed the time. Until somebody does, no gate counts the hours by which
# a clock went forward, or was behind when they began.

CONFIRM = "key q of the deck, or pourdeck log JOB --confirm-time --by NAME"


@frozen(kw_only=True, repr=False)
class Doubt:
    """A jump that nobody has confirmed the time after. `key` and `order`: of the entry that says so."""

    key: Key
    order: int
    way: str
    by: timedelta
    at: datetime = field(eq=False)

    def __str__(self) -> str:
        """`went forward 4 h 0 min before no. 12 of Mon 30 Nov 10:12`."""
        how = "was" if self.way == "behind" else "went"
        against = " what another computer had written" if self.way == "behind" else ""
        before = f"before no. {self.key[1]} of {self.at:%a %d %b %H:%M}"
        return f"{how} {self.way} {span_text(self.by)}{against} {before}"


def span_text(span: timedelta) -> str:
    """`3 days 4 h`, `4 h 0 min`, `12 min`."""
    minutes = round(span / timedelta(minutes=1))
    days, hours = minutes // 1440, minutes // 60 % 24
    if days:
        return f"{days} {'day' if days == 1 else 'days'} {hours} h"
    return f"{hours} h {minutes % 60} min" if hours else f"{minutes} min"


def doubts(entries: Iterable[Entry], voided: Collection[Key]) -> Iterator[Doubt]:
    """Give the jumps of all computers that nobody has confirmed the time after, oldest first."""
    jumped: dict[Key, Doubt] = {}
    for entry in entries:
        if entry.kind == "clock" and entry.key not in voided:
            for key in settled_by(entry):
                jumped.pop(key, None)
            continue
        off = read_off(entry.clock)
        if off is not None and off[1] >= LEAP:
            way, by = off
            jumped[entry.key] = Doubt(key=entry.key, order=entry.order, way=way, by=by, at=entry.at)
    yield from jumped.values()


@frozen(kw_only=True, repr=False)
class Clocks:
    """Which jumps are known. `own`: the files of this computer; `now`: its jump since its last entry."""

    own: frozenset[str] = frozenset()
    found: tuple[Doubt, ...] = ()
    now: Doubt | None = None

    @property
    def here(self) -> tuple[Doubt, ...]:
        """The jumps of this computer that wait for somebody to confirm the time."""
        mine = tuple(one for one in self.found if one.key[0] in self.own)
        return mine if self.now is None else (*mine, self.now)

    def left_out(self, since: Entry | None) -> timedelta:
        """Give how much of the time that seems to have passed since an entry nobody can be sure of."""
        if since is None:
            return timedelta()
        out = timedelta()
        mine = since.station in self.own
        for one in self.here:
            if one.way != "behind" and (one.order > since.order or not mine):
                out += one.by if one.way == "forward" else -one.by
        late = [
            one.by
            for one in self.found
            if one.way == "behind" and one.key[0] == since.station and one.order <= since.order
        ]
        return max(out, timedelta()) + (late[-1] if late else timedelta())


SURE = Clocks()


def left_out_words(out: timedelta) -> str:
    """Say how much time is not counted, after the words of what waits; "" where all is."""
    if not out:
        return ""
    return f" {span_text(out)} by which a clock was set are not counted, until somebody confirms the time."


def how_to_confirm(out: timedelta) -> str:
    """Say how much time is not counted and how to confirm it, to whoever may do so now."""
    return f"{left_out_words(out)[:-1]} ({CONFIRM})." if out else ""


def clock_findings(clocks: Clocks) -> list[Finding]:
    """`clock`: an error of this computer, on which its gates wait, and a warning of another one."""
    here = clocks.here
    found = [
        Finding(
            code="clock",
            severity="error",
            message=f"The clock of this computer {one}. Gates that count hours wait until somebody "
            f"confirms the time ({CONFIRM}).",
            file=log_name(one.key[0]),
        )
        for one in here
    ]
    found += (
        Finding(
            code="clock",
            severity="warning",
            message=f"{literal(one.key[0])}: its clock {one}. Its times may be wrong until somebody "
            "there confirms the time.",
            file=log_name(one.key[0]),
        )
        for one in clocks.found
        if one not in here
    )
    return found
