"""Rule 6: the anchors to cast into a panel's edges for the panel that comes after it."""

from decimal import Decimal

from pourdeck.plan.records import Kit, Panel
from pourdeck.plan.sides import Side
from pourdeck.setout.edges import blocked, obstacles

RUNS_FROM_ORIGIN: dict[Side, bool] = {"base": True, "right": True, "head": False, "left": False}
"""Forms go round pinwheel: the runs of base and right start where positions start, the others end there."""


def hole_positions(panel: Panel, side: Side, kit: Kit) -> list[Decimal]:
    """Every hole of the run along this side that is far enough from both corners, rising, mm."""
    length = panel.side_length(side)
    along = []
    from_start = kit.holes.first
    while from_start <= length - kit.anchors.end_min:
        if from_start >= kit.anchors.end_min:
            along.append(from_start)
        from_start += kit.holes.pitch
    if RUNS_FROM_ORIGIN[side]:
        return along
    return [length - position for position in reversed(along)]


def anchors(panel: Panel, side: Side, kit: Kit) -> tuple[Decimal, ...]:
    """The holes that are also clear of openings that break the edge and of cast-ins in it, mm."""
    in_the_way = obstacles(panel, side, kit.anchors.clear)
    holes = hole_positions(panel, side, kit)
    return tuple(at for at in holes if not blocked(at, in_the_way)) if in_the_way else tuple(holes)
