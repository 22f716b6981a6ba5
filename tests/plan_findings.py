"""Find what is wrong with a plan as a whole, with what was poured of it given by hand and no log."""

from collections.abc import Mapping

from pourdeck.plan.checks import job_faults
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Job, Poured
from pourdeck.setout.panel import stack_findings


def job_findings(job: Job, poured: Mapping[str, Poured]) -> tuple[Finding, ...]:
    """Marks and lift numbers across the job, then stack by stack."""
    found = list(job_faults(job))
    for stack in job.stacks:
        found += stack_findings(job, stack, poured)
    return tuple(found)
