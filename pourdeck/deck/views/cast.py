"""As-cast in lines: the measurements, the one in hand, and how they fit together."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

from attrs import evolve

from pourdeck.deck.paint import Span, Spans, cells, cut, line, wrap
from pourdeck.deck.views.values import (
    SIGNS,
    UNMEASURED,
    WORDS,
    item_quantity,
    length,
    limits_text,
    resting_text,
)
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.ascast import is_height, is_signed
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Units
from pourdeck.setout.adjust import BEARING
from pourdeck.walk.answers import apart_words
from pourdeck.walk.ascast import (
    CANNOT_TELL,
    GROUPS,
    CastLine,
    CastSheet,
    cast_name,
    misclosure_text,
    mm_text,
    signed_text,
    state_words,
)
from pourdeck.walk.quantities import QUANTITIES, Quantity
from pourdeck.walk.records import Walk
from pourdeck.walk.words import value_text

# The measurements of a cast panel as rows: found, off by, verdict; expected and residual under them.

NAME = 16
"""Cells for the name of a measurement."""

TRIED = "*"
"""Behind what is typed and not recorded, as in the field."""

ASSUMED = "assumed as planned"
JUDGED: dict[str, Span] = {
    "pass": (f"{SIGNS['done']} pass", "done"),
    "fail": (f"{SIGNS['failed']} FAIL", "failed"),
    "recorded": ("· noted", "quiet"),
}
"""The verdict in sign and word; what no limit judges is only noted."""


def value_words(key: str, value: Decimal | None, units: Units) -> str:
    """A measurement with its unit; "" where there is none."""
    return value_text(value, "m" if is_height(key) else "mm", units)


def off_words(one: CastLine, units: Units) -> str:
    """Say how far it is off, with its sign."""
    return "" if one.off is None else signed_text(float(one.off), units)


def cast_rows(sheet: CastSheet, width: int) -> tuple[Row, ...]:
    """All measurements under headings that say what judges them, in lists of `width` cells."""
    rows: list[Row] = []
    for name, keys in GROUPS:
        lines = [sheet.line(key) for key in keys]
        rows += _heading(sheet, name, lines, width)
        for one in lines:
            rows += _rows(sheet, one, width)
    return tuple(rows)


def _heading(sheet: CastSheet, name: str, lines: list[CastLine], width: int) -> list[Row]:
    units = sheet.walk.job.units
    item = next((one.item for one in lines if one.item), None)
    judged = limits_words(lines[0], units)
    if item is not None and item.pair and sheet.apart is not None:
        judged = f"now {mm_text(float(sheet.apart), units)} apart; {judged}"
    rows = [Row(left=line((name[:1].upper() + name[1:], "heading")))]
    rows += [Row(left=words) for words in wrap(line(("  ", "quiet"), (judged, "quiet")), width, 2)]
    return rows


def limits_words(one: CastLine, units: Units) -> str:
    """Say what judges a measurement, with its source, or that nothing does."""
    item = one.item
    if item is None or not (item.plus or item.minus or item.low or item.high):
        return "no limit given: recorded, not judged"
    if item.pair and item.plus is not None:
        judged = f"the two at most {length(item.plus, units)} apart"
    else:
        judged = limits_text(item, units)
    return f"{judged}, {item.source}" if item.source else judged


def _rows(sheet: CastSheet, one: CastLine, width: int) -> list[Row]:
    units = sheet.walk.job.units
    expected = value_words(one.key, one.expected, units)
    mark = "!" if one.suspect else " "
    name: Span = (f"{cast_name(one.key):<{NAME}}", "strong" if one.suspect else "text")
    if one.found is None:
        words = line(name, (expected, "quiet"))
        room = width - NAME - len(expected) - 1
        assumed = next((word for word in _left_open(one) if len(word) <= room), "assumed")
        return [Row(key=one.key, left=words, right=line((assumed, "quiet")))]
    found = value_words(one.key, one.found, units)
    if one.tried:
        found = f"{found}{TRIED}"
    verdict = JUDGED[one.verdict or "recorded"]
    right = line((f"{off_words(one, units)} ", "value"), verdict)
    rows = [Row(key=one.key, left=line(name, (f"{found}{mark}", "value")), right=right)]
    under = line((f"  expected {expected}{_residual(one, units)}", "quiet"))
    return [*rows, *(Row(left=words) for words in wrap(under, width, 2))]


def _left_open(one: CastLine) -> tuple[str, ...]:
    """Say why there is no measurement, the fullest words first."""
    if one.item is not None and one.item.not_measured is not None:
        return (f"{WORDS['not-measured']}, assumed", WORDS["not-measured"])
    state = one.item.own_state if one.item else "open"
    if state in ("deferred", "n/a"):
        said = WORDS[state]
        return (f"{said}, assumed", said)
    return (ASSUMED, "assumed")


def _residual(one: CastLine, units: Units) -> str:
    if one.checked is None:
        return ""
    told = signed_text(one.checked.residual, units) or "0"
    return f", residual {told}"


# What the measurements come to, in words: at the foot of the screen, and all of it to read.

WIDE = 2000
"""So wide that nothing is broken or cut."""

REST = " w reads it all"


def state_spans(sheet: CastSheet, width: int, most: int) -> list[Spans]:
    """The sentences of the foot in at most so many lines of `width` cells."""
    words = line(*((f"{said} ", _state_ink(sheet, said)) for said in state_words(sheet)))
    rows = wrap(words, width)
    if len(rows) > most:
        tail = line((REST, "quiet"))
        # With the words of the next line it is too long in any case, and ends in the sign of that.
        last = (*rows[most - 1], (" ", "text"), *rows[most])
        rows = [*rows[: most - 1], (*cut(last, width - cells(tail)), *tail)]
    return rows


def _state_ink(sheet: CastSheet, said: str) -> str:
    wrong = said.startswith("They do not fit") or isinstance(sheet.adjusted, Refusal)
    return "error" if wrong else "text"


def all_words(sheet: CastSheet) -> list[Spans]:
    """Every sentence, every measurement, and how each fits the others; the dialog breaks the lines."""
    units = sheet.walk.job.units
    rows = [line((said, _state_ink(sheet, said))) for said in state_words(sheet)]
    checked = [one.checked for one in sheet.lines if one.checked is not None]
    if checked:
        rows.append(line(("How each fits the others", "heading")))
    rows += [line(f"{misclosure_text(one, units)}.") for one in checked]
    rows += [
        (*row.left, *(line("  ") if row.right else ()), *row.right)
        for row in cast_rows(sheet, WIDE)
    ]
    return rows


# The measurement in hand: what to do, what its field takes, and what typing it would come to.

OUTWARDS_PROMPT = "How far the face is out from its planned line; in is minus"
OTHER_PROMPTS = {
    "width": "Measure the width along this side",
    "height": "Measure the height along this side",
    "diagonal": "Measure this diagonal, face line to face line",
    "rl": "Level the finished surface at this corner",
    "thickness": "Measure the thickness at this corner",
    "out": OUTWARDS_PROMPT,
}
"""Say what is to be done, where no item of the walk says so."""


LEAVES = "↓ goes on without it."


def cast_quantity(one: CastLine, walk: Walk, now: Callable[[], datetime]) -> Quantity:
    """Give what the field takes for a measurement, whether an item of the walk asks for it or not."""
    if one.item is not None:
        found = item_quantity(one.item, walk, now)
        return evolve(found, without=f"{UNMEASURED}{LEAVES}" if found.unmeasured else LEAVES)
    name = "height" if is_height(one.key) else "face" if is_signed(one.key) else "size"
    expected = None if is_signed(one.key) else one.expected
    return QUANTITIES[name].in_job(walk.job.units, expected=expected, without=LEAVES)


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
