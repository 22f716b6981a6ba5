"""Every number of a set-out opened to its sum: the formula, what went in, and where that came from."""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Panel, Stack
from pourdeck.plan.sides import Side
from pourdeck.setout.place import split_align, start_shift
from pourdeck.setout.record import Bracket, SetOut

Value = Decimal | str


@frozen(kw_only=True)
class Input:
    """One thing that went into a sum. `unit` mm, m, m², m³, kg, kg/m³ or "" where it is a word."""

    name: str
    value: Value
    unit: str
    source: str


@frozen(kw_only=True)
class Sum:
    """A result with the sum behind it. `rounding` says how it is shown, "" where it is exact.

    `worked` is the formula with its numbers in, "" where the formula says it all.
    """

    title: str
    formula: str
    inputs: tuple[Input, ...]
    result: Value
    unit: str
    rounding: str = ""
    worked: str = ""


def _number(value: Decimal) -> str:
    """A number inside a worked sum: no unit, no exponent, negatives in brackets."""
    text = plain(value.quantize(Decimal("0.1")) if value.as_tuple().exponent < -3 else value)  # type: ignore[operator]
    return f"({text})" if value < 0 else text


def _size(panel: Panel, name: str) -> Input:
    value: Decimal = getattr(panel, name)
    return Input(name=f"{name} of {panel.mark}", value=value, unit="mm", source="plan in force")


def _place(mark: str, axis: str, value: Decimal) -> Input:
    return Input(name=f"{axis} of {mark}", value=value, unit="mm", source="position in the stack")


def _chamfer(chamfer: Decimal) -> Input:
    return Input(name="chamfer c", value=chamfer, unit="mm", source="the kit: chamfer")


def position_sum(setout: SetOut, axis: int) -> Sum:
    """Where the bl corner sits: axis 0 is x from the left, 1 is y from the base."""
    name, size = ("x", "width") if axis == 0 else ("y", "height")
    below, below_at = setout.below, setout.position_below
    if below is None or below_at is None:
        return Sum(
            title=f"{name} of {setout.mark}",
            formula="the first panel is the origin of the stack",
            inputs=(),
            result=Decimal(0),
            unit="mm",
        )
    up, across = split_align(setout.panel.align)
    word = across if axis == 0 else up
    far = "right" if axis == 0 else "head"
    share = {"centre": f"({size} below − {size}) / 2", far: f"{size} below − {size}"}.get(word, "0")
    return Sum(
        title=f"{name} of {setout.mark}",
        formula=f"{name} below + {share} + shift",
        inputs=(
            _place(below.mark, name, below_at[axis]),
            _size(below, size),
            _size(setout.panel, size),
            Input(name="align", value=setout.panel.align, unit="", source="plan in force"),
            Input(name="shift", value=setout.panel.shift[axis], unit="mm", source="plan"),
        ),
        result=setout.position[axis],
        unit="mm",
    )


def offset_sum(setout: SetOut, side: Side) -> Sum | None:
    """How far one face line stands in from the panel below; None on the first panel."""
    below, below_at = setout.below, setout.position_below
    if below is None or below_at is None or setout.offsets is None:
        return None
    axis, name, size = (0, "x", "width") if side in ("left", "right") else (1, "y", "height")
    near = side in ("left", "base")
    inputs = [_place(setout.mark, name, setout.position[axis])]
    inputs.append(_place(below.mark, name, below_at[axis]))
    if not near:
        inputs += [_size(setout.panel, size), _size(below, size)]
    return Sum(
        title=f"Offset, {side} side of {setout.mark}",
        formula=(
            f"{name} − {name} below"
            if near
            else f"({name} below + {size} below) − ({name} + {size})"
        ),
        inputs=tuple(inputs),
        result=setout.offsets[side],
        unit="mm",
        rounding="in from the panel below is positive; minus is an overhang",
        worked=_worked_offset(setout, side, below, below_at[axis], setout.position[axis]),
    )


def _worked_offset(
    setout: SetOut, side: Side, below: Panel, start_below: Decimal, start: Decimal
) -> str:
    if side in ("left", "base"):
        return f"{_number(start)} − {_number(start_below)}"
    size, size_below = setout.panel.side_length(_across(side)), below.side_length(_across(side))
    return (
        f"({_number(start_below)} + {_number(size_below)}) − ({_number(start)} + {_number(size)})"
    )


def _across(side: Side) -> Side:
    """A side whose length is the panel's size square to this one."""
    return "base" if side in ("left", "right") else "left"


def from_arris_sum(setout: SetOut, side: Side) -> Sum | None:
    """The same offset taken from the arris below, as a tape on the surface reads it."""
    offset = offset_sum(setout, side)
    if offset is None or not isinstance(offset.result, Decimal):
        return None
    return Sum(
        title=f"From the arris, {side} side of {setout.mark}",
        formula="offset − c",
        inputs=(
            Input(name="offset", value=offset.result, unit="mm", source="offset of the face line"),
            _chamfer(setout.chamfer),
        ),
        result=offset.result - setout.chamfer,
        unit="mm",
        worked=f"{_number(offset.result)} − {_number(setout.chamfer)}",
    )


def bolt_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """Which bolt position takes the offset of a side."""
    if setout.offsets is None or setout.bolts is None:
        return None
    bands = tuple(
        Input(
            name=f"bolt {bolt.name}",
            value=f"{bolt.reach[0]} to {bolt.reach[1]}",
            unit="mm",
            source="the kit: bolts",
        )
        for bolt in job.kit.bolts
    )
    offset = Input(
        name="offset", value=setout.offsets[side], unit="mm", source=f"offset of the {side} side"
    )
    return Sum(
        title=f"Bolt, {side} side of {setout.mark}",
        formula="the first bolt whose band holds the offset, ends included",
        inputs=(offset, *bands),
        result=setout.bolts[side] or "none",
        unit="",
        rounding=f"an overhang up to the lap, {job.limits.lap} mm, counts as 0",
    )


def bracket_sum(setout: SetOut, bracket: Bracket) -> Sum | None:
    """Where a bracket stands along the new side, from its anchor in the panel below."""
    below, below_at = setout.below, setout.position_below
    if below is None or below_at is None:
        return None
    shift = start_shift(bracket.side, setout.position, below_at)
    start = "left" if bracket.side in ("base", "head") else "base"
    return Sum(
        title=f"Bracket {bracket.label} of {setout.mark}",
        formula=f"anchor − how far this panel's {start} stands in",
        inputs=(
            Input(
                name=f"anchor in {below.mark}",
                value=bracket.anchor,
                unit="mm",
                source="extra anchor" if bracket.extra else "hole of the run below",
            ),
            Input(name=f"{start} stands in", value=shift, unit="mm", source="offset"),
        ),
        result=bracket.at,
        unit="mm",
        rounding=f"from the {start} face line of {setout.mark}",
        worked=f"{_number(bracket.anchor)} − {_number(shift)}",
    )


def diagonal_sum(setout: SetOut, arris: bool = False) -> Sum:
    """The diagonal at the face line, or arris to arris."""
    inputs = [_size(setout.panel, "width"), _size(setout.panel, "height")]
    if arris:
        inputs.append(_chamfer(setout.chamfer))
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
    return f"√({_number(setout.panel.width - trim)}² + {_number(setout.panel.height - trim)}²)"


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
                source="plan in force",
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


def height_sum(setout: SetOut, stack: Stack) -> Sum:
    """Planned height of the top of the panel."""
    under = stack.panels[: setout.number]
    return Sum(
        title=f"RL of the top of {setout.mark}, planned",
        formula="bed RL + Σ thickness / 1000",
        inputs=(
            Input(name="bed RL", value=stack.bed_rl, unit="m", source=f"stack {stack.id}: bed RL"),
            *(_size(panel, "thickness") for panel in under),
        ),
        result=setout.heights.top,
        unit="m",
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
            _size(setout.panel, "thickness"),
        ),
        result=heights.expected_top,
        unit="m",
    )


def volume_sum(setout: SetOut) -> Sum:
    """Concrete in the panel."""
    panel = setout.panel
    holes = tuple(
        Input(
            name=f"opening {hole.name}",
            value=f"{hole.width} × {hole.height}",
            unit="mm",
            source="plan",
        )
        for hole in setout.openings
    )
    return Sum(
        title=f"Volume of {setout.mark}",
        formula="w·h·t − 2(w + h)c² + (8/3)c³ − Σ opening·t",
        inputs=(
            _size(panel, "width"),
            _size(panel, "height"),
            _size(panel, "thickness"),
            _chamfer(setout.chamfer),
            *holes,
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


def area_sum(setout: SetOut) -> Sum:
    """Plan area less openings."""
    return Sum(
        title=f"Area of {setout.mark}",
        formula="width × height − Σ openings",
        inputs=(
            _size(setout.panel, "width"),
            _size(setout.panel, "height"),
            *(
                Input(
                    name=f"opening {hole.name}",
                    value=f"{hole.width} × {hole.height}",
                    unit="mm",
                    source="plan",
                )
                for hole in setout.openings
            ),
        ),
        result=setout.quantities.area,
        unit="m²",
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
