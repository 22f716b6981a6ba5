"""Mass, centre of gravity and the lifters about it."""

from fractions import Fraction
from typing import Any

from .features import quantities
from .plan import Job, Panel


def lifting(job: Job, panel: Panel) -> dict[str, Any]:
    """The promised keys; None where there is nothing to divide by or no density."""
    found = quantities(job, panel)
    mass, centroid = found["mass"], found["centroid"]
    lifters = [one for one in panel.castins if one.kind == "lifter" and one.edge is None]
    centre: list[Fraction] | None = None
    if lifters:
        centre = [
            sum((one.x for one in lifters), Fraction(0)) / len(lifters),  # type: ignore[misc]
            sum((one.y for one in lifters), Fraction(0)) / len(lifters),  # type: ignore[misc]
        ]
    off = None
    if centre is not None and centroid is not None:
        off = [centre[0] - centroid[0], centre[1] - centroid[1]]
    return {
        "mass": mass,
        "centroid": centroid,
        "lifters": len(lifters),
        "lifter_centre": centre,
        "eccentricity": off,
        "share": None if mass is None or not lifters else mass / len(lifters),
    }
