"""The board: where every stack stands, what today needs, and what was poured today."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Protocol

from attrs import frozen

from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Job, Stack, Units
from pourdeck.setout.adjust import Adjusted
from pourdeck.setout.drift import Drift, drift_of
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.conflicts import Conflict, conflicts_of
from pourdeck.walk.holds import nonconformances
from pourdeck.walk.lifting import LiftView, TopLift, top_lift
from pourdeck.walk.loads import Load, loads_of
from pourdeck.walk.records import (
    Gate,
    ItemView,
    NextAct,
    NonConformance,
    OutOfTolerance,
    PanelPhase,
    Walk,
)
from pourdeck.walk.steps import Template
from pourdeck.walk.words import found_text, item_name

# What was poured today, panel by panel, in the order in which they were begun.


@frozen(kw_only=True, repr=False)
class PouredToday:
    """`placed`: m³ of the loads that were begun today."""

    stack: str
    number: int
    mark: str
    placed: Decimal
    begun: datetime


class DaySources(Protocol):
    """Give job, state and time, from which the day is read."""

    @property
    def job(self) -> Job: ...
    @property
    def state(self) -> SiteState: ...
    def now(self) -> datetime: ...


def poured_today(site: DaySources) -> tuple[PouredToday, ...]:
    """By the day of the site; a load that went in before midnight is of the day before."""
    found = []
    for stack in site.job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            record = site.state.panels.get(panel.mark)
            loads = loads_of(record) if record is not None and record.loads else ()
            today = [
                (at, load) for load in loads if load.placed and (at := _today(load, site.now()))
            ]
            if today:
                found.append(
                    PouredToday(
                        stack=stack.id,
                        number=number,
                        mark=panel.mark,
                        placed=sum((load.placed for _, load in today), Decimal(0)),
                        begun=min(at for at, _ in today),
                    )
                )
    return tuple(sorted(found, key=lambda one: (one.begun, one.stack, one.number)))


def _today(load: Load, now: datetime) -> datetime | None:
    """When it was begun, if that was today."""
    at = load.begun or load.ended
    if at is None or at.astimezone(now.tzinfo).date() != now.date():
        return None
    return at


# Where every stack stands, and what today needs.


@frozen(kw_only=True, repr=False)
class BoardPanel:
    """One panel in its pile. Sizes and `position` in stack coordinates, mm.

    `findings` counts errors and warnings, `errors` the errors. `growth` is how much wider and higher
    it was measured than planned, mm, None where it was not. `answered` of `total`: the panel in hand.
    `conflicts`: so many things of it stations said differently.
    `cast`: where its corners came to be, None where nothing measured tells; `tape`: σ of a tape, mm.
    """

    number: int
    mark: str
    width: Decimal
    height: Decimal
    thickness: Decimal
    position: tuple[Decimal, Decimal]
    state: PanelPhase
    lift: int | None
    findings: int
    errors: int
    mirrored: bool
    in_hand: bool
    growth: tuple[Decimal | None, Decimal | None]
    cast: Adjusted | None = None
    tape: Decimal = Decimal(1)
    rejected: bool = False
    conflicts: int = 0
    answered: int | None = None
    total: int | None = None

    @property
    def drift(self) -> Drift | None:
        """Work out how far its faces are out; None where nothing measured tells."""
        return drift_of(self.number, self.mark, self.cast, self.tape) if self.cast else None


@frozen(kw_only=True, repr=False)
class BoardStack:
    """One pile, panels from the bed up. `bed_rl` m."""

    id: str
    bed_rl: Decimal
    panels: tuple[BoardPanel, ...]
    in_hand: int


@frozen(kw_only=True, repr=False)
class Owed:
    """A deferred or failed item. `before` is a hold's id or `lift`; None where it failed."""

    stack: str
    number: int
    mark: str
    key: str
    text: str
    reason: str
    owner: str | None
    before: str | None
    by: str
    at: datetime


@frozen(kw_only=True, repr=False)
class Board:
    """`next` holds one act for each stack, and a second where the panel above waits for the clock.

    `out_of_tolerance` has what is not settled; of it, what nothing was said of yet is in `failed` too.
    `lifts`: of each stack whose casting is done, the panel that lies on top. `conflicts`: what stations said
    differently, and nobody has decided.
    """

    stacks: tuple[BoardStack, ...]
    next: tuple[NextAct, ...]
    deferred: tuple[Owed, ...]
    failed: tuple[Owed, ...]
    nonconformances: tuple[NonConformance, ...]
    out_of_tolerance: tuple[OutOfTolerance, ...]
    findings: tuple[Finding, ...]
    poured_today: tuple[PouredToday, ...] = ()
    lifts: tuple[TopLift, ...] = ()
    conflicts: tuple[Conflict, ...] = ()


class Sources(Protocol):
    """Give all that the board is read from."""

    @property
    def job(self) -> Job: ...
    @property
    def state(self) -> SiteState: ...
    def now(self) -> datetime: ...
    def set_outs(self, stack_id: str) -> tuple[SetOut, ...]: ...
    @property
    def template(self) -> Template: ...
    def walk(self, stack_id: str, number: int) -> Walk: ...
    def items_owing(self, stack_id: str, number: int) -> tuple[ItemView, ...]: ...
    def next_lift(self, stack_id: str) -> LiftView | None: ...
    def panel_state(self, stack_id: str, number: int) -> PanelPhase: ...
    def gate(self, stack: Stack, number: int) -> Gate: ...
    def panel_in_hand(self, stack_id: str) -> int: ...
    def findings(self) -> tuple[Finding, ...]: ...
    def out_of_tolerance(self, stack_id: str, number: int) -> tuple[OutOfTolerance, ...]: ...
    def rejected(self, stack_id: str, number: int) -> bool: ...


def build_board(site: Sources) -> Board:
    """The board as it stands now. Non-conformances are those that nobody has closed."""
    # The set-outs hold the findings of their panels, so that those need not be worked out again.
    setouts = {stack.id: site.set_outs(stack.id) for stack in site.job.stacks}
    findings = site.findings()
    owing = [owing for stack in site.job.stacks for owing in _owing(site, stack)]
    return Board(
        stacks=tuple(_stack(site, stack, setouts[stack.id], findings) for stack in site.job.stacks),
        next=tuple(act for stack in site.job.stacks for act in _next(site, stack)),
        deferred=tuple(
            owed for panel in owing for owed in _owed(panel, "deferred", site.job.units)
        ),
        failed=tuple(owed for panel in owing for owed in _owed(panel, "failed", site.job.units)),
        nonconformances=tuple(
            one
            for panel in owing
            for one in nonconformances(panel.record, site.template, panel.stack, panel.number)
            if one.closed is None
        ),
        out_of_tolerance=tuple(
            one
            for panel in owing
            for one in site.out_of_tolerance(panel.stack, panel.number)
            if not one.settled
        ),
        findings=findings,
        poured_today=poured_today(site),
        lifts=tuple(
            top_lift(view) for stack in site.job.stacks if (view := site.next_lift(stack.id))
        ),
        conflicts=conflicts_of(site.job, site.state),
    )


def _stack(
    site: Sources, stack: Stack, setouts: Iterable[SetOut], findings: Iterable[Finding]
) -> BoardStack:
    here = [finding for finding in findings if finding.stack == stack.id]
    every = Counter(finding.panel for finding in here)
    errors = Counter(finding.panel for finding in here if finding.is_error)
    in_hand = site.panel_in_hand(stack.id)
    panels = []
    for setout in setouts:
        walk = None
        if setout.number == in_hand and site.state.panel(setout.mark).closed is None:
            walk = site.walk(stack.id, in_hand)
        panels.append(
            BoardPanel(
                number=setout.number,
                mark=setout.mark,
                width=setout.panel.width,
                height=setout.panel.height,
                thickness=setout.panel.thickness,
                position=setout.position,
                state=site.panel_state(stack.id, setout.number),
                lift=setout.panel.lift,
                findings=every[setout.number],
                errors=errors[setout.number],
                mirrored=setout.mirrored,
                in_hand=setout.number == in_hand,
                growth=growth(setout, site.state.panel(setout.mark).measured),
                cast=setout.cast,
                tape=site.job.limits.tape,
                rejected=site.rejected(stack.id, setout.number),
                conflicts=len(site.state.panel(setout.mark).conflicts),
                answered=walk.answered if walk else None,
                total=walk.total if walk else None,
            )
        )
    return BoardStack(id=stack.id, bed_rl=stack.bed_rl, panels=tuple(panels), in_hand=in_hand)


def growth(setout: SetOut, measured: dict[str, Decimal]) -> tuple[Decimal | None, Decimal | None]:
    """Give how much wider and higher than planned it is, the mean of what was measured, mm."""
    return (
        _over(measured, ("width_base", "width_head"), setout.panel.width),
        _over(measured, ("height_left", "height_right"), setout.panel.height),
    )


def _over(measured: dict[str, Decimal], keys: Sequence[str], planned: Decimal) -> Decimal | None:
    read = [measured[key] for key in keys if key in measured]
    return sum(read, Decimal(0)) / len(read) - planned if read else None


def _next(site: Sources, stack: Stack) -> Iterable[NextAct]:
    number = site.panel_in_hand(stack.id)
    if site.state.panel(stack.panels[number - 1].mark).closed:
        return
    here = site.walk(stack.id, number)
    if here.next:
        yield here.next
    # A whole walk is worked out for the panel above only where this one's hours or strength hold it.
    ended = site.state.panel(stack.panels[number - 1].mark).pour_end is not None
    if number < len(stack.panels) and ended:
        barrier = site.gate(stack, number + 1)
        above = site.walk(stack.id, number + 1) if barrier.refusal else None
        if above is not None and above.gate and above.next:
            yield above.next


@frozen(kw_only=True, eq=False, repr=False)
class _Owing:
    """A panel and those of its items among which something may be owed."""

    stack: str
    number: int
    record: PanelState
    items: tuple[ItemView, ...]


def _owing(site: Sources, stack: Stack) -> Iterable[_Owing]:
    """The panels of a stack that were begun: of a closed one, only what may have come loose again."""
    for number, panel in enumerate(stack.panels, 1):
        record = site.state.panels.get(panel.mark)
        if record is None or record.started is None:
            continue
        items = site.items_owing(stack.id, number) if _may_owe(record) else ()
        yield _Owing(stack=stack.id, number=number, record=record, items=items)


def _may_owe(record: PanelState) -> bool:
    """Whether an item of it may be deferred or have failed: by what stands, without working any out."""
    return bool(record.as_cast) or any(
        entry.kind == "defer" or entry.data.get("verdict") == "fail"
        for entry in record.latest.values()
    )


def _owed(panel: _Owing, state: str, units: Units) -> Iterable[Owed]:
    for item in panel.items:
        if item.own_state == state and item.by is not None and item.at is not None:
            yield Owed(
                stack=panel.stack,
                number=panel.number,
                mark=panel.record.mark,
                key=item.key,
                text=item_name(item),
                reason=_reason(item, units),
                owner=item.owner,
                before=item.before,
                by=item.by,
                at=item.at,
            )


def _reason(item: ItemView, units: Units) -> str:
    """Why an item is owed: what was said, or what was found."""
    if item.own_state == "deferred":
        return item.reason or ""
    return item.reason or found_text(item, units)
