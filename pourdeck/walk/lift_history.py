"""Lifts that the log has: whether each panel was fit when its lift was recorded, by what was known then.

A lift that is written here has passed the gate. What comes from another station, from an older program or
from a hand that wrote the log itself has not: the same gate judges it, on the log as it was then.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.amounts import as_meant
from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry, Key
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState, steps
from pourdeck.walk import as_computed
from pourdeck.walk.lift_seals import Asked, asked_now, named
from pourdeck.walk.lifting import LiftView
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.site import Site
from pourdeck.walk.strength_log import showing

UNFIT = "lifted-unfit"
"""A lift was recorded of a panel that was not fit to lift."""

_DIGEST = re.compile("[0-9a-f]{64}", re.ASCII)


@frozen(kw_only=True)
class Then:
    """What was missing when a lift was recorded, none where the panel was fit; marks still on it then."""

    missing: tuple[str, ...]
    above: tuple[str, ...]


def as_lifted(plan: Job, state: SiteState, lifts: Collection[Key]) -> dict[Key, Then]:
    """Each of these lifts as it stood when it was recorded, the job being that of today.

    A limit that the office raised since, or a drawing that it changed, is no fault of a lift that was made.
    """
    places = {
        panel.mark: (stack.id, number)
        for stack in plan.stacks
        for number, panel in enumerate(stack.panels, 1)
    }
    found: dict[Key, Then] = {}
    for before, entry in steps(state.entries):
        if entry.key in lifts and entry.panel in places:
            found[entry.key] = _then(plan, before, entry, *places[entry.panel])
        if len(found) == len(lifts):
            break
    return found


def _then(plan: Job, before: SiteState, entry: Entry, stack: str, number: int) -> Then:
    site = Site(plan, before, lambda: entry.at)
    setout = site.set_out(stack, number)
    asked = _asked_then(site.job, setout, before.panel(setout.mark))
    view = site.lift_as_asked(stack, number, asked)
    missing = view.missing or tuple(_unnamed(view, entry))
    return Then(missing=missing, above=view.above)


def _unnamed(view: LiftView, entry: Entry) -> Iterable[str]:
    """What a lift must name and does not, where the panel was fit."""
    if named(entry.data.get("release")) not in {one.key for one in view.record.lift_releases}:
        yield "it names no release to lift of this panel"
    enough = {one.entry.key for one in showing(view.shown, view.needed)}
    if named(entry.data.get("result")) not in enough:
        yield "it names no field-cured result of this panel that shows its strength"


def _asked_then(job: Job, setout: SetOut, record: PanelState) -> Asked:
    """What the plan asked when a panel was lifted, as far as its release and its close say so.

    The strength of the release is taken where it is not below every limit that the job is known to have had.
    """
    now = asked_now(job, setout)
    if not record.lift_releases:
        return now
    data = record.lift_releases[-1].data
    digest = data.get("setout")
    sealed = isinstance(digest, str) and _DIGEST.fullmatch(digest)
    limits = [one for one in (now.strength, _limit_at_close(record, job)) if one is not None]
    given = number_of(data.get("strength"))
    strength = min(limits, default=None)
    if strength is not None and given is not None and given > strength:
        strength = given
    return Asked(strength=strength, setout=str(digest) if sealed else now.setout)


def _limit_at_close(record: PanelState, job: Job) -> Decimal | None:
    """The strength at lift that the job asked for when the panel was closed, MPa."""
    data = record.closed.data.get(as_computed.KEY) if record.closed else None
    for key in ("job", "limits", "lift", "strength"):
        data = data.get(key) if isinstance(data, dict) else None
    limit = number_of(data)
    return None if limit is None else as_meant(limit, "MPa", job.units)


def entry_words(entry: Entry) -> str:
    """`no. 12 of shed, 26 Nov 07:00, by Ada Reed`."""
    return (
        f"no. {entry.n} of {literal(entry.station)}, {entry.at:%d %b %H:%M}, by {literal(entry.by)}"
    )


def unfit_findings(job: Job, state: SiteState, then: Mapping[Key, Then]) -> tuple[Finding, ...]:
    """`lifted-unfit`, an error for each panel that was lifted and was not fit then."""
    return tuple(
        _unfit(
            Spot(stack=stack.id, panel=number, mark=panel.mark),
            record.lifted,
            then[record.lifted.key],
        )
        for stack in job.stacks
        for number, panel in enumerate(stack.panels, 1)
        if (record := state.panels.get(panel.mark)) is not None
        and record.lifted is not None
        and (known := then.get(record.lifted.key)) is not None
        and known.missing
    )


def _unfit(spot: Spot, lifted: Entry, then: Then) -> Finding:
    return spot.error(
        UNFIT,
        f"its lift was recorded ({entry_words(lifted)}) while it was not fit to lift. Missing then: "
        f"{'; '.join(then.missing)}. Tell the engineer today. If it lies on its stack still, take that entry "
        f"back at {literal(lifted.station)}.",
    )
