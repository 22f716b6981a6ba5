"""How few added anchors hold a form over its whole length, and where they go.

A form is held where its first and last bracket are at most `end_max` from the ends and neighbours at
most `gap_max` apart. Going from the start and always adding the furthest place in reach needs the
fewest; the same from the far end gives the nearest places that still do. Any place between the two
serves, so the added anchors are put evenly there and on a round measure.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from attrs import frozen

from pourdeck.plan.records import AnchorRules
from pourdeck.setout.edges import Stretch, blocked


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
    """The same part seen from its far end."""
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
