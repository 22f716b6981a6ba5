"""How large a slip in each measurement of a panel would show, before anything is measured.

The same equations as of what is measured (`adjust`), at the planned corners: how well a measurement is
checked by the others hangs on which are taken and on the shape of the panel, not on what they read.
"""

from collections.abc import Collection
from decimal import Decimal
from functools import lru_cache
from math import hypot

from attrs import frozen

from pourdeck.plan.refusal import Refusal
from pourdeck.setout.adjust import DISTANCES, OUTWARDS, Corners, adjust

NANOMETRES = 6
"""Decimals of a planned length, mm: the error of rounding it tells nothing."""


@frozen(kw_only=True)
class Shows:
    """`redundancy`: the part of an error in it that the others would show, 0 to 1.

    `shows`: the least slip that would be noticed, mm, 3σ/√r; None where nothing can be told of it.
    """

    key: str
    redundancy: float
    shows: float | None


def what_shows(
    width: Decimal, height: Decimal, keys: Collection[str], sigma: Decimal
) -> tuple[Shows, ...]:
    """What would show of a panel of that size, mm, were `keys` measured; others bear on no corner.

    `sigma`: standard deviation of one taped length, mm. Rests on nothing measured, so on no error.
    """
    return _what_shows(width, height, frozenset(keys), sigma)


@lru_cache(maxsize=256)
def _what_shows(
    width: Decimal, height: Decimal, keys: frozenset[str], sigma: Decimal
) -> tuple[Shows, ...]:
    """Kept, because a screen asks the same at every key that is pressed."""
    wide, high = float(width), float(height)
    planned: Corners = {"bl": (0.0, 0.0), "br": (wide, 0.0), "hr": (wide, high), "hl": (0.0, high)}
    found = adjust(planned, _without_error(planned, keys), sigma, "metric")
    if isinstance(found, Refusal):
        # No corners are nearer to what was planned than the planned ones.
        raise AssertionError(found)
    return tuple(
        Shows(key=one.key, redundancy=one.redundancy, shows=one.shows) for one in found.checked
    )


def _without_error(planned: Corners, keys: Collection[str]) -> dict[str, Decimal]:
    """What a perfect tape reads of a panel cast as planned, mm."""
    read: dict[str, Decimal] = {key: Decimal(0) for key in OUTWARDS if key in keys}
    for key, (start, end) in DISTANCES.items():
        if key in keys:
            (x0, y0), (x1, y1) = planned[start], planned[end]
            read[key] = Decimal(f"{hypot(x1 - x0, y1 - y0):.{NANOMETRES}f}")
    return read
