"""The sums behind where a panel sits on the one below: position, offsets, bolts and brackets."""

from decimal import Decimal

from pourdeck.plan.records import Job, Panel
from pourdeck.plan.sides import Side
from pourdeck.setout.place import split_align, start_shift
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.setout.sum_record import (
    PLAN,
    Input,
    Sum,
    chamfer_input,
    in_sum,
    position_input,
    size_input,
    start_of,
)


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
    """How far one face line stands in from the panel below; None on the first panel."""
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
    """The same offset taken from the arris below, as a tape on the surface reads it."""
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
