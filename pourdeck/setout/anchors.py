"""Anchors and brackets: what is in the way, the fewest that give cover, those to cast in and hang."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from attrs import frozen

from pourdeck.plan.records import AnchorRules, Kit, Panel, Side, Units
from pourdeck.setout.place import cast_x

# What stands in the way of an anchor in a panel's edge: openings that break it, cast-ins in it.

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


# How few added anchors hold a form over its whole length, and where they go.
#
# A form is held where its first and last bracket are at most `end_max` from the ends and neighbours at
# most `gap_max` apart. Going from the start and always adding the furthest place in reach needs the
# fewest; the same from the far end gives the nearest places that still do. Any place between the two
# serves, so the added anchors are put evenly there and on a round measure.


@frozen(kw_only=True, eq=False, repr=False)
class Part:
    """A length of form judged by itself: its ends, the anchors in it, where none may stand. mm."""

    start: Decimal
    end: Decimal
    anchors: tuple[Decimal, ...]
    no_anchor: tuple[Stretch, ...]


@frozen(eq=False, repr=False)
class Grid:
    """The round measures that are easy to tape: `origin` and every whole `step` from it, mm."""

    origin: Decimal
    step: Decimal


def covered(part: Part, positions: Sequence[Decimal], rules: AnchorRules) -> bool:
    """True where brackets at these rising positions hold the whole part."""
    if not positions:
        return False
    gaps = pairwise(positions)
    return (
        positions[0] - part.start <= rules.end_max
        and part.end - positions[-1] <= rules.end_max
        and all(after - before <= rules.gap_max for before, after in gaps)
    )


def _last_allowed(limit: Decimal, no_anchor: Sequence[Stretch]) -> Decimal:
    """The furthest place at or before `limit` where an anchor may stand."""
    for start, end in no_anchor:
        if start < limit < end:
            return start
    return limit


def _furthest_additions(part: Part, rules: AnchorRules) -> list[Decimal]:
    """The fewest added positions, each as far along as it can be."""
    added: list[Decimal] = []
    waiting = list(part.anchors)
    reach = part.start + rules.end_max
    last: Decimal | None = None
    while True:
        while waiting and waiting[0] <= reach:
            last = waiting.pop(0)
            reach = last + rules.gap_max
        if last is not None and not waiting and last >= part.end - rules.end_max:
            return added
        place = _last_allowed(min(reach, part.end), part.no_anchor)
        if last is not None and place <= last:
            raise ValueError(f"no anchor can follow {last} within {rules.gap_max}")
        added.append(place)
        last = place
        reach = last + rules.gap_max


def _turned(part: Part) -> Part:
    """Turn a part round, as it is seen from its far end."""
    return Part(
        start=-part.end,
        end=-part.start,
        anchors=tuple(-at for at in reversed(part.anchors)),
        no_anchor=tuple((-end, -start) for start, end in reversed(part.no_anchor)),
    )


def _nearest_round(
    wanted: Decimal, low: Decimal, high: Decimal, grid: Grid, no_anchor: Sequence[Stretch]
) -> Decimal:
    """The allowed place in [low, high] nearest to `wanted`, on the grid where one is free."""
    step = grid.step
    down = grid.origin + ((wanted - grid.origin) // step) * step
    free = [
        place
        for place in (down, down + step)
        if low <= place <= high and not blocked(place, list(no_anchor))
    ]
    if not free:
        ends = [edge for stretch in no_anchor for edge in stretch]
        free = [
            place
            for place in (wanted, low, high, *ends)
            if low <= place <= high and not blocked(place, list(no_anchor))
        ]
    return min(free, key=lambda place: (abs(place - wanted), place))


def additions(part: Part, rules: AnchorRules, grid: Grid) -> tuple[Decimal, ...]:
    """The fewest added positions that give cover, rising, on the grid where the room allows. mm."""
    furthest = _furthest_additions(part, rules)
    nearest = [-at for at in reversed(_furthest_additions(_turned(part), rules))]
    placed: list[Decimal] = []
    for low, high in zip(nearest, furthest, strict=True):
        before = [at for at in (*part.anchors, *placed) if at < low]
        reach = max(before) + rules.gap_max if before else part.start + rules.end_max
        top = min(high, reach)
        placed.append(_nearest_round((low + top) / 2, low, top, grid, part.no_anchor))
    everything = sorted((*part.anchors, *placed))
    return tuple(placed) if covered(part, everything, rules) else tuple(furthest)


# Rule 6: the anchors to cast into a panel's edges for the panel that comes after it.

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


# Rule 7: the brackets of a panel, the anchors the panel below must have added, and what needs a prop.
#
# Everything here is along one side. Positions in the new side's own coordinates unless said otherwise.

ROUND_MEASURE: dict[Units, Decimal] = {"metric": Decimal(5), "imperial": Decimal("6.35")}
"""Added anchors go on a whole 5 mm or quarter inch of the panel they are cast in, if there is room."""


Held = tuple[Decimal, Decimal, bool]
"""A bracket: at along the new side, anchor along the side below, whether it is an extra anchor. mm."""


@frozen(kw_only=True, eq=False, repr=False)
class Joint:
    """One side of a panel on the one below it, mm.

    `held`: what hangs there, rising.
    `added`: along the side below, the fewest that are still wanted.
    `props`: stretches of the new side that no anchor can hold.
    """

    held: tuple[Held, ...]
    added: tuple[Decimal, ...]
    props: tuple[Stretch, ...]


BEYOND = Decimal(1)
"""Draw a stretch at a corner so far past it that the corner itself is inside. mm."""


def no_anchor_stretches(
    new: Panel, below: Panel, side: Side, shift: Decimal, rules: AnchorRules
) -> list[Stretch]:
    """Where no anchor may stand along the new side: near both panels' corners, and obstacles below.

    `shift`: how far the new side starts beyond the start of the side below. Overlaps are joined. What
    reaches a corner goes on past it: an anchor may stand on the end of a stretch, not on a corner.
    """
    length = new.side_length(side)
    first = max(rules.end_min, rules.end_min - shift)
    last = min(length - rules.end_min, below.side_length(side) - shift - rules.end_min)
    found = [(-BEYOND, first), (last, length + BEYOND)]
    found += [(start - shift, end - shift) for start, end in obstacles(below, side, rules.clear)]
    return joined(found)


def prop_stretches(
    stretches: Sequence[Stretch], length: Decimal, rules: AnchorRules
) -> list[Stretch]:
    """Those longer than brackets can span: `gap_max`, or `end_max` where one starts at a corner.

    A stretch that takes up the whole side needs a prop however short it is: nothing else holds it.
    """
    found = []
    for start, end in ((max(a, Decimal(0)), min(b, length)) for a, b in stretches):
        at_corner = start <= 0 or end >= length
        whole = start <= 0 and end >= length
        if whole or end - start > (rules.end_max if at_corner else rules.gap_max):
            found.append((start, end))
    return found


def parts_between(
    props: Sequence[Stretch], stretches: Sequence[Stretch], length: Decimal, anchors: list[Decimal]
) -> list[Part]:
    """List what is left of a side between its props, each to be judged by itself."""
    edges = [Decimal(0), *(edge for stretch in props for edge in stretch), length]
    parts = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        if start < end:
            parts.append(
                Part(
                    start=start,
                    end=end,
                    anchors=tuple(at for at in anchors if start <= at <= end),
                    no_anchor=tuple(stretches),
                )
            )
    return parts


def joint(
    new: Panel,
    below: Panel,
    side: Side,
    shift: Decimal,
    kit: Kit,
    holes: Sequence[Decimal],
    extras: Sequence[Decimal],
    units: Units,
    poured: bool,
) -> Joint:
    """Brackets of one side on the anchors of the panel below, and what is wanted for cover.

    holes, extras: anchors of the panel below along its side. `poured`: it can have no more cast in,
    so `added` are positions to fix afterwards and no bracket hangs there; otherwise they are cast in
    and carry brackets.
    """
    rules = kit.anchors
    length = new.side_length(side)
    stretches = no_anchor_stretches(new, below, side, shift, rules)
    props = prop_stretches(stretches, length, rules)
    there = [(at - shift, at, False) for at in holes] + [(at - shift, at, True) for at in extras]
    inside = [held for held in there if rules.end_min <= held[0] <= length - rules.end_min]
    along = sorted(held[0] for held in inside)
    grid = Grid(origin=-shift, step=ROUND_MEASURE[units])
    added = [
        at + shift
        for part in parts_between(props, stretches, length, along)
        for at in additions(part, rules, grid)
    ]
    if not poured:
        inside += [(at - shift, at, True) for at in added]
    return Joint(held=tuple(sorted(inside)), added=tuple(sorted(added)), props=tuple(props))
