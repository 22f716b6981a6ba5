"""Sums behind places: position, offsets, bolts, brackets and anchors, as planned, cast and drifted."""

from collections.abc import Iterable
from decimal import Decimal

from attrs import evolve

from pourdeck.plan.lengths import rounded
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Panel, Side
from pourdeck.setout.anchors import RUNS_FROM_ORIGIN
from pourdeck.setout.drift import ACROSS, LEANS, Drift, Name, drift_of, read
from pourdeck.setout.joints import ENDS, CastLines
from pourdeck.setout.place import faces, footprint, split_align, start_shift
from pourdeck.setout.record import (
    PLAN,
    Bracket,
    Input,
    Prop,
    SetOut,
    Sum,
    chamfer_input,
    in_sum,
    mm,
    position_input,
    size_input,
    start_of,
)

# The sums behind where a panel sits on the one below: position, offsets, bolts and brackets.


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
            position_input(below.mark, name, below_at[axis]),
            size_input(below, size),
            size_input(setout.panel, size),
            Input(name="align", value=setout.panel.align, unit="", source=PLAN),
            Input(name="shift", value=setout.panel.shift[axis], unit="mm", source="plan"),
        ),
        result=setout.position[axis],
        unit="mm",
    )


def offset_sum(setout: SetOut, side: Side) -> Sum | None:
    """Sum how far one face line stands in from the panel below; None on the first panel."""
    below, below_at = setout.below, setout.position_below
    if below is None or below_at is None or setout.offsets is None:
        return None
    axis, name, size = (0, "x", "width") if side in ("left", "right") else (1, "y", "height")
    near = side in ("left", "base")
    inputs = [position_input(setout.mark, name, setout.position[axis])]
    inputs.append(position_input(below.mark, name, below_at[axis]))
    if not near:
        inputs += [size_input(setout.panel, size), size_input(below, size)]
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
        return f"{in_sum(start)} − {in_sum(start_below)}"
    size, size_below = setout.panel.side_length(_across(side)), below.side_length(_across(side))
    return f"({in_sum(start_below)} + {in_sum(size_below)}) − ({in_sum(start)} + {in_sum(size)})"


def _across(side: Side) -> Side:
    """A side whose length is the panel's size square to this one."""
    return "base" if side in ("left", "right") else "left"


def from_arris_sum(setout: SetOut, side: Side) -> Sum | None:
    """Sum the offset from the arris below, as a tape on the surface reads it."""
    offset = offset_sum(setout, side)
    if offset is None or not isinstance(offset.result, Decimal):
        return None
    return Sum(
        title=f"From the arris, {side} side of {setout.mark}",
        formula="offset − c",
        inputs=(
            Input(name="offset", value=offset.result, unit="mm", source="offset of the face line"),
            chamfer_input(setout.chamfer),
        ),
        result=offset.result - setout.chamfer,
        unit="mm",
        worked=f"{in_sum(offset.result)} − {in_sum(setout.chamfer)}",
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
    start = start_of(bracket.side)
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
        worked=f"{in_sum(bracket.anchor)} − {in_sum(shift)}",
    )


# The sums behind anchors: at the holes, extra, to fix afterwards, and where none can stand.

RULES = "the kit: anchors"


def _listed(along: Iterable[Decimal]) -> str:
    return ", ".join(plain(at) for at in along)


def anchors_sum(setout: SetOut, side: Side, job: Job) -> Sum:
    """Where the anchors for the panel above stand along one side. mm."""
    kit, length = job.kit, setout.panel.side_length(side)
    rising = RUNS_FROM_ORIGIN[side]
    end = start_of(side) if rising else "the far end"
    return Sum(
        title=f"Anchors in the {side} edge of {setout.mark}",
        formula="first + n × pitch from where the run starts, off the corners and what is in the way",
        inputs=(
            mm(f"{side} side", length, PLAN),
            Input(name="the run starts at", value=end, unit="", source="forms go round pinwheel"),
            mm("first hole", kit.holes.first, "the kit: holes"),
            mm("pitch", kit.holes.pitch, "the kit: holes"),
            mm("least from a corner", kit.anchors.end_min, RULES),
            mm("least from openings, cast-ins", kit.anchors.clear, RULES),
        ),
        result=_listed(setout.anchors[side]) or "none",
        unit="mm" if setout.anchors[side] else "",
        rounding=f"along the {side}, from the {start_of(side)}; as recorded once it is poured",
    )


def extra_anchors_sum(setout: SetOut, side: Side, job: Job) -> Sum:
    """The fewest anchors beside the holes of the forms that hold the panel above. mm."""
    rules = job.kit.anchors
    return Sum(
        title=f"Extra anchors in the {side} edge of {setout.mark}",
        formula="the fewest that give the panel above cover",
        inputs=(
            mm("furthest from a corner", rules.end_max, RULES),
            mm("furthest apart", rules.gap_max, RULES),
            mm("least from both panels' corners", rules.end_min, RULES),
            Input(
                name="at the holes",
                value=_listed(setout.anchors[side]) or "none",
                unit="mm" if setout.anchors[side] else "",
                source="their own sum",
            ),
        ),
        result=_listed(setout.extra_anchors[side]) or "none",
        unit="mm" if setout.extra_anchors[side] else "",
        rounding=f"along the {side}, from the {start_of(side)}",
    )


def missing_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """Where the poured panel below lacks anchors along one side; None on the bed. mm."""
    if setout.below is None:
        return None
    rules = job.kit.anchors
    return Sum(
        title=f"Anchors to fix in the {side} edge of {setout.below.mark}",
        formula="the fewest that give cover; that panel is poured",
        inputs=(
            mm("furthest from a corner", rules.end_max, RULES),
            mm("furthest apart", rules.gap_max, RULES),
            Input(name="anchors it has", value="as its pour recorded", unit="", source="site log"),
        ),
        result=_listed(setout.missing[side]) or "none",
        unit="mm" if setout.missing[side] else "",
        rounding=f"along the {side} of {setout.below.mark}; to an engineer's detail",
    )


def prop_sum(setout: SetOut, prop: Prop, job: Job) -> Sum:
    """Why a stretch of form needs a prop. mm."""
    rules = job.kit.anchors
    corner = prop.start == 0 or prop.end == setout.panel.side_length(prop.side)
    most, name = (
        (rules.end_max, "furthest from a corner") if corner else (rules.gap_max, "furthest apart")
    )
    return Sum(
        title=f"Stretch to prop, {prop.side} side of {setout.mark}",
        formula="no anchor may stand there, and it is longer than brackets span",
        inputs=(
            mm("starts", prop.start, "openings, cast-ins and corners below"),
            mm("ends", prop.end, "openings, cast-ins and corners below"),
            mm(name, most, RULES),
        ),
        result=prop.end - prop.start,
        unit="mm",
        rounding=f"along the {prop.side}, from the {start_of(prop.side)}",
        worked=f"{plain(prop.end)} − {plain(prop.start)}",
    )


# The sums of a bracket: its offset from the panel below as that was cast, and the bolt that takes it.

CAST = "as cast, adjusted from what was measured"


def bracket_offset_sum(setout: SetOut, bracket: Bracket) -> Sum | None:
    """Sum how far a form stands in at a bracket: from the line as cast, else as planned for the side."""
    below, at, side = setout.below, setout.position_below, bracket.side
    if setout.cast_below is None or below is None or at is None:
        return offset_sum(setout, side)
    lines = CastLines(adjusted=setout.cast_below)
    across, runs, name = (0, 1, "x") if side in ("left", "right") else (1, 0, "y")
    face = faces(footprint(setout.panel, setout.position))[side]
    line = _read(lines.line(side, float(at[runs] + bracket.anchor)))
    ends = [
        mm(
            f"{name} of {corner} of {below.mark}",
            _read(lines.adjusted.corners[corner][across]),
            CAST,
        )
        for corner in ENDS[side]
    ]
    first, second = (face, line) if side in ("left", "base") else (line, face)
    return Sum(
        title=f"Offset at {bracket.label} of {setout.mark}",
        formula=f"face line to the line of {below.mark} as cast, straight between its corners",
        inputs=(
            *ends,
            mm(f"{name} of the line at {bracket.label}", line, "between them, at the anchor"),
            mm(f"{name} of the face line", face, "its planned place"),
        ),
        result=_read(bracket.offset),
        unit="mm",
        rounding="in from the panel below is positive; minus is an overhang",
        worked=f"{in_sum(first)} − {in_sum(second)}",
    )


def _read(value: Decimal | float) -> Decimal:
    """To a tenth of a millimetre, as it is read."""
    return rounded(Decimal(value), 1)


def bracket_bolt_sum(setout: SetOut, bracket: Bracket, job: Job) -> Sum | None:
    """Which bolt takes the offset at a bracket."""
    found = bolt_sum(setout, bracket.side, job)
    if found is None or setout.cast_below is None:
        return found
    offset = mm("offset", bracket.offset, f"offset at {bracket.label}, from the line as cast")
    return evolve(
        found,
        title=f"Bolt at {bracket.label} of {setout.mark}",
        inputs=(offset, *found.inputs[1:]),
        result=bracket.bolt or "none",
    )


# The sums of a panel that was measured: how far each side is out, how much it has grown, how it leans.


def drift_of_set_out(setout: SetOut, job: Job) -> Drift | None:
    """Tell how far the panel of a set-out is out as cast; None where nothing measured tells."""
    cast = setout.cast
    return drift_of(setout.number, setout.mark, cast, job.limits.tape) if cast else None


def out_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """Sum how far a side is out from its planned line: the mean of its ends that were told."""
    drift = drift_of_set_out(setout, job)
    face = drift.faces[side] if drift else None
    if face is None or setout.cast is None:
        return None
    axis, name = (1, "y") if side in ("base", "head") else (0, "x")
    inputs: list[Input] = []
    parts: list[str] = []
    for corner, end in zip(ENDS[side], face.out.ends, strict=True):
        if end is None:
            continue
        cast = read(setout.cast.corners[corner][axis])
        planned = read(setout.cast.planned[corner][axis])
        inputs += [
            mm(f"{name} of {corner}", cast, CAST),
            mm(f"{name} of {corner}, planned", planned, "its planned place"),
        ]
        first, second = (planned, cast) if side in ("base", "left") else (cast, planned)
        parts.append(f"{in_sum(first)} − {in_sum(second)}")
    worked = parts[0] if len(parts) == 1 else f"(({parts[0]}) + ({parts[1]})) / 2"
    taken = "; its place was not taped: taken as grown alike on both sides" if face.shared else ""
    return Sum(
        title=f"{side.capitalize()} side of {setout.mark}, out from its planned line",
        formula="the mean of its ends, outwards"
        if len(parts) == 2
        else "at the end that was taped",
        inputs=tuple(inputs),
        result=read(face.out.value),
        unit="mm",
        rounding=f"out is positive, minus is in{taken}",
        worked=worked,
    )


def growth_sum(setout: SetOut, name: Name, job: Job) -> Sum | None:
    """Sum how much wider or higher a panel came out than planned."""
    drift = drift_of_set_out(setout, job)
    grown = drift.growth[name] if drift else None
    if drift is None or grown is None:
        return None
    low, high = ACROSS[name]
    inputs = _outs(drift, name)
    worked = " + ".join(in_sum(one.value) for one in inputs if isinstance(one.value, Decimal))
    return Sum(
        title=f"Growth of {setout.mark} in {name}",
        formula=f"out {low} + out {high}",
        inputs=inputs,
        result=read(grown.value),
        unit="mm",
        rounding="larger than planned is positive",
        worked=worked if len(inputs) == 2 else "",
    )


def lean_sum(setout: SetOut, name: Name, job: Job) -> Sum | None:
    """Sum how far a panel lies over to one side: what is left of its outs when its growth is shared out."""
    drift = drift_of_set_out(setout, job)
    lean = drift.lean(name) if drift else None
    if drift is None or lean is None:
        return None
    low, high = ACROSS[name]
    first, second = (drift.out(side) or 0.0 for side in (low, high))
    return Sum(
        title=f"Lean of {setout.mark}, {LEANS[name][0]}",
        formula=f"(out {high} − out {low}) / 2",
        inputs=_outs(drift, name),
        result=read(lean),
        unit="mm",
        rounding=f"{LEANS[name][0]} is positive, {LEANS[name][1]} minus",
        worked=f"({in_sum(read(second))} − {in_sum(read(first))}) / 2",
    )


def _outs(drift: Drift, name: Name) -> tuple[Input, ...]:
    return tuple(
        mm(f"out {side}", read(out), CAST)
        for side in ACROSS[name]
        if (out := drift.out(side)) is not None
    )
