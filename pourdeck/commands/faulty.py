"""A job file with faults, told to a command that needed it whole."""

from pourdeck.paper.console import place_of
from pourdeck.plan.fault import JobFaulty

MOST_SHOWN = 40


def faulty_text(error: JobFaulty) -> tuple[str, str]:
    """Title and body: every fault on a line of its own, up to a page of them."""
    number = len(error.findings)
    faults = "1 fault" if number == 1 else f"{number} faults"
    lines = [f"{place_of(finding)}: {finding.message}" for finding in error.findings[:MOST_SHOWN]]
    if number > MOST_SHOWN:
        lines.append(f"… and {number - MOST_SHOWN} more; `pourdeck check` lists them all.")
    return f"the job file has {faults}; put them right first.", "\n".join(lines)
