"""Where the sides of a cast panel really run, and how far in the next form stands at each bracket.

The next panel is set out at its planned place, so that what is off in one does not climb into the next.
"""

from decimal import Decimal
from functools import lru_cache

from attrs import frozen

from pourdeck.plan.poured import Poured
from pourdeck.plan.records import Job, Panel, Units
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.shown_lengths import rounded
from pourdeck.plan.sides import Corner, Side
from pourdeck.setout.adjust import BEARING, Adjusted, Corners, adjust
from pourdeck.setout.place import Point, footprint

ENDS: dict[Side, tuple[Corner, Corner]] = {
    "base": ("bl", "br"),
    "right": ("br", "hr"),
    "head": ("hl", "hr"),
    "left": ("bl", "hl"),
}
"""The corners a side runs between, as positions along it rise."""

INWARDS: dict[Side, int] = {"base": 1, "right": -1, "head": -1, "left": 1}
"""Whether a form moves in as its coordinate rises."""

MM_DECIMALS = 3
"""Finer than any tape reads."""


@frozen(kw_only=True, eq=False, repr=False)
class CastLines:
    """The sides of a cast panel as straight lines between its adjusted corners."""

    adjusted: Adjusted

    def offset(self, side: Side, face: Decimal, along: Decimal) -> Decimal:
        """How far in a form stands whose face line is at `face`, beside the line at `along`. mm.

        Both in stack coordinates: across the side, and along it. Negative: it overhangs.
        """
        line = self.line(side, float(along))
        return rounded(Decimal(INWARDS[side] * (float(face) - line)), MM_DECIMALS)

    def line(self, side: Side, along: float) -> float:
        """Where the cast face is at `along`; past a corner the line goes on."""
        first, last = (self.adjusted.corners[corner] for corner in ENDS[side])
        runs, across = (0, 1) if side in ("base", "head") else (1, 0)
        part = (along - first[runs]) / (last[runs] - first[runs])
        return first[across] + part * (last[across] - first[across])


def cast_lines(
    panel: Panel, at: Point, poured: Poured | None, job: Job
) -> CastLines | Refusal | None:
    """The lines of a panel from what was measured of it; None where nothing measured bears on them."""
    values = poured.measured if poured else {}
    measured = tuple(sorted((key, value) for key, value in values.items() if key in BEARING))
    if not measured:
        return None
    rect = footprint(panel, at)
    x0, y0, x1, y1 = (float(edge) for edge in (rect.x0, rect.y0, rect.x1, rect.y1))
    found = _adjusted((x0, y0, x1, y1), measured, job.limits.tape, job.units)
    return found if isinstance(found, Refusal) else CastLines(adjusted=found)


@lru_cache(maxsize=1024)
def _adjusted(
    rect: tuple[float, float, float, float],
    measured: tuple[tuple[str, Decimal], ...],
    sigma: Decimal,
    units: Units,
) -> Adjusted | Refusal:
    """Kept, because nine alignments stand on the same panel and every entry asks again."""
    x0, y0, x1, y1 = rect
    planned: Corners = {"bl": (x0, y0), "br": (x1, y0), "hr": (x1, y1), "hl": (x0, y1)}
    return adjust(planned, dict(measured), sigma, units)
