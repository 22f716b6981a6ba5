"""The sum behind what an item expects, its own or that of the set-out's number it stands for."""

from collections.abc import Callable
from decimal import Decimal

from pourdeck.deck.views.sum_lines import formula_words, value_words
from pourdeck.plan.records import Side, Units
from pourdeck.setout import sums
from pourdeck.setout.record import Input, Sum
from pourdeck.walk.records import ItemView, Walk

OF_STEP: dict[str, Callable[[Walk, ItemView], Sum | None]] = {
    "drawing.width": lambda walk, _: sums.size_sum(walk.setout, "width"),
    "drawing.height": lambda walk, _: sums.size_sum(walk.setout, "height"),
    "drawing.thickness": lambda walk, _: sums.size_sum(walk.setout, "thickness"),
    "drawing.jamb": lambda walk, item: _opening(walk, item, 0),
    "close.width": lambda walk, _: sums.size_sum(walk.setout, "width"),
    "close.height": lambda walk, _: sums.size_sum(walk.setout, "height"),
    "close.thickness": lambda walk, _: sums.size_sum(walk.setout, "thickness"),
    "height.depth": lambda walk, _: sums.form_depth_sum(walk.setout, walk.job),
    "forms.from-line": lambda walk, item: sums.position_sum(walk.setout, _axis(_side(item))),
    "forms.between": lambda walk, item: sums.size_sum(walk.setout, _size(_side(item))),
    "forms.prop": lambda walk, item: _prop(walk, item),
    "cast-ins.opening": lambda walk, item: _opening(walk, item, _last_axis(item)),
    "cast-ins.cast-in": lambda walk, item: _castin(walk, item),
    "cast-ins.anchors": lambda walk, item: sums.anchors_sum(walk.setout, _side(item), walk.job),
    "cast-ins.extra-anchor": lambda walk, item: sums.extra_anchors_sum(
        walk.setout, _side(item), walk.job
    ),
    "brackets.missing": lambda walk, item: sums.missing_sum(walk.setout, _side(item), walk.job),
    "brackets.count": lambda walk, _: _bracket_count(walk),
    "cast-ins.kind-count": lambda walk, item: _kind_count(walk, item),
}
"""By step of the template: for items whose target brings no sum along."""


def item_sum(walk: Walk, item: ItemView) -> Sum | None:
    """None where there is nothing to work out: words, weather, what is only recorded."""
    opened = item.sum
    if opened is not None:
        return opened
    found = OF_STEP.get(item.key.partition("/")[0])
    return found(walk, item) if found else None


def sum_in_a_line(opened: Sum, units: Units) -> str:
    """`7500 − 7200 = 300 mm  (F8)`: the key opens it whole."""
    worked = opened.worked if units == "metric" else ""
    result = value_words(opened.result, opened.unit, units)
    return f"{worked or formula_words(opened.formula, units)} = {result}  (F8)"


def _side(item: ItemView) -> Side:
    return item.place.side or "base"


def _axis(side: Side) -> int:
    return 0 if side in ("left", "right") else 1


def _size(side: Side) -> str:
    return "width" if side in ("base", "head") else "height"


def _last_axis(item: ItemView) -> int:
    return 1 if item.key.endswith("-y") else 0


def _opening(walk: Walk, item: ItemView, axis: int) -> Sum | None:
    place = item.place
    return next(
        (
            sums.opening_sum(walk.setout, one, axis)
            for one in walk.setout.openings
            if (one.name, one.x, one.y) == (place.name, place.x, place.y)
        ),
        None,
    )


def _castin(walk: Walk, item: ItemView) -> Sum | None:
    place = item.place
    return next(
        (
            sums.castin_sum(walk.setout, one, _last_axis(item))
            for one in walk.setout.castins
            if one.name == place.name
            and (one.x, one.y) == (place.x, place.y)
            and one.edge == place.side
        ),
        None,
    )


def _prop(walk: Walk, item: ItemView) -> Sum | None:
    return next(
        (
            sums.prop_sum(walk.setout, one, walk.job)
            for one in walk.setout.props
            if (one.side, one.start) == (item.place.side, item.place.at)
        ),
        None,
    )


def _bracket_count(walk: Walk) -> Sum:
    on = walk.setout.brackets
    return Sum(
        title=f"Brackets of {walk.mark}",
        formula="one on every anchor along a side",
        inputs=tuple(
            Input(name=f"{side} side", value=Decimal(len(mine)), unit="", source="set-out")
            for side, mine in on.items()
        ),
        result=Decimal(len(walk.setout.all_brackets())),
        unit="",
    )


def _kind_count(walk: Walk, item: ItemView) -> Sum:
    kind = item.key.rpartition("/")[2]
    names = [one.name for one in walk.setout.castins if one.kind == kind]
    return Sum(
        title=f"{item.label.capitalize()} of {walk.mark}",
        formula="those of the plan, one by one",
        inputs=tuple(Input(name=name, value=Decimal(1), unit="", source="plan") for name in names),
        result=Decimal(len(names)),
        unit="",
    )
