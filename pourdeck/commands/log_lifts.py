"""`log`: whether the lifts of a log were of panels that were fit. For that alone the plan is read too."""

from collections.abc import Sequence
from pathlib import Path

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.entries import Entry

NOT_JUDGED = "lifts-not-judged"
"""The log has lifts, and the plan that says what each needed cannot be read."""


def lift_findings(folder: Path, entries: Sequence[Entry]) -> tuple[Finding, ...]:
    """Errors of lifts that the log has; a warning where the plan does not let them be judged."""
    if not any(entry.kind == "lifted" for entry in entries):
        return ()
    from pourdeck.commands.jobs import clock
    from pourdeck.plan.messages import JobFaulty, JobUnreadable
    from pourdeck.plan.reader import read_job
    from pourdeck.sitelog.state import replay
    from pourdeck.walk.site import Site

    try:
        plan = read_job(folder)
    except (JobFaulty, JobUnreadable):
        said = "The lifts of this log are not judged: job.toml cannot be read. See what check says of it."
        return (Finding(code=NOT_JUDGED, severity="warning", message=said),)
    return Site(plan, replay(entries), clock).lift_findings()
