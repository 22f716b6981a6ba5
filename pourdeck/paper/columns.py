"""Write lengths for the tables of a page, in the units of the job."""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.records import Units


@frozen
class Lengths:
    """Write lengths for a page: in a table the head has the unit, feet and inches their own marks."""

    units: Units

    @property
    def mm(self) -> str:
        """Give the line that ends a head of a column of lengths; "" in an imperial job."""
        return "\nmm" if self.units == "metric" else ""

    def bare(self, value: Decimal) -> str:
        return format_bare(value, self.units)

    def whole(self, value: Decimal, decimals: int | None = None) -> str:
        return format_length(value, self.units, decimals=decimals)

    def signed(self, value: Decimal) -> str:
        return f"+{self.bare(value)}" if value > 0 else self.bare(value)
