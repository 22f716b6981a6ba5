"""Say the keys and values of an entry in plain words: items, holds, sections, sizes, times, whose word it is.

An entry is read by the built-in walk alone, without the plan: what that does not know is said by its
own name.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from attrs import frozen

from pourdeck.plan.ascast import is_height
from pourdeck.plan.lengths import format_length, format_read, format_rl
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.walk.answers import readings_in
from pourdeck.walk.authority import WAYS
from pourdeck.walk.loads import FIELDS, field_words, shown
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.steps import Template
from pourdeck.walk.words import (
    clock_text,
    item_words,
    logged_text,
    measured_name,
    number_of,
    unmeasured_text,
    value_text,
)


@frozen(kw_only=True, eq=False, repr=False)
class EntryWords:
    """Hold the walk by which entries are read, and the units in which lengths are shown."""

    template: Template
    units: Units

    def item(self, key: object) -> str:
        """`offsets, right side R6` for `forms.offset/right-6`."""
        return item_words(key, self.template) if isinstance(key, str) else ""

    def value(self, key: object, value: object, unit: object, day: date) -> str:
        """Show a value that was found, with its unit; a time by the clock, with its day if another."""
        step = self.template.step(key) if isinstance(key, str) else None
        if step is not None and step.answer == "time":
            return self.time(value, day)
        number = number_of(value)
        if number is None or not isinstance(unit, str) or (step and step.answer == "text"):
            return "" if value is None else str(value)
        return value_text(number, unit, self.units, (step and step.decimals) or 0)

    def time(self, value: object, day: date) -> str:
        moment = moment_of(value)
        return clock_text(moment, day) if moment else "" if value is None else str(value)

    def hold(self, hold_id: object) -> str:
        """The name of a hold, of both where it has another on the bed; its id where it is not known."""
        hold = next((one for one in self.template.holds if one.id == hold_id), None)
        if hold is None:
            return "" if hold_id is None else str(hold_id)
        return f"{hold.name_first} or {hold.name}" if hold.name_first else hold.name

    def section(self, section_id: object) -> str:
        found = self.template.section(section_id) if isinstance(section_id, str) else None
        return found.name if found else "" if section_id is None else str(section_id)

    def volume(self, value: object) -> str:
        return logged_text(value, "m³", self.units)

    def strength(self, value: object) -> str:
        return logged_text(value, "MPa", self.units)

    def celsius(self, value: object) -> str:
        return logged_text(value, "°C", self.units)

    def celsius_between(self, values: Sequence[object]) -> tuple[str, str]:
        """The coldest and the warmest."""
        there = sorted(one for one in map(number_of, values) if one is not None)
        return (
            (self.celsius(plain(there[0])), self.celsius(plain(there[-1]))) if there else ("?", "?")
        )

    def of_load(self, key: str, value: object, day: date, not_measured: str | None = None) -> str:
        """`batched 07:45` of what was written down of a load; what is taken back says so.

        `not_measured`: why there is no value.
        """
        known = FIELDS.get(key)
        name = known.name if known else key.replace("_", " ")
        if not_measured is not None:
            return f"{name} {unmeasured_text(not_measured)}"
        if value is None:
            return f"{name} taken back"
        if known is not None and known.kind == "text" and isinstance(value, str):
            return field_words(known, value, self.units)
        if known is None or known.kind == "text":
            return f"{name} {value}"
        if known.kind == "time":
            return f"{name} {self.time(value, day)}"
        number = number_of(value)
        return f"{name} {value if number is None else shown(known, number, self.units)}"

    def of_weather(self, key: str, value: object) -> str:
        """`air 18 °C` of a reading of the weather."""
        number = number_of(value)
        unit = QUANTITIES[key].unit
        return f"{key} {value if number is None else value_text(number, unit, self.units)}"

    def measured(self, key: str, value: object) -> str:
        """`width, base side 7201 mm` for an as-cast value."""
        number = number_of(value)
        if number is None:
            return f"{measured_name(key)} {value}"
        shown = format_rl(number, self.units) if is_height(key) else self._length(value)
        return f"{measured_name(key)} {shown}"

    def reading(self, value: object) -> str:
        """A reading of the staff."""
        number = number_of(value)
        return "?" if number is None else format_rl(number, self.units)

    def readings(self, data: Mapping[str, Any], key: str) -> str:
        """`7200 mm and 7201 mm` of what was measured twice; "" where it was measured once."""
        height = is_height(key)
        found = readings_in(data, key)
        return " and ".join(value_text(one, "m" if height else "mm", self.units) for one in found)

    def size(self, size: object) -> str:
        """`7200 mm × 8700 mm × 150 mm, base-left`."""
        if not isinstance(size, dict):
            return "?"
        sizes = " × ".join(self._length(size.get(one)) for one in ("width", "height", "thickness"))
        align: Any = size.get("align")
        return f"{sizes}, {align}" if align else sizes

    def _length(self, value: object) -> str:
        number = number_of(value)
        if number is None:
            return "?"
        # Metric ones whole; of what a tape in inches reads the 32nds too.
        shown = format_length if self.units == "metric" else format_read
        return shown(number, self.units)


def word_words(entry: Entry | None) -> str | None:
    """`A. Brook, engineer, by phone 14:05, taken down by M. Tallow`; None where an older entry has no word.

    A time on another day than the entry's is shown with its date, a document always.
    """
    word: Any = entry.data.get("word") if entry else None
    if entry is None or not isinstance(word, dict):
        return None
    way = str(word.get("way", ""))
    how = WAYS.get(way, way)
    when = _when(word.get("at"), None if way == "writing" else entry.at.date())
    parts = [word.get("of"), word.get("role"), f"{how} {when}".rstrip(), word.get("reference")]
    if word.get("taken_by"):
        parts.append(f"taken down by {word['taken_by']}")
    signed_in = entry.data.get("signed_in")
    if signed_in and signed_in not in (word.get("of"), word.get("taken_by")):
        parts.append(f"signed in: {signed_in}")
    return ", ".join(str(part) for part in parts if part)


def _when(value: object, day: date | None) -> str:
    moment = moment_of(value)
    if moment is None:
        return ""
    if day is None:
        return f"{moment:%Y-%m-%d}"
    return f"{moment:%H:%M}" if moment.date() == day else f"{moment:%Y-%m-%d %H:%M}"
