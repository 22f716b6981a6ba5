"""Mass and centre of gravity beside the lifters in the upper face: information for the engineer's check.

Nothing here is a lifting design: no capacity, no sling, no factor of safety.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.setout.record import SetOut


@frozen(kw_only=True)
class Lifters:
    """`number` in the upper face, their `centre` from the panel's own bl as cast, mm, None without any.

    `eccentricity`: centre less centroid, mm. `share`: mass over their number, kg.
    """

    number: int
    centre: tuple[Decimal, Decimal] | None
    eccentricity: tuple[Decimal, Decimal] | None
    share: Decimal | None


def lifters(setout: SetOut) -> Lifters:
    """Those cast into the upper face, which have no edge."""
    found = [one for one in setout.castins if one.kind == "lifter" and one.edge is None]
    if not found:
        return Lifters(number=0, centre=None, eccentricity=None, share=None)
    count = Decimal(len(found))
    centre = tuple(
        sum((getattr(one, axis) for one in found), Decimal(0)) / count for axis in ("x", "y")
    )
    centroid, mass = setout.quantities.centroid, setout.quantities.mass
    off = None
    if centroid is not None:
        off = (centre[0] - centroid[0], centre[1] - centroid[1])
    return Lifters(
        number=len(found),
        centre=(centre[0], centre[1]),
        eccentricity=off,
        share=None if mass is None else mass / count,
    )
