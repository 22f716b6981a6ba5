"""Releases of the panel below that a size change makes lapse: what it must carry for this one moves."""

from typing import TYPE_CHECKING

from pourdeck.plan.revision import revise_stack
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import Cancel, releases_in_force
from pourdeck.walk.view import build_walk

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
    under = setouts[below.number - 2] if below.number > 1 else None
    after = build_walk(
        desk.job, stack, below, change.levels[0].after, under, desk.state, desk.now(), desk.template
    )
    stands = {one.hold for one in releases_in_force(after)}
    return tuple(one for one in now if one.hold not in stands)
