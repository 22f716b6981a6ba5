"""What the panel below has of strength, told where brackets are to be hung: a test, or the estimate."""

from datetime import timedelta

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.gates import zone_of
from pourdeck.walk.pour_times import pour_ended
from pourdeck.walk.strength import strength
from pourdeck.walk.strength_log import results
from pourdeck.walk.strength_words import CURED, assumed_words, moment_text, mpa

FAR = timedelta(days=36_500)


def below_words(job: Job, record: PanelState) -> str:
    """`P1: 12.5 MPa by test, C1, field-cured, 26 Nov 07:00`, else when the estimate comes to the limit.

    The same at any time of day, so that it can be kept: of the estimate it says when, not how much now.
    """
    ended, mark = pour_ended(record), literal(record.mark)
    if ended is None:
        return ""
    zone = zone_of(job, ended.tzinfo)
    tested = [one for one in results(record) if one.at >= ended]
    if tested:
        best = max(tested, key=lambda one: one.strength)
        value, at = mpa(job, best.strength), moment_text(best.at, zone)
        return f"{mark}: {value} by test, {literal(best.name)}, {CURED[best.cured]}, {at}"
    found = strength(job, record, ended + FAR)
    if found.gain is None:
        return f"{mark}: no test, and the mix gives no estimate"
    assumed = assumed_words(job, found)
    reached = found.comes_to(found.needed_climb)
    if reached is None:
        return f"{mark}: no test; an estimate that never comes to it{f', {assumed}' if assumed else ''}"
    return (
        f"{mark}: no test; only an estimate{f', {assumed};' if assumed else ':'} "
        f"{mpa(job, found.needed_climb)} from {moment_text(reached, zone)}"
    )
