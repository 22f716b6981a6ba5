"""The rules for offsets and brackets read naively, point by point, for one side of a panel on another.

Nothing here is shared with the code under test: whether an anchor may stand at a place is asked of the
rule's own words, and the fewest additions are a shortest path (scipy.sparse.csgraph) over every place
that can matter.
"""

import itertools
from collections.abc import Iterable, Sequence
from decimal import Decimal

import numpy as np
from attrs import frozen
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from pourdeck.plan.records import Kit, Panel

Stretch = tuple[Decimal, Decimal]


def along(panel: Panel, side: str) -> Decimal:
    return {"base": panel.width, "head": panel.width}.get(side, panel.height)


def broken(panel: Panel, side: str) -> list[Stretch]:
    """Where openings reach this edge. As cast: a mirrored panel has its left and right changed over."""
    found = []
    for hole in panel.openings:
        x = hole.x
        if panel.drawn_from != panel.face_up:
            x = panel.width - hole.x - hole.width
        if side == "base" and hole.y == 0:
            found.append((x, x + hole.width))
        if side == "head" and hole.y + hole.height == panel.height:
            found.append((x, x + hole.width))
        if side == "left" and x == 0:
            found.append((hole.y, hole.y + hole.height))
        if side == "right" and x + hole.width == panel.width:
            found.append((hole.y, hole.y + hole.height))
    return found


def is_clear(panel: Panel, side: str, at: Decimal, clear: Decimal) -> bool:
    """At least `clear` from every opening that breaks the edge and every cast-in in it."""
    from_openings = [max(start - at, at - end, Decimal(0)) for start, end in broken(panel, side)]
    in_openings = any(start < at < end for start, end in broken(panel, side))
    from_castins = [
        abs(at - item.at) for item in panel.castins if item.edge == side and item.at is not None
    ]
    return not in_openings and all(far >= clear for far in from_openings + from_castins)


def anchors_to_cast(panel: Panel, side: str, kit: Kit) -> list[Decimal]:
    """Rule 6. Runs start: base at bl, right at br, head at hr, left at hl."""
    length = along(panel, side)
    found = []
    for number in range(int(length / kit.holes.pitch) + 2):
        run = kit.holes.first + number * kit.holes.pitch
        at = length - run if side in ("head", "left") else run
        if (
            at >= kit.anchors.end_min
            and length - at >= kit.anchors.end_min
            and is_clear(panel, side, at, kit.anchors.clear)
        ):
            found.append(at)
    return sorted(found)


@frozen(kw_only=True)
class Naive:
    """One side of `new` standing `shift` along from the start of the same side of `below`."""

    new: Panel
    below: Panel
    side: str
    shift: Decimal
    kit: Kit

    @property
    def length(self) -> Decimal:
        return along(self.new, self.side)

    def may_stand(self, at: Decimal) -> bool:
        """At least end_min from the corners of both panels, clear of what is in the edge below."""
        least = self.kit.anchors.end_min
        anchor = at + self.shift
        return (
            least <= at <= self.length - least
            and least <= anchor <= along(self.below, self.side) - least
            and is_clear(self.below, self.side, anchor, self.kit.anchors.clear)
        )

    def hangs(self, anchor: Decimal) -> bool:
        """Whether a bracket of the new panel is hung on this anchor of the one below."""
        least = self.kit.anchors.end_min
        return least <= anchor - self.shift <= self.length - least

    def turning_points(self) -> list[Decimal]:
        """Every place along the new side where `may_stand` can change, and its ends."""
        rules = self.kit.anchors
        below = [rules.end_min, along(self.below, self.side) - rules.end_min]
        for start, end in broken(self.below, self.side):
            below += [start - rules.clear, start, end, end + rules.clear]
        for item in self.below.castins:
            if item.edge == self.side and item.at is not None:
                below += [item.at - rules.clear, item.at + rules.clear]
        mine = [Decimal(0), rules.end_min, self.length - rules.end_min, self.length]
        points = set(mine) | {at - self.shift for at in below}
        return sorted(at for at in points if 0 <= at <= self.length)

    def forbidden(self) -> list[Stretch]:
        """The stretches over which no anchor may stand, those that overlap joined."""
        points = self.turning_points()
        found: list[Stretch] = []
        for start, end in itertools.pairwise(points):
            if self.may_stand((start + end) / 2):
                continue
            if found and found[-1][1] == start and not self.may_stand(start):
                found[-1] = (found[-1][0], end)
            else:
                found.append((start, end))
        return found

    def props(self) -> list[Stretch]:
        rules = self.kit.anchors
        return [
            (start, end)
            for start, end in self.forbidden()
            if end - start > (rules.end_max if start == 0 or end == self.length else rules.gap_max)
        ]

    def parts(self) -> list[Stretch]:
        """Give what the props leave of the side."""
        edges = [Decimal(0), *(edge for prop in self.props() for edge in prop), self.length]
        pairs = zip(edges[::2], edges[1::2], strict=True)
        return [(start, end) for start, end in pairs if start < end]

    def is_covered(self, brackets: Iterable[Decimal]) -> bool:
        rules = self.kit.anchors
        for start, end in self.parts():
            inside = sorted(at for at in brackets if start <= at <= end)
            if not inside or inside[0] - start > rules.end_max or end - inside[-1] > rules.end_max:
                return False
            if any(b - a > rules.gap_max for a, b in itertools.pairwise(inside)):
                return False
        return True

    def fewest(self, brackets: Sequence[Decimal]) -> int | None:
        """Count how many must be added at the least; None where no number gives cover."""
        counts = [self._fewest_in(part, brackets) for part in self.parts()]
        known = [count for count in counts if count is not None]
        return sum(known) if len(known) == len(counts) else None

    def _fewest_in(self, part: Stretch, brackets: Sequence[Decimal]) -> int | None:
        """A cheapest path of steps no longer than allowed, where standing on a bracket is free.

        Pushing every added place as far along as it goes loses nothing, so only places count that are
        some gaps on from an end, a bracket or a place where a forbidden stretch ends.
        """
        rules = self.kit.anchors
        start, end = part
        there = {at for at in brackets if start <= at <= end}
        seeds = there | {start + rules.end_max, *self.turning_points()}
        places = {
            seed + number * rules.gap_max
            for seed in seeds
            for number in range(int(self.length / rules.gap_max) + 2)
        }
        free = sorted(there | {at for at in places if start <= at <= end and self.may_stand(at)})
        size = len(free)
        cost = np.array([0.0 if at in there else 1.0 for at in free])
        steps = np.zeros((size + 2, size + 2))
        price = cost + 1e-6
        exact = [[0 < b - a <= rules.gap_max for b in free] for a in free]
        steps[1 : size + 1, 1 : size + 1] = np.where(exact, price, 0) if size else 0
        for index, at in enumerate(free):
            if at - start <= rules.end_max and at <= min(there, default=end):
                steps[0, index + 1] = price[index]
            if end - at <= rules.end_max and at >= max(there, default=start):
                steps[index + 1, size + 1] = 1e-6
        far = dijkstra(csr_array(steps), indices=0)[size + 1]
        return None if np.isinf(far) else int(far + 0.01)
