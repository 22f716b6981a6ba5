"""Give what the log changes in the plan: sizes changed on site, and what panels came to be when poured."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import ALIGNMENTS, Job, Panel, Revision, Units, in_force
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.words import count_of, number_of, with_people

SIZES = ("width", "height", "thickness")


def plan_in_force(plan: Job, state: SiteState) -> Job:
    """The plan with size changes and people of the log, and every poured panel as its pour recorded it."""
    revised = in_force(plan, revisions_of(plan, state.revisions))
    return with_people(in_force(revised, cast_revisions(revised, state)), state)


def cast_revisions(revised: Job, state: SiteState) -> list[Revision]:
    """Panels that are poured and that the plan says otherwise of: a poured panel is what was cast."""
    found = []
    for stack in revised.stacks:
        for panel in stack.panels:
            record = state.panels.get(panel.mark)
            if record is not None and record.pour_start is not None:
                cast = _revision(panel, record.pour_start.data)
                if cast.apply(panel) != panel:
                    found.append(cast)
    return found


def cast_findings(plan: Job, state: SiteState) -> tuple[Finding, ...]:
    """`plan-differs-from-cast`, a warning: what was cast stands, and the plan is to be put right."""
    revised = in_force(plan, revisions_of(plan, state.revisions))
    cast = {revision.mark: revision for revision in cast_revisions(revised, state)}
    found = []
    for stack in revised.stacks:
        for number, panel in enumerate(stack.panels, 1):
            if panel.mark in cast:
                spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                message = _difference(panel, cast[panel.mark], plan.units)
                found.append(spot.warning("plan-differs-from-cast", message))
    return tuple(found)


def _difference(panel: Panel, cast: Revision, units: Units) -> str:
    told = [
        f"{name} {format_length(getattr(cast, name), units)}, "
        f"not {format_length(getattr(panel, name), units)}"
        for name in SIZES
        if getattr(cast, name) != getattr(panel, name)
    ]
    if cast.align != panel.align:
        told.append(f"{cast.align}, not {panel.align}")
    return (
        f"it was cast with {'; '.join(told)} as the plan has it now. What was cast counts. "
        "Put job.toml right, or take it to the engineer."
    )


def lost_marks(plan: Job, state: SiteState) -> tuple[Finding, ...]:
    """`mark-lost`, a warning for each panel that was begun and that the plan no longer has."""
    marks = {panel.mark for stack in plan.stacks for panel in stack.panels}
    return tuple(
        Finding(
            code="mark-lost",
            severity="warning",
            mark=mark,
            message=f"The log has {count_of(len(record.entries), 'entry', 'entries')} of "
            f"{literal(mark)}, and the plan has no panel of that mark. They are kept and count for no "
            "panel. Put the mark back in job.toml; a panel that is only renamed has its record under "
            "the old mark.",
        )
        for mark, record in state.panels.items()
        if record.started is not None and mark not in marks
    )


def revisions_of(plan: Job, entries: Iterable[Entry]) -> list[Revision]:
    """Each size change that stands, in order; what it does not name stays as it was before.

    One of a panel that the plan no longer has is left out: `lost_revisions` names it.
    """
    panels = {panel.mark: panel for stack in plan.stacks for panel in stack.panels}
    made: list[Revision] = []
    for entry in entries:
        panel = panels.get(entry.panel or "")
        if panel is not None:
            revision = _revision(panel, entry.data["after"])
            panels[panel.mark] = revision.apply(panel)
            made.append(revision)
    return made


def _revision(panel: Panel, after: dict[str, Any]) -> Revision:
    sizes: dict[str, Decimal] = {}
    for name in SIZES:
        given = number_of(after.get(name))
        sizes[name] = getattr(panel, name) if given is None else given
    return Revision(
        mark=panel.mark,
        width=sizes["width"],
        height=sizes["height"],
        thickness=sizes["thickness"],
        align=next((one for one in ALIGNMENTS if one == after.get("align")), panel.align),
    )


def lost_revisions(plan: Job, entries: Iterable[Entry]) -> tuple[Finding, ...]:
    """A warning for each size change of a panel that the plan no longer has."""
    marks = {panel.mark for stack in plan.stacks for panel in stack.panels}
    return tuple(
        Finding(
            code="revision-lost",
            severity="warning",
            mark=entry.panel,
            message=f"The log has a size change of {literal(entry.panel or '')} (no. {entry.n} of "
            f"{literal(entry.station)}), and the plan has no panel of that mark. It is kept and "
            "not applied. Put the mark back, or write the size into the panel that took its place.",
        )
        for entry in entries
        if entry.panel not in marks
    )
