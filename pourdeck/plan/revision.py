"""Sizes changed on site: the plan in force is the office's plan with these applied."""

from collections.abc import Iterable
from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.plan.records import Align, Job, Panel, Stack


@frozen(kw_only=True, eq=False, repr=False)
class Revision:
    """The whole new size of one panel, mm, and where it sits on the panel below."""

    mark: str
    width: Decimal
    height: Decimal
    thickness: Decimal
    align: Align

    def apply(self, panel: Panel) -> Panel:
        return evolve(
            panel,
            width=self.width,
            height=self.height,
            thickness=self.thickness,
            align=self.align,
        )


def revise_stack(stack: Stack, revision: Revision) -> Stack:
    """The stack with one panel changed; a mark it does not hold changes nothing."""
    panels = tuple(
        revision.apply(panel) if panel.mark == revision.mark else panel for panel in stack.panels
    )
    return evolve(stack, panels=panels)


def in_force(job: Job, revisions: Iterable[Revision]) -> Job:
    """The job with every revision applied in order; the last of a panel counts."""
    latest = {revision.mark: revision for revision in revisions}
    if not latest:
        return job
    stacks = []
    for stack in job.stacks:
        for panel in stack.panels:
            if panel.mark in latest:
                stack = revise_stack(stack, latest[panel.mark])
        stacks.append(stack)
    return evolve(job, stacks=tuple(stacks))
