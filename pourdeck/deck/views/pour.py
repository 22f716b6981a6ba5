"""The pour in lines: the table of loads, what counts, what is asked, how the face dries."""

from collections.abc import Iterable

from attrs import evolve, frozen

from pourdeck.deck.drawing.pour import gauge
from pourdeck.deck.paint import Spans, cells, cut, line
from pourdeck.paper.pour_page import remarks
from pourdeck.plan.amounts import format_amount, unit_read
from pourdeck.plan.lengths import format_read
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Job, Units
from pourdeck.walk.loads import FIELDS, LoadLine, LoadState, shown
from pourdeck.walk.pour_findings import minutes, rate_words
from pourdeck.walk.pour_page import (
    PourPage,
    beside_words,
    computed,
    counting_words,
    jump_words,
    left_words,
    note_words,
    offset_words,
    order_words,
    ordered,
    rest_words,
    state_words,
    volume_words,
)
from pourdeck.walk.quantities import Quantity
from pourdeck.walk.records import Walk
from pourdeck.walk.words import unmeasured_text

# The loads as a table: one line each, and the cell in hand in brackets.

NEW = "new"
"""The cell of the line that begins another load."""

ON = "on"
"""The cell of the line that leads on to the walk once no more concrete is to come; it is of no load, 0."""

REJECTED = "rejected"
NOT_MEASURED = "n/m"
"""In a cell of which the line under the table says in words that it was not measured, and why."""

LEAD = 4
WITH_STATE = 76
"""Cells from which on the state of a load stands in a column of its own."""

STATE = 14
SIGNS: dict[LoadState, str] = {
    "coming": "·", "waiting": "○", "stopped": "✗", "placing": "▼", "placed": "✓", "turned away": "–",
}  # fmt: skip
INKS: dict[LoadState, str] = {
    "coming": "quiet", "waiting": "text", "stopped": "failed", "placing": "strong", "placed": "done",
    "turned away": "quiet",
}  # fmt: skip

ORDER = (
    "docket", "mix", "batched", "arrived", "volume", "slump", "temperature", "begun", "ended", "water",
)  # fmt: skip
"""The columns, in the order in which they are usually written."""

_NARROW = {
    "docket": 5, "mix": 5, "batched": 5, "arrived": 5, "volume": 4, "slump": 3, "temperature": 4,
    "begun": 5, "ended": 5, "water": 3,
}  # fmt: skip
_HEADS = {
    "docket": "docket", "mix": "mix", "batched": "batch", "arrived": "here", "slump": "slump",
    "begun": "begin", "ended": "end",
}  # fmt: skip
_SHORT = {"docket": "dock", "slump": "slp"}
_FLEXIBLE = (
    ("docket", 6), ("mix", 6), ("slump", 5), ("water", 4), ("docket", 9), ("mix", 9), ("volume", 5),
    ("docket", 14), ("mix", 14),
)  # fmt: skip
"""Make these wider where there is room, to so many cells, in this order."""


@frozen(kw_only=True)
class Cell:
    """A place of the table that can be taken in hand: of load `number`, from `start` to before `end`."""

    number: int
    key: str
    start: int
    end: int


@frozen(kw_only=True, eq=False, repr=False)
class TableLine:
    """`number` None: the heads."""

    spans: Spans
    number: int | None
    cells: tuple[Cell, ...] = ()


def keys_in_order(width: int) -> tuple[str, ...]:
    """List the keys of the cells that ← and → go through."""
    return (*ORDER, REJECTED) if width >= WITH_STATE else ORDER


def widths(width: int) -> dict[str, int]:
    """Cells of each column in a table of so many."""
    found = dict(_NARROW)
    state = STATE + 1 if width >= WITH_STATE else 0
    spare = width - LEAD - sum(found.values()) - len(found) - 1 - state
    for key, wanted in _FLEXIBLE:
        more = max(0, min(spare, wanted - found[key]))
        found[key] += more
        spare -= more
    return found


def table_lines(
    page: PourPage, units: Units, width: int, hand: tuple[int, str], *, more: bool, on: str
) -> list[TableLine]:
    """The heads, each load, with `more` the line that begins another one, with `on` what comes after."""
    room = widths(width)
    lines = [TableLine(spans=_heads(room, units, width), number=None)]
    lines += [_line(one, units, width, room, hand) for one in page.lines]
    if more:
        words = f" n  load {page.next_number}: read its docket "
        lines.append(_button(words, page.next_number, NEW, width, hand))
    if on:
        lines.append(_button(f" {on} ", 0, ON, width, hand))
    return lines


def _heads(room: dict[str, int], units: Units, width: int) -> Spans:
    heads = {
        **_HEADS,
        "volume": unit_read("m³", units),
        "temperature": unit_read("°C", units),
        "water": "L",
    }
    heads |= {key: short for key, short in _SHORT.items() if room[key] < len(heads[key])}
    said = "".join(f" {heads[key]:<{room[key]}}" for key in ORDER)
    state = f" {'state':<{STATE}}" if width >= WITH_STATE else ""
    return line((f"{'no':>{LEAD}}{said} {state}".rstrip(), "quiet"))


def cell_text(one: LoadLine, key: str, units: Units) -> str:
    """Write what stands in a cell; a dot where it is still to be written."""
    value = getattr(one.load, key)
    if value is None:
        if key in one.load.not_measured:
            return NOT_MEASURED
        if key == "water":
            return ""
        return "–" if one.state == "turned away" else "·"
    text = shown(FIELDS[key], value, units)
    if key in ("volume", "temperature", "water") or (key == "slump" and units == "metric"):
        return text.rpartition(" ")[0].replace("\u2009", "") or text
    return text


def _line(
    one: LoadLine,
    units: Units,
    width: int,
    room: dict[str, int],
    hand: tuple[int, str],
) -> TableLine:
    ink = INKS[one.state]
    flag = "!" if one.off else " "
    row: Spans = line((SIGNS[one.state], ink), (flag, "warning"), (f"{one.number:>2}", "strong"))
    texts = [(key, cell_text(one, key, units), room[key]) for key in ORDER]
    if width >= WITH_STATE:
        texts.append((REJECTED, state_words(one), STATE))
    spots: list[Cell] = []
    closing = ""
    for key, text, wide in texts:
        in_hand = hand == (one.number, key)
        start = cells(row)
        lead = "[" if in_hand else closing or " "
        piece = cut(line((text, "value" if in_hand else ink)), wide)
        fill = " " * (wide - cells(piece))
        row = (*row, *line((lead, "key" if lead != " " else "text")), *piece, (fill, "text"))
        spots.append(Cell(number=one.number, key=key, start=start, end=start + wide + 1))
        closing = "]" if in_hand else ""
    if closing:
        row = (*row, *line((closing, "key")))
    return TableLine(spans=row, number=one.number, cells=tuple(spots))


def _button(words: str, number: int, key: str, width: int, hand: tuple[int, str]) -> TableLine:
    """A line that is one cell."""
    in_hand = hand == (number, key)
    words = f"[{words}]" if in_hand else f" {words} "
    ink = "key" if in_hand else "quiet"
    cell = Cell(number=number, key=key, start=0, end=width)
    return TableLine(spans=cut(line((words, ink)), width), number=number, cells=(cell,))


def cell_at(lines: Iterable[TableLine], row: int, column: int) -> Cell | None:
    """Find the cell that was clicked; beside the cells of a load the nearest of them."""
    every = list(lines)
    if not 0 <= row < len(every) or not every[row].cells:
        return None
    spots = every[row].cells
    hit = next((one for one in spots if one.start <= column < one.end), None)
    return hit or (spots[0] if column < spots[0].start else spots[-1])


# What the pour screen says round its loads: the gauge, what counts, what is asked, how the face dries.

VERDICTS = {"act": "ACT", "caution": "CAUTION", "ok": "ok", None: "no limit given"}


def gauge_line(page: PourPage, job: Job, width: int) -> Spans:
    """`Placed 6.0 of 8.79 m³, 3.0 going in [██▓▓▒▒··] 2.79 m³ left`. All of a load counts once it goes in."""
    units = job.units
    placed = ordered(page.placed, units).rpartition(" ")[0]
    going = f", {ordered(page.going, units).rpartition(' ')[0]} going in" if page.going else ""
    left = line((f"Placed {placed} of {computed(page.volume, units)}{going} ", "strong"))
    right = line((f" {left_words(page, units)}", "value"))
    room = max(8, width - cells(left) - cells(right))
    drawn = gauge(page.placed, page.coming, page.volume, room, page.going)
    return (*left, *drawn, *right)


def order_lines(page: PourPage, job: Job, *, poured: bool) -> list[Spans]:
    """The order, and when the last load is to be ordered; then what counts, and what clocks did."""
    said = [
        line(
            (f"{order_words(page, job.units)}. ", "text"),
            (rest_words(page, job, poured=poured), "strong"),
        )
    ]
    counting = counting_words(page, job)
    if counting:
        late = page.over_gap or any(one.over_age and not one.taken for one in page.lines)
        said.append(line((counting, "warning" if late else "text")))
    notes = [*jump_words(page), offset_words(page)]
    said += [line((words, "quiet")) for words in notes if words]
    return said


def on_words(page: PourPage, walk: Walk) -> str:
    """Where the work goes on once no more concrete is to come: `Full. Next: 9 Pour, …`; else nothing."""
    if walk.next is None:
        return ""
    if walk.record.pour_end is not None:
        return f"Poured. Next: {walk.next.text}"
    settled = all(one.state in ("placed", "turned away") for one in page.lines)
    full = page.taken > 0 and page.left == 0 and settled
    return f"Full. Next: {walk.next.text}" if full else ""


def ask_line(page: PourPage, job: Job, hand: tuple[int, str]) -> Spans:
    """Say what is in hand, and what it should be."""
    number, key = hand
    if key == ON:
        return line(("Enter", "key"), " goes on in the Walk")
    if key == NEW:
        return line((f"Load {number}", "strong"), ": Enter, and read its docket")
    one = page.line(number)
    name = f"Load {number}, {FIELDS[key].name}"
    if one is None:
        return line((name, "strong"))
    if key == REJECTED:
        if one.load.rejected is not None:
            return line((f"Load {number} turned away: ", "strong"), literal(one.load.rejected))
        if one.wrong and not one.taken:
            ordered_mix = literal(job.mix.name or "")
            return line(
                (
                    f"STOP: load {number} is {literal(one.load.mix or '')}, ordered is {ordered_mix}",
                    "failed",
                ),
                ". Enter turns it away.",
            )
        return line((f"Load {number}", "strong"), ": Enter turns it away, with the reason")
    words = wanted_words(job, key, one)
    return line((name, "strong"), *([f": {words}"] if words else []))


def off_line(page: PourPage, hand: tuple[int, str]) -> list[Spans]:
    """The worst that is wrong with the load in hand; past the last load, with what went in last."""
    number = hand[0]
    if page.line(number) is None:
        number = max((one.number for one in page.lines if one.taken), default=0)
    found = sorted(page.off.get(number, ()), key=lambda one: not one.is_error)
    if hand[1] == REJECTED:
        # The line above says STOP already.
        found = [one for one in found if one.code != "wrong-mix"]
    if not found:
        return []
    worst = found[0]
    more = f" And {len(found) - 1} more: v." if len(found) > 1 else ""
    sign, ink = ("✗ ", "failed") if worst.is_error else ("! ", "warning")
    return [line((f"{sign}{worst.message}{more}", ink))]


def wanted_words(job: Job, key: str, one: LoadLine) -> str:
    """The limits of the job for a value, or what is ordered."""
    units = job.units
    if (why := one.load.not_measured.get(key)) is not None:
        return unmeasured_text(why)
    if key == "slump":
        band = job.mix.slump
        if band is None:
            return "no limit given"
        low, high = (
            format_read(v, units) for v in (band.target - band.minus, band.target + band.plus)
        )
        return f"{low} to {high} ordered"
    if key == "temperature":
        limits = job.limits.concrete_temperature
        if limits is None:
            return "no limit given"
        low, high = (format_amount(v, "°C", units) for v in limits)
        return f"{low} to {high} allowed"
    if key == "mix" and job.mix.name is not None:
        return f"ordered is {literal(job.mix.name)}; Enter, and read it off the docket"
    if key == "docket":
        return "Enter, and read it off the docket"
    if key == "water":
        by = one.load.water_by
        return f"added by {literal(by)}" if by else "only where some was added"
    return ""


def load_quantity(quantity: Quantity, key: str, page: PourPage, job: Job) -> Quantity | None:
    """Give what the field takes for a value of a load, with what is expected; None for what a form asks."""
    if quantity.kind == "text":
        return None
    leaves = "→ goes on without it."
    without = f"y says not measured, {leaves}" if quantity.unmeasured else leaves
    quantity = evolve(quantity, without=without)
    if quantity.kind == "time":
        now = quantity.now
        assert now is not None
        return evolve(quantity, offers=lambda: f"{now():%H:%M}")
    if key == "slump" and (band := job.mix.slump):
        return evolve(quantity, expected=band.target, plus=band.plus, minus=band.minus)
    left = [*page.rest, *page.planned]
    return evolve(quantity, expected=left[0]) if key == "volume" and left else quantity


def drying_words(page: PourPage, job: Job) -> list[Spans]:
    """Say what the last reading means and what to do; that it is old, or that nothing was read."""
    if not page.weather:
        return [line(("Weather not read yet: w", "quiet"))]
    last = page.weather[-1]
    ink = {"act": "failed", "caution": "warning"}.get(last.verdict or "", "text")
    rate = rate_words(last.rate, job)
    head = line((f"Face dries at {rate}, {last.at:%H:%M}: {VERDICTS[last.verdict]}. ", ink))
    old: Spans = ()
    if page.weather_due and page.weather_age is not None:
        old = line((f"Read {minutes(page.weather_age)} min ago, read it again: w. ", "warning"))
    return [(*head, *old, *line(" ".join(last.advice)))]


def watcher_words(page: PourPage, units: Units) -> Spans:
    """Who watches the forms, and what happened beside the loads that were placed."""
    beside = beside_words(page, units)
    after = line((f" · {beside}", "quiet")) if beside else ()
    if page.watcher is None:
        return (*line(("nobody named to watch the forms (Walk, Ready to pour)", "warning")), *after)
    return (*line((f"watching the forms: {literal(page.watcher)}", "quiet")), *after)


def all_words(page: PourPage, job: Job) -> list[Spans]:
    """All that the screen has to cut: findings, loads' remarks, weather with what to do, specimens."""
    said = [line(volume_words(page, job.units)), watcher_words(page, job.units)]
    for one in page.findings:
        ink = "error" if one.is_error else "warning"
        said.append(line(("✗ " if one.is_error else "! ", ink), one.message))
    said += [line(words) for load in page.lines for words in remarks(load)]
    last = page.weather[-1] if page.weather else None
    for reading in page.weather:
        words = f"{reading.at:%H:%M} dries at {rate_words(reading.rate, job)}: {VERDICTS[reading.verdict]}"
        said.append(line((words, "text")))
    if last is not None:
        said.append(line(("What to do", "heading")))
        said += [line(f"- {words}") for words in last.advice]
    names = [f"{one.name} ({one.cured}-cured)" for one in page.specimens]
    if names:
        said.append(line(("specimens: ", "quiet"), ", ".join(names)))
    said += [line(("note: ", "quiet"), words) for words in note_words(page)]
    return said
