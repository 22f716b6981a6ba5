"""What the strength of the panel below says of starting a panel: open, or what is missing and until when."""

from datetime import datetime

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.gates import Gate
from pourdeck.walk.strength import Strength, strength
from pourdeck.walk.strength_words import assumed_words, mpa
from pourdeck.walk.words import clock_text


def strength_gate(
    job: Job, mark: str, under: str, record: PanelState, now: datetime
) -> Gate | None:
    """What waits for the strength of a panel whose pour has ended, `under`; None where nothing does.

    Nothing waits where it is shown by a test or by the estimate, and where nothing is known of it: neither a
    curve nor a result. The hours are waited for here only where the strength is too.
    """
    found = strength(job, record, now)
    if found.needed_climb is None or found.climb.by is not None:
        return None
    if found.gain is None and not found.results:
        return None
    until = found.climb.expected
    if until is None:
        return Gate(refusal=_never(job, mark, under, found))
    here = until.astimezone(now.tzinfo)
    return Gate(refusal=_wait(job, mark, under, found, here, now), until=here)


def _wait(
    job: Job, mark: str, under: str, found: Strength, until: datetime, now: datetime
) -> Refusal:
    need = mpa(job, found.needed_climb)
    hours = found.climb.hours
    both = hours is not None and not found.climb.aged
    what = "the hours and the strength" if both else "the strength"
    assumed = assumed_words(job, found)
    basis = f", {assumed}" if assumed else ""
    body = (
        f"{mark} may be formed from {clock_text(until, now.date())}: {need} by the estimate{basis}"
    )
    if hours is not None:
        body += f", and {plain(hours)} h after {under}'s pour end"
    body += f" ({_source(found)}). " if found.climb.source else ". "
    body += "A test at the limit shows the strength sooner."
    return Refusal(title=f"{mark} waits for {what} of {under}.", body=body)


def _never(job: Job, mark: str, under: str, found: Strength) -> Refusal:
    need = mpa(job, found.needed_climb)
    if found.gain is None:
        counted = [one for one in found.results if found.counts(one)]
        best = max(counted, key=lambda one: one.strength, default=None)
        why = f"Every result of {under} is from before its pour ended"
        if best is not None:
            why = f"Of {under} {mpa(job, best.strength)} was tested ({literal(best.name)})"
    else:
        why = f"By the estimate {under} never comes to it"
    source = f" ({_source(found)})" if found.climb.source else ""
    return Refusal(
        title=f"{mark} waits for the strength of {under}.",
        body=f"It may be formed when a test of {under} shows {need}{source}. {why}.",
    )


def _source(found: Strength) -> str:
    return literal(found.climb.source or "")
