"""All there is to read of a stop, uncut: for the dialog that shows what a card has no room for."""

from pourdeck.deck.paint import Spans, line
from pourdeck.deck.views.values import day_text
from pourdeck.deck.views.walk_card import blind, complete_blocks, hold_blocks, out_pairs
from pourdeck.deck.views.walk_list import Stop
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.answers import readings_in
from pourdeck.walk.pour_findings import READY
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.words import (
    expected_text,
    logged_text,
    not_measured_in,
    unmeasured_text,
    value_text,
)

WIDE = 2000
"""So wide that nothing is broken or cut: the dialog breaks its lines itself."""


def read_all_rows(walk: Walk, stop: Stop, weather: str = "") -> list[Spans]:
    """The lines of a stop. `weather`: what the readings before the pour come to."""
    if stop.item:
        told = [_pair("weather", weather)] if stop.item.key in READY and weather else []
        return [*_item_rows(walk, stop, stop.item), *told]
    rows = (
        hold_blocks(walk, stop.section, stop.hold, WIDE, WIDE, weather)
        if stop.hold
        else complete_blocks(walk, stop.section, WIDE, WIDE)
    )
    return [*_section_rows(stop), *(_tidy(row) for block in rows[1:] for row in block.rows)]


def _tidy(row: Spans) -> Spans:
    return tuple((text.rstrip() + " " if text.endswith("  ") else text, ink) for text, ink in row)


def _section_rows(stop: Stop) -> list[Spans]:
    section = stop.section
    return [
        line((f"{section.number} {section.name}", "heading"), f", {section.place}, {section.mode}")
    ]


def _item_rows(walk: Walk, stop: Stop, item: ItemView) -> list[Spans]:
    rows = _section_rows(stop)
    where = " · ".join(part for part in (item.name, item.group, item.label) if part)
    rows += [line((where, "strong")), line((item.prompt, "strong")), line(item.why)]
    if item.critical:
        rows.append(line(("critical", "warning"), ": it stands early in its section for that"))
    if item.second:
        rows.append(line(("a second person", "warning"), " answers it, never who did the rest"))
    if item.locked_by:
        rows.append(line(("▪ locked: ", "locked"), f"{item.locked_by.title} {item.locked_by.body}"))
    rows += [_pair("caution", words) for words in stop.section.cautions]
    if not blind(item):
        rows += [_pair("expected", expected_text(item, walk.job.units)),
                 _pair("from", item.source or ""), _pair("where", item.note)]  # fmt: skip
    rows += [_pair("moved", item.lapse or "")] if item.lapse and not item.second else []
    if item.out is not None:
        rows += [_pair(name, words) for name, words in out_pairs(walk, item.out)]
    rows += _history(walk, item)
    return [row for row in rows if row]


def _pair(name: str, value: str) -> Spans:
    return line((f"{name}: ", "quiet"), value) if value else ()


def _history(walk: Walk, item: ItemView) -> list[Spans]:
    """Every entry about the item, oldest first."""
    found = [entry for entry in walk.record.entries if _about(entry, item)]
    return [_entry(entry, item, walk.job.units) for entry in found]


def _about(entry: Entry, item: ItemView) -> bool:
    values = entry.data.get("values")
    measured = item.cast_key is not None and isinstance(values, dict) and item.cast_key in values
    return entry.data.get("item") == item.key or measured


_SAID = (
    "value",
    "verdict",
    "disposition",
    "role",
    "reason",
    "owner",
    "before",
    "why",
    "text",
    "action",
)


def _entry(entry: Entry, item: ItemView, units: Units) -> Spans:
    data = entry.data
    words = [str(data[key]) for key in _SAID if data.get(key)]
    if data.get("value") is not None and item.unit and words:
        words[0] = logged_text(data["value"], item.unit, units)
    unmeasured = not_measured_in(entry)
    if unmeasured is not None:
        words.insert(0, unmeasured_text(unmeasured))
    values = data.get("values")
    if isinstance(values, dict) and item.cast_key is not None and item.cast_key in values:
        words.append(logged_text(values[item.cast_key], item.unit, units))
        readings = readings_in(data, item.cast_key)
        if readings:
            both = " and ".join(value_text(one, item.unit, units) for one in readings)
            words.append(f"twice: {both}")
    said = ", ".join(words)
    return line(
        (f"no. {entry.n} {day_text(entry.at)} ", "quiet"),
        (f"{entry.by}: {entry.kind} ", "strong"),
        said,
    )
