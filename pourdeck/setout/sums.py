"""Every number of a set-out opened to its sum: all that there are, by name.

Each gives the formula, what went in and where that came from.
"""

from pourdeck.setout.anchor_sums import anchors_sum, extra_anchors_sum, missing_sum, prop_sum
from pourdeck.setout.cast_sums import bracket_bolt_sum, bracket_offset_sum
from pourdeck.setout.drift_sums import growth_sum, lean_sum, out_sum
from pourdeck.setout.feature_sums import castin_sum, fill_sum, opening_sum
from pourdeck.setout.height_sums import (
    expected_height_sum,
    height_below_sum,
    height_sum,
    measured_below_sum,
    reading_sum,
)
from pourdeck.setout.place_sums import (
    bolt_sum,
    bracket_sum,
    from_arris_sum,
    offset_sum,
    position_sum,
)
from pourdeck.setout.quantity_sums import area_sum, centroid_sum, mass_sum, volume_sum
from pourdeck.setout.size_sums import (
    arris_size_sum,
    diagonal_sum,
    form_depth_sum,
    run_sum,
    size_sum,
)

__all__ = [
    "anchors_sum",
    "area_sum",
    "arris_size_sum",
    "bolt_sum",
    "bracket_bolt_sum",
    "bracket_offset_sum",
    "bracket_sum",
    "castin_sum",
    "centroid_sum",
    "diagonal_sum",
    "expected_height_sum",
    "extra_anchors_sum",
    "fill_sum",
    "form_depth_sum",
    "from_arris_sum",
    "growth_sum",
    "height_below_sum",
    "height_sum",
    "lean_sum",
    "mass_sum",
    "measured_below_sum",
    "missing_sum",
    "offset_sum",
    "opening_sum",
    "out_sum",
    "position_sum",
    "prop_sum",
    "reading_sum",
    "run_sum",
    "size_sum",
    "volume_sum",
]  # fmt: skip
