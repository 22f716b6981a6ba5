"""The items that say the forms of a panel are off, and what `limits.strip` says of them."""

from datetime import datetime

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job
from pourdeck.walk.records import Walk
from pourdeck.walk.strength_words import NO_LIMIT, asks_words, strip_missing

BELOW, OWN = "strip.forms-off", "close.stripped"
"""Of the panel below, before the panel on it is formed, and of the panel itself, before it is closed."""

FORMS_OFF = frozenset({BELOW, OWN})

STILL_ON = "still on"
"""The answer that says nothing came off."""


def forms_off_note(key: str, job: Job) -> str:
    """What the job asks for before forms come off, beside the item of that key; "" beside any other."""
    if key not in (BELOW, OWN):
        return ""
    limit = job.limits.strip
    if limit.strength is None and limit.hours is None:
        return NO_LIMIT
    source = job.limits.sources.get("strip")
    wanted = asks_words(job, limit.strength, limit.hours)
    return f"not before {wanted}{f' ({literal(source)})' if source else ''}"


def stripped_early(walk: Walk, key: str, value: object, now: datetime) -> str | None:
    """Why forms that are off now came off too early and what would allow it; None where they did not."""
    record = {BELOW: walk.below, OWN: walk.record}.get(key)
    if record is None or value == STILL_ON:
        return None
    # Loaded here: no other answer needs the sums of strength.
    from pourdeck.walk.strength import strength

    found = strength(walk.job, record, now)
    if found.strip.met is not False:
        return None
    missing = " ".join(strip_missing(walk.job, found, now.tzinfo))
    source = f" ({literal(found.strip.source)})" if found.strip.source else ""
    return (
        f"Too early for the forms of {literal(record.mark)} to come off{source}. Missing: {missing}"
    )
