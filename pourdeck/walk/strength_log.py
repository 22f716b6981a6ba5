"""What the log says of the strength of a panel: temperatures of its concrete, results of its specimens."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import field, frozen

from pourdeck.pour.maturity import Reading
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.people import folded
from pourdeck.walk.pour_times import pour_began, pour_ended
from pourdeck.walk.words import moment_of

Cured = Literal["field", "standard"]

BEFORE_POUR = timedelta(hours=2)
"""So long before the first concrete is in the form a specimen may be taken, at the truck."""


@frozen(kw_only=True, eq=False, repr=False)
class Specimen:
    """A cylinder or cube that was taken. `load` is the number of its load."""

    name: str
    cured: Cured
    load: int | None
    taken: datetime | None
    by: str
    entry: Entry = field(repr=False)


@frozen(kw_only=True, eq=False, repr=False)
class Result:
    """A test of one specimen, MPa."""

    name: str
    cured: Cured
    strength: Decimal
    at: datetime
    by: str
    entry: Entry = field(repr=False)


def temperatures(record: PanelState) -> tuple[Reading, ...]:
    """The readings in the order of their times; of two at the same time the one written last."""
    found = temperatures_of(record)
    return tuple(Reading(at=at, temperature=float(found[at][0])) for at in sorted(found))


def temperatures_of(record: PanelState) -> dict[datetime, tuple[Decimal, Entry]]:
    """What stands at each time, °C, and the entry it is from."""
    found: dict[datetime, tuple[Decimal, Entry]] = {}
    for entry in record.temperatures:
        for written, value in entry.data["readings"]:
            moment, number = moment_of(written), number_of(value)
            if moment is not None and number is not None:
                found[moment] = (number, entry)
    return found


def specimens(record: PanelState) -> tuple[Specimen, ...]:
    """By name, the last word on each."""
    found = {folded(entry.data["specimen"]): _specimen(entry) for entry in record.specimens}
    return tuple(found.values())


def _specimen(entry: Entry) -> Specimen:
    load = entry.data.get("load")
    return Specimen(
        name=entry.data["specimen"],
        cured=entry.data["cured"],
        load=load if type(load) is int else None,
        taken=moment_of(entry.data.get("time")),
        by=entry.by,
        entry=entry,
    )


def results(record: PanelState) -> tuple[Result, ...]:
    """One for each specimen, the last word on it, in the order of their times.

    Where the specimen itself is in the log, it is what says where it was cured, and how its name is written:
    one that is put right from field to standard takes its result with it.
    """
    known = {folded(one.name): one for one in specimens(record)}
    found = {folded(one.name): one for one in _results(record.tests, known)}
    return tuple(sorted(found.values(), key=lambda one: one.at))


def _results(entries: Iterable[Entry], known: Mapping[str, Specimen]) -> Iterable[Result]:
    for entry in entries:
        strength, name = number_of(entry.data["strength"]), entry.data["specimen"]
        if strength is not None:
            specimen = known.get(folded(name))
            yield Result(
                name=specimen.name if specimen else name,
                cured=specimen.cured if specimen else entry.data["cured"],
                strength=strength,
                at=moment_of(entry.data["time"]) or entry.at,
                by=entry.by,
                entry=entry,
            )


def untested(record: PanelState) -> tuple[Specimen, ...]:
    """Specimens without a result."""
    tested = {folded(one.name) for one in results(record)}
    return tuple(one for one in specimens(record) if folded(one.name) not in tested)


def field_results(record: PanelState, at: datetime) -> tuple[Result, ...]:
    """Results that show what this very panel has: of a specimen of its concrete, cured beside it, by `at`.

    A result whose specimen is not in the log, or no longer, shows nothing: nobody says where it lay.
    """
    began, ended = pour_began(record), pour_ended(record)
    if began is None or ended is None:
        return ()
    own = {folded(one.name): one for one in specimens(record) if one.cured == "field"}
    since = began.replace(second=0, microsecond=0) - BEFORE_POUR
    return tuple(
        one
        for one in results(record)
        if ended <= one.at <= at
        and (taken := own.get(folded(one.name))) is not None
        and (taken.taken is None or since <= taken.taken <= one.at)
    )


def showing(found: Sequence[Result], needed: Decimal | None) -> tuple[Result, ...]:
    """The results that show a strength, MPa: at or above it, and later than every result below it.

    `found` is in the order of its times, and so is what is returned; nothing shows a strength of None.
    """
    if needed is None:
        return ()
    low = last_below(found, needed)
    return tuple(
        one for one in found if one.strength >= needed and (low is None or one.at > low.at)
    )


def last_below(found: Sequence[Result], needed: Decimal) -> Result | None:
    """The last result below a strength, MPa; of two at the same time the lower one."""
    low = [one for one in found if one.strength < needed]
    return max(low, key=lambda one: (one.at, -one.strength), default=None)
