"""Times of a panel: what each comes after, which gaps are odd, and what a log has out of order.

`ORDERS` is the table. An act that records a time calls `in_order`; `check` calls `time_findings`. A time in
the future is refused where it is read (`walk/clock.py`, `walk/logger_file.py`). The hours in `ORDERS` from
which a gap is odd are common practice, no source: each asks for a reason and refuses nothing.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import product
from typing import Any, NamedTuple

from attrs import evolve, frozen

from pourdeck.plan.messages import Finding, Refusal, Spot, WhyNeeded, literal
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import READ_OFF, Jump, Stamp, Writing, Written, apart, stamp
from pourdeck.walk.loads import TIMES, gave, loads_of
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import BEFORE_POUR, results, specimens
from pourdeck.walk.words import clock_text, folded

NAMES = {
    "below-end": "the end of the pour of the panel below",
    "released": "the release to pour",
    "start": "the start of the pour",
    "batched": "load {load} batched",
    "arrived": "load {load} arrived",
    "begun": "load {load} begun",
    "ended": "load {load} ended",
    "delay-from": "the start of the delay",
    "delay-to": "the end of the delay",
    "weather": "the weather reading",
    "end": "the end of the pour",
    "finish": "{item}",
    "cure": "the cure start",
    "specimen": "specimen {specimen} taken",
    "test": "specimen {specimen} tested",
    "reading": "the temperature reading",
    "stripped": "forms off",
    "as-cast": "the first as-cast measurement",
    "close-item": "{item}",
    "above-start": "the start of the pour of the panel above",
    "close": "the close of the panel",
    "lift-release": "the release to lift",
    "lifted": "the lift",
}
"""Each time of a panel in words, in the order of the work. `{load}` and the like: whose time it is.

Nobody types `released`, `stripped`, `as-cast`, `close`, `lift-release` and `lifted`: they are when the entry
was written. `released` is the hold before the pour, released or passed.
"""

MANY = frozenset({"reading", "weather", "delay-from", "delay-to"})
"""Times of which a panel has many: a new one replaces none."""

ITEMS = {"pour.start": "start", "pour.end": "end", "finish.cure-start": "cure"}
"""Items of the walk that are a time of the table."""

SECTIONS = {"finish": "finish", "close": "close-item"}
"""Sections whose other time items are a time of the table."""

OUT_OF_ORDER, ODD = "times-out-of-order", "odd-times"
CODES = frozenset({OUT_OF_ORDER, ODD})

AHEAD = timedelta(minutes=2)
"""So much later than it was written down a time may be: clocks differ."""


Show = Callable[[datetime], str]
"""Show a time."""


class Order(NamedTuple):
    """A pair of times. `same`: the two are of the same load, specimen or delay.

    `early`: how long before `earlier` the `later` may be. `odd`: a longer gap is asked about.
    `refused`: False where only the gap is judged. `soon`: a shorter gap is asked about.
    """

    earlier: str
    later: str
    same: str = ""
    early: timedelta = timedelta()
    odd: timedelta | None = None
    soon: timedelta = timedelta()
    refused: bool = True


def _hours(hours: float) -> timedelta:
    return timedelta(hours=hours)


RELEASE_LATE = _hours(0.5)
"""So long after the first concrete its release may be written down: the pour needs both hands then. Common
practice, no source."""

ORDERS = (
    Order(earlier="released", later="start", early=RELEASE_LATE),
    *(Order(earlier="below-end", later=one) for one in (
        "start", "batched", "arrived", "begun", "ended", "weather", "delay-from",
    )),
    Order(earlier="batched", later="arrived", same="load", odd=_hours(4)),
    Order(earlier="batched", later="begun", same="load"),
    Order(earlier="batched", later="ended", same="load"),
    Order(earlier="arrived", later="begun", same="load", odd=_hours(2)),
    Order(earlier="arrived", later="ended", same="load"),
    Order(earlier="begun", later="ended", same="load", odd=_hours(2)),
    Order(earlier="delay-from", later="delay-to", same="delay", odd=_hours(4)),
    Order(earlier="start", later="begun"),
    Order(earlier="start", later="ended"),
    Order(earlier="start", later="end", odd=_hours(9)),
    Order(earlier="start", later="finish"),
    Order(earlier="start", later="cure"),
    Order(earlier="start", later="specimen", early=BEFORE_POUR),
    Order(earlier="start", later="test"),
    Order(earlier="start", later="reading"),
    Order(earlier="begun", later="end"),
    Order(earlier="ended", later="end"),
    Order(earlier="batched", later="specimen", same="load"),
    Order(earlier="arrived", later="specimen", same="load"),
    Order(earlier="ended", later="specimen", same="load", odd=_hours(2), refused=False),
    Order(earlier="end", later="specimen", odd=_hours(2), refused=False),
    Order(earlier="specimen", later="test", same="specimen"),
    Order(earlier="end", later="weather", odd=_hours(24), refused=False),
    *(Order(earlier="end", later=one) for one in (
        "test", "as-cast", "close-item", "above-start", "close",
    )),
    Order(earlier="end", later="stripped", soon=_hours(6)),
    Order(earlier="end", later="cure", odd=_hours(3)),
    *(Order(earlier="cure", later=one) for one in ("stripped", "close")),
    Order(earlier="as-cast", later="close"),
    Order(earlier="close", later="lift-release"),
    Order(earlier="lift-release", later="lifted"),
)  # fmt: skip
"""Every pair that is judged."""


@frozen(kw_only=True, repr=False)
class Doubt(WhyNeeded):
    """A time that can be and is odd. It is recorded with a reason, and marked `doubted`."""


@frozen(kw_only=True, eq=False, repr=False)
class Moment:
    """A time of a panel. `what` is a key of NAMES; `of`: whose it is, such as load 2.

    `entries`: those that gave it and put it right, oldest first; none for a time that is to be recorded.
    """

    what: str
    at: datetime
    of: Mapping[str, str]
    entries: tuple[Written, ...] = ()

    @property
    def words(self) -> str:
        of = defaultdict(str, {key: literal(one) for key, one in self.of.items()})
        return " ".join(NAMES[self.what].format_map(of).split())

    @property
    def name(self) -> str:
        """The words with which a sentence begins."""
        words = self.words.removeprefix("the ")
        return words[:1].upper() + words[1:]

    def replaces(self, other: "Moment") -> bool:
        """True where the panel has one of these, and `other` is it."""
        one = {key: of for key, of in self.of.items() if f"{{{key}}}" in NAMES[self.what]}
        return (
            self.what == other.what
            and self.what not in MANY
            and all(folded(of) == folded(other.of.get(key, "")) for key, of in one.items())
        )

    def stamp(self, jumps: Sequence[Jump]) -> Stamp:
        return stamp(self.at.astimezone(UTC), self.entries, jumps)


Pair = tuple[Order, Moment, Moment]
"""Two times and how they are ordered: the first one first."""


def moment(what: str, at: datetime, **of: str) -> Moment:
    """A time that is about to be recorded, such as `moment("arrived", at, load="2")`."""
    return Moment(what=what, at=at, of=of)


def item_moment(key: str, at: datetime) -> Moment | None:
    """The time of an item of the walk; None where the table has none for it."""
    if key in ITEMS:
        return moment(ITEMS[key], at)
    section, _, name = key.partition(".")
    if section not in SECTIONS:
        return None
    return moment(SECTIONS[section], at, item=name.removeprefix("own-").replace("-", " "))


def in_order(
    walk: Walk, new: Iterable[Moment], now: datetime, why: str = "", jumps: Sequence[Jump] = ()
) -> dict[str, Any] | Refusal:
    """Judge times that are to be recorded against those of the panel and of its neighbours.

    Gives what the entry says of them: nothing, or with a reason that an odd one was kept. A refusal names
    both times; a Doubt is lifted by `why`. A time read off the clock now is later than all that is recorded,
    however the clock was set. `jumps`: where clocks were set back.
    """

    def show(at: datetime) -> str:
        there = at.astimezone(now.tzinfo)
        year = "" if there.year == now.year else f"{there.year} "
        return f"{year}{clock_text(there, now.date())}"

    station = jumps[-1].station if jumps else ""
    writing = Writing(station=station, at=now)
    stands = list(panel_moments(walk.record, walk.below, walk.above))
    fresh: list[Moment] = []
    for one in new:
        before = [old for old in stands if one.replaces(old)]
        gave_it = before[-1].entries if before else ()
        stands = [old for old in stands if old not in before]
        fresh.append(evolve(one, entries=(*gave_it, writing)))
    every = list(_pairs((*stands, *fresh)))
    pairs = [pair for pair in every if pair[1] in fresh or pair[2] in fresh]
    wrong = [
        pair
        for pair in pairs
        if _wrong(*pair, jumps) and (pair[1] in fresh or abs(pair[2].at - now) > READ_OFF)
    ]
    if wrong:
        nearest = next((pair for pair in wrong if not _between(pair, wrong, every)), wrong[0])
        return _refusal(*nearest, fresh, show)
    odd = next((pair for pair in pairs if _odd(*pair, jumps)), None)
    if odd is None:
        return {}
    if why.strip():
        return {"doubted": True, "why": why.strip()}
    words = _odd_words(odd[1], odd[2], show, jumps)
    usual = "sooner" if odd[0].soon else "longer"
    return Doubt(
        title=words,
        body=f"That is {usual} than usual. Look at both times. If they are right, say why.",
    )


def _refusal(
    order: Order, first: Moment, second: Moment, fresh: Sequence[Moment], show: Show
) -> Refusal:
    words, about = _wrong_words(order, first, second, show), second.what
    if second not in fresh:
        words = f"{first.name} {show(first.at)} is after {second.words}, {show(second.at)}."
        about = first.what
    return Refusal(
        about=about,
        title=words,
        body="Look at both times and at the day. If the one in the log is wrong, put it right first.",
    )


def _wrong_words(order: Order, first: Moment, second: Moment, show: Show) -> str:
    """`Cure start 06:10 is before the end of the pour, 14:20.`"""
    early = f"more than {_long(order.early)} " if order.early else ""
    return f"{second.name} {show(second.at)} is {early}before {first.words}, {show(first.at)}."


def _odd_words(first: Moment, second: Moment, show: Show, jumps: Sequence[Jump]) -> str:
    """`Cure start 18:40 is 4 h 20 min after the end of the pour, 14:20.`"""
    gone = _long(_gap(first, second, jumps))
    return f"{second.name} {show(second.at)} is {gone} after {first.words}, {show(first.at)}."


def _pairs(there: Sequence[Moment]) -> Iterator[Pair]:
    """Every pair of these times that the table judges."""
    by_what: dict[str, list[Moment]] = {}
    for one in there:
        by_what.setdefault(one.what, []).append(one)
    for order in ORDERS:
        for first, second in product(by_what.get(order.earlier, ()), by_what.get(order.later, ())):
            if not order.same or _same(first.of.get(order.same, ""), second.of.get(order.same, "")):
                yield order, first, second


def _same(one: str, other: str) -> bool:
    return one == other or folded(one) == folded(other)


def _gap(first: Moment, second: Moment, jumps: Sequence[Jump]) -> timedelta:
    """From the minute of the first to the second, by a clock that was never set back."""
    if not jumps:
        seconds = timedelta(seconds=first.at.second, microseconds=first.at.microsecond)
        return second.at.astimezone(UTC) - first.at.astimezone(UTC) + seconds
    start = first.stamp(jumps)
    seconds = timedelta(seconds=start.at.second, microseconds=start.at.microsecond)
    return apart(start, second.stamp(jumps), jumps) + seconds


def _wrong(order: Order, first: Moment, second: Moment, jumps: Sequence[Jump]) -> bool:
    return order.refused and _gap(first, second, jumps) < -order.early


def _odd(order: Order, first: Moment, second: Moment, jumps: Sequence[Jump]) -> bool:
    if order.odd is None and not order.soon:
        return False
    gap = _gap(first, second, jumps)
    early = timedelta() <= gap < order.soon
    return early or (order.odd is not None and gap >= order.odd + timedelta(minutes=1))


def _long(gone: timedelta) -> str:
    """`4 h 20 min`."""
    hours, minutes = divmod(int(gone.total_seconds()) // 60, 60)
    return " ".join(
        part for part in (f"{hours} h" * bool(hours), f"{minutes} min" * bool(minutes)) if part
    )


def panel_moments(
    record: PanelState,
    below: PanelState | None = None,
    above: PanelState | None = None,
) -> Iterator[Moment]:
    """The times that the log has of a panel, and the two of its neighbours that bound them."""
    yield from _pour("below-end", below.pour_end if below else None)
    yield from _pour("start", record.pour_start)
    yield from _pour("end", record.pour_end)
    yield from _pour("above-start", above.pour_start if above else None)
    yield from _of_loads(record)
    yield from _of_items(record)
    yield from _of_specimens(record)
    for entry in record.temperatures:
        read = [at for written, _ in entry.data["readings"] if (at := moment_of(written))]
        for at in {min(read), max(read)} if read else ():
            yield _moment("reading", at, entry)
    for entry in record.weather:
        yield from _typed("weather", entry, entry.data["time"])
    for entry in record.notes:
        for key in ("from", "to"):
            yield from _typed(f"delay-{key}", entry, entry.data.get(key), delay=str(entry.key))
    yield from _written(record)


def _moment(what: str, at: datetime, *entries: Entry, **of: str) -> Moment:
    return Moment(what=what, at=at, of=of, entries=entries)


def _typed(what: str, entry: Entry, written: object, **of: str) -> Iterator[Moment]:
    at = moment_of(written)
    if at is not None:
        yield _moment(what, at, entry, **of)


def _pour(what: str, entry: Entry | None) -> Iterator[Moment]:
    if entry is not None:
        yield _moment(what, moment_of(entry.data.get("time")) or entry.at, entry)


def _of_loads(record: PanelState) -> Iterator[Moment]:
    for load in loads_of(record):
        for key in TIMES:
            at = getattr(load, key)
            if at is not None and not (load.rejected and key in ("begun", "ended")):
                yield _moment(key, at, *gave(load, key), load=str(load.number))


def _of_items(record: PanelState) -> Iterator[Moment]:
    for key, entry in record.latest.items():
        if key not in ITEMS and key.partition(".")[0] not in SECTIONS:
            continue
        at = moment_of(entry.data.get("value")) if entry.kind == "answer" else None
        found = item_moment(key, at) if at is not None else None
        if found is not None:
            yield evolve(found, entries=tuple(record.answers[key]))


def _of_specimens(record: PanelState) -> Iterator[Moment]:
    for one in specimens(record):
        if one.taken is not None:
            load = {} if one.load is None else {"load": str(one.load)}
            yield _moment("specimen", one.taken, one.entry, specimen=one.name, **load)
    for result in results(record):
        yield _moment("test", result.at, result.entry, specimen=result.name)


def _written(record: PanelState) -> Iterator[Moment]:
    """Times that nobody types: when it was written down that something was done."""
    stripped = record.latest.get("close.stripped")
    holds = (record.releases.get("pour", ()), record.passed.get("pour", ()))
    let_pour = [entry for entries in holds for entry in entries]
    found = {
        "released": max(let_pour, key=lambda one: one.order, default=None),
        "stripped": stripped if stripped is not None and stripped.kind == "answer" else None,
        "as-cast": record.as_cast[0] if record.as_cast else None,
        "close": record.closed,
        "lift-release": record.lift_releases[-1] if record.lift_releases else None,
        "lifted": record.lifted,
    }
    for what, entry in found.items():
        if entry is not None:
            yield _moment(what, entry.at, entry)


class OddTime(NamedTuple):
    """A time of the log that cannot be, or is odd: its `code` of CODES, in words, and the later time."""

    code: str
    words: str
    moment: Moment


def odd_times(
    record: PanelState,
    below: PanelState | None,
    jumps: Sequence[Jump],
    zone: tzinfo | None,
) -> Iterator[OddTime]:
    """Every pair of a panel's times in the wrong order, a time to come when it was written, and odd gaps.

    Of a pair with a third time between them the nearer pairs alone are said.
    """

    def show(at: datetime) -> str:
        return f"{at.astimezone(zone) if zone else at:%d %b %H:%M}"

    there = tuple(panel_moments(record, below))
    pairs = list(_pairs(there))
    wrong = [pair for pair in pairs if _wrong(*pair, jumps)]
    for pair in wrong:
        if not _between(pair, wrong, pairs):
            words = f"{_wrong_words(*pair, show)} Look at both: one of them is wrong."
            yield OddTime(code=OUT_OF_ORDER, words=words, moment=pair[2])
    for one in there:
        written = one.entries[-1]
        back = (
            each.by for each in jumps if each.station == written.station and each.n <= written.n
        )
        if one.at > written.at + sum(back, AHEAD):
            words = (
                f"{one.name} {show(one.at)} is after the time at which it was written down, "
                f"{show(written.at)}. One of them is wrong."
            )
            yield OddTime(code=OUT_OF_ORDER, words=words, moment=one)
    for order, first, second in pairs:
        if _odd(order, first, second, jumps):
            words = _odd_words(first, second, show, jumps)
            yield OddTime(code=ODD, words=words, moment=second)


def time_findings(
    spot: Spot,
    record: PanelState,
    below: PanelState | None,
    jumps: Sequence[Jump],
    zone: tzinfo | None,
) -> Iterator[Finding]:
    """The odd times of a panel as findings: errors where they cannot be, else warnings."""
    for one in odd_times(record, below, jumps, zone):
        said = spot.error if one.code == OUT_OF_ORDER else spot.warning
        yield said(one.code, one.words)


def _between(pair: Pair, wrong: Sequence[Pair], pairs: Sequence[Pair]) -> bool:
    """True where a time that belongs between the two is itself out of order with one of them."""
    _, first, last = pair
    after = [other for _, one, other in pairs if one is first]
    middles = [one for _, one, other in pairs if other is last and one in after]
    return any(
        (one is first and other in middles) or (other is last and one in middles)
        for _, one, other in wrong
    )
