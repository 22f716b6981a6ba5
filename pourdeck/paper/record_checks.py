"""Write what was checked on a panel into its record: each question once, with its answer or its answers.

Where a question was asked of every bracket, corner or side, the answers that share all but place and
value stand in a list of lines under it; one that differs stands by itself, where it is seen.
"""

from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby

from pourdeck.paper.documents import Document
from pourdeck.paper.record_values import Number, entry_name, exact, found, value, where
from pourdeck.walk.records import ItemView, SectionView


def section_part(section: SectionView) -> Document:
    """Name, how much of it is answered, who completed it, and its questions in order."""
    done = section.complete
    return {
        "name": section.name,
        "answered": section.answered,
        "items": section.total,
        "completed_by": done.by if done else None,
        "completed_at": done.at if done else None,
        "check": list(checks(section.items)),
    }


def checks(items: Iterable[ItemView]) -> Iterable[Document]:
    """A check for those answers to a question that share judge, verdict, name and day."""
    for _, those in groupby(items, lambda item: item.prompt):
        alike: dict[object, list[ItemView]] = {}
        for item in those:
            alike.setdefault(_shared(item), []).append(item)
        for together in alike.values():
            yield _several(together) if len(together) > 1 else _single(together[0])


def _shared(item: ItemView) -> object:
    """Give what answers in one list share; the item's key if it has more to say than a line holds."""
    remarks = _remarks(item)
    if item.own_state != "done" or item.at is None or any(remarks.values()):
        return item.key
    limits = tuple(_limits(item).items())
    return (
        item.unit,
        item.source,
        item.verdict,
        item.by,
        item.at.date(),
        item.at.utcoffset(),
        limits,
    )


def _remarks(item: ItemView) -> Document:
    """Give what is out of the ordinary about an answer."""
    return {
        "reason": item.reason,
        "owner": item.owner,
        "before": item.before,
        "follow_up": item.follow_up,
        "disposition": item.out.said if item.out else None,
        "void": item.lapse,
        "not_measured": item.not_measured,
        "answered_fast": True if item.fast else None,
        "notes": "; ".join(f"{note.by}: {note.data.get('text', '')}" for note in item.notes),
    }


def _single(item: ItemView) -> Document:
    return {
        "asked": item.prompt,
        "where": where(item) or None,
        "state": item.own_state if item.own_state != "done" else None,
        "found": found(item),
        "expected": _expected(item),
        **_limits(item),
        "unit": _unit(item),
        "source": item.source,
        "verdict": item.verdict,
        "by": item.by,
        "at": item.at,
        **_remarks(item),
        "entry": entry_name(item.entry),
    }


def _several(items: list[ItemView]) -> Document:
    first = items[0]
    expected = {_expected(item) for item in items}
    return {
        "asked": first.prompt,
        "expected": _expected(first) if len(expected) == 1 else None,
        **_limits(first),
        "unit": _unit(first),
        "source": first.source,
        "verdict": first.verdict,
        "by": first.by,
        "on": first.at.date() if first.at else None,
        "clock": f"{first.at:UTC%z}" if first.at else None,
        "entries": _entries(items),
        "answers": [_line(item, with_expected=len(expected) > 1) for item in items],
    }


def _entries(items: list[ItemView]) -> str:
    """Where the entries are in the log: `shed 40 to 47`, station by station."""
    stations: dict[str, list[int]] = {}
    for item in items:
        if item.entry:
            stations.setdefault(item.entry.station, []).append(item.entry.n)
    return ", ".join(
        f"{station} {min(numbers)}" + (f" to {max(numbers)}" if len(numbers) > 1 else "")
        for station, numbers in sorted(stations.items())
    )


def _line(item: ItemView, *, with_expected: bool) -> Document:
    return {
        "where": where(item),
        "found": found(item),
        "expected": _expected(item) if with_expected else None,
        "at": item.at.time() if item.at else None,
    }


def _expected(item: ItemView) -> Number | str | None:
    """None where all that is expected is the limit itself."""
    if item.expected is not None and item.expected in (item.low, item.high):
        return None if item.low != item.high else value(item.expected, item)
    return value(item.expected, item)


def _limits(item: ItemView) -> dict[str, Number | str | None]:
    """Give how far the answer may be from what is expected, or else the least and the most it may be."""
    if item.low is not None and item.low == item.high:
        return {}
    if item.plus is not None and item.minus is not None:
        return {"plus": exact(item.plus), "minus": exact(item.minus)}
    return {"least": value(item.low, item), "most": value(item.high, item)}


def _unit(item: ItemView) -> str | None:
    return item.unit if isinstance(item.found, Decimal) and item.unit else None
