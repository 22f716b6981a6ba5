"""One entry of the site log in a line of words, for diaries and lists."""

from collections.abc import Callable
from typing import Any

from pourdeck.sitelog.entries import Entry

Data = dict[str, Any]


def _value(data: Data) -> str:
    unit = data.get("unit") or ""
    verdict = data.get("verdict")
    found = f"{data.get('item', '')}: {data.get('value', '')} {unit}".rstrip()
    if verdict in ("pass", "fail"):
        found += f", {verdict}"
    if data.get("why"):
        found += f" (in place of no. {data.get('replaces')}: {data['why']})"
    return found


def _size(size: Any) -> str:
    if not isinstance(size, dict):
        return "?"
    sizes = " × ".join(str(size.get(name, "?")) for name in ("width", "height", "thickness"))
    return f"{sizes} {size.get('align', '')}".rstrip()


def _revise(data: Data) -> str:
    return f"{_size(data.get('before'))} → {_size(data.get('after'))}: {data.get('reason', '')}"


def _measured(data: Data) -> str:
    values = data.get("values")
    if not isinstance(values, dict):
        return ""
    return ", ".join(f"{key} {value}" for key, value in values.items())


def _said(*keys: str) -> Callable[[Data], str]:
    return lambda data: ": ".join(str(data[key]) for key in keys if data.get(key))


LINES: dict[str, Callable[[Data], str]] = {
    "start": lambda data: f"log of station {data.get('station', '')} begun",
    "answer": _value,
    "defer": lambda data: (
        f"{data.get('item', '')}: {data.get('reason', '')}; {data.get('owner', '')}, "
        f"before {data.get('before', '')}"
    ),
    "not-applicable": _said("item", "reason"),
    "note": _said("item", "text"),
    "follow-up": _said("item", "action"),
    "complete": _said("section"),
    "release": _said("hold", "role", "seen"),
    "pass-unreleased": _said("hold", "reason"),
    "close-nonconformance": _said("n", "action"),
    "pour-start": _said("time"),
    "pour-end": lambda data: f"{data.get('time', '')}, {data.get('volume', '?')} m³ placed",
    "as-cast": _measured,
    "close": lambda data: "panel closed",
    "lifted": lambda data: "lifted off its stack",
    "revise": _revise,
    "undo": lambda data: f"no. {data.get('n', '?')}: {data.get('why', '')}",
}


def diary_line(entry: Entry) -> str:
    """What an entry says, in one line; a kind that is not known shows its data as it is."""
    line = LINES.get(entry.kind)
    if line is not None:
        return line(entry.data)
    return ", ".join(f"{key} {value}" for key, value in entry.data.items() if key != "panel")
