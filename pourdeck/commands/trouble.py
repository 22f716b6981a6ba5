"""Tell the person who gave a command what stopped it."""

from pourdeck.paper.places import with_place
from pourdeck.plan.messages import JobFaulty, JobUnreadable
from pourdeck.sitelog.logfile import NotSaved

MOST_SHOWN = 40


def trouble_text(error: Exception) -> tuple[str, str]:
    """Title and body for what a command raised; what nobody foresaw is a fault of pourdeck itself."""
    if isinstance(error, (JobUnreadable, NotSaved)):
        return f"{error.title[:1].lower()}{error.title[1:]}.", error.body
    if isinstance(error, JobFaulty):
        return faulty_text(error)
    from pourdeck.commands.crash import crash_text

    return crash_text(error)


def faulty_text(error: JobFaulty) -> tuple[str, str]:
    """Every fault on a line of its own, up to a page of them."""
    number = len(error.findings)
    faults = "1 fault" if number == 1 else f"{number} faults"
    lines = [with_place(finding) for finding in error.findings[:MOST_SHOWN]]
    if number > MOST_SHOWN:
        lines.append(f"… and {number - MOST_SHOWN} more; `pourdeck check` lists them all.")
    return f"the job file has {faults}; put them right first.", "\n".join(lines)
