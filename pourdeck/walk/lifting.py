"""Whether a panel may be lifted, and everything that is still missing: worked out anew from plan and log.

A panel is fit to lift with a test of a specimen that was cured beside it, at what the lifting design asks
for, with the engineer's release by name, with all panels above it lifted, its record closed and nothing owed
to before the lift. Nothing here says how it is to be lifted.
"""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from attrs import field, frozen

from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Stack
from pourdeck.plan.sides import Side
from pourdeck.setout.lifters import Lifters, factored_mass, leading_edge, lifters
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.lift_exposed import looks_missing, looks_of
from pourdeck.walk.lift_missing import needed_missing, release_missing
from pourdeck.walk.lift_seals import Asked, asked_now, release_lapse
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.strength import Strength, strength
from pourdeck.walk.strength_log import Result, field_results, showing

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
        """What is wrong with the lift that was recorded, and with the plan of it."""
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
    # What was written down by a clock that was ahead counts once that time has come.
    shown = tuple(one for one in field_results(record, now) if one.entry.at <= now)
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
        lapse = release_lapse(release, asked, record, state.revisions, under, shown, looks, job)
    needed, source = asked.strength, job.limits.sources.get("lift")
    if needed is None and release is not None and lapse is None:
        needed = number_of(release.data.get("strength"))
        source = str(release.data.get("document") or "")
    result = shows(shown, needed)
    missing = (
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


def shows(shown: Sequence[Result], needed: Decimal | None) -> Result | None:
    """The strongest of the results that show what is needed; None where none does."""
    return max(showing(shown, needed), key=lambda one: one.strength, default=None)
