"""Rule 5: the runs of forms, pinwheel round the panel, made up of stock lengths.

Counter-clockwise seen from above: base starts at bl, right at br, head at hr, left at hl. Each passes
its far corner by at least overrun.min and at most overrun.max. The four share the stock.
"""

from decimal import Decimal
from functools import lru_cache

from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import SIDES, Kit, Panel, Side, Sides, Units
from pourdeck.setout.record import Run
from pourdeck.setout.run_search import Need, TooManyWaysError, best_runs, stockroom

NO_RUNS: Sides[Run | None] = Sides(None, None, None, None)


def stock_at(kit: Kit, depth: Decimal) -> dict[Decimal, int]:
    """Lengths held at one depth and how many, longest first, mm."""
    held: dict[Decimal, int] = {}
    for stock in kit.stock:
        if stock.depth in (None, depth) and stock.count:
            held[stock.length] = held.get(stock.length, 0) + stock.count
    return dict(sorted(held.items(), reverse=True))


def _scale(values: list[Decimal]) -> int:
    """The power of ten that makes whole numbers of all of these."""
    places = [-int(value.as_tuple().exponent) for value in values]
    return int(10 ** max(0, *places))


def runs(panel: Panel, kit: Kit) -> Sides[Run | None]:
    """The four runs with the fewest pieces in total, then the least total overrun.

    None on every side where the forms held cannot make up all four, or that was not found out.
    """
    return made_up(panel, kit) or NO_RUNS


def made_up(panel: Panel, kit: Kit) -> Sides[Run | None] | None:
    """The four runs, or None where the stock can be put together in too many ways to find the best."""
    held = stock_at(kit, panel.thickness)
    return _made_up(
        tuple(held.items()), panel.width, panel.height, (kit.overrun.min, kit.overrun.max)
    )


@lru_cache(maxsize=4096)
def _made_up(
    held: tuple[tuple[Decimal, int], ...],
    width: Decimal,
    height: Decimal,
    overrun: tuple[Decimal, Decimal],
) -> Sides[Run | None] | None:
    try:
        found = _solve(held, [width, height, width, height], overrun)
    except TooManyWaysError:
        return None
    if found is None:
        return NO_RUNS
    made = []
    for pieces, side in zip(found, (width, height, width, height), strict=True):
        total = sum(pieces, Decimal(0))
        made.append(Run(pieces=pieces, length=total, overrun=total - side))
    return Sides(*made)


def _solve(
    held: tuple[tuple[Decimal, int], ...], sides: list[Decimal], overrun: tuple[Decimal, Decimal]
) -> list[tuple[Decimal, ...]] | None:
    """The pieces of each side, longest first; None where they cannot be made up."""
    scale = _scale([length for length, _ in held] + sides + list(overrun))
    room = stockroom(
        tuple(int(length * scale) for length, _ in held), tuple(number for _, number in held)
    )
    least, most = overrun
    needs: tuple[Need, ...] = tuple(
        (int((side + least) * scale), int((side + most) * scale)) for side in sides
    )
    found = best_runs(room, needs)
    if found is None:
        return None
    return [
        tuple(length for (length, _), n in zip(held, used, strict=True) for _ in range(n))
        for used in found
    ]


def too_many_ways_message(panel: Panel, units: Units) -> str:
    return (
        f"the forms held {format_length(panel.thickness, units)} deep can be put together in too many "
        "ways to find the best runs. Have the office give fewer lengths in the stock of the kit, "
        "or make the runs up by hand."
    )


def short_of_forms_message(panel: Panel, kit: Kit, units: Units) -> str:
    """Which sides cannot be made up even alone; or that the four together ask for too much."""
    held = tuple(stock_at(kit, panel.thickness).items())
    overrun = (kit.overrun.min, kit.overrun.max)
    alone: list[Side] = [
        side for side in SIDES if _solve(held, [panel.side_length(side)], overrun) is None
    ]
    depth = format_length(panel.thickness, units)
    window = (
        f"{format_length(kit.overrun.min, units)} to {format_length(kit.overrun.max, units)} "
        "past the far corner"
    )
    if alone:
        named = ", ".join(
            f"{side} ({format_length(panel.side_length(side), units)})" for side in alone
        )
        return (
            f"the forms held {depth} deep cannot make up {named} to end {window}. "
            "Add lengths to kit.stock."
        )
    total = sum((length * number for length, number in held), Decimal(0))
    return (
        f"the forms held {depth} deep, {format_length(total, units)} in all, make up each side but "
        f"not all four at once to end {window}. Add lengths to kit.stock."
    )
