"""Size changes of the log as revisions of the plan."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Panel
from pourdeck.plan.revision import Revision
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.logged import number_of

SIZES = ("width", "height", "thickness")


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
        align=after.get("align", panel.align),
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
