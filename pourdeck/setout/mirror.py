"""Openings and cast-ins as cast: the drawing's own, or mirrored left to right.

Where the drawing shows the face that lies down, x_cast = width − x − feature width; y never changes.
"""

from decimal import Decimal

from pourdeck.plan.records import Panel
from pourdeck.setout.record import PlacedCastIn, PlacedOpening


def cast_x(panel: Panel, x: Decimal, feature_width: Decimal) -> Decimal:
    """Where a feature drawn at x lies from the panel's own left as cast, mm."""
    return panel.width - x - feature_width if panel.mirrored else x


def openings_as_cast(panel: Panel) -> tuple[PlacedOpening, ...]:
    return tuple(
        PlacedOpening(
            name=opening.name,
            x=cast_x(panel, opening.x, opening.width),
            y=opening.y,
            width=opening.width,
            height=opening.height,
        )
        for opening in panel.openings
    )


def castins_as_cast(panel: Panel) -> tuple[PlacedCastIn, ...]:
    """A cast-in in the face is mirrored about its centre; one in an edge is given as cast already."""
    return tuple(
        PlacedCastIn(
            name=item.name,
            kind=item.kind,
            x=None if item.x is None else cast_x(panel, item.x, Decimal(0)),
            y=item.y,
            edge=item.edge,
            at=item.at,
        )
        for item in panel.castins
    )
