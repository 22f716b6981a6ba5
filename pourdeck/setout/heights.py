"""Rule 10: heights on the site datum, planned from the bed and expected from what was measured."""

from decimal import Decimal

from pourdeck.plan.records import Stack
from pourdeck.setout.record import Heights

MM_PER_M = Decimal(1000)


def heights(stack: Stack, number: int, surface_below: Decimal | None) -> Heights:
    """Of panel `number`, from 1. Planned top = bed_rl + Σ thickness / 1000, m.

    `surface_below`: the measured height of the finished surface it stands on, m, or None.
    """
    under = sum((panel.thickness for panel in stack.panels[: number - 1]), Decimal(0))
    thickness = stack.panels[number - 1].thickness
    below = stack.bed_rl + under / MM_PER_M
    return Heights(
        below=below,
        top=below + thickness / MM_PER_M,
        measured_below=surface_below,
        expected_top=None if surface_below is None else surface_below + thickness / MM_PER_M,
    )


def height_of_instrument(benchmark: Decimal, backsight: Decimal) -> Decimal:
    """HI = RL of the benchmark + backsight, m."""
    return benchmark + backsight


def staff_reading(instrument: Decimal, wanted: Decimal) -> Decimal:
    """What the staff must read for a surface at the wanted height: HI − RL, m."""
    return instrument - wanted
