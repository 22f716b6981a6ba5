"""What may be written down of a load: which quantities, in which order, and how they are called."""

from pourdeck.plan.records import Units
from pourdeck.walk.quantities import QUANTITIES, Quantity, Value

LOAD_KEYS = (
    "docket", "mix", "volume", "batched", "arrived", "slump", "temperature", "water", "water_by", "begun",
    "ended", "let_in", "rejected",
)  # fmt: skip

FIELDS = {key: QUANTITIES[key] for key in LOAD_KEYS}
"""By key, in the order in which a load is written down."""

ASKED = (
    "docket", "mix", "batched", "arrived", "volume", "slump", "temperature", "begun", "ended",
)  # fmt: skip
"""What is asked of every load, the next one first. Water only where some was added."""


def field_words(one: Quantity, value: Value, units: Units) -> str:
    """`slump 80 mm`, `turned away: too old`."""
    joint = ": " if one is FIELDS["rejected"] else " "
    return f"{one.name}{joint}{shown(one, value, units)}"


def shown(one: Quantity, value: Value, units: Units) -> str:
    """A value as people of the job read it, a time by the clock it was read from."""
    return one.in_job(units).shown(value)
