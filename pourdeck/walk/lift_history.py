"""Lifts that the log has: whether each panel was fit then, and whether what it rests on still stands.

A lift that is written here has passed the gate. What comes from another station, from an older program or
from a hand that wrote the log itself has not: the same gate judges it, on the log as it was then.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.amounts import as_meant
from pourdeck.plan.messages import Finding, Refusal, Spot, literal
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry, Key
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState, replay, steps
from pourdeck.walk.holds import nonconformances
from pourdeck.walk.lift_seals import Asked, asked_now
from pourdeck.walk.lifting import LiftView, in_lift_order, lift_view, mark_missing, owed_before_lift
from pourdeck.walk.out_of_tolerance import need_words
from pourdeck.walk.plan_in_force import SEALED
from pourdeck.walk.records import Act
from pourdeck.walk.site import Site
from pourdeck.walk.strength import field_results, last_below, showing, specimens
from pourdeck.walk.words import folded, number_of

# Lifts that the log has: whether each panel was fit when its lift was recorded, by what was known then.

UNFIT = "lifted-unfit"
"""A lift was recorded of a panel that was not fit to lift."""

_DIGEST = re.compile("[0-9a-f]{64}", re.ASCII)


@frozen(kw_only=True, repr=False)
class Then:
    """Hold what was missing when a lift was recorded, none where it was fit; marks still on it then."""

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
    """List what a lift must name and does not, where the panel was fit."""
    if entry.target(entry.data.get("release")) not in {
        one.key for one in view.record.lift_releases
    }:
        yield "it names no release to lift of this panel"
    enough = {one.entry.key for one in showing(view.shown, view.needed)}
    if entry.target(entry.data.get("result")) not in enough:
        yield "it names no field-cured result of this panel that shows its strength"


def _asked_then(job: Job, setout: SetOut, record: PanelState) -> Asked:
    """Give what the plan asked when a panel was lifted, as far as its release and its close say so.

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
    data = record.closed.data.get(SEALED) if record.closed else None
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


# What the lifts of the log rest on, and whether it still stands: results, releases, the lifts above.
#
# Taking it back is refused here; where it comes from another station it is an error of the panel lifted.

ABOVE_UNDONE = "lift-above-undone"
"""A panel is lifted, and the lift of one above it was taken back."""

GROUND_LOST = "lift-ground-lost"
"""A panel is lifted, and the result or the release that its lift rests on no longer stands."""


@frozen(kw_only=True, repr=False)
class Lost:
    """Something that the lift of a panel rested on and that no longer stands. `entry`: what took it away."""

    spot: Spot
    code: str
    lifted: Entry
    what: str
    by: Entry | None
    remedy: str

    @property
    def key(self) -> tuple[str, str, str]:
        return self.spot.mark, self.code, self.what

    def finding(self) -> Finding:
        by = f" ({self.by.kind} {entry_words(self.by)})" if self.by else ""
        return self.spot.error(
            self.code,
            f"it is lifted ({entry_words(self.lifted)}), and {self.what}{by}. {self.remedy}",
        )


def lost_ground(job: Job, state: SiteState) -> tuple[Lost, ...]:
    """Whatever the lifts that stand rested on and that does not stand now."""
    found: list[Lost] = []
    for stack in job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            record = state.panels.get(panel.mark)
            if record is not None and record.lifted is not None:
                spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                found += _above(spot, record.lifted, stack, state)
                found += _release(spot, record.lifted, state)
                found += _result(spot, record.lifted, state)
    return tuple(found)


def _above(spot: Spot, lifted: Entry, stack: Stack, state: SiteState) -> Iterator[Lost]:
    mark = literal(spot.mark)
    for panel in stack.panels[spot.panel :]:
        if state.panel(panel.mark).lifted is not None:
            continue
        undone = _last_lift(state, panel.mark)
        if undone is None:
            continue  # never lifted: the lift below was not fit to be recorded
        upper = literal(panel.mark)
        yield Lost(
            spot=spot,
            code=ABOVE_UNDONE,
            lifted=lifted,
            what=f"the lift of {upper} above it was taken back",
            by=state.voided.get(undone.key),
            remedy=f"Look at the stack: if {upper} is off, record its lift again; if {mark} lies there "
            f"still, take the lift of {mark} back at {literal(lifted.station)}.",
        )


def _last_lift(state: SiteState, mark: str) -> Entry | None:
    return next(
        (one for one in reversed(state.entries) if one.kind == "lifted" and one.panel == mark), None
    )


def _release(spot: Spot, lifted: Entry, state: SiteState) -> Iterator[Lost]:
    key = lifted.target(lifted.data.get("release"))
    release = state.find(key) if key else None
    if release is None or release.key not in state.voided:
        return
    yield Lost(
        spot=spot,
        code=GROUND_LOST,
        lifted=lifted,
        what=f"the release to lift that it rests on ({entry_words(release)}) was taken back",
        by=state.voided[release.key],
        remedy="Tell the engineer today.",
    )


def _result(spot: Spot, lifted: Entry, state: SiteState) -> Iterator[Lost]:
    """The result that a lift names is void, or its specimen no longer shows what the release asked for."""
    key = lifted.target(lifted.data.get("result"))
    test = state.find(key) if key else None
    if test is None or test.kind != "test":
        return
    record, name = state.panel(spot.mark), str(test.data.get("specimen"))
    needed = _needed(lifted, state)
    known = field_results(record, lifted.at)
    enough = known if needed is None else showing(known, needed)
    stands = any(folded(one.name) == folded(name) for one in enough)
    if stands and test.key not in state.voided:
        return
    low = None if needed is None else last_below(known, needed)
    yield Lost(
        spot=spot,
        code=GROUND_LOST,
        lifted=lifted,
        what=f"the result of {literal(name)} that it rests on ({entry_words(test)}) no longer shows its "
        "strength",
        by=_took_away(state, test, name) or (low.entry if low else None),
        remedy="Tell the engineer today, and record a result of another field-cured specimen of it.",
    )


def _needed(lifted: Entry, state: SiteState) -> Decimal | None:
    key = lifted.target(lifted.data.get("release"))
    release = state.find(key) if key else None
    return number_of(release.data.get("strength")) if release else None


def _took_away(state: SiteState, test: Entry, name: str) -> Entry | None:
    """The last entry that says otherwise of a specimen: an undo, another result, where it was cured."""
    if test.key in state.voided:
        return state.voided[test.key]
    record = state.panel(test.panel or "")
    said = [one for one in (*record.tests, *record.specimens) if _of(one, name)]
    later = [one for one in said if one.order > test.order]
    if later:
        return max(later, key=lambda one: one.order)
    if any(folded(one.name) == folded(name) for one in specimens(record)):
        return None
    voided = [
        one
        for one in state.entries
        if one.kind == "specimen" and one.panel == test.panel and _of(one, name)
    ]
    return next((state.voided[one.key] for one in voided if one.key in state.voided), None)


def _of(entry: Entry, name: str) -> bool:
    return folded(str(entry.data.get("specimen", ""))) == folded(name)


def undo_refused(job: Job, state: SiteState, act: Act, now: datetime) -> Refusal | None:
    """Why an undo, or taking one back, may not be: a lift that stands would lose what it rests on."""
    if not any(record.lifted for record in state.panels.values()):
        return None
    before = {one.key for one in lost_ground(job, state)}
    last = max((one.n for one in state.entries), default=0)
    trial = Entry(
        station="", n=last + 1, at=now, by=act.by, kind=act.kind, data=act.data, prev="", seal=""
    )
    after = lost_ground(job, replay([*state.entries, trial]))
    return _refusal(one for one in after if one.key not in before)


def _refusal(lost: Iterable[Lost]) -> Refusal | None:
    one = next(iter(lost), None)
    if one is None:
        return None
    mark = literal(one.spot.mark)
    where = f"{entry_words(one.lifted)}"
    if one.code == ABOVE_UNDONE:
        remedy = f"Take back the lift of {mark} first, where it lies there still."
    else:
        remedy = (
            "A result that is wrong is put right by a new result of that specimen, with why; where "
            f"{mark} lies on its stack still, take back its lift first."
        )
    return Refusal(
        title=f"The lift of {mark} rests on that.",
        body=f"Then {mark} would be lifted ({where}), and {one.what}. {remedy}",
    )


# The lifts of a job: whether each panel may be lifted now, and whether those of the log might.


class SiteLifts:
    """Work out what follows for the lift from all of a site, and keep how each lift of the log was judged."""

    def __init__(self, site: "Site") -> None:
        self._site = site
        self._then: dict[Key, Then] = {}

    def view(self, stack_id: str, number: int, asked: Asked | None = None) -> LiftView:
        """Whether panel `number`, from 1, may be lifted now, and all that is missing.

        `asked`: what another plan than that of today asked of it, to judge a lift of the past.
        """
        site = self._site
        setout = site.set_out(stack_id, number)
        record = site.state.panel(setout.mark)
        owed: tuple[str, ...] = owed_before_lift(record, (), ())
        if record.closed is not None:
            owed = owed_before_lift(
                record,
                site.items_owing(stack_id, number),
                nonconformances(record, site.template, stack_id, number),
                [
                    need_words(one, site.job.units)
                    for one in site.out_of_tolerance(stack_id, number)
                    if not one.settled
                ],
            )
        faults: tuple[Finding, ...] = ()
        if asked is None and record.lifted is not None:
            faults = tuple(one for one in self.findings() if one.mark == setout.mark)
        return lift_view(
            site.job,
            site.stack(stack_id),
            setout,
            site.state,
            (*mark_missing(setout.mark, site.places), *owed),
            site.now(),
            asked=asked,
            faults=faults,
        )

    def findings(self) -> tuple[Finding, ...]:
        """Find what is wrong with the lifts of the log: unfit when recorded, or their ground is gone."""
        site = self._site
        lifted = {one.lifted.key for one in site.state.panels.values() if one.lifted}
        if not lifted:
            return ()
        fresh = lifted - self._then.keys()
        if fresh:
            self._then |= as_lifted(site.plan, site.state, fresh)
        unfit = unfit_findings(site.job, site.state, self._then)
        lost = lost_ground(site.job, site.state)
        return (*unfit, *(one.finding() for one in lost))

    def in_order(self) -> tuple[LiftView, ...]:
        """Every panel of the job in the order of the lift."""
        site = self._site
        return in_lift_order(
            self.view(stack.id, number)
            for stack in site.job.stacks
            for number in range(1, len(stack.panels) + 1)
        )
