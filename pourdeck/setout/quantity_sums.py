"""The sums behind area, volume, mass and centroid."""

from decimal import Decimal

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.shown_lengths import rounded
from pourdeck.setout.quantities import MM2_PER_M2
from pourdeck.setout.record import SetOut
from pourdeck.setout.sum_record import PLAN, Input, Sum, chamfer_input, mm, size_input


def area_sum(setout: SetOut) -> Sum:
    """Plan area less openings."""
    return Sum(
        title=f"Area of {setout.mark}",
        formula="width × height − Σ openings",
        inputs=(
            size_input(setout.panel, "width"),
            size_input(setout.panel, "height"),
            *_openings(setout),
        ),
        result=setout.quantities.area,
        unit="m²",
    )


def _openings(setout: SetOut) -> tuple[Input, ...]:
    return tuple(
        Input(
            name=f"opening {hole.name}",
            value=f"{plain(hole.width)} × {plain(hole.height)}",
            unit="mm",
            source="plan",
        )
        for hole in setout.openings
    )


def volume_sum(setout: SetOut) -> Sum:
    """Concrete in the panel."""
    panel = setout.panel
    return Sum(
        title=f"Volume of {setout.mark}",
        formula="w·h·t − 2(w + h)c² + (8/3)c³ − Σ opening·t",
        inputs=(
            size_input(panel, "width"),
            size_input(panel, "height"),
            size_input(panel, "thickness"),
            chamfer_input(setout.chamfer),
            *_openings(setout),
        ),
        result=setout.quantities.volume,
        unit="m³",
        rounding="to the nearest 0.01 m³; what is ordered is rounded up",
    )


def mass_sum(setout: SetOut, job: Job) -> Sum | None:
    """Mass of the panel, for information; None where the plan gives no density."""
    if setout.quantities.mass is None or job.mix.density is None:
        return None
    return Sum(
        title=f"Mass of {setout.mark}",
        formula="volume × density",
        inputs=(
            Input(name="volume", value=setout.quantities.volume, unit="m³", source="its own sum"),
            Input(name="density", value=job.mix.density, unit="kg/m³", source="the mix: density"),
        ),
        result=setout.quantities.mass,
        unit="kg",
        rounding="for information; lifting is for the engineer to design",
    )


def centroid_sum(setout: SetOut, axis: int) -> Sum | None:
    """Centroid of the plan area less openings; None where nothing is left of it. mm."""
    centroid = setout.quantities.centroid
    if centroid is None:
        return None
    word, start = ("x", "left") if axis == 0 else ("y", "base")
    panel = setout.panel
    whole = panel.width * panel.height / MM2_PER_M2
    inputs = [_middle("panel", whole, (panel.width, panel.height)[axis] / 2)]
    for hole in setout.openings:
        area = hole.width * hole.height / MM2_PER_M2
        middle = (hole.x + hole.width / 2, hole.y + hole.height / 2)[axis]
        inputs.append(_middle(f"less {hole.name}", area, middle))
    return Sum(
        title=f"Centroid of {setout.mark}, {word}",
        formula=f"sum of area × {word} of its middle / sum of areas",
        inputs=tuple(inputs),
        result=centroid[axis],
        unit="mm",
        rounding=f"from the {start} face line, as it lies",
    )


def _middle(name: str, area: Decimal, middle: Decimal) -> Input:
    return mm(f"{name}, {plain(rounded(area, 3))} m², its middle at", middle, PLAN)
