"""Work out what follows from one job's plan and log, when asked for; keep it until it can have changed.

The walk is imported when it is first asked for: a check of the plan needs none of it.
"""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from attrs import evolve

from pourdeck.plan.checks import job_faults
from pourdeck.plan.messages import Finding, Spot
from pourdeck.plan.records import Job, Poured, Stack
from pourdeck.setout.panel import findings_of_set_outs, set_out_stack, stack_findings
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState, poured
from pourdeck.sitelog.state import SiteState, panel_of
from pourdeck.walk.plan_in_force import (
    as_computed,
    cast_findings,
    judged_alike,
    lost_marks,
    lost_revisions,
    plan_in_force,
)

if TYPE_CHECKING:
    from pourdeck.setout.elevation import DriftPicture
    from pourdeck.walk.clock import Clocks, Jump
    from pourdeck.walk.holds import CastBelow
    from pourdeck.walk.level_page import LevelPage, Point
    from pourdeck.walk.lift_history import SiteLifts
    from pourdeck.walk.lift_seals import Asked
    from pourdeck.walk.lifting import LiftView
    from pourdeck.walk.pour_page import PourPage
    from pourdeck.walk.records import Gate, ItemView, OutOfTolerance, PanelPhase, Walk
    from pourdeck.walk.steps import Context, Template

CAST_KINDS = frozenset({"pour-start", "as-cast", "revise", "undo"})
"""Kinds of entries that can change a set-out."""

SETTLING_KINDS = frozenset({"disposition", "close-nonconformance", "close"})
"""Kinds that can change what of a panel is out of tolerance, beside those."""

TIMED_SECTIONS = frozenset({"pour", "finish", "close"})
"""Sections with an item whose answer is a time of the panel, or was given at one (`walk/times.py`)."""


class Site:
    """One job as it stands. `plan` is the job as the office wrote it, `job` the one in force."""

    def __init__(self, plan: Job, state: SiteState, clock: Callable[[], datetime]) -> None:
        """`clock` gives the time in the zone of the site."""
        self.plan = plan
        self.state = state
        self._clock = clock
        self._computed: dict[str, tuple[SetOut, ...]] = {}
        self._setouts: dict[str, tuple[SetOut, ...]] = {}
        self._out: dict[tuple[str, int], tuple[OutOfTolerance, ...]] = {}
        self._walks: dict[tuple[str, int], Walk] = {}
        self._loose: dict[tuple[str, int], tuple[ItemView, ...]] = {}
        self._contexts: dict[tuple[str, int], Context] = {}
        self._waits: dict[tuple[str, int], datetime] = {}
        self._findings: dict[str, tuple[Finding, ...]] = {}
        self._faults: tuple[Job, tuple[Finding, ...]] | None = None
        self._differs: tuple[Finding, ...] | None = None
        self._times: dict[tuple[str, int], tuple[Finding, ...]] = {}
        self._concrete: dict[tuple[str, int], tuple[Finding, ...]] = {}
        self._drifts: dict[str, tuple[tuple[SetOut, ...], DriftPicture]] = {}
        self._poured: dict[str, Poured] | None = None
        self._template: Template | None = None
        self._jumps: tuple[int, tuple[Jump, ...]] | None = None
        self._site_lifts: SiteLifts | None = None
        # A mark that two panels carry is a fault of the plan, and must not leave one of them stale.
        self._stacks_of: dict[str, set[str]] = {}
        self.places: dict[str, list[str]] = {}
        """Stack and number of every panel that carries a mark."""
        for stack in plan.stacks:
            for number, panel in enumerate(stack.panels, 1):
                self._stacks_of.setdefault(panel.mark, set()).add(stack.id)
                self.places.setdefault(panel.mark, []).append(f"{stack.id} {number}")
        self.job = plan_in_force(plan, state)

    def now(self) -> datetime:
        """The time now, in the zone of the site."""
        return self._clock()

    def stack(self, stack_id: str) -> Stack:
        """The stack in force. Raises KeyError."""
        found = self.job.stack(stack_id)
        if found is None:
            raise KeyError(stack_id)
        return found

    @property
    def template(self) -> "Template":
        """Give what the walks of this job are made from."""
        if self._template is None:
            self._template = self._template_of(self.plan)
        return self._template

    @staticmethod
    def _template_of(job: Job) -> "Template":
        from pourdeck.walk.steps import template, with_own_steps

        return with_own_steps(template(), job.steps)

    def poured(self) -> dict[str, Poured]:
        """Give what the log says of each panel whose pour has begun, by mark."""
        if self._poured is None:
            found = {mark: poured(record) for mark, record in self.state.panels.items()}
            self._poured = {mark: one for mark, one in found.items() if one is not None}
        return self._poured

    def set_outs(self, stack_id: str) -> tuple[SetOut, ...]:
        """The set-outs of a stack, from the bed up, what is out of tolerance among their findings."""
        found = self._setouts.get(stack_id)
        if found is None:
            found = tuple(self._with_tolerance(one) for one in self._set_out(stack_id))
            self._setouts[stack_id] = found
        return found

    def set_out(self, stack_id: str, number: int) -> SetOut:
        """Set one panel out, from 1: what is out of tolerance is then looked for in no other."""
        every = self._setouts.get(stack_id)
        return (
            every[number - 1]
            if every
            else self._with_tolerance(self._set_out(stack_id)[number - 1])
        )

    def drift(self, stack_id: str) -> "DriftPicture":
        """Work out how far a stack is out from its planned lines, once for each set-out of it."""
        from pourdeck.setout.drift import rungs
        from pourdeck.setout.elevation import drift_picture

        setouts = self._set_out(stack_id)
        kept = self._drifts.get(stack_id)
        if kept is None or kept[0] is not setouts:
            kept = (setouts, drift_picture(self.job, stack_id, rungs(setouts)))
            self._drifts[stack_id] = kept
        return kept[1]

    def _set_out(self, stack_id: str) -> tuple[SetOut, ...]:
        """The set-outs by plan and sizes alone: what a walk, and so what is out of tolerance, rests on."""
        found = self._computed.get(stack_id)
        if found is None:
            found = set_out_stack(self.job, self.stack(stack_id), self.poured())
            self._computed[stack_id] = found
        return found

    def _with_tolerance(self, setout: SetOut) -> SetOut:
        found = self._tolerance_findings(setout.stack, setout.number)
        return evolve(setout, findings=(*setout.findings, *found)) if found else setout

    def _tolerance_findings(self, stack_id: str, number: int) -> list[Finding]:
        found = self.out_of_tolerance(stack_id, number)
        if not found:
            return []
        from pourdeck.walk.out_of_tolerance import tolerance_findings

        return tolerance_findings(found, self.job.units)

    def out_of_tolerance(self, stack_id: str, number: int) -> "tuple[OutOfTolerance, ...]":
        """Every value of panel `number` as cast that was out of tolerance, without its whole walk.

        A closed panel is judged by the bands its close sealed.
        """
        record = self.state.panels.get(self.stack(stack_id).panels[number - 1].mark)
        if record is None or not (record.as_cast or record.dispositions):
            return ()
        key = (stack_id, number)
        found = self._out.get(key)
        if found is None:
            from pourdeck.walk.out_of_tolerance import out_of_tolerance
            from pourdeck.walk.panel_walk import build_cast_items

            items = build_cast_items(*self._judging(stack_id, number, record))
            found = out_of_tolerance(items, record, stack_id, number)
            self._out[key] = found
        return found

    def rejected(self, stack_id: str, number: int) -> bool:
        """True for a panel that was rejected for what it came out at."""
        return any(one.state == "rejected" for one in self.out_of_tolerance(stack_id, number))

    def _judging(
        self, stack_id: str, number: int, record: PanelState
    ) -> "tuple[Context, Template]":
        """Give what judges a panel as cast; to read what a close sealed takes long, and is seldom needed."""
        setout = self._set_out(stack_id)[number - 1]
        if record.closed is None or judged_alike(record, self.job, setout):
            return self._in_force(stack_id, number), self.template
        return self._context(stack_id, number)

    def _cast_below(self, stack_id: str, number: int) -> "CastBelow":
        """Tell how the panel below `number` came out: it holds the as-cast release."""
        from pourdeck.walk.holds import NOTHING_BELOW, CastBelow

        if number == 1:
            return NOTHING_BELOW
        slip = any(
            one.code == "re-measure" and one.is_error
            for one in self._set_out(stack_id)[number - 2].findings
        )
        return CastBelow(out=self.out_of_tolerance(stack_id, number - 1), slip=slip)

    def walk(self, stack_id: str, number: int) -> "Walk":
        """The walk of panel `number`, from 1."""
        from pourdeck.walk.panel_walk import build_walk, midnight_after

        key = (stack_id, number)
        found = self._walks.get(key)
        now, clocks = self.now(), self.clocks()
        waited = key in self._waits and now >= self._waits[key]
        if found is None or waited or found.clocks != clocks:
            context, template = self._context(stack_id, number)
            below = self._cast_below(stack_id, number)
            found = build_walk(context, template, self.state, now, below, clocks)
            self._walks[key] = found
            self._waits.pop(key, None)
            if found.gate_until is not None:
                self._waits[key] = min(found.gate_until, midnight_after(now))
        return found

    def levels(
        self, stack_id: str, number: int, wanted: "Point | None" = None
    ) -> "LevelPage | None":
        """The level book of panel `number`, from 1; None where the job has no benchmark."""
        from pourdeck.walk.level_page import level_page

        panels = self.stack(stack_id).panels
        below = self.state.panel(panels[number - 2].mark) if number > 1 else None
        return level_page(self.walk(stack_id, number), below, wanted)

    def pour(self, stack_id: str, number: int) -> "PourPage":
        """The pour of panel `number`, from 1, as it stands now."""
        from pourdeck.walk.pour_page import pour_page

        return pour_page(self.walk(stack_id, number), self.now(), self.jumps())

    def jumps(self) -> "tuple[Jump, ...]":
        """Where a computer's clock was set back, as the log has it; `Desk` knows of one not written yet."""
        from pourdeck.walk.clock import jumps

        seen = len(self.state.entries)
        if self._jumps is None or self._jumps[0] != seen:
            self._jumps = (seen, jumps(self.state.entries))
        return self._jumps[1]

    def loose_ends(self, stack_id: str, number: int) -> "tuple[ItemView, ...]":
        """List what was put off on a closed panel or answered since, without its whole walk."""
        key = (stack_id, number)
        found = self._loose.get(key)
        if found is None:
            record = self.state.panel(self.stack(stack_id).panels[number - 1].mark)
            end = record.closed.order if record.closed else -1
            keys = [
                item
                for item, entry in record.latest.items()
                if entry.kind == "defer" or entry.order > end or entry.data.get("verdict") == "fail"
            ]
            found = self._items(stack_id, number, keys) if keys else ()
            self._loose[key] = found
        return found

    def _items(self, stack_id: str, number: int, keys: list[str]) -> "tuple[ItemView, ...]":
        """By the plan in force where it has them all, which is at hand; else by what the close sealed."""
        from pourdeck.walk.panel_walk import build_items

        found = build_items(self._in_force(stack_id, number), self.template, keys)
        if len(found) == len(keys):
            return found
        return build_items(*self._context(stack_id, number), keys)

    def _in_force(self, stack_id: str, number: int) -> "Context":
        from pourdeck.walk.steps import Context

        setout = self._set_out(stack_id)[number - 1]
        record = self.state.panel(setout.mark)
        below = self.state.panels.get(setout.below.mark) if setout.below else None
        below = None if record.closed else below
        key = (stack_id, number)
        kept = self._contexts.get(key)
        if kept is None or kept.job is not self.job or kept.setout is not setout:
            stack = self.stack(stack_id)
            kept = Context(job=self.job, stack=stack, setout=setout, record=record, below=below)
        else:
            kept = evolve(kept, record=record, below=below)
        self._contexts[key] = kept
        return kept

    def _context(self, stack_id: str, number: int) -> "tuple[Context, Template]":
        """Give what a panel's walk rests on: the plan in force; once closed, what its close sealed."""
        from pourdeck.walk.steps import Context

        stack = self.stack(stack_id)
        record = self.state.panel(stack.panels[number - 1].mark)
        if record.closed is None:
            return self._in_force(stack_id, number), self.template
        closed = as_computed(record, self.job)
        if closed is not None and closed.place == (stack_id, number):
            context = Context(
                job=closed.job, stack=closed.stack, setout=closed.setout, record=record
            )
            return context, self._template_of(closed.job)
        return self._in_force(stack_id, number), self.template

    @property
    def _lifts(self) -> "SiteLifts":
        if self._site_lifts is None:
            from pourdeck.walk.lift_history import SiteLifts

            self._site_lifts = SiteLifts(self)
        return self._site_lifts

    def lift(self, stack_id: str, number: int) -> "LiftView":
        """Whether panel `number`, from 1, may be lifted now, and all that is missing."""
        return self._lifts.view(stack_id, number)

    def lift_as_asked(self, stack_id: str, number: int, asked: "Asked") -> "LiftView":
        """Judge a lift of the past by what another plan than that of today asked of it."""
        return self._lifts.view(stack_id, number, asked)

    def lifts(self) -> "tuple[LiftView, ...]":
        """Every panel of the job in the order of the lift."""
        return self._lifts.in_order()

    def next_lift(self, stack_id: str) -> "LiftView | None":
        """The panel on top of what is left of a stack, where its record is closed."""
        panels = self.stack(stack_id).panels
        for number in range(len(panels), 0, -1):
            record = self.state.panels.get(panels[number - 1].mark)
            if record is None or record.lifted is None:
                closed = record is not None and record.closed is not None
                return self._lifts.view(stack_id, number) if closed else None
        return None

    def lift_findings(self) -> tuple[Finding, ...]:
        """Find what is wrong with the lifts of the log: unfit when recorded, or their ground is gone."""
        if not any(one.lifted for one in self.state.panels.values()):
            return ()
        return self._lifts.findings()

    def items_owing(self, stack_id: str, number: int) -> "tuple[ItemView, ...]":
        """The items of a panel among which something may be owed: of a closed one what may be loose again."""
        record = self.state.panel(self.stack(stack_id).panels[number - 1].mark)
        closed = record.closed
        measured_again = closed and record.as_cast and record.as_cast[-1].order > closed.order
        if closed is None or measured_again:
            return self.walk(stack_id, number).items()
        return self.loose_ends(stack_id, number)

    def panel_state(self, stack_id: str, number: int) -> "PanelPhase":
        """The state of a panel, without its whole walk where that is not needed."""
        from pourdeck.walk.panel_walk import panel_state

        stack = self.stack(stack_id)
        record = self.state.panel(stack.panels[number - 1].mark)
        if "pour" in record.releases and record.pour_start is None:
            return self.walk(stack_id, number).panel_state
        barrier = self.gate(stack, number)
        return panel_state(record, gate_open=barrier.refusal is None, released=False)

    def gate(self, stack: Stack, number: int) -> "Gate":
        """Whether panel `number` of a stack, from 1, may be started now."""
        from pourdeck.walk.panel_walk import gate

        return gate(self.job, stack, number, self.state, self.now(), self.clocks())

    def clocks(self) -> "Clocks":
        """Tell how the clocks were set; `Desk` knows which is its own."""
        from pourdeck.walk.clock import SURE

        return SURE

    def panel_in_hand(self, stack_id: str) -> int:
        """The lowest panel that is not cast yet, from 1; the top one where all are."""
        panels = self.stack(stack_id).panels
        for number, panel in enumerate(panels, 1):
            record = self.state.panels.get(panel.mark)
            if record is None or not (record.closed or record.lifted):
                return number
        return len(panels)

    def findings(self) -> tuple[Finding, ...]:
        """Everything that is wrong with the plan in force, and with size changes of the log."""
        if self._faults is None or self._faults[0] is not self.job:
            self._faults = (self.job, tuple(job_faults(self.job)))
        found = list(self._faults[1])
        for stack in self.job.stacks:
            here = self._findings.get(stack.id)
            if here is None:
                out = [
                    one
                    for number in range(1, len(stack.panels) + 1)
                    for one in self._tolerance_findings(stack.id, number)
                ]
                known = self._computed.get(stack.id)
                if known is None:
                    here = stack_findings(self.job, stack, self.poured())
                else:
                    here = findings_of_set_outs(self.job, stack, known)
                here = (*here, *out)
                self._findings[stack.id] = here
            found += here
        if self.plan.steps:
            from pourdeck.walk.steps import step_findings, template

            found += step_findings(self.plan, template())
        found += self.conflict_findings(self.job.stacks)
        found += self._pour_findings()
        found += self._time_findings()
        found += self._concrete_findings()
        found += self.lift_findings()
        if self._differs is None:
            self._differs = (
                *cast_findings(self.plan, self.state),
                *lost_marks(self.plan, self.state),
                *lost_revisions(self.plan, self.state.revisions),
            )
        return (*found, *self._differs)

    def conflict_findings(self, stacks: Iterable[Stack]) -> list[Finding]:
        """List what stations said differently of these stacks without seeing each other."""
        found: list[Finding] = []
        for stack in stacks:
            for number, panel in enumerate(stack.panels, 1):
                record = self.state.panels.get(panel.mark)
                if record is not None and record.conflicts:
                    from pourdeck.walk.conflicts import conflict_findings

                    spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                    found += conflict_findings(spot, record, self.job.units)
        return found

    def _pour_findings(self) -> list[Finding]:
        """Find what is wrong with the loads that came, whatever time it is."""
        found: list[Finding] = []
        for stack in self.job.stacks:
            for number, panel in enumerate(stack.panels, 1):
                record = self.state.panels.get(panel.mark)
                if record is not None and record.loads:
                    from pourdeck.walk.pour_findings import of_panel

                    spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                    found += of_panel(spot, self.job, record, self.jumps())
        return found

    def _time_findings(self) -> list[Finding]:
        """Times in the wrong order, and odd gaps between them."""
        found: list[Finding] = []
        for stack in self.job.stacks:
            below: PanelState | None = None
            for number, panel in enumerate(stack.panels, 1):
                record = self.state.panels.get(panel.mark)
                key = (stack.id, number)
                if record is not None and record.entries and key not in self._times:
                    from pourdeck.walk.times import time_findings

                    spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                    zone = self.now().tzinfo
                    self._times[key] = tuple(time_findings(spot, record, below, self.jumps(), zone))
                found += self._times.get(key, ())
                below = record
        return found

    def _concrete_findings(self) -> list[Finding]:
        """Results below their limit, frost and temperatures out of range, until a panel is lifted."""
        found: list[Finding] = []
        for stack in self.job.stacks:
            for number, panel in enumerate(stack.panels, 1):
                record = self.state.panels.get(panel.mark)
                if record is None or record.lifted or not (record.temperatures or record.tests):
                    continue
                key = (stack.id, number)
                if key not in self._concrete:
                    from pourdeck.walk.strength import strength
                    from pourdeck.walk.strength_findings import harm

                    spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                    out = self.clocks().left_out(record.pour_end)
                    now = strength(self.job, record, self.now(), out)
                    self._concrete[key] = harm(self.job, spot, now)
                found += self._concrete[key]
        return found

    def take_in(self, entry: Entry) -> None:
        """Take in an entry that was saved, and drop what it can have changed."""
        self.state.apply(entry)
        if entry.kind == "start":
            return
        mark = panel_of(self.state, entry)
        stacks = self._stacks_of.get(mark) if mark else None
        if not stacks or self.state.last is not entry:
            self._forget_all()
            return
        changed: list[dict[tuple[str, int], Any]]
        changed = [self._walks, self._loose, self._out, self._concrete]
        if _may_give_time(entry):
            changed.append(self._times)
        for kept in changed:
            for key in [key for key in kept if key[0] in stacks]:
                del kept[key]
        if entry.kind in CAST_KINDS:
            for stack_id in stacks:
                self._computed.pop(stack_id, None)
            self._poured = None
            self._differs = None
            self._revise_plan()
        if entry.kind in CAST_KINDS | SETTLING_KINDS:
            for stack_id in stacks:
                self._setouts.pop(stack_id, None)
                self._findings.pop(stack_id, None)

    def _forget_all(self) -> None:
        """Where an entry did not come last, or is about no panel, anything may have changed."""
        self._computed.clear()
        self._setouts.clear()
        self._out.clear()
        self._walks.clear()
        self._loose.clear()
        self._times.clear()
        self._concrete.clear()
        self._findings.clear()
        self._site_lifts = None
        self._poured = None
        self._differs = None
        self._revise_plan()

    def _revise_plan(self) -> None:
        before = self.job
        self.job = plan_in_force(self.plan, self.state)
        if self.job != before:
            # Every walk speaks of the job in force.
            self._out.clear()
            self._walks.clear()
            self._loose.clear()


def _may_give_time(entry: Entry) -> bool:
    """Whether an entry can change which times a panel has, or what is odd about them."""
    section = str(entry.data.get("item")).partition(".")[0]
    return entry.kind != "answer" or entry.clock != "" or section in TIMED_SECTIONS
