"""Rule 4: the diagonals that show a panel square, √(w² + h²) by Pythagoras."""

from decimal import Decimal

from pourdeck.plan.records import Panel
from pourdeck.setout.record import Diagonal


def hypotenuse(width: Decimal, height: Decimal) -> Decimal:
    """√(width² + height²) in the unit given, to 28 digits."""
    return (width * width + height * height).sqrt()


def diagonal(panel: Panel, chamfer: Decimal) -> Diagonal:
    """At the face line, and arris to arris: each side shorter by a chamfer at either end. mm."""
    trim = 2 * chamfer
    return Diagonal(
        face=hypotenuse(panel.width, panel.height),
        arris=hypotenuse(panel.width - trim, panel.height - trim),
    )
