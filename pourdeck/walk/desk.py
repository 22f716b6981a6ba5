"""The desk: one job's plan and log, and everything that follows from them, kept up to date.

A shell round the pure functions: it holds the state of the site, takes in each entry once it is saved,
and works out again only what that entry can have changed.

Walk, board and acts are imported when they are first asked for: a check of the plan needs none of them.
"""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.plan.checks import job_faults
from pourdeck.plan.findings import Finding
from pourdeck.plan.poured import Poured
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Align, Job, Stack
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.revision import in_force
from pourdeck.setout.job import stack_findings
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.disk import DISK, Disk
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.lock import Holder
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.merge import Union, read_union
from pourdeck.sitelog.panels import poured
from pourdeck.sitelog.state import SiteState, replay
from pourdeck.walk.desk_log import log_findings, log_messages, panel_of
from pourdeck.walk.gates import gate, midnight_after, panel_state, zone_of
from pourdeck.walk.people import name_of, who
from pourdeck.walk.revisions import lost_revisions, revisions_of

if TYPE_CHECKING:
    from pourdeck.setout.resize import Resize
    from pourdeck.walk.acts import Cancel
    from pourdeck.walk.board import Board
    from pourdeck.walk.records import Act, PanelPhase, Walk
    from pourdeck.walk.steps import Template

CAST_KINDS = frozenset({"pour-start", "as-cast", "revise", "undo"})
"""Kinds of entries that can change a set-out."""


class Desk:
    """One job, open. `plan` is the job as the office wrote it, `job` with the size changes of the log.

    `messages` is what people should be told about the log, oldest first.
    """

    def __init__(
        self, plan: Job, log: LogFile, union: Union, clock: Callable[[], datetime]
    ) -> None:
        """Use `open`."""
        self.plan = plan
        self.log = log
        self.state: SiteState = replay(union.entries)
        self._union = union
        self._clock = clock
        self._setouts: dict[str, tuple[SetOut, ...]] = {}
        self._walks: dict[tuple[str, int], Walk] = {}
        self._waits: dict[tuple[str, int], datetime] = {}
        self._findings: dict[str, tuple[Finding, ...]] = {}
        self._poured: dict[str, Poured] | None = None
        self._template: Template | None = None
        self._stack_of = {panel.mark: stack.id for stack in plan.stacks for panel in stack.panels}
        self.job = in_force(plan, revisions_of(plan, self.state.revisions))

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        station: str,
        clock: Callable[[], datetime],
        state_folder: Path,
        read_only: bool = False,
        host: str = "",
        user: str = "",
        monotonic: Callable[[], float] | None = None,
        disk: Disk = DISK,
    ) -> "Desk":
        """Read the plan and every station's log of a job's folder; `station`'s is the one written to.

        `clock` gives the time with its offset. Raises JobUnreadable, JobFaulty, ValueError for an unfit
        station, OSError where the log folder is there and cannot be listed. `read_only` takes no lock
        and needs no log.
        """
        plan = read_job(folder)
        zone = zone_of(plan, None)

        def site_clock() -> datetime:
            return clock() if zone is None else clock().astimezone(zone)

        log = LogFile.open(
            plan.folder,
            station,
            job=plan.number,
            clock=site_clock,
            state_folder=state_folder,
            host=host,
            user=user,
            monotonic=monotonic,
            read_only=read_only,
            disk=disk,
        )
        try:
            union = read_union(plan.folder, have=log.scans, disk=disk)
        except BaseException:
            log.close()
            raise
        return cls(plan, log, union, site_clock)

    def close(self) -> None:
        """Close the log and give back its lock."""
        self.log.close()

    # what stands

    def now(self) -> datetime:
        """The time now, in the zone of the site."""
        return self._clock()

    @property
    def messages(self) -> tuple[str, ...]:
        return (*self.log.messages, *log_messages(self._union, self.log))

    @property
    def read_only(self) -> bool:
        return self.log.read_only

    @property
    def holder(self) -> Holder | None:
        """Who has the station's log open, where that is why it is read only."""
        return self.log.holder

    @property
    def station(self) -> str:
        """The station as its entries name it: the file that is written to."""
        return Path(self.log.file).stem

    @property
    def head(self) -> tuple[int, str | None]:
        """Number and seal of the last entry saved in this station's log."""
        return self.log.n, self.log.head

    def stack(self, stack_id: str) -> Stack:
        """The stack in force. Raises KeyError."""
        found = self.job.stack(stack_id)
        if found is None:
            raise KeyError(stack_id)
        return found

    @property
    def template(self) -> "Template":
        """What the walks of this job are made from."""
        if self._template is None:
            from pourdeck.walk.own_steps import with_own_steps
            from pourdeck.walk.steps import template

            self._template = with_own_steps(template(), self.plan.steps)
        return self._template

    def poured(self) -> dict[str, Poured]:
        """What the log says of each panel whose pour has begun, by mark."""
        if self._poured is None:
            found = {mark: poured(record) for mark, record in self.state.panels.items()}
            self._poured = {mark: one for mark, one in found.items() if one is not None}
        return self._poured

    def set_outs(self, stack_id: str) -> tuple[SetOut, ...]:
        """The set-outs of a stack, from the bed up."""
        found = self._setouts.get(stack_id)
        if found is None:
            found = set_out_stack(self.job, self.stack(stack_id), self.poured())
            self._setouts[stack_id] = found
        return found

    def walk(self, stack_id: str, number: int) -> "Walk":
        """The walk of panel `number`, from 1."""
        from pourdeck.walk.view import build_walk, neighbours

        key = (stack_id, number)
        found = self._walks.get(key)
        now = self.now()
        if found is None or (key in self._waits and now >= self._waits[key]):
            near = neighbours(self.set_outs(stack_id), number)
            found = build_walk(
                self.job, self.stack(stack_id), near.here, near.above, near.below,
                self.state, now, self.template,
            )  # fmt: skip
            self._walks[key] = found
            self._waits.pop(key, None)
            if found.gate_until is not None:
                self._waits[key] = min(found.gate_until, midnight_after(now))
        return found

    def panel_state(self, stack_id: str, number: int) -> "PanelPhase":
        """The state of a panel, without its whole walk where that is not needed."""
        stack = self.stack(stack_id)
        record = self.state.panel(stack.panels[number - 1].mark)
        if "pour" in record.releases and record.pour_start is None:
            return self.walk(stack_id, number).panel_state
        barrier = gate(self.job, stack, number, self.state, self.now())
        return panel_state(record, gate_open=barrier.refusal is None, released=False)

    def panel_in_hand(self, stack_id: str) -> int:
        """The lowest panel that is not cast yet, from 1; the top one where all are."""
        panels = self.stack(stack_id).panels
        for number, panel in enumerate(panels, 1):
            record = self.state.panels.get(panel.mark)
            if record is None or not (record.closed or record.lifted):
                return number
        return len(panels)

    def findings(self) -> tuple[Finding, ...]:
        """Everything that is wrong with plan and log."""
        found: list[Finding] = list(job_faults(self.job))
        for stack in self.job.stacks:
            here = self._findings.get(stack.id)
            if here is None:
                here = stack_findings(self.job, stack, self.poured())
                self._findings[stack.id] = here
            found += here
        if self.plan.steps:
            from pourdeck.walk.own_steps import step_findings
            from pourdeck.walk.steps import template

            found += step_findings(self.plan, template())
        found += lost_revisions(self.plan, self.state.revisions)
        found += log_findings(self._union, self.log)
        return tuple(found)

    def board(self) -> "Board":
        from pourdeck.walk.board import build_board

        return build_board(self)

    # what is done

    def record(self, act: "Act") -> Entry:
        """Save an act, and take it in. Raises NotSaved, and then nothing has changed."""
        entry = self.log.append(act.kind, act.by, act.data)
        self.state.apply(entry)
        self._forget(entry)
        return entry

    def undo(self, by: str) -> "Act | Refusal":
        from pourdeck.walk import acts

        return acts.undo(self.state, by, self.station)

    def redo(self, by: str) -> "Act | Refusal":
        from pourdeck.walk import acts

        return acts.redo(self.state, by, self.station)

    def resize(
        self,
        stack_id: str,
        number: int,
        *,
        width: Decimal | None = None,
        height: Decimal | None = None,
        thickness: Decimal | None = None,
        align: Align | None = None,
    ) -> "Resize | Refusal":
        """Work out a new size of panel `number`, mm; what is None stays as it is."""
        from pourdeck.setout.resize import resize

        return resize(
            self.job, self.stack(stack_id), number, self.poured(),
            width=width, height=height, thickness=thickness, align=align,
        )  # fmt: skip

    def cancels(self, change: "Resize") -> "tuple[Cancel, ...]":
        """The releases in force that a size change takes back: of the panel, and of those above it."""
        from pourdeck.walk.acts import releases_in_force

        found: list[Cancel] = []
        for number in range(change.number, change.levels[-1].number + 1):
            record = self.state.panels.get(self.stack(change.stack).panels[number - 1].mark)
            if record is not None and record.releases and record.pour_start is None:
                found += releases_in_force(self.walk(change.stack, number))
        return tuple(found)

    def revise(self, change: "Resize", *, by: str, reason: str) -> "Act | Refusal":
        """The act that records a size change, by somebody the job knows."""
        from pourdeck.walk import acts

        someone = who(self.job, by)
        if isinstance(someone, Refusal):
            return someone
        return acts.revise(change, self.cancels(change), reason, name_of(someone))

    def _forget(self, entry: Entry) -> None:
        """Drop what an entry can have changed: of its own stack, or where it moved others, of all."""
        mark = panel_of(self.state, entry)
        stack_id = self._stack_of.get(mark) if mark else None
        if stack_id is None or self.state.last is not entry:
            self._setouts.clear()
            self._walks.clear()
            self._findings.clear()
            self._poured = None
            self._revise_plan()
            return
        for key in [key for key in self._walks if key[0] == stack_id]:
            del self._walks[key]
        if entry.kind in CAST_KINDS:
            self._setouts.pop(stack_id, None)
            self._findings.pop(stack_id, None)
            self._poured = None
            self._revise_plan()

    def _revise_plan(self) -> None:
        self.job = in_force(self.plan, revisions_of(self.plan, self.state.revisions))
