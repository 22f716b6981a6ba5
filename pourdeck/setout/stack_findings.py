"""Everything that is wrong with a stack and its panels."""

from collections.abc import Mapping, Sequence

from pourdeck.plan.checks import stack_faults
from pourdeck.plan.findings import Finding
from pourdeck.plan.poured import Poured
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.drift import Rung, rungs
from pourdeck.setout.drift_findings import drift_findings
from pourdeck.setout.joints import seats
from pourdeck.setout.panel import panel_findings
from pourdeck.setout.record import SetOut


def stack_findings(job: Job, stack: Stack, poured: Mapping[str, Poured]) -> tuple[Finding, ...]:
    """What is wrong with a stack and its panels, from the bed up."""
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
    """The same, read off the set-outs of the whole stack where those are worked out already."""
    found = list(stack_faults(stack, job.limits, job.units))
    for setout in setouts:
        found += setout.findings
    return (*found, *drift_findings(job, stack.id, rungs(setouts)))
