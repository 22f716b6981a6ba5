"""Write values for views: the text, the sum behind it, and what the field takes in its place."""

import re
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.deck.paint import Spans, cells, justify, line, wrap
from pourdeck.plan.amounts import PAIRS, format_computed
from pourdeck.plan.lengths import format_bare, format_length, format_quantity, format_rl, rounded
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Side, Units
from pourdeck.setout import sums
from pourdeck.setout.record import Input, Sum
from pourdeck.sitelog.entries import moment_of
from pourdeck.walk.records import ItemState, ItemView, Walk
from pourdeck.walk.words import limit_texts, value_text

if TYPE_CHECKING:
    from pourdeck.walk.quantities import Quantity

# Values as the crew reads them: in the units of the job, with the unit always there.

SIGNS: dict[str, str] = {
    "open": "·",
    "done": "✓",
    "failed": "✗",
    "deferred": "»",
    "n/a": "–",
    "locked": "▪",
    "void": "!",
    "followed-up": "✗→",
    "not-measured": "?",
}
"""One sign for each state, always beside a word where there is room for one."""

WORDS: dict[str, str] = {
    "open": "open",
    "done": "done",
    "failed": "failed",
    "deferred": "deferred",
    "n/a": "not applicable",
    "locked": "locked",
    "void": "asked again",
    "followed-up": "failed, followed up",
    "not-measured": "not measured",
}


def shown_state(item: ItemView) -> str:
    """The state that people see: what failed and was followed up is not the same as what passed.

    What is out of tolerance is failed until it is settled, whatever was said of it.
    """
    if item.out is not None and item.own_state in ("done", "failed"):
        return "followed-up" if item.out.settled else "failed"
    followed = item.own_state == "done" and item.verdict == "fail" and item.follow_up
    if item.not_measured is not None and item.own_state == "done" and not followed:
        return "not-measured"
    return "followed-up" if followed else item.own_state


def length(mm: Decimal, units: Units) -> str:
    """A length with its unit; what a root or a division makes too fine is shown to 0.1 mm."""
    exponent = mm.as_tuple().exponent
    too_fine = isinstance(exponent, int) and exponent < -3
    return format_length(mm, units, decimals=1 if too_fine else None)


def limits_text(item: ItemView, units: Units) -> str:
    """The limits judged by, ends included; says so where there are none."""
    low, _, high = limit_texts(item, units)
    if item.pair and item.plus is not None:
        apart = value_text(item.plus, item.unit, units, item.decimals)
        between = f": {low} to {high}" if low and high else ""
        return f"the two at most {apart} apart{between}"
    if low and high:
        return f"{low} to {high}" if low != high else f"exactly {low}"
    if low or high:
        return f"at least {low}" if low else f"at most {high}"
    return "no limit given: recorded, not judged" if item.kind == "measure" else ""


def state_piece(state: ItemState | str, words: bool = True) -> Spans:
    """Sign and word of a state, in its ink."""
    sign = SIGNS.get(state, "·")
    return line((f"{sign} {WORDS.get(state, state)}" if words else sign, state))


def clock_text(at: datetime | None) -> str:
    return "" if at is None else f"{at:%H:%M:%S}"


def day_text(at: datetime | None) -> str:
    """`Wed 25 Nov 07:41`."""
    return "" if at is None else f"{at:%a} {at.day} {at:%b %H:%M}"


def age_text(since: datetime, now: datetime) -> str:
    """Say how long ago, in the words a person would use."""
    minutes = int((now - since).total_seconds() // 60)
    if minutes < 1:
        return "just now"
    if minutes < 60:
        return f"{minutes} min ago"
    hours, minutes = divmod(minutes, 60)
    if hours < 24:
        return f"{hours} h {minutes} min ago"
    days, hours = divmod(hours, 24)
    return f"{days} d {hours} h ago"


# A sum opened: what an item expects, by its formula and its inputs.

# A sum opened: formula, what went in and where it came from, and the result.

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_MEASURE = re.compile(r"(\d+(?:\.\d+)?) (mm|m²|m³)(?!\w)")
_NEAREST = {
    "to the nearest 0.1 mm": 'to the nearest 1/16"',
    "to the nearest 0.01 m³": "to the nearest 0.01 yd³",
}
_PER_THOUSAND = " / 1000"
"""Turn mm into m in formulas of heights."""

_FINEST = 6
"""Decimals of what a root or a division made too long to write out."""


def value_words(value: Decimal | str, unit: str, units: Units) -> str:
    """A value of a sum in the units of the job; lists and ranges of lengths too."""
    if isinstance(value, str):
        if unit == "mm" and units == "imperial":
            return _NUMBER.sub(lambda found: format_bare(Decimal(found[0]), units), value)
        return f"{value} {unit}".rstrip()
    if unit == "mm":
        return length(value, units)
    if unit == "m":
        return format_rl(value, units)
    if unit in PAIRS and units == "imperial":
        return format_computed(value, unit, units, PAIRS[unit].decimals + 1)
    return format_quantity(value, unit, 3) if unit else plain(value)


def formula_words(formula: str, units: Units) -> str:
    """A formula as it goes for the values shown."""
    return formula if units == "metric" else formula.replace(_PER_THOUSAND, "")


def sum_lines(opened: Sum, units: Units, width: int) -> list[Spans]:
    """As many lines of `width` cells as it takes."""
    rows = wrap(line((opened.title, "heading")), width)
    rows += wrap(line((formula_words(opened.formula, units), "strong")), width, 2)
    rows.append(())
    for one in opened.inputs:
        rows += _input(one, units, width)
    rows.append(())
    if opened.worked and units == "metric":
        rows += wrap(line(f" {opened.worked}"), width, 3)
    result = value_words(opened.result, opened.unit, units)
    rows += _pair(line((" result", "strong")), line((result, "value")), width)
    if units == "imperial":
        rows += [row for words in _behind(opened) for row in wrap(line(f" {words}"), width, 3)]
    if opened.rounding:
        rows += wrap(line((f" {_in_words(opened.rounding, units)}", "quiet")), width, 1)
    return rows


def _behind(opened: Sum) -> list[str]:
    """The sum as it was done, exact, in the units of the files, where other ones are shown."""
    if not isinstance(opened.result, Decimal) or not opened.unit:
        return []
    exact = -int(opened.result.as_tuple().exponent) <= _FINEST
    value = plain(opened.result if exact else rounded(opened.result, _FINEST))
    worked = f"{opened.worked} = " if opened.worked else ""
    words = [f"{'exactly' if exact else 'about'} {worked}{value} {opened.unit}"]
    if {"m³", "kg/m³"} <= {one.unit for one in opened.inputs}:
        words.append("1 yd³ is 27 ft³")
    return words


def _in_words(words: str, units: Units) -> str:
    """Words about a sum, the measures in them in the units of the job."""
    if units == "metric":
        return words
    for nearest, shown in _NEAREST.items():
        words = words.replace(nearest, shown)
    return _MEASURE.sub(lambda found: value_words(Decimal(found[1]), found[2], units), words)


def _input(one: Input, units: Units, width: int) -> list[Spans]:
    value = line((value_words(one.value, one.unit, units), "value"))
    rows = _pair(line(f" {_in_words(one.name, units)}"), value, width)
    return [*rows, *wrap(line((f"   {one.source}", "quiet")), width, 3)]


def _pair(left: Spans, right: Spans, width: int) -> list[Spans]:
    """Name and value in one line where both fit, else the value under the name."""
    if cells(left) + cells(right) < width:
        return [justify(left, right, width)]
    return [*wrap(left, width, 2), *wrap(line("   ", *right), width, 3)]


# The sum behind what an item expects, its own or that of the set-out's number it stands for.

OF_STEP: dict[str, Callable[[Walk, ItemView], Sum | None]] = {
    "drawing.width": lambda walk, _: sums.size_sum(walk.setout, "width"),
    "drawing.height": lambda walk, _: sums.size_sum(walk.setout, "height"),
    "drawing.thickness": lambda walk, _: sums.size_sum(walk.setout, "thickness"),
    "drawing.jamb": lambda walk, item: _opening(walk, item, 0),
    "close.width": lambda walk, _: sums.size_sum(walk.setout, "width"),
    "close.height": lambda walk, _: sums.size_sum(walk.setout, "height"),
    "close.thickness": lambda walk, _: sums.size_sum(walk.setout, "thickness"),
    "height.depth": lambda walk, _: sums.form_depth_sum(walk.setout, walk.job),
    "forms.from-line": lambda walk, item: sums.position_sum(walk.setout, _axis(_of_side(item))),
    "forms.between": lambda walk, item: sums.size_sum(walk.setout, _size(_of_side(item))),
    "forms.prop": lambda walk, item: _prop(walk, item),
    "cast-ins.opening": lambda walk, item: _opening(walk, item, _last_axis(item)),
    "cast-ins.cast-in": lambda walk, item: _castin(walk, item),
    "cast-ins.anchors": lambda walk, item: sums.anchors_sum(walk.setout, _of_side(item), walk.job),
    "cast-ins.extra-anchor": lambda walk, item: sums.extra_anchors_sum(
        walk.setout, _of_side(item), walk.job
    ),
    "brackets.missing": lambda walk, item: sums.missing_sum(walk.setout, _of_side(item), walk.job),
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


def _of_side(item: ItemView) -> Side:
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


# What the field takes for an item.

# What the field takes for an item: its quantity, with what is expected of it here.

_WHO = re.compile(r"\bwho\b", re.IGNORECASE)
WITHOUT = "d puts it off, n says not applicable."
UNMEASURED = "y says not measured, "


def item_quantity(item: ItemView, walk: Walk, now: Callable[[], datetime]) -> "Quantity":
    """Give what the field takes for an item that is measured, counted, timed or written.

    What a second person reads off the drawing is not hinted at: neither by a question nor by a step.
    """
    from attrs import evolve

    from pourdeck.walk.answers import as_read_now
    from pourdeck.walk.quantities import of_item

    item = as_read_now(walk, item)
    expected = item.expected if isinstance(item.expected, Decimal) and not item.second else None
    quantity = evolve(
        of_item(item, walk.job.units),
        expected=expected,
        plus=item.plus if expected is not None else None,
        minus=item.minus if expected is not None else None,
        without=_without(item),
        now=now,
    )
    return evolve(quantity, offers=_offers(item, quantity))


def _without(item: ItemView) -> str:
    """Say how to go on where nobody has the answer, by the keys of the Walk."""
    if item.kept:
        return ""
    if item.kind == "text":
        return f"Esc, then {WITHOUT}"
    return WITHOUT if item.measured or item.kind == "time" else f"{UNMEASURED}{WITHOUT}"


def _offers(item: ItemView, quantity: "Quantity") -> Callable[[], str] | None:
    """Give what an empty field is opened with; None: with nothing."""
    offered = item.offered
    return None if offered is None else lambda: quantity.entry(offered)


def asks_for_person(item: ItemView | None) -> bool:
    """Whether the words that are wanted are somebody's name, as the question says: then names are offered."""
    return item is not None and item.kind == "text" and _WHO.search(item.prompt) is not None


def resting_text(item: ItemView, quantity: "Quantity") -> str:
    """The answer that stands, as the field would be edited from it; empty where there is none."""
    if item.found is None or item.own_state == "void":
        return ""
    if isinstance(item.found, Decimal):
        return quantity.entry(item.found)
    moment = moment_of(item.found) if item.kind == "time" else None
    return f"{moment:%H:%M}" if moment else item.found
