"""Every number of a set-out opened to its sum: all that there are, by name.

Each gives the formula, what went in and where that came from.
"""

from decimal import Decimal

from pourdeck.plan.lengths import rounded
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Side, Stack
from pourdeck.setout.panel import MM2_PER_M2
from pourdeck.setout.place_sums import (
    anchors_sum,
    bolt_sum,
    bracket_bolt_sum,
    bracket_offset_sum,
    bracket_sum,
    extra_anchors_sum,
    from_arris_sum,
    growth_sum,
    lean_sum,
    missing_sum,
    offset_sum,
    out_sum,
    position_sum,
    prop_sum,
)
from pourdeck.setout.record import (
    PLAN,
    Fill,
    Input,
    PlacedCastIn,
    PlacedOpening,
    SetOut,
    Sum,
    bed_input,
    chamfer_input,
    in_sum,
    mm,
    size_input,
    start_of,
)

__all__ = [
    "anchors_sum",
    "area_sum",
    "arris_size_sum",
    "bolt_sum",
    "bracket_bolt_sum",
    "bracket_offset_sum",
    "bracket_sum",
    "castin_sum",
    "centroid_sum",
    "diagonal_sum",
    "expected_height_sum",
    "extra_anchors_sum",
    "fill_sum",
    "form_depth_sum",
    "from_arris_sum",
    "growth_sum",
    "height_below_sum",
    "height_sum",
    "lean_sum",
    "mass_sum",
    "measured_below_sum",
    "missing_sum",
    "offset_sum",
    "opening_sum",
    "out_sum",
    "position_sum",
    "prop_sum",
    "reading_sum",
    "run_sum",
    "size_sum",
    "volume_sum",
]  # fmt: skip


# The sums behind the size of a panel and its forms: face line and arris, diagonals, depth and runs.


def size_sum(setout: SetOut, name: str) -> Sum:
    """A size to the face line: `width`, `height` or `thickness`. mm."""
    value: Decimal = getattr(setout.panel, name)
    return Sum(
        title=f"{name.capitalize()} of {setout.mark}",
        formula="the drawing's, or the last size change of the log",
        inputs=(mm(f"{name} of {setout.mark}", value, PLAN),),
        result=value,
        unit="mm",
    )


def arris_size_sum(setout: SetOut, name: str) -> Sum:
    """`width` or `height` from arris to arris, on the upper or the lower surface. mm."""
    value: Decimal = getattr(setout.panel, name)
    return Sum(
        title=f"{name.capitalize()} of {setout.mark}, arris to arris",
        formula=f"{name} − 2c",
        inputs=(mm(f"{name} of {setout.mark}", value, PLAN), chamfer_input(setout.chamfer)),
        result=value - 2 * setout.chamfer,
        unit="mm",
        worked=f"{plain(value)} − 2 × {plain(setout.chamfer)}",
    )


def diagonal_sum(setout: SetOut, arris: bool = False) -> Sum:
    """The diagonal at the face line, or arris to arris."""
    inputs = [size_input(setout.panel, "width"), size_input(setout.panel, "height")]
    if arris:
        inputs.append(chamfer_input(setout.chamfer))
    return Sum(
        title=f"Diagonal of {setout.mark}, {'arris to arris' if arris else 'face line'}",
        formula="√((width − 2c)² + (height − 2c)²)" if arris else "√(width² + height²)",
        inputs=tuple(inputs),
        result=setout.diagonal.arris if arris else setout.diagonal.face,
        unit="mm",
        rounding="to the nearest 0.1 mm",
        worked=_worked_diagonal(setout, arris),
    )


def _worked_diagonal(setout: SetOut, arris: bool) -> str:
    trim = 2 * setout.chamfer if arris else Decimal(0)
    return f"√({in_sum(setout.panel.width - trim)}² + {in_sum(setout.panel.height - trim)}²)"


def form_depth_sum(setout: SetOut, job: Job) -> Sum:
    """The depth of the forms, which must be the thickness."""
    held = ", ".join(plain(depth) for depth in sorted(job.kit.depths))
    return Sum(
        title=f"Form depth for {setout.mark}",
        formula="the depth held that is the thickness",
        inputs=(
            mm("thickness", setout.panel.thickness, PLAN),
            Input(name="depths held", value=held, unit="mm", source="the kit: depths"),
        ),
        result="none" if setout.form_depth is None else setout.form_depth,
        unit="" if setout.form_depth is None else "mm",
    )


def run_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """The forms of one side; None where they could not be made up."""
    run = setout.runs[side]
    if run is None:
        return None
    kit = job.kit
    return Sum(
        title=f"Run of forms, {side} side of {setout.mark}",
        formula="fewest pieces on the four sides together, then least overrun",
        inputs=(
            Input(
                name=f"{side} side",
                value=setout.panel.side_length(side),
                unit="mm",
                source=PLAN,
            ),
            Input(
                name="past the far corner",
                value=f"{kit.overrun.min} to {kit.overrun.max}",
                unit="mm",
                source="the kit: overrun",
            ),
            Input(
                name="pieces",
                value=" + ".join(f"{piece}" for piece in run.pieces),
                unit="mm",
                source="the kit: stock",
            ),
            Input(name="run", value=run.length, unit="mm", source="sum of the pieces"),
        ),
        result=run.overrun,
        unit="mm",
        rounding="overrun = run − side",
    )


# The sums behind openings, cast-ins and what is to be filled.


def opening_sum(setout: SetOut, opening: PlacedOpening, axis: int) -> Sum:
    """Where an opening's bottom left corner is as it lies: axis 0 from the left, 1 from the base. mm."""
    at = (opening.x, opening.y)[axis]
    return _feature_sum(setout, opening.name, at, axis, opening.width)


def castin_sum(setout: SetOut, castin: PlacedCastIn, axis: int = 0) -> Sum | None:
    """Where the centre of a cast-in is as it lies; None for an axis that it has not. mm."""
    if castin.at is not None and castin.edge is not None:
        return Sum(
            title=f"{castin.name} of {setout.mark}",
            formula=f"along the {castin.edge} edge, given as cast",
            inputs=(mm(f"at of {castin.name}", castin.at, PLAN),),
            result=castin.at,
            unit="mm",
            rounding=f"from the {start_of(castin.edge)}",
        )
    at = (castin.x, castin.y)[axis]
    return None if at is None else _feature_sum(setout, castin.name, at, axis, Decimal(0))


def _feature_sum(setout: SetOut, name: str, at: Decimal, axis: int, wide: Decimal) -> Sum:
    word, start = ("x", "left") if axis == 0 else ("y", "base")
    turned = axis == 0 and setout.mirrored
    width = setout.panel.width
    drawn = width - at - wide if turned else at
    inputs = [mm(f"{word} of {name}, as drawn", drawn, PLAN)]
    if turned:
        inputs.insert(0, mm(f"width of {setout.mark}", width, PLAN))
        if wide:
            inputs.append(mm(f"width of {name}", wide, PLAN))
    return Sum(
        title=f"{word} of {name}, as {setout.mark} lies",
        formula=("width − x − its own width" if wide else "width − x") if turned else "as drawn",
        inputs=tuple(inputs),
        result=at,
        unit="mm",
        rounding=f"from the {start} face line; from the arris it is c less",
        worked=" − ".join(plain(one.value) for one in inputs if isinstance(one.value, Decimal))
        if turned
        else "",
    )


def fill_sum(setout: SetOut, fill: Fill) -> Sum:
    """Area of a rectangle to close, and where it comes from. m²."""
    place = f"position of {setout.mark} in the stack"
    return Sum(
        title=f"To fill in {fill.opening} of {fill.mark}",
        formula="what of the opening lies under this panel, less its own openings",
        inputs=(
            mm("width", fill.width, "rule of fill"),
            mm("height", fill.height, "rule of fill"),
            mm("x from this bl", fill.x, place),
            mm("y from this bl", fill.y, place),
            mm("depth", fill.depth, "panels below that are open there"),
        ),
        result=fill.width * fill.height / MM2_PER_M2,
        unit="m²",
        worked=f"{plain(fill.width)} × {plain(fill.height)} / 1000000",
    )


# The sums behind heights: planned, measured and to expect, and the staff readings that set them.


def height_below_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the surface the panel stands on. m."""
    title = f"RL below {setout.mark}, planned"
    return _planned(title, stack, setout.number - 1, setout.heights.below)


def height_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the top of the panel."""
    title = f"RL of the top of {setout.mark}, planned"
    return _planned(title, stack, setout.number, setout.heights.top)


def _planned(title: str, stack: Stack, panels: int, result: Decimal) -> Sum:
    """The height over so many panels from the bed."""
    sizes = (size_input(panel, "thickness") for panel in stack.panels[:panels])
    return Sum(
        title=title,
        formula="bed RL + Σ thickness / 1000",
        inputs=(bed_input(stack), *sizes),
        result=result,
        unit="m",
    )


def measured_below_sum(setout: SetOut) -> Sum | None:
    """The surface the panel stands on as it was measured; None where it was not. m."""
    measured = setout.heights.measured_below
    if measured is None or setout.below is None:
        return None
    return Sum(
        title=f"Surface of {setout.below.mark}, measured",
        formula="mean of the corners that were read",
        inputs=(
            Input(name="planned", value=setout.heights.below, unit="m", source="bed and thickness"),
        ),
        result=measured,
        unit="m",
        rounding="the corners are in the record of that panel",
    )


def expected_height_sum(setout: SetOut) -> Sum | None:
    """Expected height of the top from the measured surface below; None where it was not measured."""
    heights = setout.heights
    if heights.measured_below is None or heights.expected_top is None or setout.below is None:
        return None
    return Sum(
        title=f"RL of the top of {setout.mark}, from the measured surface",
        formula="measured RL + form depth / 1000",
        inputs=(
            Input(
                name=f"surface of {setout.below.mark}",
                value=heights.measured_below,
                unit="m",
                source="mean of the corners read, site log",
            ),
            size_input(setout.panel, "thickness"),
        ),
        result=heights.expected_top,
        unit="m",
    )


def reading_sum(mark: str, instrument: Decimal, wanted: Decimal, where: str) -> Sum:
    """The staff reading that sets a surface at a height: HI − RL. m."""
    return Sum(
        title=f"Staff reading for {mark}, {where}",
        formula="height of instrument − RL wanted",
        inputs=(
            Input(
                name="height of instrument",
                value=instrument,
                unit="m",
                source="benchmark RL + backsight",
            ),
            Input(name="RL wanted", value=wanted, unit="m", source=f"top of {mark}"),
        ),
        result=instrument - wanted,
        unit="m",
    )


# The sums behind area, volume, mass and centroid.


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


# Every number of a set-out opened to its sum: all that there are, by name.
