"""The sums behind the size of a panel and its forms: face line and arris, diagonals, depth and runs."""

from decimal import Decimal

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.sides import Side
from pourdeck.setout.record import SetOut
from pourdeck.setout.sum_record import PLAN, Input, Sum, chamfer_input, in_sum, mm, size_input


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
