"""What stands in the way of an anchor in a panel's edge: openings that break it, cast-ins in it."""

from decimal import Decimal

from pourdeck.plan.records import Panel
from pourdeck.plan.sides import Side
from pourdeck.setout.mirror import cast_x

Stretch = tuple[Decimal, Decimal]
"""Start and end along a side, mm. An anchor may stand on either end, not between."""


def broken_by_openings(panel: Panel, side: Side) -> list[Stretch]:
    """Where openings break this edge, along the side in the panel's own coordinates, mm."""
    broken = []
    for opening in panel.openings:
        left = cast_x(panel, opening.x, opening.width)
        right, top = left + opening.width, opening.y + opening.height
        reaches = {
            "base": opening.y <= 0,
            "head": top >= panel.height,
            "left": left <= 0,
            "right": right >= panel.width,
        }[side]
        if reaches:
            broken.append((left, right) if side in ("base", "head") else (opening.y, top))
    return broken


def cast_in_edge(panel: Panel, side: Side) -> list[Decimal]:
    """Positions of the cast-ins in this edge, mm: they are given as cast, mirrored or not."""
    return [item.at for item in panel.castins if item.edge == side and item.at is not None]


def obstacles(panel: Panel, side: Side, clear: Decimal) -> list[Stretch]:
    """Where no anchor may stand because it would be nearer than `clear` to an opening or cast-in."""
    around = [(start - clear, end + clear) for start, end in broken_by_openings(panel, side)]
    around += [(at - clear, at + clear) for at in cast_in_edge(panel, side)]
    return around


def blocked(position: Decimal, stretches: list[Stretch]) -> bool:
    for start, end in stretches:  # noqa: SIM110 - asked for every hole of every form, and any() takes twice as long
        if start < position < end:
            return True
    return False


def joined(stretches: list[Stretch]) -> list[Stretch]:
    """Overlapping stretches made one. Two that only touch leave a place for an anchor between."""
    merged: list[Stretch] = []
    for start, end in sorted(stretches):
        if end <= start:
            continue
        if merged and start < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged
