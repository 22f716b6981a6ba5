"""The sums of a panel that was measured: how far each side is out, how much it has grown, how it leans."""

from decimal import Decimal

from pourdeck.plan.records import Job
from pourdeck.plan.sides import Side
from pourdeck.setout.cast_lines import ENDS
from pourdeck.setout.cast_sums import CAST
from pourdeck.setout.drift import ACROSS, LEANS, Drift, Name, drift_of, read
from pourdeck.setout.record import SetOut
from pourdeck.setout.sum_record import Input, Sum, in_sum, mm


def drift_of_set_out(setout: SetOut, job: Job) -> Drift | None:
    """How far the panel of a set-out is out as cast; None where nothing measured tells."""
    cast = setout.cast
    return drift_of(setout.number, setout.mark, cast, job.limits.tape) if cast else None


def out_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """How far a side is out from its planned line: the mean of its ends that were told."""
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
    """How much wider or higher a panel came out than planned."""
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
    """How far a panel lies over to one side: what is left of its outs when its growth is shared out."""
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
