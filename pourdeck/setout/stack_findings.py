"""Findings of a stack and its panels, its drift among them."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from pourdeck.plan.checks import stack_faults
from pourdeck.plan.lengths import format_length, rounded
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import Job, Poured, Stack, Units
from pourdeck.setout.drift import ACROSS, Course, Rung, drifts, rungs
from pourdeck.setout.foretold import Passes, goes_further, passes
from pourdeck.setout.joints import seats
from pourdeck.setout.panel import panel_findings
from pourdeck.setout.record import SetOut

# `drift`, a warning: where the present trend of a stack leads, said before it matters, and in what words.


def drift_findings(job: Job, stack_id: str, stack: Sequence[Rung]) -> tuple[Finding, ...]:
    """For each side, and each size that grows, the first panel on which it passes what it may.

    Said on that panel: one that has passed its band already where it was measured last, else one to come.
    """
    if not any(one.cast for one in stack):
        return ()
    found = passes(job, stack, drifts(stack, job.limits.tape))
    return tuple(_warning(job, stack_id, one) for one in found)


def _warning(job: Job, stack_id: str, one: Passes) -> Finding:
    spot = Spot(stack=stack_id, panel=one.number, mark=one.mark)
    return spot.warning("drift", f"{one.course.what}: {message(job, one)}", one.side)


def message(job: Job, one: Passes) -> str:
    """Say what is foretold, or has happened, and what to do."""
    course, units = one.course, job.units
    mended = "forms that tip, a mark that has moved."
    span = f"from {literal(course.panels[0].mark)} to {literal(course.panels[-1].mark)}"
    if one.already:
        goes = f"; {span} {rate(course, units)}" if goes_further(course) else ""
        told = f"{out_words(course, units)} as cast, it {past(job, one)} already{goes}"
        return f"{told}. Look for the cause before the next panel is formed: {mended}"
    left = f", with {format_length(one.left, units, decimals=1)} left of it" if one.left > 0 else ""
    shared = (
        " (taken as grown alike on both sides: its place was not taped)" if course.shared else ""
    )
    check = "It is poured: measure it. " if one.poured else ""
    return (
        f"{span} {rate(course, units)}{shared}; so it {past(job, one)} here, at "
        f"{format_length(one.out, units, decimals=1)}{left} as measured last. "
        f"{check}Look for the cause before it does: {mended}"
    )


def past(job: Job, one: Passes) -> str:
    """Say what it passes."""
    allowed = format_length(one.allowed, job.units)
    if one.limit == "bolt":
        return f"is past the longest bolt, {allowed}"
    if one.limit == "lap":
        return f"overhangs by more than the {allowed} that may lap"
    source = f", {literal(job.tolerance.source)}" if job.tolerance.source else ""
    return f"passes {allowed} ({one.whose}{source})"


def rate(course: Course, units: Units) -> str:
    """Say how fast it goes, and which way; of a course that has a trend."""
    each = course.trend.each if course.trend else 0.0
    by = format_length(rounded(Decimal(abs(each)), 1), units, decimals=1)
    if course.what in ACROSS:
        way = f"comes out {by} more over" if each > 0 else f"falls {by} further short of"
        return f"the {course.what} {way} its plan with each panel"
    return f"the face goes {by} further {'out' if each > 0 else 'in'} with each panel"


def out_words(course: Course, units: Units) -> str:
    """Say how far it was out when it was measured last."""
    now = rounded(Decimal(course.now), 1)
    by = format_length(abs(now), units, decimals=1)
    if course.what in ACROSS:
        return f"{by} {'over' if now > 0 else 'short of'} its plan"
    return f"{by} {'out' if now > 0 else 'in'}"


# Everything that is wrong with a stack and its panels.


def stack_findings(job: Job, stack: Stack, poured: Mapping[str, Poured]) -> tuple[Finding, ...]:
    """Find what is wrong with a stack and its panels, from the bed up."""
    seated = seats(job, stack, poured)
    found = list(stack_faults(stack, job.limits, job.units))
    for number in range(1, len(stack.panels) + 1):
        found += panel_findings(job, stack, number, seated, poured)
    stood = tuple(
        Rung(
            panel=panel,
            offsets=seat.offsets,
            cast=seat.adjusted,
            poured=panel.mark in poured,
        )
        for panel, seat in zip(stack.panels, seated, strict=True)
    )
    return (*found, *drift_findings(job, stack.id, stood))


def findings_of_set_outs(job: Job, stack: Stack, setouts: Sequence[SetOut]) -> tuple[Finding, ...]:
    """Read what is wrong with a stack off its set-outs, where those are worked out already."""
    found = list(stack_faults(stack, job.limits, job.units))
    for setout in setouts:
        found += setout.findings
    return (*found, *drift_findings(job, stack.id, rungs(setouts)))
