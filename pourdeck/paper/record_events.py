"""What happened to a panel, in its record: who released it, what does not apply, what changed its size."""

from collections.abc import Sequence
from typing import Any

from pourdeck.paper.documents import Document
from pourdeck.paper.record_checks import entry_name, where
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import HoldState, HoldView, ItemView, NonConformance, Walk

STATES: dict[HoldState, str] = {
    "released": "released",
    "passed": "passed without release",
    "void": "void",
    "open": "open",
    "locked": "locked",
}


def released(hold: HoldView, passed: Sequence[NonConformance]) -> Document:
    """How a hold stands. `passed` are the non-conformances of the panel, this hold's among them."""
    own = [one for one in passed if hold.entry and one.entry.key == hold.entry.key]
    return {
        "hold": hold.name,
        "state": STATES[hold.state],
        "by": hold.by,
        "role": hold.role,
        "at": hold.at,
        "seen": hold.seen,
        "reason": hold.reason,
        "nonconformance": closing(own[0]) if own else None,
        "void": hold.lapse,
        "entry": entry_name(hold.entry),
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
            "entry": entry_name(entry),
        }
        for entry in entries
        if entry.key != now
    ]


def closing(one: NonConformance) -> str:
    """Whether a non-conformance is closed, and by whom."""
    if one.closed is None:
        return "not closed"
    return f"closed by {one.closed.by}"


def nonconformance(one: NonConformance) -> Document:
    return {
        "hold": one.name,
        "reason": one.reason,
        "by": one.by,
        "at": one.at,
        "state": "closed" if one.closed else "not closed",
        "closed_by": one.closed.by if one.closed else None,
        "closed_at": one.closed.at if one.closed else None,
        "action": one.action,
        "entry": entry_name(one.entry),
    }


def not_applicable(item: ItemView) -> Document:
    return {
        "asked": item.prompt,
        "where": where(item),
        "reason": item.reason,
        "by": item.by,
        "at": item.at,
    }


def size_change(entry: Entry) -> Document:
    return {
        "before": _size(entry.data.get("before")),
        "after": _size(entry.data.get("after")),
        "reason": entry.data.get("reason"),
        "by": entry.by,
        "at": entry.at,
        "entry": entry_name(entry),
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
