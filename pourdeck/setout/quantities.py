"""Rule 11: area, volume, mass and centroid of a panel as cast."""

from decimal import Decimal

from pourdeck.plan.records import Panel
from pourdeck.setout.mirror import openings_as_cast
from pourdeck.setout.record import Quantities

MM2_PER_M2 = Decimal(10) ** 6
MM3_PER_M3 = Decimal(10) ** 9


def chamfer_volume(width: Decimal, height: Decimal, chamfer: Decimal) -> Decimal:
    """What 45° chamfers at both outer arrises take away: 2(w + h)c² − (8/3)c³, mm³."""
    return 2 * (width + height) * chamfer**2 - Decimal(8) / Decimal(3) * chamfer**3


def quantities(panel: Panel, chamfer: Decimal, density: Decimal | None) -> Quantities:
    """Volume less outer chamfers and less each opening at full thickness; area and centroid in plan.

    The centroid is from the panel's own bl corner as cast, mm. Mass = volume × density.
    """
    area = panel.width * panel.height
    moment_x = area * panel.width / 2
    moment_y = area * panel.height / 2
    for opening in openings_as_cast(panel):
        hole = opening.width * opening.height
        area -= hole
        moment_x -= hole * (opening.x + opening.width / 2)
        moment_y -= hole * (opening.y + opening.height / 2)
    body = area * panel.thickness - chamfer_volume(panel.width, panel.height, chamfer)
    volume = body / MM3_PER_M3
    return Quantities(
        area=area / MM2_PER_M2,
        volume=volume,
        mass=None if density is None else volume * density,
        centroid=(moment_x / area, moment_y / area) if area > 0 else None,
    )
