"""The measurement in hand: what to do, what its field takes, and what typing it would come to."""

from collections.abc import Callable
from datetime import datetime

from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.answering import item_quantity, resting_text
from pourdeck.deck.views.cast_rows import JUDGED, limits_words, off_words, value_words
from pourdeck.plan.ascast import is_height, is_signed
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Units
from pourdeck.setout.adjust import BEARING
from pourdeck.walk.answers import apart_words
from pourdeck.walk.ascast import (
    CANNOT_TELL,
    CastLine,
    CastSheet,
    cast_name,
    misclosure_text,
    mm_text,
    signed_text,
)
from pourdeck.walk.quantities import QUANTITIES, Quantity
from pourdeck.walk.records import Walk

OUTWARDS_PROMPT = "How far the face is out from its planned line; in is minus"
OTHER_PROMPTS = {
    "width": "Measure the width along this side",
    "height": "Measure the height along this side",
    "diagonal": "Measure this diagonal, face line to face line",
    "rl": "Level the finished surface at this corner",
    "thickness": "Measure the thickness at this corner",
    "out": OUTWARDS_PROMPT,
}
"""What is to be done, where no item of the walk says so."""


def cast_quantity(one: CastLine, walk: Walk, now: Callable[[], datetime]) -> Quantity:
    """What the field takes for a measurement, whether an item of the walk asks for it or not."""
    if one.item is not None:
        return item_quantity(one.item, walk, now)
    name = "height" if is_height(one.key) else "face" if is_signed(one.key) else "size"
    expected = None if is_signed(one.key) else one.expected
    return QUANTITIES[name].in_job(walk.job.units, expected=expected)


def cast_resting(one: CastLine, quantity: Quantity) -> str:
    """The text the field rests on: what stands, exactly."""
    if one.item is not None and one.item.found is not None:
        return resting_text(one.item, quantity)
    return "" if one.found is None else quantity.entry(one.found)


def ask_words(one: CastLine, walk: Walk, *, twice: bool, second: bool) -> list[Spans]:
    """Name, what to do and what is expected. `twice`: it is measured twice; `second`: once already."""
    name = line((f"{cast_name(one.key)}: ", "strong"))
    if second:
        return [(*name, *line(("second reading", "warning"), ", not looking at the first"))]
    prompt = one.item.prompt if one.item else OTHER_PROMPTS[one.key.partition("_")[0]]
    expected = value_words(one.key, one.expected, walk.job.units)
    first = ("twice. ", "warning") if twice else ("", "text")
    return [(*name, *line(first, f"{prompt}, ", (expected, "value"), " expected"))]


def told_words(one: CastLine, sheet: CastSheet, *, twice: bool, short: bool = False) -> list[Spans]:
    """Verdict and misclosure, live; before anything is typed the limits and what would show.

    `short`: in one line.
    """
    units = sheet.walk.job.units
    judged = JUDGED[one.verdict or "recorded"]
    if short and one.found is not None:
        closes = _short_misclosure(one, units)
        return [line((f"off {off_words(one, units)} ", "value"), judged, (closes, _ink(one)))]
    if short and one.key in BEARING:
        return [_fits(one, sheet)]
    words: list[Spans] = []
    if one.found is not None:
        words.append(line((f"off by {off_words(one, units)}  ", "value"), judged))
    elif not twice:
        words.append(line((limits_words(one, units), "quiet")))
    if one.key in BEARING:
        words.append(_fits(one, sheet))
    if one.verdict == "fail" and not one.tried:
        words.append(line(("F3 goes to its item in the Walk: what is done about it.", "quiet")))
    if twice:
        most = apart_words(sheet.walk.job)
        words.append(line((f"Measured twice, apart by at most {most}.", "quiet")))
    return words


def _short_misclosure(one: CastLine, units: Units) -> str:
    """`, misclosure +4.1 mm of 19 mm`; "" where it bears on no corner."""
    if one.checked is None:
        return ""
    if one.checked.slip is None or one.checked.shows is None:
        return ", misclosure: cannot tell"
    slip = signed_text(one.checked.slip, units)
    return f", misclosure {slip}, slip above {mm_text(one.checked.shows, units)}"


def _fits(one: CastLine, sheet: CastSheet) -> Spans:
    units = sheet.walk.job.units
    if isinstance(sheet.adjusted, Refusal):
        return line((f"{sheet.adjusted.title} {sheet.adjusted.body}", "error"))
    head = "Misclosure with this: " if one.tried else "Misclosure: "
    if one.checked is not None:
        return line((head, "quiet"), (misclosure_text(one.checked, units), _ink(one)))
    if one.shows is None:
        return line((f"A slip: {CANNOT_TELL}", "quiet"))
    return line((f"A slip under {mm_text(one.shows, units)} here will not show", "quiet"))


def _ink(one: CastLine) -> str:
    return "failed" if one.suspect else "text"
