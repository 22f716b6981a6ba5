"""How lengths stand in a table for people, in the units of the job."""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.records import Units


@frozen
class Lengths:
    """How lengths are written: in a table the head has the unit, feet and inches their own marks."""

    units: Units

    @property
    def mm(self) -> str:
        """What a head ends with."""
        return "\nmm" if self.units == "metric" else ""

    def bare(self, value: Decimal) -> str:
        return format_bare(value, self.units)

    def whole(self, value: Decimal, decimals: int | None = None) -> str:
        return format_length(value, self.units, decimals=decimals)

    def signed(self, value: Decimal) -> str:
        return f"+{self.bare(value)}" if value > 0 else self.bare(value)
