"""Releases of the panel below that a size change makes lapse: what it must carry for this one moves."""

from typing import TYPE_CHECKING

from pourdeck.plan.records import revise_stack
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import Cancel, releases_in_force
from pourdeck.walk.panel_walk import build_walk
from pourdeck.walk.steps import Context

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk


def lapses_below(desk: "Desk", change: Resize) -> tuple[Cancel, ...]:
    """Those in force now that would be void after the change; none where that panel is poured."""
    below = change.below
    if below is None or below.poured or not change.changes_anything:
        return ()
    record = desk.state.panels.get(below.mark)
    if record is None or not record.releases:
        return ()
    setouts = desk.set_outs(change.stack)
    if setouts[below.number - 1].extra_anchors == below.extra_anchors:
        return ()
    now = releases_in_force(desk.walk(change.stack, below.number))
    stack = revise_stack(desk.stack(change.stack), change.revision())
    context = Context(job=desk.job, stack=stack, setout=below, record=record)
    after = build_walk(context, desk.template, desk.state, desk.now())
    stands = {one.hold for one in releases_in_force(after)}
    return tuple(one for one in now if one.hold not in stands)
