"""Rule 11, and cast-ins as the set-out shows them."""

from fractions import Fraction
from typing import Any

from .plan import Job, Panel, Spot


def castin(one: Spot, chamfer: Fraction) -> dict[str, Any]:
    found = {"name": one.name, "kind": one.kind}
    if one.edge is not None:
        return found | {"edge": one.edge, "at": one.at}
    return found | {
        "x": one.x,
        "y": one.y,
        "x_arris": one.x - chamfer,
        "y_arris": one.y - chamfer,
    }


def quantities(job: Job, panel: Panel) -> dict[str, Any]:
    wide, high, thick, c = panel.width, panel.height, panel.thickness, job.kit.chamfer
    boxes = panel.openings
    area = wide * high - sum(one.area for one in boxes)
    body = wide * high * thick - 2 * (wide + high) * c**2 + Fraction(8, 3) * c**3
    volume = (body - sum(one.area for one in boxes) * thick) / 10**9
    centroid = None
    if area > 0:
        x = wide * wide * high / 2 - sum(one.area * (one.x0 + one.x1) / 2 for one in boxes)
        y = wide * high * high / 2 - sum(one.area * (one.y0 + one.y1) / 2 for one in boxes)
        centroid = [x / area, y / area]
    return {
        "area": area / 10**6,
        "volume": volume,
        "mass": None if job.density is None else volume * job.density,
        "centroid": centroid,
    }
