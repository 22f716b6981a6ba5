"""What the panel below has of strength, told where brackets are to be hung: a test, or the estimate."""

from datetime import timedelta

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.pour_times import pour_ended
from pourdeck.walk.strength import strength
from pourdeck.walk.strength_words import CURED, assumed_words, frost_words, moment_text, mpa
from pourdeck.walk.words import zone_of

FAR = timedelta(days=36_500)


def below_words(job: Job, record: PanelState) -> str:
    """`P1: 12.5 MPa by test, C1, field-cured, 26 Nov 07:00`, else when the estimate comes to the limit.

    The same at any time of day, so that it can be kept: of the estimate it says when, not how much now.
    """
    ended, mark = pour_ended(record), literal(record.mark)
    if ended is None:
        return ""
    zone = zone_of(job, ended.tzinfo)
    found = strength(job, record, ended + FAR)
    if found.field:
        last = found.field[-1].at
        low = min((one for one in found.field if one.at == last), key=lambda one: one.strength)
        value, at = mpa(job, low.strength), moment_text(low.at, zone)
        return f"{mark}: {value} by test, {literal(low.name)}, {CURED[low.cured]}, {at}"
    untested = f"{mark}: no field-cured test"
    if found.climb.by == "estimate" and found.climb.opens is not None:
        at = moment_text(found.climb.opens, zone)
        return f"{untested}; {mpa(job, found.needed_climb)} by what was measured from {at}"
    if found.frost:
        return f"{untested}; {frost_words(job, found, zone)}"
    if found.gain is None:
        return f"{untested}, and the mix gives no estimate"
    assumed = assumed_words(job, found)
    reached = found.comes_to(found.needed_climb)
    if reached is None:
        return f"{untested}; an estimate that never comes to it{f', {assumed}' if assumed else ''}"
    return (
        f"{untested}; only an estimate{f', {assumed};' if assumed else ':'} "
        f"{mpa(job, found.needed_climb)} from {moment_text(reached, zone)}"
    )
