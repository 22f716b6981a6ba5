"""Write what happened to a panel into its record: releases, what does not apply, changes of size."""

from collections.abc import Sequence
from typing import Any

from pourdeck.paper.documents import Document
from pourdeck.paper.entry_words import word_words
from pourdeck.paper.record_values import entry_name, exact, height, where
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import (
    HoldState,
    HoldView,
    ItemView,
    NonConformance,
    OutOfTolerance,
    OutState,
    Walk,
)

STATES: dict[HoldState, str] = {
    "released": "released",
    "passed": "passed without release",
    "void": "void",
    "open": "open",
    "locked": "locked",
}


def released(hold: HoldView, passed: Sequence[NonConformance]) -> Document:
    """Give how a hold stands. `passed` are the non-conformances of the panel, this hold's among them."""
    own = [one for one in passed if hold.entry and one.entry.key == hold.entry.key]
    return {
        "hold": hold.name,
        "state": STATES[hold.state],
        "by": hold.by,
        "role": hold.role,
        "word": word_words(hold.entry),
        "at": hold.at,
        "seen": hold.seen,
        "measures": hold.entry.data.get("measures") if hold.entry else None,
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
            "word": word_words(entry),
            "at": entry.at,
            "seen": entry.data.get("seen"),
            "measures": entry.data.get("measures"),
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
        "word": word_words(one.entry),
        "state": "closed" if one.closed else "not closed",
        "closed_by": one.closed.by if one.closed else None,
        "closed_at": one.closed.at if one.closed else None,
        "closed_word": word_words(one.closed),
        "action": one.action,
        "entry": entry_name(one.entry),
    }


def out_of_tolerance(one: OutOfTolerance) -> Document:
    """A value as cast outside its band: what an NCR holds of it, and how it was settled.

    Its number is the entry that gave the value. Lengths mm, heights m; `over` is how far it is above
    the limit, negative below.
    """
    said, ended = one.disposition, one.again
    exactly = height if one.unit == "m" else exact
    document: Document = {
        "number": entry_name(one.entry),
        "panel": one.mark,
        "what": one.name,
        "keys": ", ".join(one.cast_keys),
        "found": exactly(one.found),
        **({key: exactly(size) for key, size in one.values.items()} if _two(one) else {}),
        "found_by": ", ".join(one.measured_by) or None,
        "at": one.entry.at,
        "expected": None if one.expected is None else exactly(one.expected),
        "least": None if one.low is None else exactly(one.low),
        "most": None if one.high is None else exactly(one.high),
        "over": exactly(one.over),
        "unit": one.unit,
        "source": one.source,
        "state": STATE_WORDS[one.state],
    }
    if said is not None:
        document |= {
            "disposition": one.said,
            "disposition_by": said.by,
            "role": said.data.get("role"),
            "disposition_word": word_words(said),
            "disposition_at": said.at,
            "reason": said.data.get("reason"),
            "disposition_entry": entry_name(said),
        }
    if one.looked is not None:
        document |= {
            "looked_at_by": one.looked.by,
            "looked_at_at": one.looked.at,
            "looked_at_word": word_words(one.looked),
            "action": one.looked.data.get("action"),
            "looked_at_entry": entry_name(one.looked),
        }
    if ended is not None and one.found_again is not None:
        document |= {
            "measured_again": exactly(one.found_again),
            "again_by": ended.by,
            "again_at": ended.at,
            "why": ended.data.get("why"),
            "again_entry": entry_name(ended),
        }
    return document | {"settled": _settled(one)}


STATE_WORDS: dict[OutState, str] = {
    "open": "open, no disposition",
    "rework": "open, rework",
    "repair": "open, repair",
    "repaired": "closed, repaired",
    "use-as-is": "closed, used as is",
    "rejected": "rejected, held for good",
    "measured again": "closed, measured again",
}


def _two(one: OutOfTolerance) -> bool:
    """True where `found` is how far two are apart, so that what was measured must be said too."""
    return len(one.values) > 1


def _settled(one: OutOfTolerance) -> str:
    """Say how it was settled, and by whom."""
    match one.state:
        case "use-as-is" if one.disposition:
            return f"used as is by {one.disposition.by}"
        case "repaired" if one.looked:
            return f"repair looked at by {one.looked.by}"
        case "measured again":
            return (
                "measured again, in the band" if one.passed_again else "measured again, out again"
            )
        case "rejected":
            return "never: the panel is rejected"
        case _:
            return "not yet"


def not_applicable(item: ItemView) -> Document:
    return {
        "asked": item.prompt,
        "where": where(item),
        "reason": item.reason,
        "by": item.by,
        "at": item.at,
        "word": word_words(item.entry),
    }


def size_change(entry: Entry) -> Document:
    return {
        "before": _size(entry.data.get("before")),
        "after": _size(entry.data.get("after")),
        "reason": entry.data.get("reason"),
        "by": entry.by,
        "at": entry.at,
        "word": word_words(entry),
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
