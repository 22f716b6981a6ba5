"""Whether a panel may be started, and the state it is in."""

from datetime import datetime, timedelta

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Stack
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.pour_times import aged_at, pour_ended
from pourdeck.walk.records import Gate, PanelPhase
from pourdeck.walk.words import clock_text

OPEN = Gate()

STRENGTH_BELOW = "brackets.strength"
"""The item that asks for the strength of the panel below."""


def gate(job: Job, stack: Stack, number: int, state: SiteState, now: datetime) -> Gate:
    """Whether panel `number`, from 1, may be started at `now`; its zone is that of what is said.

    The panel below must be poured, `limits.climb.hours` must have passed since its pour ended, and it must
    have `limits.climb.strength` by a field-cured test or, where the job says so, by what was measured of the
    estimate. Once the item brackets.strength was answered and passed, the strength is shown too, until a test
    of the panel below comes out under the limit or its fresh concrete freezes.
    """
    if number == 1:
        return OPEN
    panel, below = stack.panels[number - 1], stack.panels[number - 2]
    record = state.panel(below.mark)
    mark, under = literal(panel.mark), literal(below.mark)
    limit = job.limits.climb
    wait = f", and {plain(limit.hours)} h have passed since" if limit.hours else ""
    if record.pour_start is None:
        return Gate(
            refusal=Refusal(
                title=f"{mark} waits for {under}.",
                body=f"It may be formed when {under}, panel {number - 1}, is poured{wait}.",
            )
        )
    ended = pour_ended(record)
    if ended is None:
        return Gate(
            refusal=Refusal(
                title=f"{mark} waits for {under}.",
                body=f"It may be formed when the end of {under}'s pour is recorded{wait}.",
            )
        )
    above = state.panel(panel.mark)
    if limit.strength is not None and above.pour_start is None:
        from pourdeck.walk.climb import strength_gate

        answered = _strength_answered(above)
        waits = strength_gate(job, mark, under, record, now, answered=answered)
        if waits is not None:
            return waits
    if limit.hours is None:
        return OPEN
    until = aged_at(ended, limit.hours).astimezone(now.tzinfo)
    if now >= until:
        return OPEN
    source = job.limits.sources.get("climb")
    body = f"{mark} may be formed from {clock_text(until, now.date())} "
    body += f"({plain(limit.hours)} h after {under}'s pour end"
    body += f"; {literal(source)})." if source else ")."
    return Gate(
        refusal=Refusal(title=f"{mark} waits for the hours of {under}.", body=body), until=until
    )


def _strength_answered(record: PanelState) -> bool:
    """Whether the strength below was read and passed in the walk of this panel."""
    entry = record.latest.get(STRENGTH_BELOW)
    return entry is not None and entry.kind == "answer" and entry.data.get("verdict") == "pass"


def panel_state(record: PanelState, *, gate_open: bool, released: bool) -> PanelPhase:
    """The state of a panel. `released`: its hold `pour` is released and that stands."""
    if record.lifted:
        return "lifted"
    if record.closed:
        return "cast"
    if record.pour_end:
        return "curing"
    if record.pour_start:
        return "pouring"
    if not gate_open:
        return "waiting"
    if released:
        return "released"
    return "forming" if record.started else "ready"


def midnight_after(now: datetime) -> datetime:
    """When what is said of a time today must name the day, or need no longer."""
    return now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
