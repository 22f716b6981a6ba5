"""How an item stands: the last act on it, and whether that still counts."""

from collections.abc import Collection
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.log_numbers import canonical, not_measured_in, number_of
from pourdeck.walk.people import folded
from pourdeck.walk.records import ItemState, LastAct, Verdict
from pourdeck.walk.steps import Step
from pourdeck.walk.words import value_text


@frozen(kw_only=True, eq=False, repr=False)
class Standing(LastAct):
    """The state of an item without locks, and what made it so."""

    state: ItemState = "open"
    verdict: Verdict | None = None


OPEN = Standing()


def last_act(record: PanelState, step: Step, key: str, cast_key: str | None) -> Entry | None:
    """The last act on an item: an answer, a deferral, "not applicable", or the entry it makes."""
    if step.records == "pour-start":
        return record.pour_start
    if step.records == "pour-end":
        return record.pour_end
    latest = record.latest.get(key)
    if cast_key is None:
        return latest
    measured = last_measured(record, cast_key)
    if measured is None or (latest and latest.order > measured.order):
        return latest
    return measured


def last_measured(record: PanelState, cast_key: str) -> Entry | None:
    """The last as-cast entry that holds a value of that key."""
    return next(
        (entry for entry in reversed(record.as_cast) if cast_key in entry.data["values"]), None
    )


def standing(
    record: PanelState,
    step: Step,
    key: str,
    cast_key: str | None,
    expected: Decimal | str | None,
    where: str | None,
    doers: Collection[str],
    units: Units = "metric",
) -> Standing:
    """How an item stands by the log. `doers`: who answered the other items of its section, folded.

    The verdict is the one that was recorded. Where none was, as for as-cast values, it is None.
    """
    entry = last_act(record, step, key, cast_key)
    if entry is None:
        return OPEN
    data = entry.data
    history = _history(record, key, cast_key)
    if entry.kind in ("defer", "not-applicable"):
        return _set_aside(entry, history)
    unmeasured = not_measured_in(entry)
    found, lapse = (None, None) if unmeasured else _found(entry, step, cast_key)
    if entry.kind == "answer" and lapse is None and not _cast_since(record, entry):
        lapse = _moved(entry, step, expected, where, units)
    if lapse is None and step.second and folded(entry.by) in doers:
        lapse = "a second person must answer it"
    verdict = _verdict(data.get("verdict"))
    follow_up = _follow_up(record, key, entry)
    return Standing(
        state="void" if lapse else "failed" if verdict == "fail" and not follow_up else "done",
        found=found,
        typed=_text(data.get("typed")),
        verdict=verdict,
        by=entry.by,
        at=entry.at,
        reason=_text(data.get("early")) or _text(data.get("why")),
        lapse=lapse,
        entry=entry,
        history=history,
        follow_up=follow_up,
        fast=data.get("fast") is True,
        not_measured=unmeasured,
        doubted=data.get("doubted") is True,
    )


def _set_aside(entry: Entry, history: int) -> Standing:
    """Left without an answer. A deferral that lacks reason, owner or due point is none."""
    reason, owner, before = (_text(entry.data.get(key)) for key in ("reason", "owner", "before"))
    state: ItemState = "n/a"
    if entry.kind == "defer":
        state = "deferred" if reason and owner and before else "open"
    return Standing(
        state=state,
        by=entry.by,
        at=entry.at,
        reason=reason,
        owner=owner,
        before=before,
        entry=entry,
        history=history,
    )


def _history(record: PanelState, key: str, cast_key: str | None) -> int:
    """How often it has been answered."""
    if cast_key is None:
        return len(record.answers.get(key, ()))
    return sum(cast_key in entry.data["values"] for entry in record.as_cast)


def _found(
    entry: Entry, step: Step, cast_key: str | None
) -> tuple[Decimal | str | None, str | None]:
    """What was found, and why it cannot be read where it cannot."""
    if step.records:
        return _text(entry.data.get("time")) or entry.at.isoformat(), None
    value = (
        entry.data["values"].get(cast_key) if entry.kind == "as-cast" else entry.data.get("value")
    )
    if step.answer in ("measure", "count"):
        number = number_of(value)
        return number, None if number is not None else "the log holds no number for it"
    return _text(value), None


def _cast_since(record: PanelState, entry: Entry) -> bool:
    """True for what was found before the pour: it is history, whatever moves afterwards."""
    return record.pour_start is not None and record.pour_start.order > entry.order


def _moved(
    entry: Entry, step: Step, expected: Decimal | str | None, where: str | None, units: Units
) -> str | None:
    """Why an answer no longer counts: what it was judged by, or the thing itself, has moved."""
    judged = _text(entry.data.get("expected"))
    if judged != canonical(expected):
        before = _expected_text(judged, step, units)
        now = _expected_text(canonical(expected), step, units)
        if judged is None:
            return f"it was answered before it was known that {now} is expected"
        return f"{before} was expected when it was answered, now {now or 'nothing'} is"
    if entry.data.get("where", where) != where:
        return "what it was answered for has moved"
    return None


def _expected_text(value: str | None, step: Step, units: Units) -> str:
    """What is expected, from what the log holds of it."""
    number = number_of(value) if step.answer in ("measure", "count") else None
    return value_text(value if number is None else number, step.unit, units, step.decimals or 0)


def _follow_up(record: PanelState, key: str, entry: Entry) -> str | None:
    """What was done about it after that answer."""
    done = record.follow_ups.get(key)
    if not done or done[-1].order < entry.order:
        return None
    return _text(done[-1].data.get("action"))


def _verdict(value: object) -> Verdict | None:
    return value if value in ("pass", "fail", "recorded") else None


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None
