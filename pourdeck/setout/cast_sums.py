"""The sums of a bracket: its offset from the panel below as that was cast, and the bolt that takes it."""

from decimal import Decimal

from attrs import evolve

from pourdeck.plan.records import Job
from pourdeck.plan.sides import Side
from pourdeck.setout.cast_lines import ENDS
from pourdeck.setout.place_sums import bolt_sum, offset_sum
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.setout.sum_record import Input, Sum

TENTH = Decimal("0.1")


def bracket_offset_sum(setout: SetOut, bracket: Bracket) -> Sum | None:
    """How far a form stands in at a bracket: from the line as cast, else as planned for the whole side."""
    below, at = setout.below, setout.position_below
    cast = setout.cast_below
    if cast is None or below is None or at is None:
        return offset_sum(setout, bracket.side)
    across, runs, name, along_name = _axes(bracket.side)
    face = _face(setout, bracket.side)
    along = at[runs] + bracket.anchor
    line = face - bracket.offset if bracket.side in ("base", "left") else face + bracket.offset
    ends = [
        Input(
            name=f"{corner} of {below.mark}, {axis}",
            value=Decimal(cast.corners[corner][index]).quantize(TENTH),
            unit="mm",
            source="as cast, adjusted from what was measured",
        )
        for corner in ENDS[bracket.side]
        for axis, index in ((name, across), (along_name, runs))
    ]
    minuend, rest = (face, line) if bracket.side in ("base", "left") else (line, face)
    shown = [format(one.quantize(TENTH), "f") for one in (minuend, rest)]
    return Sum(
        title=f"Offset at {bracket.label} of {setout.mark}",
        formula=f"from its face line out to the line of {below.mark} as cast, at the anchor",
        inputs=(
            Input(
                name=f"face line of {setout.mark}, {name}",
                value=face,
                unit="mm",
                source="its planned place",
            ),
            Input(
                name=f"anchor, {along_name}", value=along, unit="mm", source="place of the bracket"
            ),
            *ends,
            Input(
                name=f"line of {below.mark} there, {name}",
                value=line.quantize(TENTH),
                unit="mm",
                source="straight between its corners",
            ),
            Input(name="planned offset", value=bracket.planned, unit="mm", source="plan in force"),
        ),
        result=bracket.offset,
        unit="mm",
        rounding="in from the panel below is positive; minus is an overhang",
        worked=f"{shown[0]} − {shown[1]}",
    )


def _axes(side: Side) -> tuple[int, int, str, str]:
    """Which coordinate lies across a side and which runs along it, with their names."""
    return (0, 1, "x", "y") if side in ("left", "right") else (1, 0, "y", "x")


def _face(setout: SetOut, side: Side) -> Decimal:
    x, y = setout.position
    return {
        "base": y,
        "left": x,
        "right": x + setout.panel.width,
        "head": y + setout.panel.height,
    }[side]


def bracket_bolt_sum(setout: SetOut, bracket: Bracket, job: Job) -> Sum | None:
    """Which bolt takes the offset at a bracket."""
    found = bolt_sum(setout, bracket.side, job)
    if found is None or setout.cast_below is None:
        return found
    offset = Input(
        name="offset",
        value=bracket.offset,
        unit="mm",
        source=f"offset at {bracket.label}, from the line as cast",
    )
    return evolve(
        found,
        title=f"Bolt at {bracket.label} of {setout.mark}",
        inputs=(offset, *found.inputs[1:]),
        result=bracket.bolt or "none",
    )
