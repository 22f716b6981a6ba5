"""The measurements of a cast panel as rows: found, off by, verdict; expected and residual under them."""

from decimal import Decimal

from pourdeck.deck.spans import Span, line, wrap
from pourdeck.deck.views.values import SIGNS, WORDS, length, limits_text
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.ascast import is_height
from pourdeck.plan.records import Units
from pourdeck.walk.ascast import GROUPS, CastLine, CastSheet, cast_name, mm_text, signed_text
from pourdeck.walk.words import value_text

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
    """How far it is off, with its sign."""
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
    """What judges a measurement, with its source; says so where nothing does."""
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
    """What is said of a measurement that there is none of, the fullest words first."""
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
