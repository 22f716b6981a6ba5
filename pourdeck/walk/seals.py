"""What a release covers, as one digest: whatever of it changes afterwards makes the release void."""

import hashlib
import json
from collections.abc import Iterable
from typing import Any

from pourdeck.plan.numbers import plain
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.log_numbers import canonical
from pourdeck.walk.records import ItemView

_ACTS = ("answer", "defer", "not-applicable")


def setout_numbers(setout: SetOut) -> list[Any]:
    """What a second person has seen of a set-out: the panel itself and how it sits on the one below.

    What it must carry for the panel above is in its items, so that a change up there does not take
    back what was seen of it before.
    """
    panel = setout.panel
    return [
        panel.mark,
        panel.rev,
        panel.face_up,
        panel.mirrored,
        *(plain(one) for one in (panel.width, panel.height, panel.thickness, setout.chamfer)),
        *(plain(one) for one in setout.position),
        [plain(one) for one in setout.offsets.values()] if setout.offsets else None,
        list(setout.bolts.values()) if setout.bolts else None,
        [
            [one.name, *(plain(size) for size in (one.x, one.y, one.width, one.height))]
            for one in setout.openings
        ],
        [
            [one.name, one.kind, one.edge]
            + [None if at is None else plain(at) for at in (one.x, one.y, one.at)]
            for one in setout.castins
        ],
    ]


def setout_digest(setout: SetOut) -> str:
    return digest_of(setout_numbers(setout))


def covers_digest(
    setout: SetOut, items: Iterable[ItemView], record: PanelState, release: Entry | None = None
) -> str:
    """SHA-256 over the covered items and the set-out.

    For a `release` that was given, an item that was deferred then counts as deferred still: to settle
    what was openly put off takes nothing back.
    """
    listed = [_canonical(item, record, release) for item in items]
    return digest_of([setout_numbers(setout), listed])


def _canonical(item: ItemView, record: PanelState, release: Entry | None) -> list[Any]:
    expected = canonical(item.expected)
    if settled_since(item, record, release):
        return [item.key, "deferred", None, expected]
    value = None if item.own_state == "deferred" else canonical(item.found)
    if item.not_measured is not None:
        value = f"not measured: {item.not_measured}"
    return [item.key, item.own_state, value, expected]


def settled_since(item: ItemView, record: PanelState, release: Entry | None) -> bool:
    """True where the item was deferred when the release was given, and has been acted on since."""
    if release is None or item.entry is None or item.entry.order < release.order:
        return False
    before: Entry | None = None
    for entry in record.entries:
        if entry.order > release.order:
            break
        if entry.kind in _ACTS and entry.data.get("item") == item.key:
            before = entry
    return before is not None and before.kind == "defer"


def digest_of(value: Any) -> str:
    """SHA-256 over lists, texts and None."""
    text = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()
