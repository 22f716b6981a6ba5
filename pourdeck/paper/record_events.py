"""What happened to a panel, in its record: who released it, what failed, was put off or done again."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from pourdeck.paper.documents import Document
from pourdeck.paper.record_checks import value, where
from pourdeck.paper.toml_values import exact
from pourdeck.plan.ascast import is_height
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.logged import number_of
from pourdeck.walk.records import HoldState, HoldView, ItemView, NonConformance, Walk

STATES: dict[HoldState, str] = {
    "released": "released",
    "passed": "passed without release",
    "void": "void",
    "open": "open",
    "locked": "locked",
}


def released(hold: HoldView) -> Document:
    return {
        "hold": hold.name,
        "state": STATES[hold.state],
        "by": hold.by,
        "role": hold.role,
        "at": hold.at,
        "seen": hold.seen,
        "reason": hold.reason,
        "void": hold.lapse,
        "entry": hold.entry.n if hold.entry else None,
    }


def released_before(hold: HoldView, entries: Sequence[Entry]) -> list[Document]:
    """Releases of a hold that lapsed and were given again, the earlier ones."""
    now = hold.entry.key if hold.entry else None
    return [
        {
            "hold": hold.name,
            "state": "lapsed, given again",
            "by": entry.by,
            "role": entry.data.get("role"),
            "at": entry.at,
            "seen": entry.data.get("seen"),
            "entry": entry.n,
        }
        for entry in entries
        if entry.key != now
    ]


def nonconformance(one: NonConformance) -> Document:
    return {
        "hold": one.name,
        "reason": one.reason,
        "by": one.by,
        "at": one.at,
        "closed_by": one.closed.by if one.closed else "not closed",
        "closed_at": one.closed.at if one.closed else None,
        "action": one.action,
        "entry": one.entry.n,
    }


def failed(item: ItemView) -> Document:
    return {
        "asked": item.prompt,
        "where": where(item),
        "found": value(item.found, item),
        "expected": value(item.expected, item),
        "unit": item.unit,
        "by": item.by,
        "at": item.at,
        "follow_up": item.follow_up or "none",
    }


def set_aside(item: ItemView) -> Document:
    return {
        "asked": item.prompt,
        "where": where(item),
        "reason": item.reason,
        "owner": item.owner,
        "before": item.before,
        "by": item.by,
        "at": item.at,
    }


def answered_again(item: ItemView, answers: dict[str, list[Entry]]) -> list[Document]:
    """Each answer that took the place of an earlier one, with the earlier one and why."""
    every = answers.get(item.key, [])
    return [
        {
            "asked": item.prompt,
            "where": where(item),
            "first": _answered(first),
            "then": _answered(then),
            "unit": item.unit,
            "why": then.data.get("why"),
            "by": then.by,
            "at": then.at,
        }
        for first, then in pairwise(every)
    ]


def measured_again(entries: Sequence[Entry]) -> list[Document]:
    """Each as-cast value that took the place of another, with the other one and why."""
    stands: dict[str, Any] = {}
    found: list[Document] = []
    for entry in entries:
        for key, text in entry.data["values"].items():
            if key in stands and stands[key] != text:
                found.append(
                    {
                        "asked": "as-cast",
                        "where": key,
                        "first": _exact(stands[key]),
                        "then": _exact(text),
                        "unit": "m" if is_height(key) else "mm",
                        "why": entry.data.get("why"),
                        "by": entry.by,
                        "at": entry.at,
                    }
                )
            stands[key] = text
    return found


def _exact(text: Any) -> Any:
    number = number_of(text)
    return text if number is None else exact(number)


def _answered(entry: Entry) -> Any:
    number = number_of(entry.data.get("value")) if entry.data.get("unit") else None
    return entry.data.get("value") if number is None else exact(number)


def size_change(entry: Entry) -> Document:
    return {
        "before": _size(entry.data.get("before")),
        "after": _size(entry.data.get("after")),
        "reason": entry.data.get("reason"),
        "by": entry.by,
        "at": entry.at,
        "entry": entry.n,
    }


def _size(size: Any) -> str | None:
    if not isinstance(size, dict):
        return None
    sizes = " × ".join(str(size.get(name, "?")) for name in ("width", "height", "thickness"))
    return f"{sizes} mm, {size.get('align', '')}".rstrip(", ")


def noted(entry: Entry, walk: Walk) -> Document:
    item = walk.find(str(entry.data.get("item") or ""))
    return {
        "about": " ".join((where(item), item.prompt)).strip() if item else None,
        "text": entry.data.get("text"),
        "by": entry.by,
        "at": entry.at,
    }
