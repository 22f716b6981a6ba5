"""The stations of a job in words: what the command and the deck both say of each."""

from collections.abc import Iterator
from datetime import timedelta

from attrs import frozen

from pourdeck.plan.messages import literal
from pourdeck.sitelog.clocks import LEAP, Clock, Lead
from pourdeck.sitelog.entries import Entry, station_words
from pourdeck.sitelog.stations import Station, Stations

SHORT_ID = 8
"""Digits of an installation's id that people see."""

SHORT_SEAL = 12


@frozen(repr=False)
class Told:
    """One line of what is said: a name, words, and whether something is wrong."""

    name: str
    words: str
    wrong: bool = False


def name_words(one: Station) -> str:
    """`office-3c1d, this computer`."""
    return ", ".join(filter(None, (literal(station_words(one.line)), _here(one))))


def _here(one: Station) -> str:
    if not one.here:
        return ""
    return "this computer, or a copy of it" if one.shared else "this computer"


def wrong_words(one: Station) -> str:
    """Say in a few words what is wrong with a station, "" where nothing is."""
    clock = any(clock.apart for clock in one.clocks)
    parts = (
        "second branch of a fork" if one.branch else "",
        "entries gone" if one.gone else "",
        "damaged" if any(fault.code != "fork" for fault in one.faults) else "",
        "forked" if one.shared and not one.branch else "",
        "clock apart" if clock else "",
    )
    return ", ".join(part for part in parts if part)


def last_words(one: Station) -> str:
    """`no. 57, 30 Nov 2026 07:40, by M. Tallow`."""
    last = one.last
    return f"no. {last.n}, {last.at:%d %b %Y %H:%M}, by {literal(last.by)}"


def told_of(one: Station) -> Iterator[Told]:
    """Say all there is of a station, line by line."""
    yield Told("files", ", ".join(literal(file) for file in one.files) or "none holds all of it")
    for file, n in one.copies.items():
        yield Told("copy", f"{literal(file)}, up to no. {n} of {one.last.n}")
    whose = f"installation {one.installation[:SHORT_ID]}" if one.installation else ""
    known = ", ".join(filter(None, (whose, _here(one))))
    yield Told("computer", known or "not known: an older file")
    count = f"{len(one.entries)} {'entry' if len(one.entries) == 1 else 'entries'}"
    yield Told("last entry", f"{last_words(one)}, seal {one.last.seal[:SHORT_SEAL]}; {count}")
    for other, n in one.seen_by.items():
        yield Told("seen", f"{literal(station_words(other))} has seen {_so_far(one, n)}")
    if one.awaited:
        first = one.last.n + 1
        numbers = f"no. {first}" + (f" to {one.awaited}" if one.awaited > first else "")
        yield Told("not here", f"{numbers}, which another station has seen")
    if one.waiting:
        yield Told("waiting", "the last line is not all here: the file is still arriving, or torn")
    for clock in one.clocks:
        yield Told("clock", clock_words(clock), clock.apart)
    if not one.clocks:
        yield Told("clock", "nothing to compare: there is no other station")
    if one.jumps:
        yield Told("clock", _jumps(one.jumps))
    if one.shared:
        which = "second" if one.branch else "first"
        yield Told("fork", f"the {which} branch of a file that two programs wrote", wrong=True)
    for fault in one.faults:
        yield Told("fork" if fault.code == "fork" else "damage", str(fault), wrong=True)
    for missing in one.gone:
        yield Told("gone", str(missing), wrong=True)


def told_beside(found: Stations) -> Iterator[Told]:
    """Say what concerns files that are no station's."""
    for missing in found.gone:
        yield Told("gone", str(missing), wrong=True)
    for fault in found.faults:
        yield Told("damage", str(fault), wrong=True)
    for name, n in found.not_here.items():
        words = f"the file of {literal(station_words(name))}: another station has seen its no. {n}"
        yield Told("not here", words)
    for left in found.unread:
        yield Told("not read", f"log/{literal(left.name)}: {left.why}", left.wrong)


def _so_far(one: Station, n: int) -> str:
    if not n:
        return f"nothing of {literal(station_words(one.line))}"
    of = f"of {one.last.n}" if n <= one.last.n else f"and the last one here is no. {one.last.n}"
    return f"{literal(station_words(one.line))} up to no. {n} {of}"


def clock_words(clock: Clock) -> str:
    """`at least 3 days ahead of shed, on 30 Nov (no. 12 against no. 7)`, or what else is known."""
    other = literal(station_words(clock.other))
    if clock.ahead is None and clock.behind is None:
        return f"nothing to compare: {other} and this one have not seen each other"
    if not clock.apart:
        return _bounds(clock, other)
    said = []
    for lead, way, most in (
        (clock.ahead, "ahead of", clock.most_ahead),
        (clock.behind, "behind", clock.most_behind),
    ):
        if lead is not None and lead.least >= LEAP:
            at_most = most is not None and most >= lead.least and not _both(clock)
            words = f"at least {span_words(lead.least)} {way} {other}, {_proof(lead, way)}"
            if at_most and most:
                words += f"; at most {span_words(most, up=True)}, if neither was set since"
            said.append(words)
    return "; ".join(said)


def _both(clock: Clock) -> bool:
    """True where it was ahead at one time and behind at another: then neither bounds the other."""
    return all(lead is not None and lead.least >= LEAP for lead in (clock.ahead, clock.behind))


def _proof(lead: Lead, way: str) -> str:
    """When it was seen: the number of this station against that of the other."""
    own, other = (lead.seen, lead.after) if way == "ahead of" else (lead.after, lead.seen)
    return f"on {own.at:%d %b} (no. {own.n} against no. {other.n})"


def _bounds(clock: Clock, other: str) -> str:
    """Say how far the two can be apart where nothing shows that they are."""
    ahead, behind = (
        None if most is None else f"at most {span_words(max(most, timedelta()), up=True)}"
        for most in (clock.most_ahead, clock.most_behind)
    )
    if ahead and behind:
        return f"agrees with {other} as far as can be told: {ahead} ahead, {behind} behind"
    if ahead:
        return f"{ahead} ahead of {other}; how far behind, nothing shows"
    return f"{behind} behind {other}; how far ahead, nothing shows"


def _jumps(entries: tuple[Entry, ...]) -> str:
    last = entries[-1]
    count = f"{len(entries)} times, the last " if len(entries) > 1 else ""
    return f"jumped {count}before no. {last.n}, {last.at:%d %b %H:%M}: {literal(last.clock)}"


def span_words(span: timedelta, *, up: bool = False) -> str:
    """`2 days 23 h 59 min`: whole minutes, rounded down, or `up`."""
    minutes = -(-span // timedelta(minutes=1)) if up else span // timedelta(minutes=1)
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    parts = (
        f"{days} day{'' if days == 1 else 's'}" if days else "",
        f"{hours} h" if hours else "",
        f"{minutes} min" if minutes or not (days or hours) else "",
    )
    return " ".join(part for part in parts if part)
