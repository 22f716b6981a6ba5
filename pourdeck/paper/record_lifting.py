"""The lift of a panel in its record: where its mass is, each release and what it rested on, the lift."""

from decimal import Decimal
from typing import Any

from pourdeck.paper.documents import Document
from pourdeck.paper.entry_words import word_words
from pourdeck.paper.record_values import about, entry_name, exact, positions
from pourdeck.setout.lifters import factored_mass, leading_edge, lifters
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import Walk
from pourdeck.walk.words import number_of

FOR = "information for the engineer's check; nothing here designs a lift"


def lifting_part(walk: Walk) -> Document:
    """Masses kg, to 1 kg; places in mm from the panel's own bl as it lies, to 0.1 mm."""
    setout, limits = walk.setout, walk.job.limits
    found = lifters(setout)
    factored = factored_mass(setout, limits.lift.factor)
    return {
        "for": FOR,
        "mass": _about(setout.quantities.mass, 0),
        "factor": None if limits.lift.factor is None else exact(limits.lift.factor),
        "factored_mass": _about(factored, 0),
        "centroid": _place(setout.quantities.centroid),
        "lifters": found.number,
        "lifter_centre": _place(found.centre),
        "eccentricity": _place(found.eccentricity),
        "share": _about(found.share, 0),
        "leads": leading_edge(found),
        "source": limits.sources.get("lift"),
        "release": [_release(entry) for entry in walk.record.lift_releases],
        "lifted": _lifted(walk.record.lifted),
    }


def _about(value: Decimal | None, decimals: int) -> Any:
    return None if value is None else about(value, decimals)


def _place(at: tuple[Decimal, Decimal] | None) -> str | None:
    """x and y on one line."""
    return None if at is None else positions(tuple(Decimal(about(one, 1)) for one in at))


def _release(entry: Entry) -> Document:
    data = entry.data
    result = data.get("result")
    shown = result if isinstance(result, dict) else {}
    return {
        "by": entry.by,
        "role": data.get("role"),
        "word": word_words(entry),
        "at": entry.at,
        "seen": data.get("seen"),
        "strength_needed": _number(data.get("strength")),
        "document": data.get("document"),
        "specimen": shown.get("specimen"),
        "strength_shown": _number(shown.get("strength")),
        "entry": entry_name(entry),
    }


def _lifted(entry: Entry | None) -> Document | None:
    """Who recorded it, and the entry of the release it rested on: an older log names none."""
    if entry is None:
        return None
    released = entry.data.get("release")
    named = released if isinstance(released, dict) else {}
    return {
        "by": entry.by,
        "at": entry.at,
        "released_in": named.get("n"),
        "released_by_station": named.get("station"),
        "without_release": None if named else True,
        "entry": entry_name(entry),
    }


def _number(value: object) -> Any:
    found = number_of(value)
    return None if found is None else exact(found)
