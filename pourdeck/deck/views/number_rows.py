"""Rows with a number in them, each with the sum behind it and the place on the plan it speaks of."""

from collections.abc import Callable, Iterable
from decimal import Decimal

from attrs import field, frozen

from pourdeck.deck.paint import Spans, cells, fit, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_bare
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.record import SetOut, Sum
from pourdeck.walk.records import Place

Opens = Callable[[], Sum | None]

NOWHERE = Place()


@frozen(kw_only=True)
class NumberRow:
    """One row. `opens` gives its sum; None: a heading or words."""

    spans: Spans
    opens: Opens | None = field(default=None, eq=False, repr=False)
    place: Place = NOWHERE


Rows = Iterable[NumberRow]


@frozen(kw_only=True)
class Page:
    """Make rows, no wider than `width`, of a panel's set-out in the units of the job."""

    setout: SetOut
    job: Job
    stack: Stack
    width: int

    def length(self, mm: Decimal) -> str:
        return length(mm, self.job.units)

    def bare(self, mm: Decimal) -> str:
        return format_bare(mm, self.job.units)

    def amount(self, value: Decimal, unit: str, decimals: int) -> str:
        """A computed amount that is no length, rounded; `decimals` are of its unit in the files."""
        return format_computed(value, unit, self.job.units, decimals)

    def heading(self, text: str, right: str = "") -> NumberRow:
        return NumberRow(spans=justify(line((text, "heading")), line((right, "quiet")), self.width))

    def row(
        self, name: str, value: str, opens: Opens | None = None, place: Place = NOWHERE
    ) -> Rows:
        """Name and value in one line where both fit whole, else the value in lines under the name."""
        left, right = line(f" {name}"), line((value, "value"))
        if cells(left) + cells(right) < self.width:
            yield NumberRow(spans=justify(left, right, self.width), opens=opens, place=place)
            return
        yield NumberRow(spans=fit(left, self.width), opens=opens, place=place)
        for spans in wrap(line("    ", (value, "value")), self.width, 4):
            yield NumberRow(spans=spans, place=place)

    def words(self, spans: Spans, place: Place = NOWHERE) -> Rows:
        for row in wrap(spans, self.width, 3):
            yield NumberRow(spans=row, place=place)
