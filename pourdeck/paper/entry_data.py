"""The data of one entry of the log, name by name, as people of the job read it."""

import json
from typing import Any

from pourdeck.paper.entry_words import EntryWords
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.steps import template
from pourdeck.walk.words import logged_text

_SIZES = ("width", "height", "thickness")
_ALONG = ("anchors", "extra_anchors")


def data_words(entry: Entry, units: Units) -> tuple[tuple[str, str], ...]:
    """Each name with its value; what is no measurement as the entry holds it."""
    return tuple((name, _value(entry, name, value, units)) for name, value in entry.data.items())


def _value(entry: Entry, name: str, value: Any, units: Units) -> str:
    unit = _unit(entry, name)
    if unit and isinstance(value, str):
        return logged_text(value, unit, units)
    if units == "metric":
        return _as_held(value)
    if name == "tolerance" and isinstance(value, dict) and _unit(entry, "value"):
        shown = {key: _in(one, _unit(entry, "value"), units) for key, one in value.items()}
        return ", ".join(f"{key} {one}" for key, one in shown.items())
    words = EntryWords(template=template(), units=units)
    if entry.kind == "as-cast" and name == "values" and isinstance(value, dict):
        return "; ".join(words.measured(key, one) for key, one in value.items())
    if entry.kind == "revise" and name in ("before", "after"):
        return words.size(value)
    if entry.kind == "pour-start" and name in _ALONG and isinstance(value, dict):
        return "; ".join(f"{side} {_listed(along, units)}" for side, along in value.items())
    return _as_held(value)


def _unit(entry: Entry, name: str) -> str:
    """The unit of a value that is one measurement, "" where it is none."""
    if entry.kind == "answer" and name in ("value", "expected"):
        unit = entry.data.get("unit")
        return unit if isinstance(unit, str) else ""
    if entry.kind == "pour-start" and name in _SIZES:
        return "mm"
    return "m³" if entry.kind == "pour-end" and name == "volume" else ""


def _in(value: Any, unit: str, units: Units) -> str:
    return logged_text(value, unit, units) if isinstance(value, str) else "none"


def _listed(along: Any, units: Units) -> str:
    if not isinstance(along, list):
        return _as_held(along)
    return ", ".join(_in(at, "mm", units) for at in along) or "none"


def _as_held(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
