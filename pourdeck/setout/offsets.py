"""Rule 2: how far each face line stands in from the panel below, and the bolt that takes it."""

from decimal import Decimal

from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.lengths import format_length
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Kit, Units
from pourdeck.plan.sides import Side, Sides
from pourdeck.setout.place import Rect


def offsets(new: Rect, below: Rect) -> Sides[Decimal]:
    """Positive inwards, negative an overhang, mm."""
    return Sides(
        base=new.y0 - below.y0,
        right=below.x1 - new.x1,
        head=below.y1 - new.y1,
        left=new.x0 - below.x0,
    )


def bolt_for(offset: Decimal, kit: Kit, lap: Decimal) -> str | None:
    """The first bolt of the kit whose band holds the offset, ends included; None where none does.

    An offset between -lap and 0 counts as 0.
    """
    if offset < 0:
        if offset < -lap:
            return None
        offset = Decimal(0)
    for bolt in kit.bolts:
        low, high = bolt.reach
        if low <= offset <= high:
            return bolt.name
    return None


def reach_fault(
    side: Side, offset: Decimal, kit: Kit, lap: Decimal, units: Units
) -> tuple[str, str] | None:
    """Code and message where the brackets cannot hold a form at this offset, else None."""
    shown = format_length(abs(offset), units)
    if offset < -lap:
        return "overhang", (
            f"{side}: overhangs the panel below by {shown}; at most {format_length(lap, units)} may "
            "lap. Move or shrink this panel, or put it lower in a stack."
        )
    longest = kit.longest_bolt
    if offset > longest.reach[1]:
        return "out-of-reach", (
            f"{side}: {shown} in from the panel below is past the longest reach, "
            f"{format_length(longest.reach[1], units)} (bolt {literal(longest.name)}). "
            "Choose another alignment or another place in a stack."
        )
    if bolt_for(offset, kit, lap) is None:
        bands = ", ".join(
            f"{literal(bolt.name)} {format_length(bolt.reach[0], units)} to "
            f"{format_length(bolt.reach[1], units)}"
            for bolt in kit.bolts
        )
        return "out-of-reach", (
            f"{side}: no bolt takes {shown} in from the panel below ({bands}). "
            "Choose another alignment or shift the panel."
        )
    return None


def reach_findings(
    found: Sides[Decimal], kit: Kit, lap: Decimal, units: Units, spot: Spot
) -> list[Finding]:
    """`overhang` and `out-of-reach`, one a side."""
    faults = []
    for side, offset in found.items():
        fault = reach_fault(side, offset, kit, lap, units)
        if fault:
            faults.append(spot.error(*fault, side))
    return faults
