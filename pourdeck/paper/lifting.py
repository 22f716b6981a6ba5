"""Give the lift of a panel as a page, as a JSON document and as a part of the panel's record.

Masses kg, places in mm from the panel's own bl, strengths MPa.
"""

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from pourdeck.paper.documents import Document, findings_document, maybe, number
from pourdeck.paper.entry_words import word_words
from pourdeck.paper.record_values import about, entry_name, exact, positions
from pourdeck.plan.messages import literal
from pourdeck.setout.lifters import factored_mass, leading_edge, lifters
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import Walk
from pourdeck.walk.words import number_of

if TYPE_CHECKING:
    from rich.console import Console

    from pourdeck.walk.lifting import LiftView
    from pourdeck.walk.strength import Result

LEAD = 13
"""Cells of the names at the left of the page."""

FOR = "information for the engineer's check; nothing here designs a lift"


def lifting_page(console: "Console", view: "LiftView") -> None:
    """For the engineer, the crane crew and the crew: cautions last, where the eye rests."""
    from pourdeck.paper.console import findings_page, flow, pieces, say, title
    from pourdeck.walk.lift_words import CAUTIONS, lift_rows, state_words

    mark = literal(view.mark)
    place = f"lift {view.lift}" if view.lift is not None else "no lift number"
    say(
        console,
        f"{literal(view.job.name)}: {mark}, panel {view.number} of {view.of}, stack {literal(view.stack)}, "
        f"{place}",
        "bold",
    )
    say(console, state_words(view), "bold")
    for name, words in lift_rows(view):
        if name != "finding":
            flow(console, f"{name:<{LEAD}}", pieces(words))
    if view.findings:
        title(console, "Findings")
        findings_page(console, view.findings)
    title(console, "Cautions")
    for caution in CAUTIONS:
        say(console, caution)


def lifting_document(view: "LiftView") -> Document:
    """Give the document that `lifting --json` prints."""
    setout, found, limits = view.setout, view.lifters, view.job.limits
    return {
        "job": view.job.name,
        "stack": view.stack,
        "panel": view.number,
        "of": view.of,
        "mark": view.mark,
        "lift": view.lift,
        "mass": maybe(setout.quantities.mass),
        "density": maybe(view.job.mix.density),
        "factor": maybe(limits.lift.factor),
        "factored_mass": maybe(view.factored),
        "centroid": _place(setout.quantities.centroid),
        "lifters": found.number,
        "lifters_in_edges": dict(found.in_edges),
        "lifter_centre": _place(found.centre),
        "eccentricity": _place(found.eccentricity),
        "eccentricity_limit": maybe(limits.lift.eccentricity),
        "share": maybe(found.share),
        "source": limits.sources.get("lift"),
        "face_up": setout.panel.face_up,
        "mirrored": setout.mirrored,
        "leads": view.leads,
        "strength": {
            "needed": maybe(view.needed),
            "source": view.source,
            "shown_by": None if view.result is None else _result(view.result),
        },
        "release": release_document(view.release, view.lapse),
        "above": list(view.above),
        "fit": view.fit,
        "missing": list(view.missing),
        "lifted": None if view.lifted is None else view.lifted.at.isoformat(),
        "findings": findings_document(view.findings),
    }


def _result(result: "Result") -> Document:
    return {
        "id": result.name,
        "cured": result.cured,
        "strength": number(result.strength),
        "at": result.at.isoformat(),
    }


def release_document(release: Entry | None, lapse: str | None) -> Document | None:
    """Who released it to lift, as what, what was seen; `lapsed` says why it does not stand, or is null."""
    if release is None:
        return None
    data: dict[str, Any] = release.data
    return {
        "by": release.by,
        "role": data.get("role"),
        "at": release.at.isoformat(),
        "seen": data.get("seen"),
        "lapsed": lapse,
    }


def _place(at: tuple[Decimal, Decimal] | None) -> list[float] | None:
    return None if at is None else [number(one) for one in at]


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
        "centroid": _placed(setout.quantities.centroid),
        "lifters": found.number,
        "lifter_centre": _placed(found.centre),
        "eccentricity": _placed(found.eccentricity),
        "share": _about(found.share, 0),
        "leads": leading_edge(found),
        "source": limits.sources.get("lift"),
        "release": [_release(entry) for entry in walk.record.lift_releases],
        "lifted": _lifted(walk.record.lifted),
    }


def _about(value: Decimal | None, decimals: int) -> Any:
    return None if value is None else about(value, decimals)


def _placed(at: tuple[Decimal, Decimal] | None) -> str | None:
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
        "strength_needed": _exact(data.get("strength")),
        "document": data.get("document"),
        "specimen": shown.get("specimen"),
        "strength_shown": _exact(shown.get("strength")),
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


def _exact(value: object) -> Any:
    found = number_of(value)
    return None if found is None else exact(found)
