"""The sums of a bracket: its offset from the panel below as that was cast, and the bolt that takes it."""

from decimal import Decimal

from attrs import evolve

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.shown_lengths import rounded
from pourdeck.plan.sides import Side
from pourdeck.setout.cast_lines import ENDS
from pourdeck.setout.place_sums import bolt_sum, offset_sum
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.setout.sum_record import Input, Sum


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
    ends = " and ".join(
        f"{_read(cast.corners[corner][across])} at {along_name} {_read(cast.corners[corner][runs])}"
        for corner in ENDS[bracket.side]
    )
    minuend, rest = (face, line) if bracket.side in ("base", "left") else (line, face)
    shown = [f"({_read(one)})" if one < 0 else _read(one) for one in (minuend, rest)]
    return Sum(
        title=f"Offset at {bracket.label} of {setout.mark}",
        formula=f"from its face line out to the line of {below.mark} as cast, at the anchor",
        inputs=(
            Input(
                name=f"face line of {setout.mark}, {name}",
                value=face,
                unit="mm",
                source=f"its planned place; planned offset {_read(bracket.planned)}",
            ),
            Input(
                name=f"line of {below.mark}, {name} at {along_name} {_read(along)}",
                value=rounded(line, 1),
                unit="mm",
                source=f"straight between its corners as cast, {name} {ends}",
            ),
        ),
        result=rounded(bracket.offset, 1),
        unit="mm",
        rounding="in from the panel below is positive; minus is an overhang",
        worked=f"{shown[0]} − {shown[1]}",
    )


def _read(value: Decimal | float) -> str:
    """A coordinate as it is read: to a tenth of a millimetre."""
    return plain(rounded(Decimal(value), 1))


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
