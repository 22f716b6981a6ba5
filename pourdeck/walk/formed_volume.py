"""What a panel takes between its forms: rule 11 with the sizes that were measured between the form faces.

Width and height are the mean of what was measured between the faces, thickness the mean of the form depths at
the corners; what was not measured is taken as planned. Openings are as drawn.
"""

from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.plan.sides import CORNERS
from pourdeck.setout.quantities import quantities
from pourdeck.walk.records import Walk

BETWEEN = "forms.between/"
DEPTH = "height.depth/"

SIZES: dict[str, tuple[str, ...]] = {
    "width": (f"{BETWEEN}base", f"{BETWEEN}head"),
    "height": (f"{BETWEEN}left", f"{BETWEEN}right"),
    "thickness": tuple(f"{DEPTH}{corner}" for corner in CORNERS),
}
"""The items of the walk that measure each size."""


@frozen(kw_only=True, eq=False, repr=False)
class Formed:
    """m³. `measured` holds the sizes that were measured, mm; the others are those of the plan."""

    volume: Decimal
    planned: Decimal
    measured: dict[str, Decimal]


def formed(walk: Walk) -> Formed:
    """The volume between the forms of a panel."""
    found = {size: walk.mean_measured(keys) for size, keys in SIZES.items()}
    measured = {size: mean for size, mean in found.items() if mean is not None}
    planned = walk.setout.quantities.volume
    if not measured:
        return Formed(volume=planned, planned=planned, measured={})
    own = walk.setout.panel
    panel = evolve(
        own,
        width=measured.get("width", own.width),
        height=measured.get("height", own.height),
        thickness=measured.get("thickness", own.thickness),
    )
    volume = quantities(panel, walk.setout.chamfer, None).volume
    return Formed(volume=volume, planned=planned, measured=measured)
