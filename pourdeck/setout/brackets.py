"""Rule 7: the brackets of a panel, the anchors the panel below must have added, and what needs a prop.

Everything here is along one side. Positions in the new side's own coordinates unless said otherwise.
"""

from collections.abc import Sequence
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.records import AnchorRules, Kit, Panel, Units
from pourdeck.plan.sides import Side
from pourdeck.setout.cover import Grid, Part, additions
from pourdeck.setout.edges import Stretch, joined, obstacles

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
"""How far a stretch at a corner is drawn past it, so that the corner itself is inside. mm."""


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
    """What is left of a side between its props, each to be judged by itself."""
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
