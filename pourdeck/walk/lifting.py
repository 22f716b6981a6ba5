"""Whether a panel may be lifted, and everything that is still missing: worked out anew from plan and log.

A panel is fit to lift with a test of a specimen that was cured beside it, at what the lifting design asks
for, with the engineer's release by name, with all panels above it lifted, its record closed and nothing owed
to before the lift. Nothing here says how it is to be lifted.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal

from attrs import field, frozen

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Stack, Units
from pourdeck.plan.sides import Side
from pourdeck.setout.lifters import Lifters, factored_mass, leading_edge, lifters
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.lift_seals import needed_by_job, release_lapse
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.people import folded
from pourdeck.walk.pour_times import pour_ended
from pourdeck.walk.records import ItemView, NonConformance
from pourdeck.walk.strength import Strength, strength
from pourdeck.walk.strength_log import Result, results, specimens
from pourdeck.walk.words import count_of, item_name

EXPOSED = "exposed_by"
"""Where a note of what was seen of a panel laid bare names the one that was lifted off it."""

LIFT_CODES = frozenset({"eccentricity", "lift-order", "castin-outside", "castin-in-opening"})
"""Findings of a panel that its lift is about."""

NO_LIMIT = "no limit given: the engineer must give one, with its document, in the release to lift"


@frozen(kw_only=True, eq=False, repr=False)
class LiftView:
    """One panel and its lift, at `now`.

    `needed` MPa and its `source`: the job's limit, or what the release says where the job gives none.
    `result`: what shows it; `shown`: every field-cured result of this panel. `release`: the last one given,
    `lapse` why it does not stand. `owed`: what keeps even the engineer from releasing it. `above`: marks
    still on it. `missing`: all that keeps it from being lifted, none where it is fit. `exposed`: what was
    written of it since the panel above was lifted off.
    """

    job: Job
    stack: str
    number: int
    of: int
    setout: SetOut
    record: PanelState
    lifters: Lifters
    leads: Side | None
    factored: Decimal | None
    needed: Decimal | None
    source: str | None
    shown: tuple[Result, ...]
    result: Result | None
    release: Entry | None
    lapse: str | None
    owed: tuple[str, ...]
    above: tuple[str, ...]
    missing: tuple[str, ...]
    exposed: tuple[Entry, ...]
    now: datetime
    bared_by: str | None = field(default=None)

    @property
    def mark(self) -> str:
        return self.setout.mark

    @property
    def lift(self) -> int | None:
        """Its place in the erection order."""
        return self.setout.panel.lift

    @property
    def lifted(self) -> Entry | None:
        return self.record.lifted

    @property
    def fit(self) -> bool:
        """Fit to lift: nothing is missing, and it lies there still."""
        return not self.missing and self.lifted is None

    @property
    def released(self) -> bool:
        return self.release is not None and self.lapse is None

    @property
    def unchecked(self) -> bool:
        """True where it was laid bare by a lift and nobody has said what was seen of it."""
        return self.bared_by is not None and self.lifted is None and not self.exposed

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the plan of its lift."""
        return tuple(one for one in self.setout.findings if one.code in LIFT_CODES)

    def strength(self) -> Strength:
        """Age, estimate and results, worked out when they are asked for."""
        return strength(self.job, self.record, self.now)


def lift_view(
    job: Job,
    stack: Stack,
    setout: SetOut,
    state: SiteState,
    owed: Sequence[str],
    now: datetime,
) -> LiftView:
    """`owed` says what of its walk and its record stands in the way; see `owed_before_lift`."""
    record = state.panel(setout.mark)
    limit = needed_by_job(job)
    shown = field_results(record, now)
    release = record.lift_releases[-1] if record.lift_releases else None
    lapse = None
    if release is not None:
        lapse = release_lapse(release, setout, record, state, shown, job)
    needed, source = limit, job.limits.sources.get("lift")
    if limit is None and release is not None and lapse is None:
        needed = number_of(release.data.get("strength"))
        source = str(release.data.get("document") or "")
    result = shows(shown, needed)
    above = tuple(
        panel.mark
        for panel in reversed(stack.panels[setout.number :])
        if not state.panel(panel.mark).lifted
    )
    bared_by = None
    if setout.number < len(stack.panels) and not above:
        bared_by = stack.panels[setout.number].mark
    missing = (
        *owed,
        *_strength_missing(setout.mark, limit, needed, result, shown, job.units),
        *_release_missing(release, lapse),
        *([f"{', '.join(map(literal, above))} above must be lifted first"] if above else ()),
    )
    about = lifters(setout)
    return LiftView(
        job=job,
        stack=stack.id,
        number=setout.number,
        of=setout.of,
        setout=setout,
        record=record,
        lifters=about,
        leads=leading_edge(about),
        factored=factored_mass(setout, job.limits.lift.factor),
        needed=needed,
        source=source,
        shown=shown,
        result=result,
        release=release,
        lapse=lapse,
        owed=tuple(owed),
        above=above,
        missing=missing,
        exposed=_exposed(record, bared_by),
        now=now,
        bared_by=bared_by,
    )


def field_results(record: PanelState, now: datetime) -> tuple[Result, ...]:
    """Results of specimens cured beside this very panel, at or before `now` and after its pour.

    A specimen that was taken to be cured in the laboratory does not count, whatever its result says.
    """
    poured = pour_ended(record)
    if poured is None:
        return ()
    elsewhere = {folded(one.name) for one in specimens(record) if one.cured != "field"}
    return tuple(
        one
        for one in results(record)
        if one.cured == "field"
        and poured <= one.at <= now
        and one.entry.at <= now
        and folded(one.name) not in elsewhere
    )


def shows(shown: Sequence[Result], needed: Decimal | None) -> Result | None:
    """The strongest result at or above what is needed."""
    if needed is None:
        return None
    enough = [one for one in shown if one.strength >= needed]
    return max(enough, key=lambda one: one.strength, default=None)


def owed_before_lift(
    record: PanelState,
    items: Iterable[ItemView],
    nonconformances: Iterable[NonConformance],
    unsettled: Iterable[str] = (),
) -> tuple[str, ...]:
    """What of its walk and record stands in the way of a lift. `unsettled`: sizes out of tolerance."""
    if record.closed is None:
        return ("its record is not closed",)
    every = tuple(items)
    # What came out of its band is settled by its disposition: it is among what is unsettled, or right.
    failed = [item_name(one) for one in every if one.own_state == "failed" and one.cast_key is None]
    put_off = [item_name(one) for one in every if one.own_state == "deferred"]
    again = [item_name(one) for one in every if one.own_state == "void"]
    return (
        *(f"{name} failed, no follow-up" for name in failed),
        *unsettled,
        *(f"{name} is deferred to before the lift" for name in put_off),
        *(f"{name} is to be answered again" for name in again),
        *(
            f"{literal(one.name)} was passed unreleased, a non-conformance that is not closed"
            for one in nonconformances
            if one.closed is None
        ),
    )


def _strength_missing(
    mark: str,
    limit: Decimal | None,
    needed: Decimal | None,
    result: Result | None,
    shown: Sequence[Result],
    units: Units,
) -> tuple[str, ...]:
    if limit is None and needed is None:
        return (NO_LIMIT,)
    if result is not None or needed is None:
        return ()
    return (strength_missing(mark, needed, shown, units),)


def strength_missing(mark: str, needed: Decimal, shown: Sequence[Result], units: Units) -> str:
    """That no field-cured result of the panel shows a strength, and what the best of them is."""
    text = f"no field-cured result of {literal(mark)} at {format_amount(needed, 'MPa', units)} or above"
    if not shown:
        return f"{text}: none yet"
    best = max(shown, key=lambda one: one.strength)
    many = count_of(len(shown), "result")
    return f"{text}: {many}, the best {format_amount(best.strength, 'MPa', units)}"


def _release_missing(release: Entry | None, lapse: str | None) -> tuple[str, ...]:
    if release is None:
        return ("no release to lift by the engineer",)
    if lapse is not None:
        return (f"the release to lift by {literal(release.by)} has lapsed: {lapse}",)
    return ()


def _exposed(record: PanelState, bared_by: str | None) -> tuple[Entry, ...]:
    if bared_by is None:
        return ()
    return tuple(one for one in record.notes if one.data.get(EXPOSED) == bared_by)


@frozen(kw_only=True)
class TopLift:
    """The panel on top of what is left of a stack: whether it may go, in a few words."""

    stack: str
    number: int
    mark: str
    lift: int | None
    fit: bool
    missing: tuple[str, ...]
    unchecked: bool


def top_lift(view: LiftView) -> TopLift:
    return TopLift(
        stack=view.stack,
        number=view.number,
        mark=view.mark,
        lift=view.lift,
        fit=view.fit,
        missing=view.missing,
        unchecked=view.unchecked,
    )


def in_lift_order(views: Iterable[LiftView]) -> tuple[LiftView, ...]:
    """As they go: those that lie there still by their lift numbers, without one after them; then the lifted.

    Of two in one stack the upper goes first, whatever their numbers say.
    """
    every = tuple(views)
    there = [one for one in every if one.lifted is None]
    gone = [one for one in every if one.lifted is not None]
    waiting = {
        (one.stack, one.number): one
        for one in sorted(there, key=lambda one: (one.lift is None, one.lift or 0, one.stack))
    }
    found: list[LiftView] = []
    while waiting:
        top = next(
            one
            for one in waiting.values()
            if not any(key[0] == one.stack and key[1] > one.number for key in waiting)
        )
        found.append(waiting.pop((top.stack, top.number)))
    gone.sort(key=lambda one: one.lifted.order if one.lifted else 0)
    return (*found, *gone)
