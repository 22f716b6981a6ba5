"""Least and most that each number can be: beyond, a key slipped, or something else wrote the log.

What is typed is refused there, and what a log holds counts for nothing. Units are those of the files.
"""

from decimal import Decimal

_RANGES = {
    # No tape, staff or plan goes further.
    "mm": ("-100000", "100000"),
    "mm/form": ("-2000", "2000"),
    "size": ("0", "100000"),
    "m": ("-10000", "10000"),
    "%": ("-100", "100"),
    "°C": ("-100", "100"),
    "MPa": ("-250", "250"),
    "m³": ("-1000", "1000"),
    "km/h": ("-300", "300"),
    # Common practice, no source: staffs are three to five metres long.
    "staff": ("-10", "10"),
    # How far a face is out from its planned line: beyond this something else was typed.
    "face": ("-1000", "1000"),
    # Of a load. A slump cannot be more than the cone is high: 300 mm, or 12 in (common practice, no source).
    "volume": ("0.05", "20"),
    "slump": ("0", "304.8"),
    "temperature": ("-10", "70"),
    "water": ("0", "2000"),
    # The weather at the slab. Wind is the mean, not the gust, about 0.5 m over the slab.
    "concrete": ("-20", "80"),
    "air": ("-60", "60"),
    "humidity": ("0", "100"),
    "wind": ("0", "300"),
    # °C of concrete that sets and is not steamed: outside them the probe or the unit is wrong.
    "reading": ("-20", "95"),
    "strength": ("0.5", "150"),
}

RANGES = {name: (Decimal(least), Decimal(most)) for name, (least, most) in _RANGES.items()}
"""Least and most by the name of the quantity, both allowed."""
