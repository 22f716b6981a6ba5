"""The sums behind sizes, openings, cast-ins, fill, heights below and centroid, beside those in `sums`."""

from decimal import Decimal

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.quantities import MM2_PER_M2
from pourdeck.setout.record import Fill, PlacedCastIn, PlacedOpening, SetOut
from pourdeck.setout.sums import Input, Sum

PLAN = "plan in force"


def _mm(name: str, value: Decimal, source: str) -> Input:
    return Input(name=name, value=value, unit="mm", source=source)


def _chamfer(setout: SetOut) -> Input:
    return _mm("chamfer c", setout.chamfer, "the kit: chamfer")


def size_sum(setout: SetOut, name: str) -> Sum:
    """A size to the face line: `width`, `height` or `thickness`. mm."""
    value: Decimal = getattr(setout.panel, name)
    return Sum(
        title=f"{name.capitalize()} of {setout.mark}",
        formula="the drawing's, or the last size change of the log",
        inputs=(_mm(f"{name} of {setout.mark}", value, PLAN),),
        result=value,
        unit="mm",
    )


def arris_size_sum(setout: SetOut, name: str) -> Sum:
    """`width` or `height` from arris to arris, on the upper or the lower surface. mm."""
    value: Decimal = getattr(setout.panel, name)
    return Sum(
        title=f"{name.capitalize()} of {setout.mark}, arris to arris",
        formula=f"{name} − 2c",
        inputs=(_mm(f"{name} of {setout.mark}", value, PLAN), _chamfer(setout)),
        result=value - 2 * setout.chamfer,
        unit="mm",
        worked=f"{plain(value)} − 2 × {plain(setout.chamfer)}",
    )


def form_depth_sum(setout: SetOut, job: Job) -> Sum:
    """The depth of the forms, which must be the thickness."""
    held = ", ".join(plain(depth) for depth in sorted(job.kit.depths))
    return Sum(
        title=f"Form depth for {setout.mark}",
        formula="the depth held that is the thickness",
        inputs=(
            _mm("thickness", setout.panel.thickness, PLAN),
            Input(name="depths held", value=held, unit="mm", source="the kit: depths"),
        ),
        result="none" if setout.form_depth is None else setout.form_depth,
        unit="" if setout.form_depth is None else "mm",
    )


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
            inputs=(_mm(f"at of {castin.name}", castin.at, PLAN),),
            result=castin.at,
            unit="mm",
            rounding=f"from the {'left' if castin.edge in ('base', 'head') else 'base'}",
        )
    at = (castin.x, castin.y)[axis]
    return None if at is None else _feature_sum(setout, castin.name, at, axis, Decimal(0))


def _feature_sum(setout: SetOut, name: str, at: Decimal, axis: int, wide: Decimal) -> Sum:
    word, start = ("x", "left") if axis == 0 else ("y", "base")
    turned = axis == 0 and setout.mirrored
    width = setout.panel.width
    drawn = width - at - wide if turned else at
    inputs = [_mm(f"{word} of {name}, as drawn", drawn, PLAN)]
    if turned:
        inputs.insert(0, _mm(f"width of {setout.mark}", width, PLAN))
        if wide:
            inputs.append(_mm(f"width of {name}", wide, PLAN))
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
            _mm("width", fill.width, "rule of fill"),
            _mm("height", fill.height, "rule of fill"),
            _mm("x from this bl", fill.x, place),
            _mm("y from this bl", fill.y, place),
            _mm("depth", fill.depth, "panels below that are open there"),
        ),
        result=fill.width * fill.height / MM2_PER_M2,
        unit="m²",
        worked=f"{plain(fill.width)} × {plain(fill.height)} / 1000000",
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
    return _mm(f"{name}, {plain(round(area, 3))} m², its middle at", middle, PLAN)


def height_below_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the surface the panel stands on. m."""
    under = stack.panels[: setout.number - 1]
    return Sum(
        title=f"RL below {setout.mark}, planned",
        formula="bed RL + Σ thickness / 1000",
        inputs=(
            Input(name="bed RL", value=stack.bed_rl, unit="m", source=f"stack {stack.id}: bed RL"),
            *(_mm(f"thickness of {panel.mark}", panel.thickness, PLAN) for panel in under),
        ),
        result=setout.heights.below,
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
