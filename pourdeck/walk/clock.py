"""Tell which hours are not known because a computer's clock jumped, and let a person confirm the time.

A jump stands in the entry after it (`sitelog/entries.py`): `forward` and `back` against a clock that nobody
sets, `behind` what another computer had written already. Until somebody confirms the time, no gate counts the
hours by which a clock went forward, or was behind when they began.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta

from attrs import field, frozen

from pourdeck.plan.messages import Finding, literal
from pourdeck.sitelog.entries import LEAP, Entry, Key, log_name, read_off

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
            for key in covered(entry.data):
                jumped.pop(key, None)
            continue
        off = read_off(entry.clock)
        if off is not None and off[1] >= LEAP:
            way, by = off
            jumped[entry.key] = Doubt(key=entry.key, order=entry.order, way=way, by=by, at=entry.at)
    yield from jumped.values()


def covered(data: Mapping[str, object]) -> Iterator[Key]:
    """Give the entries whose jumps an entry `clock` confirms the time after."""
    listed = data.get("covers")
    for one in listed if isinstance(listed, list) else ():
        if isinstance(one, list) and len(one) == 2 and type(one[0]) is str and type(one[1]) is int:
            yield one[0], one[1]


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
