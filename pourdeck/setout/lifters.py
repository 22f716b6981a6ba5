"""Mass and centre of gravity beside the lifters in the upper face: information for the engineer's check.

Nothing here is a lifting design: no capacity, no sling, no factor of safety. A factor on the mass is the one
that the lifting design gives, and no other.
"""

from collections.abc import Sequence
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.lengths import format_together
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import Job, Side
from pourdeck.setout.record import PlacedCastIn, Quantities, SetOut


@frozen(kw_only=True, eq=False, repr=False)
class Lifters:
    """`number` in the upper face, their `centre` from the panel's own bl as cast, mm, None without any.

    `eccentricity`: centre less centroid, mm. `share`: mass over their number, kg. `spread`: how far the
    outermost are apart along the base and along the left side, mm. `in_edges`: lifters that are cast into
    each edge that has any.
    """

    number: int
    centre: tuple[Decimal, Decimal] | None
    eccentricity: tuple[Decimal, Decimal] | None
    share: Decimal | None
    spread: tuple[Decimal, Decimal] = (Decimal(0), Decimal(0))
    in_edges: tuple[tuple[Side, int], ...] = ()


def lifters(setout: SetOut) -> Lifters:
    """Those cast into the upper face, which have no edge."""
    return lifters_about(setout.castins, setout.quantities)


def lifters_about(castins: Sequence[PlacedCastIn], quantities: Quantities) -> Lifters:
    """Find the lifters among cast-ins as cast, about the centroid and mass of their panel."""
    every = [one for one in castins if one.kind == "lifter"]
    found = [one for one in every if one.edge is None]
    edges = [one.edge for one in every if one.edge is not None]
    in_edges = tuple((edge, edges.count(edge)) for edge in dict.fromkeys(edges))
    if not found:
        return Lifters(number=0, centre=None, eccentricity=None, share=None, in_edges=in_edges)
    count = Decimal(len(found))
    centre = tuple(
        sum((getattr(one, axis) for one in found), Decimal(0)) / count for axis in ("x", "y")
    )
    centroid, mass = quantities.centroid, quantities.mass
    off = None
    if centroid is not None:
        off = (centre[0] - centroid[0], centre[1] - centroid[1])
    return Lifters(
        number=len(found),
        centre=(centre[0], centre[1]),
        eccentricity=off,
        share=None if mass is None else mass / count,
        spread=(_spread(found, "x"), _spread(found, "y")),
        in_edges=in_edges,
    )


def _spread(found: Sequence[PlacedCastIn], axis: str) -> Decimal:
    places: list[Decimal] = [getattr(one, axis) for one in found]
    return max(places) - min(places)


def shares_differ(found: Lifters) -> bool:
    """Whether the eccentricity is more than a tenth of the lifters' spread, along either side.

    Along a side on which all lifters are in one line they share the mass as they do without it.
    """
    return found.eccentricity is not None and any(
        spread and abs(off) * 10 > spread
        for off, spread in zip(found.eccentricity, found.spread, strict=True)
    )


CLEAR = Decimal(100)
"""mm from the centre of gravity, under which no edge is said to lead: lifters about it lift a panel flat."""


def leading_edge(found: Lifters, clear: Decimal = CLEAR) -> Side | None:
    """The edge that comes up first, None where the lifters say none or are within `clear`, mm.

    What hangs free turns until its centre of gravity is under the centre of the lifters (plain statics): the
    edge leads that the lifters are clearly nearer to. Without any in the face, the one edge that has some.
    """
    if found.eccentricity is None:
        return found.in_edges[0][0] if len(found.in_edges) == 1 and not found.number else None
    x, y = found.eccentricity
    if max(abs(x), abs(y)) < clear:
        return None
    if abs(y) >= abs(x):
        return "head" if y > 0 else "base"
    return "right" if x > 0 else "left"


def factored_mass(setout: SetOut, factor: Decimal | None) -> Decimal | None:
    """Mass times the factor that the lifting design gives, kg; None where either is not given."""
    mass = setout.quantities.mass
    return None if mass is None or factor is None else mass * factor


def lifter_findings(
    job: Job, castins: Sequence[PlacedCastIn], quantities: Quantities, spot: Spot
) -> list[Finding]:
    """`eccentricity`, for the engineer: the lifters' centre is further off than the lifting design allows."""
    most, off = job.limits.lift.eccentricity, lifters_about(castins, quantities).eccentricity
    if most is None or off is None or max(map(abs, off)) <= most:
        return []
    ways = ("right" if off[0] > 0 else "left", "head" if off[1] > 0 else "base")
    *shown, limit = format_together([*map(abs, off), most], job.units)
    parts = [
        f"{text} towards the {way}"
        for by, text, way in zip(off, shown, ways, strict=True)
        if abs(by) > most
    ]
    source = job.limits.sources.get("lift", "")
    message = (
        f"The centre of the lifters is {' and '.join(parts)} from the centre of gravity, more than "
        f"{limit}, {literal(source)}. The engineer must check the lifting design."
    )
    return [spot.warning("eccentricity", message)]
