"""Which tolerance band a size falls into."""

from collections.abc import Iterable
from decimal import Decimal

from pourdeck.plan.records import Band


def band_for(bands: Iterable[Band], nominal: Decimal) -> Band | None:
    """The first band whose `upto` is at least the nominal size, mm; None where none is."""
    return next((band for band in bands if band.upto is None or nominal <= band.upto), None)
