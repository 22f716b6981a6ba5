"""The measurements that may be recorded for a poured panel, by the keys they are kept under."""

from pourdeck.plan.records import CORNERS

SIZES = ("width_base", "width_head", "height_left", "height_right")
DIAGONALS = ("diagonal_bl_hr", "diagonal_br_hl")
HEIGHTS = tuple(f"rl_{corner}" for corner in CORNERS)
THICKNESSES = tuple(f"thickness_{corner}" for corner in CORNERS)
OUTS = (
    "out_base_bl", "out_base_br", "out_head_hl", "out_head_hr",
    "out_left_bl", "out_left_hl", "out_right_br", "out_right_hr",
)  # fmt: skip
"""List how far a face is out from its planned line near a corner, positive outwards: the only signed keys."""

TWICE = ("width", "height", "diagonals", "thickness")
"""List what a job may ask to be measured twice, by the names of its bands."""

AS_CAST_KEYS = (*SIZES, *DIAGONALS, *HEIGHTS, *THICKNESSES, *OUTS)


def is_height(key: str) -> bool:
    """True where a value is a height in m; every other is a length in mm."""
    return key in HEIGHTS


def is_signed(key: str) -> bool:
    return key in OUTS


def judged_as(key: str) -> str | None:
    """The name of the bands that judge a measurement, None where the job has none for it."""
    first = key.partition("_")[0]
    name = "diagonals" if first == "diagonal" else first
    return name if name in TWICE and key in AS_CAST_KEYS else None
