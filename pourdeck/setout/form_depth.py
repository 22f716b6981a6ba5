"""Rule 3: the form depth is the thickness, or there is no form for the panel."""

from decimal import Decimal

from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import Kit, Panel, Units


def form_depth(panel: Panel, kit: Kit) -> Decimal | None:
    """The depth of the forms for a panel, mm; None where the kit holds none so deep."""
    return panel.thickness if panel.thickness in kit.depths else None


def no_form_message(panel: Panel, kit: Kit, units: Units) -> str:
    held = ", ".join(format_length(depth, units) for depth in sorted(kit.depths))
    return (
        f"no form is {format_length(panel.thickness, units)} deep; the kit holds {held}. "
        "Change the thickness, or get forms of that depth and have the office put them in the kit."
    )
