"""Temperatures, specimens and results: from what was typed to an act, or why not.

A correction is a new entry that says why: a temperature at a time that has one already, a specimen or a
result of a name that is there.
"""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any

from pourdeck.plan.lengths import NotALength
from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable, stop_if
from pourdeck.plan.numbers import parse_number, plain
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.authority import actor
from pourdeck.walk.clock import pour_began, read_time
from pourdeck.walk.conflicts import settling_of
from pourdeck.walk.loads import loads_of
from pourdeck.walk.quantities import QUANTITIES, number_read, words_read
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength import (
    Cured,
    Result,
    Specimen,
    results,
    specimens,
    strength,
    temperatures_of,
)
from pourdeck.walk.strength_words import CURED, celsius, mpa
from pourdeck.walk.times import in_order, moment
from pourdeck.walk.words import clock_text, folded

TYPED = "typed"
"""Where a temperature is from that nobody read out of a file."""

UNLIKELY = Decimal("2.5")
"""So many times what the mix is ordered for: asked about."""

YOUNG, YOUNG_MORE = 3, 10
"""So many times the estimate at the time of the test, and so many MPa more: asked about."""


def not_poured(walk: Walk) -> Refusal | None:
    """Why nothing of the concrete can be recorded yet."""
    return _blocked(poured(walk))


def poured(walk: Walk) -> datetime | Refusal:
    """When the pour began, or that it has not."""
    began = pour_began(walk.record)
    if began is None:
        return Refusal(
            title=f"{literal(walk.mark)} is not poured yet.",
            body="Temperatures and specimens are of its concrete: record the start of the pour first.",
        )
    return began


def time_since_pour(walk: Walk, typed: str, now: datetime, what: str) -> datetime | Refusal:
    """A time that was typed, in the order of those that are recorded. `what`: its key in `times.NAMES`."""
    began = poured(walk)
    at = read_time(typed, now)
    if isinstance(began, Refusal) or isinstance(at, Refusal):
        return began if isinstance(began, Refusal) else at
    found = in_order(walk, [moment(what, at)], now, why="asked later")
    return found if isinstance(found, Refusal) else at


@refusable
def temperature(
    walk: Walk, typed: str, time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """One reading: `typed` in the unit of the job or with its own, `time` as in the walk."""
    stop_if(not_poured(walk))
    name = must(actor(walk, by))
    value = must(number_read(QUANTITIES["reading"].in_job(walk.job.units), typed))
    at = must(read_time(time, now))
    times = must(in_order(walk, [moment("reading", at)], now, why))
    stands = temperatures_of(walk.record).get(at)
    data: dict[str, Any] = {
        "panel": walk.mark,
        "readings": [[at.isoformat(), plain(value)]],
        "from": TYPED,
        **times,
    }
    shown = f"{celsius(walk.job, value)} at {clock_text(at.astimezone(now.tzinfo), now.date())}"
    if stands is not None:
        old, entry = stands
        if old == value:
            return Refusal(title=f"{shown} is recorded already.", body="Nothing changes by it.")
        data |= must(replacing(entry, celsius(walk.job, old), why))
    return Act(kind="temperatures", by=name, data=data, says=f"{literal(walk.mark)}: {shown}")


def _blocked(found: object) -> Refusal | None:
    return found if isinstance(found, Refusal) else None


def replacing(entry: Entry, shown: str, why: str) -> dict[str, Any] | Refusal:
    """Give what a correction says of the entry it replaces."""
    if not why.strip():
        return WhyNeeded(
            title=f"It is recorded already: {shown}.",
            body="The old entry stays in the record. Say why it changes.",
        )
    return {"replaces": entry.n, "replaces_station": entry.station, "why": why.strip()}


def _name(typed: str) -> str | Refusal:
    return words_read(QUANTITIES["specimen"], typed)


def find_specimen(record: PanelState, name: str) -> Specimen | None:
    """The specimen of a name, whatever its case and its spaces."""
    return next((one for one in specimens(record) if folded(one.name) == folded(name)), None)


def find_result(record: PanelState, name: str) -> Result | None:
    """The result of the specimen of a name."""
    return next((one for one in results(record) if folded(one.name) == folded(name)), None)


def _cured(typed: str) -> Cured | Refusal:
    words: Mapping[str, Cured] = {"field": "field", "standard": "standard"}
    word = words.get(typed.strip().casefold().removesuffix("-cured"))
    if word is None:
        return Refusal(
            title=f"{literal(typed.strip()) or 'Nothing'}: where was it cured?",
            body="field: beside its panel. standard: in the laboratory.",
        )
    return word


@refusable
def specimen(
    walk: Walk, name: str, cured: str, load: str, time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """A cylinder or cube that was taken. `load`: the number of its load, "" where it is not known."""
    stop_if(not_poured(walk))
    doer = must(actor(walk, by))
    called = must(_name(name))
    kept: Cured = must(_cured(cured))
    number = must(read_load(walk, load))
    taken = must(read_time(time, now))
    of = {"specimen": called} if number is None else {"specimen": called, "load": str(number)}
    times = must(in_order(walk, [moment("specimen", taken, **of)], now, why))
    data: dict[str, Any] = {
        "panel": walk.mark,
        "specimen": called,
        "cured": kept,
        "load": number,
        "time": taken.isoformat(),
        **times,
        **settling_of(walk.record, ("specimen", called)),
    }
    if why.strip():
        data["why"] = why.strip()
    stands = find_specimen(walk.record, called)
    if stands is not None:
        if (stands.cured, stands.load, stands.taken) == (kept, number, taken):
            return Refusal(
                title=f"{literal(called)} is recorded so already.", body="Nothing changes by it."
            )
        was = f"{literal(stands.name)}, {CURED[stands.cured]}"
        data |= must(replacing(stands.entry, was, why))
    of_load = f", load {number}" if number is not None else ""
    says = f"{literal(walk.mark)}: specimen {literal(called)}{of_load}, {CURED[kept]}"
    return Act(kind="specimen", by=doer, data=data, says=says)


def read_load(walk: Walk, typed: str) -> int | Refusal | None:
    """The number of a load that was typed, None where none was."""
    if not typed.strip():
        return None
    try:
        number = int(parse_number(typed, decimals=0))
    except NotALength as fault:
        return Refusal(title=f"Load: {fault.title}.", body=fault.body)
    loads = {one.number: one for one in loads_of(walk.record)}
    known = list(loads)
    if number in loads and loads[number].rejected is not None:
        return Refusal(
            title=f"Load {number} was turned away.",
            body="A specimen of it says nothing of this panel.",
        )
    if number < 1 or (known and number not in known):
        there = f"Loads of {literal(walk.mark)}: {', '.join(map(str, known))}." if known else ""
        return Refusal(
            title=f"There is no load {number}.", body=f"{there} Leave it empty if unknown.".strip()
        )
    return number


@refusable
def result(
    walk: Walk, name: str, typed: str, time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """Record what a specimen was tested to, MPa or in the job's unit, at a time since it was taken.

    Where it was cured is what the specimen's own entry says: a result without a specimen of this panel
    shows nothing of this panel, and is refused.
    """
    stop_if(not_poured(walk))
    doer = must(actor(walk, by))
    called = must(_name(name))
    one = must(_of_this_panel(walk, called))
    value = must(number_read(QUANTITIES["strength"].in_job(walk.job.units), typed))
    at = must(read_time(time, now))
    times = must(in_order(walk, [moment("test", at, specimen=one.name)], now, why))
    stop_if(_unlikely(walk, value, at, why))
    data: dict[str, Any] = {
        "panel": walk.mark,
        "specimen": one.name,
        "cured": one.cured,
        "strength": plain(value),
        "time": at.isoformat(),
        **settling_of(walk.record, ("test", one.name)),
        **times,
    }
    if why.strip():
        data["why"] = why.strip()
    stands = find_result(walk.record, called)
    if stands is not None:
        if (stands.strength, stands.at) == (value, at):
            return Refusal(
                title=f"{literal(one.name)} has this result already.", body="Nothing changes by it."
            )
        data |= must(replacing(stands.entry, mpa(walk.job, stands.strength), why))
    says = f"{literal(walk.mark)}: {literal(one.name)}, {CURED[one.cured]}, {mpa(walk.job, value)}"
    return Act(kind="test", by=doer, data=data, says=says)


def _of_this_panel(walk: Walk, name: str) -> Specimen | Refusal:
    one = find_specimen(walk.record, name)
    if one is not None:
        return one
    known = ", ".join(literal(each.name) for each in specimens(walk.record))
    there = f"Its specimens are {known}." if known else "It has none yet."
    return Refusal(
        title=f"{literal(walk.mark)} has no specimen {literal(name)}.",
        body=f"{there} Record the specimen first, and where it was cured: a result of another panel "
        "shows nothing here.",
    )


def _unlikely(walk: Walk, value: Decimal, at: datetime, why: str) -> Refusal | None:
    """A strength far above what was ordered, or for its age: it may be right, and then somebody says why."""
    ordered = walk.job.mix.strength
    if ordered is None or why.strip():
        return None
    if value <= UNLIKELY * ordered:
        estimate = strength(walk.job, walk.record, at).estimate
        if estimate is None or value <= YOUNG * Decimal(estimate) + YOUNG_MORE:
            return None
        known = Decimal(estimate).quantize(Decimal("0.1"))
        return WhyNeeded(
            title=f"{mpa(walk.job, value)} so early: the estimate is {mpa(walk.job, known)}.",
            body="Look at the sheet, its unit, and the time of the test. If it is right, say why.",
            about="value",
        )
    return WhyNeeded(
        title=f"{mpa(walk.job, value)} of a mix of {mpa(walk.job, ordered)}: is that right?",
        body="Look at the sheet and at its unit. If it is right, say why.",
    )
