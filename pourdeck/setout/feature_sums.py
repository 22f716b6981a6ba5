"""The sums behind openings, cast-ins and what is to be filled."""

from decimal import Decimal

from pourdeck.plan.numbers import plain
from pourdeck.setout.quantities import MM2_PER_M2
from pourdeck.setout.record import Fill, PlacedCastIn, PlacedOpening, SetOut
from pourdeck.setout.sum_record import PLAN, Sum, mm, start_of


def opening_sum(setout: SetOut, opening: PlacedOpening, axis: int) -> Sum:
    """Where an opening's bottom left corner is as it lies: axis 0 from the left, 1 from the base. mm."""
    at = (opening.x, opening.y)[axis]
    return _feature_sum(setout, opening.name, at, axis, opening.width)


def castin_sum(setout: SetOut, castin: PlacedCastIn, axis: int = 0) -> Sum | None:
    """Where the centre of a cast-in is as it lies; None for an axis that it has not. mm."""
    if castin.at is not None and castin.edge is not None:
        return Sum(
            title=f"{castin.name} of {setout.mark}",
            formula=f"along the {castin.edge} edge, given as cast",
            inputs=(mm(f"at of {castin.name}", castin.at, PLAN),),
            result=castin.at,
            unit="mm",
            rounding=f"from the {start_of(castin.edge)}",
        )
    at = (castin.x, castin.y)[axis]
    return None if at is None else _feature_sum(setout, castin.name, at, axis, Decimal(0))


def _feature_sum(setout: SetOut, name: str, at: Decimal, axis: int, wide: Decimal) -> Sum:
    word, start = ("x", "left") if axis == 0 else ("y", "base")
    turned = axis == 0 and setout.mirrored
    width = setout.panel.width
    drawn = width - at - wide if turned else at
    inputs = [mm(f"{word} of {name}, as drawn", drawn, PLAN)]
    if turned:
        inputs.insert(0, mm(f"width of {setout.mark}", width, PLAN))
        if wide:
            inputs.append(mm(f"width of {name}", wide, PLAN))
    return Sum(
        title=f"{word} of {name}, as {setout.mark} lies",
        formula=("width − x − its own width" if wide else "width − x") if turned else "as drawn",
        inputs=tuple(inputs),
        result=at,
        unit="mm",
        rounding=f"from the {start} face line; from the arris it is c less",
        worked=" − ".join(plain(one.value) for one in inputs if isinstance(one.value, Decimal))
        if turned
        else "",
    )


def fill_sum(setout: SetOut, fill: Fill) -> Sum:
    """Area of a rectangle to close, and where it comes from. m²."""
    place = f"position of {setout.mark} in the stack"
    return Sum(
        title=f"To fill in {fill.opening} of {fill.mark}",
        formula="what of the opening lies under this panel, less its own openings",
        inputs=(
            mm("width", fill.width, "rule of fill"),
            mm("height", fill.height, "rule of fill"),
            mm("x from this bl", fill.x, place),
            mm("y from this bl", fill.y, place),
            mm("depth", fill.depth, "panels below that are open there"),
        ),
        result=fill.width * fill.height / MM2_PER_M2,
        unit="m²",
        worked=f"{plain(fill.width)} × {plain(fill.height)} / 1000000",
    )
