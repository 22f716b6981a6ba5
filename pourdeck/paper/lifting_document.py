"""The lift of a panel as a JSON document and in its record: kg, mm from the panel's own bl, MPa."""

from decimal import Decimal
from typing import Any

from pourdeck.paper.documents import Document, findings_document, number, positions
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.lifting import LiftView
from pourdeck.walk.strength import Result


def _number(value: Decimal | None) -> float | None:
    return None if value is None else number(value)


def _place(at: tuple[Decimal, Decimal] | None) -> list[float] | None:
    return None if at is None else positions(at)


def lifting_document(view: LiftView) -> Document:
    """Give the document that `lifting --json` prints."""
    setout, about, limits = view.setout, view.lifters, view.job.limits
    return {
        "job": view.job.name,
        "stack": view.stack,
        "panel": view.number,
        "of": view.of,
        "mark": view.mark,
        "lift": view.lift,
        "mass": _number(setout.quantities.mass),
        "density": _number(view.job.mix.density),
        "factor": _number(limits.lift.factor),
        "factored_mass": _number(view.factored),
        "centroid": _place(setout.quantities.centroid),
        "lifters": about.number,
        "lifters_in_edges": dict(about.in_edges),
        "lifter_centre": _place(about.centre),
        "eccentricity": _place(about.eccentricity),
        "eccentricity_limit": _number(limits.lift.eccentricity),
        "share": _number(about.share),
        "source": limits.sources.get("lift"),
        "face_up": setout.panel.face_up,
        "mirrored": setout.mirrored,
        "leads": view.leads,
        "strength": {
            "needed": _number(view.needed),
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


def _result(result: Result) -> Document:
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
