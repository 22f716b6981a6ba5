"""How far a stack leans from its planned lines, side by side and panel by panel, and where that leads.

Each panel is set out at its planned place, so that nothing should add up. What does all the same has a
cause: a form that tips, a mark that has moved, a tape read from the wrong end.
"""

from collections.abc import Sequence
from decimal import Decimal
from statistics import linear_regression

from attrs import frozen

from pourdeck.plan.bands import band_for
from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.lengths import format_length
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Band, Job, Panel
from pourdeck.plan.shown_lengths import rounded
from pourdeck.plan.sides import SIDES, Side, Sides
from pourdeck.setout.adjust import Adjusted
from pourdeck.setout.cast_lines import ENDS
from pourdeck.setout.record import SetOut

FEWEST = 2
"""So many panels make a trend; their own panel is not foretold by one alone."""


@frozen(kw_only=True, eq=False, repr=False)
class Drift:
    """One cast panel: how far each side is out from its planned line, the mean of its ends, mm."""

    number: int
    mark: str
    out: Sides[float]


@frozen(kw_only=True, eq=False, repr=False)
class Rung:
    """One panel of a stack: how it is to stand in from the one below, and how it was cast where measured."""

    panel: Panel
    offsets: Sides[Decimal] | None
    cast: Adjusted | None


def rungs(setouts: Sequence[SetOut]) -> tuple[Rung, ...]:
    """The panels of a whole stack, from the bed up."""
    return tuple(Rung(panel=one.panel, offsets=one.offsets, cast=one.cast) for one in setouts)


def drifts(stack: Sequence[Rung]) -> tuple[Drift, ...]:
    """The panels of a stack that were measured, from the bed up."""
    return tuple(
        Drift(number=number, mark=one.panel.mark, out=out_of(one.cast))
        for number, one in enumerate(stack, start=1)
        if one.cast is not None
    )


def out_of(cast: Adjusted) -> Sides[float]:
    """How far each side came out, positive outwards: the mean of its two ends, mm."""

    def out(side: Side) -> float:
        across = 1 if side in ("base", "head") else 0
        outwards = -1 if side in ("base", "left") else 1
        moved = [cast.corners[c][across] - cast.planned[c][across] for c in ENDS[side]]
        return outwards * sum(moved) / len(moved)

    return Sides.of(out)


def drift_findings(job: Job, stack_id: str, stack: Sequence[Rung]) -> tuple[Finding, ...]:
    """`drift`, a warning: at the present trend, the first panel to come on which a side passes its band or
    leaves the reach of the bolts.
    """
    found = drifts(stack)
    if len(found) < FEWEST:
        return ()
    warnings = (_warning(job, stack_id, stack, found, side) for side in SIDES)
    return tuple(one for one in warnings if one is not None)


def _warning(
    job: Job, stack_id: str, stack: Sequence[Rung], found: Sequence[Drift], side: Side
) -> Finding | None:
    numbers = [one.number for one in found]
    trend = linear_regression(numbers, [one.out[side] for one in found])
    last = found[-1]
    for number, one in enumerate(stack[last.number :], start=last.number + 1):
        out = rounded(Decimal(trend.intercept + trend.slope * number), 1)
        below = rounded(Decimal(trend.intercept + trend.slope * (number - 1)), 1)
        grows = trend.slope > 0
        why = _past_band(job, one.panel, side, out, grows) or _past_reach(
            job, one, side, below, grows
        )
        if why is None:
            continue
        spot = Spot(stack=stack_id, panel=number, mark=one.panel.mark)
        rate = format_length(abs(Decimal(trend.slope)), job.units, decimals=1)
        way = "out" if trend.slope > 0 else "in"
        return spot.warning(
            "drift",
            f"{side}: from {literal(found[0].mark)} to {literal(last.mark)} the face goes {rate} "
            f"further {way} with each panel; so it {why} here. Look for the cause before it does: forms "
            "that tip, a mark that has moved.",
            side,
        )
    return None


def face_band(job: Job, panel: Panel, side: Side) -> Band | None:
    """How far a face may be from its line: the band of positions, or else that of the size across it."""
    if job.tolerance.position:
        return band_for(job.tolerance.position, Decimal(0))
    across = "height" if side in ("base", "head") else "width"
    return band_for(getattr(job.tolerance, across), getattr(panel, across))


def _past_band(job: Job, panel: Panel, side: Side, out: Decimal, grows: bool) -> str | None:
    band = face_band(job, panel, side)
    if band is None or not (out > band.plus if grows else out < -band.minus):
        return None
    limit = band.plus if grows else band.minus
    source = f", {job.tolerance.source}" if job.tolerance.source else ""
    return f"passes {format_length(limit, job.units)} (its band{source})"


def _past_reach(job: Job, rung: Rung, side: Side, below: Decimal, grows: bool) -> str | None:
    """What the brackets of a panel would have to reach, on the one below it as the trend has it."""
    if rung.offsets is None:
        return None
    longest = job.kit.longest_bolt.reach[1]
    planned, there = rung.offsets[side], rung.offsets[side] + below
    if grows and planned <= longest < there:
        return f"is past the longest bolt, {format_length(longest, job.units)}"
    if not grows and there < -job.limits.lap <= planned:
        return f"overhangs by more than the {format_length(job.limits.lap, job.units)} that may lap"
    return None
