"""The sums of a bracket: its offset from the panel below as that was cast, and the bolt that takes it."""

from decimal import Decimal

from attrs import evolve

from pourdeck.plan.records import Job
from pourdeck.plan.shown_lengths import rounded
from pourdeck.setout.cast_lines import ENDS, CastLines
from pourdeck.setout.place import faces, footprint
from pourdeck.setout.place_sums import bolt_sum, offset_sum
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.setout.sum_record import Sum, in_sum, mm

CAST = "as cast, adjusted from what was measured"


def bracket_offset_sum(setout: SetOut, bracket: Bracket) -> Sum | None:
    """How far a form stands in at a bracket: from the line as cast, else as planned for the whole side."""
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
