"""Write into a panel's record what did not go right at first: what failed, was put off or done again.

Whoever failed something, put it right and measured again has the first answer in it with what it was
judged by, and what was done.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise, zip_longest
from typing import Any

from attrs import frozen

from pourdeck.paper.documents import Document
from pourdeck.paper.entry_words import word_words
from pourdeck.paper.record_values import entry_name, value, where
from pourdeck.plan.ascast import is_height
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.records import ItemView, Verdict, within
from pourdeck.walk.words import not_measured_in, number_of

SETTLED = {"answer": "answered", "not-applicable": "not applicable", "defer": "put off again"}
"""Name how a deferral ended, by the kind of the next act on the item; any other kind answers it too."""


@frozen(kw_only=True, eq=False, repr=False)
class Given:
    """One answer of those an item was given, with what it was judged by then."""

    found: Any
    verdict: Verdict | None
    expected: Any
    low: Decimal | None
    high: Decimal | None
    source: str | None
    entry: Entry


def failed(item: ItemView, state: PanelState) -> Document:
    """An item whose answer failed and stands, with what was done about it."""
    done = _done_about(state, item.key, item.entry, None)
    disposed = item.cast_key is not None and item.not_measured is None
    return {
        "asked": item.prompt,
        "where": where(item),
        "found": value(item.found, item),
        "not_measured": item.not_measured,
        "verdict": item.verdict,
        "expected": _expected(item, item.expected),
        **_limits(item.low, item.high, item),
        "unit": item.unit,
        "source": item.source,
        "by": item.by,
        "at": item.at,
        **(done or ({} if disposed else {"follow_up": item.follow_up or "none"})),
        **({"disposition": (item.out and item.out.said) or "none"} if disposed else {}),
    }


def put_right(item: ItemView, state: PanelState) -> bool:
    """True where an earlier answer failed and the one that stands does not."""
    earlier = answers_given(item, state)[:-1]
    return item.verdict != "fail" and any(one.verdict == "fail" for one in earlier)


def answered_again(item: ItemView, state: PanelState) -> list[Document]:
    """Each answer that took the place of an earlier one, with the earlier one, its verdict and why."""
    return [
        {
            "asked": "as-cast" if item.cast_key else item.prompt,
            "where": item.cast_key or where(item),
            "first": value(first.found, item),
            "first_not_measured": not_measured_in(first.entry),
            "first_verdict": first.verdict,
            "expected": _expected(item, first.expected),
            **_limits(first.low, first.high, item),
            "unit": item.unit,
            "source": first.source,
            "first_by": first.entry.by,
            "first_at": first.entry.at,
            **(_done_about(state, item.key, first.entry, then.entry) or {}),
            "then": value(then.found, item),
            "then_not_measured": not_measured_in(then.entry),
            "then_verdict": then.verdict,
            "why": then.entry.data.get("why"),
            "by": then.entry.by,
            "at": then.entry.at,
        }
        for first, then in pairwise(answers_given(item, state))
    ]


def measured_again(state: PanelState, judged: Mapping[str | None, ItemView]) -> list[Document]:
    """As-cast values that took the place of others and that no item of the walk asks for."""
    keys = dict.fromkeys(key for entry in state.as_cast for key in entry.data["values"])
    return [
        {
            "asked": "as-cast",
            "where": key,
            "first": first.data["values"][key],
            "first_by": first.by,
            "first_at": first.at,
            "then": then.data["values"][key],
            "unit": "m" if is_height(key) else "mm",
            "why": then.data.get("why"),
            "by": then.by,
            "at": then.at,
        }
        for key in keys
        if key not in judged
        for first, then in pairwise(_measured(state.as_cast, key))
    ]


def deferred(item: ItemView, state: PanelState) -> Iterator[Document]:
    """Each time an item was put off, and how and by whom that was settled."""
    acts = [entry for entry in state.entries if _is_act_on(entry, item)]
    for entry, then in zip_longest(acts, acts[1:]):
        if entry.kind == "defer":
            yield {
                "asked": item.prompt,
                "where": where(item),
                "reason": entry.data.get("reason"),
                "owner": entry.data.get("owner"),
                "before": entry.data.get("before"),
                "by": entry.by,
                "at": entry.at,
                **_settled(item, then, state),
            }


def _settled(item: ItemView, then: Entry | None, state: PanelState) -> Document:
    if then is None:
        return {"settled": "not yet"}
    answer = next((one for one in answers_given(item, state) if one.entry is then), None)
    return {
        "settled": SETTLED.get(then.kind, "answered"),
        "found": value(answer.found, item) if answer else None,
        "not_measured": not_measured_in(then),
        "unit": item.unit if answer and isinstance(answer.found, Decimal) else None,
        "verdict": answer.verdict if answer else None,
        "why": then.data.get("why") or then.data.get("reason"),
        "settled_by": then.by,
        "settled_at": then.at,
        "entry": entry_name(then),
    }


def _is_act_on(entry: Entry, item: ItemView) -> bool:
    if entry.kind == "as-cast":
        return item.cast_key is not None and item.cast_key in entry.data["values"]
    if item.records is not None and entry.kind == item.records:
        return True
    return entry.kind in SETTLED and entry.data.get("item") == item.key


def answers_given(item: ItemView, state: PanelState) -> list[Given]:
    """Every answer an item was given and that was not undone, oldest first."""
    if item.cast_key is not None:
        return [_cast(item, entry) for entry in _measured(state.as_cast, item.cast_key)]
    if item.records is not None:
        return [_timed(entry) for entry in state.entries if entry.kind == item.records]
    return [_answered(item, entry) for entry in state.answers.get(item.key, ())]


def _answered(item: ItemView, entry: Entry) -> Given:
    data = entry.data
    limits = data.get("tolerance")
    if not isinstance(limits, dict):
        limits = {}
    return Given(
        found=_value(data.get("value"), item),
        verdict=data.get("verdict"),
        expected=_value(data.get("expected"), item),
        low=number_of(limits.get("low")),
        high=number_of(limits.get("high")),
        source=data.get("source"),
        entry=entry,
    )


def _cast(item: ItemView, entry: Entry) -> Given:
    """The log holds no verdict of an as-cast value: it is judged by the limits of its item."""
    found = number_of(entry.data["values"][item.cast_key])
    judged = found is not None and not item.pair
    return Given(
        found=found,
        verdict=within(found, item.low, item.high) if judged and found is not None else None,
        expected=item.expected,
        low=item.low if judged else None,
        high=item.high if judged else None,
        source=item.source,
        entry=entry,
    )


def _timed(entry: Entry) -> Given:
    found = moment_of(entry.data.get("time")) or entry.at
    return Given(
        found=found, verdict=None, expected=None, low=None, high=None, source=None, entry=entry
    )


def _measured(entries: Sequence[Entry], key: str) -> list[Entry]:
    """The entries that gave an as-cast value, without those that gave the same one again."""
    found: list[Entry] = []
    for entry in entries:
        values = entry.data["values"]
        if key in values and not (found and found[-1].data["values"][key] == values[key]):
            found.append(entry)
    return found


def _value(one: Any, item: ItemView) -> Any:
    number = number_of(one) if item.kind in ("measure", "count") else None
    return one if number is None else number


def _expected(item: ItemView, expected: Any) -> Any:
    """Give what was expected; of a choice without a computed value, the words that pass."""
    if expected is None and item.kind == "choice":
        return " or ".join(item.good)
    return value(expected, item)


def _limits(low: Decimal | None, high: Decimal | None, item: ItemView) -> Document:
    """The least and the most that passes; nothing where just one value does."""
    if low is not None and low == high:
        return {}
    return {"least": value(low, item), "most": value(high, item)}


def _done_about(
    state: PanelState, key: str, answer: Entry | None, then: Entry | None
) -> Document | None:
    """The last follow-up after an answer and before the one that took its place."""
    done = [
        entry
        for entry in state.follow_ups.get(key, ())
        if (answer is None or entry.order > answer.order)
        and (then is None or entry.order < then.order)
    ]
    if not done:
        return None
    last = done[-1]
    return {
        "follow_up": last.data.get("action"),
        "follow_up_by": last.by,
        "follow_up_at": last.at,
        "follow_up_word": word_words(last),
    }
