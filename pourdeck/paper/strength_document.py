"""The strength of a panel as a JSON document and as a part of the panel record."""

from decimal import Decimal

from pourdeck.paper.documents import Document, findings_document, measure
from pourdeck.paper.record_values import entry_name, exact
from pourdeck.plan.messages import Spot
from pourdeck.pour.maturity import adjusted_days
from pourdeck.walk.clock import pour_ended
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import (
    Need,
    Result,
    Strength,
    results,
    specimens,
    temperatures,
    temperatures_of,
)
from pourdeck.walk.strength_findings import strength_findings
from pourdeck.walk.strength_words import (
    climb_missing,
    estimate_words,
    lift_missing,
    result_verdicts,
    strip_missing,
)


def strength_document(walk: Walk, found: Strength) -> Document:
    """Hours, days and MPa not rounded; None where it is not known, or where there is no limit."""
    job, zone = walk.job, found.at.tzinfo
    spot = Spot(stack=walk.stack, panel=walk.number, mark=walk.mark)
    return {
        "age_hours": found.hours,
        "equivalent_days": found.days,
        "estimate": found.estimate,
        "measured": found.measured,
        "rough": found.rough,
        "basis": found.basis,
        "tests": [_test(found, one) for one in found.results],
        "climb": _need(found.climb, found, climb_missing(job, found, zone)),
        "strip": _need(found.strip, found, strip_missing(job, found, zone)),
        "lift": _need(found.lift, found, lift_missing(job, found, zone)),
        "findings": findings_document(strength_findings(job, spot, found)),
        "job": job.name,
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "at": found.at.isoformat(),
        "poured": found.poured.isoformat() if found.poured else None,
        "readings": len(found.readings),
        "says": estimate_words(job, found),
    }


def _test(found: Strength, one: Result) -> Document:
    return {
        "id": one.name,
        "cured": one.cured,
        "strength": float(one.strength),
        "at": one.at.astimezone(found.at.tzinfo).isoformat(),
        "by": one.by,
        "age_hours": None
        if found.poured is None
        else (one.at - found.poured).total_seconds() / 3600,
        **{f"shows_{limit}": shown for limit, shown in result_verdicts(found, one)},
    }


def _need(need: Need, found: Strength, missing: tuple[str, ...]) -> Document:
    needs = {"strength": need.strength, "hours": need.hours}
    expected = need.expected.astimezone(found.at.tzinfo) if need.expected else None
    return {
        "needs": {key: measure(value) for key, value in needs.items() if value is not None},
        "met": need.met,
        "by": need.by,
        "accepts": need.accepts,
        "expected": expected.isoformat() if expected else None,
        "source": need.source,
        "missing": list(missing),
    }


def strength_record(walk: Walk) -> Document:
    """Give what the record of a panel keeps of its strength: specimens, results, and how warm it was.

    The readings themselves stay in the log: of each entry there is how many, from when to when, and the
    adjusted age up to the last one. °C, MPa.
    """
    record = walk.record
    readings = temperatures(record)
    ended = pour_ended(record)
    found: Document = {"units": "strengths MPa, temperatures °C"}
    if readings:
        values = [value for value, _ in temperatures_of(record).values()]
        found["temperatures"] = {
            "readings": len(readings),
            "first": readings[0].at,
            "last": readings[-1].at,
            "lowest": exact(min(values)),
            "highest": exact(max(values)),
            "adjusted_days": None
            if ended is None
            else exact(_rounded(adjusted_days(readings, ended, readings[-1].at))),
            "entries": ", ".join(
                name for entry in record.temperatures if (name := entry_name(entry))
            ),
        }
    found["specimen"] = [
        {
            "name": one.name,
            "cured": one.cured,
            "load": one.load,
            "taken": one.taken,
            "by": one.by,
            "entry": entry_name(one.entry),
        }
        for one in specimens(record)
    ]
    found["result"] = [
        {
            "specimen": one.name,
            "cured": one.cured,
            "strength": exact(one.strength),
            "at": one.at,
            "why": one.entry.data.get("why"),
            "by": one.by,
            "entry": entry_name(one.entry),
        }
        for one in results(record)
    ]
    return found if readings or found["specimen"] or found["result"] else {}


def _rounded(days: float) -> Decimal:
    """To a thousandth of a day, so that the record is the same on every machine."""
    return Decimal(repr(round(days, 3)))
