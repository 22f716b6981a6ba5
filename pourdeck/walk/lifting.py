"""Whether a panel may be lifted, everything that is still missing, and the order of the lift.

A panel is fit to lift with a test of a specimen that was cured beside it, at what the lifting design asks
for, with the engineer's release by name, with all panels above it lifted, its record closed and nothing owed
to before the lift. Nothing here says how it is to be lifted.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal

from attrs import field, frozen

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.records import Job, Side, Stack, Units
from pourdeck.setout.lifters import Lifters, factored_mass, leading_edge, lifters
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.conflicts import conflict_needs
from pourdeck.walk.lift_seals import (
    Asked,
    asked_now,
    looks_missing,
    looks_of,
    release_lapse,
    tests_since,
)
from pourdeck.walk.records import ItemView, NonConformance
from pourdeck.walk.strength import Result, Strength, field_results, last_below, showing, strength
from pourdeck.walk.words import count_of, item_name, number_of

# What is missing before a panel is lifted, part by part and in words.

NO_LIMIT = "no limit given: the engineer must give one, with its document, in the release to lift"


def owed_before_lift(
    record: PanelState,
    items: Iterable[ItemView],
    nonconformances: Iterable[NonConformance],
    unsettled: Iterable[str] = (),
) -> tuple[str, ...]:
    """List what of its walk and record stands in the way of a lift. `unsettled`: sizes out of tolerance."""
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


def mark_missing(mark: str, places: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Where two panels carry one mark nobody can tell whose result and whose release the log has."""
    of_mark = places.get(mark, ())
    if len(of_mark) < 2:
        return ()
    return (
        f"{literal(mark)} is the mark of {count_of(len(of_mark), 'panel')} ({', '.join(of_mark)}): "
        "a result or a release cannot be told to be of this one",
    )


def needed_missing(
    mark: str,
    limit: Decimal | None,
    needed: Decimal | None,
    result: Result | None,
    shown: Sequence[Result],
    units: Units,
) -> tuple[str, ...]:
    """Say that the strength is not shown, or that nobody has given one."""
    if limit is None and needed is None:
        return (NO_LIMIT,)
    if result is not None or needed is None:
        return ()
    return (strength_missing(mark, needed, shown, units),)


def strength_missing(mark: str, needed: Decimal, shown: Sequence[Result], units: Units) -> str:
    """Say that no field-cured result of the panel shows a strength, with the low or the best of them."""
    low = last_below(shown, needed)
    if low is not None and any(one.strength >= needed for one in shown):
        return (
            f"{literal(low.name)} has {format_amount(low.strength, 'MPa', units)}, below "
            f"{format_amount(needed, 'MPa', units)}, and no field-cured result of {literal(mark)} after it "
            "shows that"
        )
    text = f"no field-cured result of {literal(mark)} at {format_amount(needed, 'MPa', units)} or above"
    if not shown:
        return f"{text}: none yet"
    best = max(shown, key=lambda one: one.strength)
    many = count_of(len(shown), "result")
    return f"{text}: {many}, the best {format_amount(best.strength, 'MPa', units)}"


def release_missing(release: Entry | None, lapse: str | None) -> tuple[str, ...]:
    """Say that the engineer has not released it, or that the release does not stand."""
    if release is None:
        return ("no release to lift by the engineer",)
    if lapse is not None:
        return (f"the release to lift by {literal(release.by)} has lapsed: {lapse}",)
    return ()


# Whether a panel may be lifted, and everything that is still missing: worked out anew from plan and log.

LIFT_CODES = frozenset({"eccentricity", "lift-order", "castin-outside", "castin-in-opening"})
"""Findings of a panel that its lift is about."""


@frozen(kw_only=True, eq=False, repr=False)
class LiftView:
    """One panel and its lift, at `now`.

    `needed` MPa and its `source`: the job's limit, or what the release says where the job gives none.
    `result`: what shows it; `shown`: every field-cured result of this panel. `release`: the last one given,
    `lapse` why it does not stand. `owed`: what keeps even the engineer from releasing it. `above`: marks
    still on it. `missing`: all that keeps it from being lifted, none where it is fit. `exposed`: what was
    written of it since the panel above was lifted off. `faults`: what is wrong with a lift that was recorded.
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
    faults: tuple[Finding, ...] = field(default=())

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
    def findings(self) -> tuple[Finding, ...]:
        """List what is wrong with the lift that was recorded, and with the plan of it."""
        planned = tuple(one for one in self.setout.findings if one.code in LIFT_CODES)
        return (*self.faults, *planned)

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
    *,
    asked: Asked | None = None,
    faults: tuple[Finding, ...] = (),
) -> LiftView:
    """`owed` says what of its walk and its record stands in the way; see `owed_before_lift`.

    `asked`: what the plan asks of the lift, where that is not the plan as it is now.
    """
    record = state.panel(setout.mark)
    asked = asked or asked_now(job, setout)
    shown = _counting(record, asked, now)
    above = tuple(
        panel.mark
        for panel in reversed(stack.panels[setout.number :])
        if not state.panel(panel.mark).lifted
    )
    bared_by: str | None = None
    looks: tuple[Entry, ...] = ()
    if setout.number < len(stack.panels) and not above:
        bared_by = stack.panels[setout.number].mark
        looks = looks_of(record, state.panel(bared_by))
    release = record.lift_releases[-1] if record.lift_releases else None
    lapse = None
    if release is not None:
        under = [panel.mark for panel in stack.panels[: setout.number]]
        lapse = release_lapse(
            release, asked, record, state.revisions, under, shown, looks, job,
            tests_since(release, state),
        )  # fmt: skip
    needed, source = asked.strength, job.limits.sources.get("lift")
    if needed is None and release is not None and lapse is None:
        needed = number_of(release.data.get("strength"))
        source = str(release.data.get("document") or "")
    result = shows(shown, needed)
    missing = (
        *conflict_needs(record, job.units),
        *owed,
        *looks_missing(looks, bared_by),
        *needed_missing(setout.mark, asked.strength, needed, result, shown, job.units),
        *release_missing(release, lapse),
        *([f"{', '.join(map(literal, above))} above must be lifted first"] if above else ()),
    )
    about, most = lifters(setout), job.limits.lift.eccentricity
    return LiftView(
        job=job,
        stack=stack.id,
        number=setout.number,
        of=setout.of,
        setout=setout,
        record=record,
        lifters=about,
        leads=None if most is None else leading_edge(about, most),
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
        exposed=looks,
        now=now,
        bared_by=bared_by,
        faults=faults,
    )


def _counting(record: PanelState, asked: Asked, now: datetime) -> tuple[Result, ...]:
    """List the field-cured results that count at `now`.

    What was written down by a clock that was ahead counts once that time has come; a low one counts at once,
    whatever the clock says.
    """
    return tuple(
        one
        for one in field_results(record, now)
        if one.entry.at <= now or (asked.strength is not None and one.strength < asked.strength)
    )


def shows(shown: Sequence[Result], needed: Decimal | None) -> Result | None:
    """The strongest of the results that show what is needed; None where none does."""
    return max(showing(shown, needed), key=lambda one: one.strength, default=None)


# The order of the lift: of the whole job, and the panel on top of each stack.


@frozen(kw_only=True, repr=False)
class TopLift:
    """The panel on top of what is left of a stack: whether it may go, in a few words."""

    stack: str
    number: int
    mark: str
    lift: int | None
    fit: bool
    missing: tuple[str, ...]


def top_lift(view: LiftView) -> TopLift:
    return TopLift(
        stack=view.stack,
        number=view.number,
        mark=view.mark,
        lift=view.lift,
        fit=view.fit,
        missing=view.missing,
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


def goes_before(view: LiftView, every: Iterable[LiftView]) -> tuple[LiftView, ...]:
    """Panels of other stacks that lie there still and have a place before it in the erection order."""
    return tuple(
        one
        for one in in_lift_order(every)
        if one.stack != view.stack
        and one.lifted is None
        and one.lift is not None
        and (view.lift is None or one.lift < view.lift)
    )
