"""The gate that the strength of the panel below puts before a panel: open, or what opens it and when."""

from datetime import datetime

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.records import Gate
from pourdeck.walk.strength import Strength, strength
from pourdeck.walk.strength_words import assumed_words, frost_words, low_words, mpa
from pourdeck.walk.words import clock_text


def strength_gate(
    job: Job, mark: str, under: str, record: PanelState, now: datetime, *, answered: bool
) -> Gate | None:
    """What waits for the strength of a panel whose pour has ended, `under`; None where nothing does.

    `answered`: it was read and passed in the walk of `mark`. That opens the gate, but a result below the
    limit or frost shuts it again. The hours are waited for here only where the strength is too.
    """
    found = strength(job, record, now)
    need = found.climb
    if found.needed_climb is None or need.by is not None:
        return None
    if answered and need.low is None and not found.frost:
        return None
    both = need.hours is not None and not need.aged
    what = "the hours and the strength" if both else "the strength"
    body = _body(job, mark, under, found, now)
    return Gate(
        refusal=Refusal(title=f"{mark} waits for {what} of {under}.", body=body),
        until=None if need.opens is None else need.opens.astimezone(now.tzinfo),
    )


def _body(job: Job, mark: str, under: str, found: Strength, now: datetime) -> str:
    """What opens the gate, why it is shut, and when something is worth doing about it."""
    need, wanted = found.climb, mpa(job, found.needed_climb)
    source = f" ({literal(need.source)})" if need.source else ""
    test = f"field-cured test of {under} shows {wanted}{source}"
    hours = f", and {plain(need.hours)} h after {under}'s pour end" if need.hours else ""
    if need.low is not None:
        low = low_words(job, need.low, wanted, now.tzinfo)
        return f"{low}{source}. {mark} may be formed when a later {test}{hours}."
    if need.accepts == "test":
        said = f"{mark} may be formed when a {test}{hours}."
    elif found.frost:
        frost = frost_words(job, found, now.tzinfo)
        return f"{mark} may be formed when a {test}{hours}: {frost}, and no estimate counts after frost."
    else:
        said = (
            f"{mark} may be formed when a {test} or what was measured comes to it{hours}; it is "
            f"{mpa(job, found.measured)} now."
        )
    return f"{said} {_when(job, under, found, now)}"


def _when(job: Job, under: str, found: Strength, now: datetime) -> str:
    """When it opens by the clock, or from when a test is worth making."""
    need = found.climb
    if need.opens is not None:
        at = clock_text(need.opens.astimezone(now.tzinfo), now.date())
        return f"By what is measured so far that is {at}."
    if found.gain is None:
        return "The mix gives no estimate."
    if need.expected is None:
        return f"By the estimate {under} never comes to it."
    at = clock_text(need.expected.astimezone(now.tzinfo), now.date())
    assumed = assumed_words(job, found)
    return f"Worth testing from {at}, by the estimate{f', {assumed}' if assumed else ''}."
