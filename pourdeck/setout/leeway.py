"""How wide and how high a panel may be between its neighbours, as far as laps and brackets reach.

A hint where no alignment works: it looks at laps and the longest reach only, not at gaps between bolts.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.records import Job, Panel, Stack
from pourdeck.setout.place import split_align

Size = Literal["width", "height"]
SIZES: tuple[Size, ...] = ("width", "height")
_NEAR, _FAR, _BOTH = ("left", "base"), ("right", "head"), ("centre",)


@frozen(kw_only=True)
class Leeway:
    """`least` to `most` of a size, mm, that the neighbour `mark` allows. `above`: it stands on the panel."""

    size: Size
    mark: str
    above: bool
    least: Decimal
    most: Decimal


def leeways(job: Job, stack: Stack, number: int) -> tuple[Leeway, ...]:
    """What the panel below allows with any alignment, and the one above with its own."""
    return tuple(_leeways(job, stack, number))


def _leeways(job: Job, stack: Stack, number: int) -> Iterator[Leeway]:
    panel = stack.panels[number - 1]
    for axis, size in enumerate(SIZES):
        if number > 1:
            below = stack.panels[number - 2]
            spans = [_span(job, panel, axis, word) for word in (_NEAR[axis], *_BOTH, _FAR[axis])]
            found = [span for span in spans if span is not None]
            if found:
                whole: Decimal = getattr(below, size)
                yield Leeway(
                    size=size,
                    mark=below.mark,
                    above=False,
                    least=whole - max(high for _, high in found),
                    most=whole - min(low for low, _ in found),
                )
        if number < len(stack.panels):
            above = stack.panels[number]
            span = _span(job, above, axis, split_align(above.align)[1 - axis])
            if span is not None:
                whole = getattr(above, size)
                yield Leeway(
                    size=size,
                    mark=above.mark,
                    above=True,
                    least=whole + span[0],
                    most=whole + span[1],
                )


def _span(job: Job, panel: Panel, axis: int, word: str) -> tuple[Decimal, Decimal] | None:
    """How much smaller than the one below a panel may be, so aligned; None where its shift rules it out."""
    lap, reach = job.limits.lap, job.kit.longest_bolt.reach[1]
    shift = panel.shift[axis]
    if word in _BOTH:
        low, high = 2 * (abs(shift) - lap), 2 * (reach - abs(shift))
        return (low, high) if low <= high else None
    near = shift if word in _NEAR else -shift
    return (near - lap, near + reach) if -lap <= near <= reach else None
