"""The loads as a table: one line each, and the cell in hand in brackets."""

from collections.abc import Iterable

from attrs import frozen

from pourdeck.deck.spans import Spans, cells, cut, line
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.records import Units
from pourdeck.walk.loads import FIELDS, LoadLine, LoadState, shown
from pourdeck.walk.pour_page import PourPage, state_words

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
"""What is made wider where there is room, to how many cells, in this order."""


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
    """What ← and → go through."""
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
    """What stands in a cell; a dot where it is still to be written."""
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
    """What was clicked; beside the cells of a load the nearest of them."""
    every = list(lines)
    if not 0 <= row < len(every) or not every[row].cells:
        return None
    spots = every[row].cells
    hit = next((one for one in spots if one.start <= column < one.end), None)
    return hit or (spots[0] if column < spots[0].start else spots[-1])
