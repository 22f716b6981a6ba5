"""The items of a panel: every step of the template for whatever it is about, and how each stands."""

from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal
from typing import Any

from attrs import evolve, fields, frozen

from pourdeck.plan.amounts import as_meant
from pourdeck.plan.ascast import AS_CAST_KEYS
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry, Key
from pourdeck.sitelog.panel_state import PanelState, Thing
from pourdeck.walk.conflicts import both_words
from pourdeck.walk.expand import EACH
from pourdeck.walk.levels import ITEMS as IN_LEVEL_BOOK
from pourdeck.walk.out_of_tolerance import out_of_tolerance, standing_of
from pourdeck.walk.records import ItemState, ItemView, LastAct, Verdict, within
from pourdeck.walk.steps import Blank, Context, Instance, Section, Step, holds
from pourdeck.walk.strength_words import forms_off_note
from pourdeck.walk.targets import NOT_JUDGED, READS_LOG, TARGETS, TOLERANCES, Margin, Target
from pourdeck.walk.words import canonical, folded, not_measured_in, number_of, value_text

# How an item stands: the last act on it, and whether that still counts.


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
    """Tell how an item stands by the log. `doers`: who answered the other items of its section, folded.

    The verdict is the one that was recorded. Where none was, as for as-cast values, it is None.
    """
    history = _history(record, key, cast_key)
    if record.conflicts and (conflict := _in_conflict(record, step, key, cast_key, units)):
        return evolve(conflict, history=history)
    entry = last_act(record, step, key, cast_key)
    if entry is None:
        return OPEN
    data = entry.data
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


def _in_conflict(
    record: PanelState, step: Step, key: str, cast_key: str | None, units: Units
) -> Standing | None:
    """Judge an item of which stations said different things; None where they did not."""
    things: list[Thing] = [("item", key)]
    if cast_key is not None:
        things.append(("as-cast", cast_key))
    if step.records:
        things.append((step.records, ""))
    for thing in things:
        entries = record.conflicts.get(thing)
        if entries:
            last = entries[-1]
            words = both_words(thing, entries, units)
            return Standing(
                state="void", lapse=words, by=last.by, at=last.at, entry=last, conflict=entries
            )
    return None


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
    """Count how often it has been answered."""
    if cast_key is None:
        return len(record.answers.get(key, ()))
    return sum(cast_key in entry.data["values"] for entry in record.as_cast)


def _found(
    entry: Entry, step: Step, cast_key: str | None
) -> tuple[Decimal | str | None, str | None]:
    """Give what was found, and why it cannot be read where it cannot."""
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
    """Say what is expected, from what the log holds of it."""
    number = number_of(value) if step.answer in ("measure", "count") else None
    return value_text(value if number is None else number, step.unit, units, step.decimals or 0)


def _follow_up(record: PanelState, key: str, entry: Entry) -> str | None:
    """Give what was done about it after that answer; None where nothing was."""
    done = record.follow_ups.get(key)
    if not done or done[-1].order < entry.order:
        return None
    return _text(done[-1].data.get("action"))


def _verdict(value: object) -> Verdict | None:
    return value if value in ("pass", "fail", "recorded") else None


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None


# The items of a panel: every step of the template for every bracket, side and corner it is about.

FROM_LOG = tuple(one.name for one in fields(LastAct))

DECIMALS = {"mm": 1, "mm/form": 1, "m": 3}
"""Decimals a number is shown to, by its unit, where the step does not say."""


@frozen(kw_only=True, eq=False, repr=False)
class Share:
    """Hold what the items of one section share."""

    doers: Collection[str]
    notes: dict[str, list[Entry]]
    locked_by: Refusal | None


def section_items(
    section: Section, context: Context, doers: Collection[str], locked_by: Refusal | None = None
) -> tuple[ItemView, ...]:
    """The items of a section in order. `doers`: who answered its ordinary items, folded."""
    share = Share(doers=doers, notes=_notes(context), locked_by=locked_by)
    found: list[ItemView] = []
    for step in section.steps:
        views = [_view(step, blank, context, share) for blank in blank_items(step, context)]
        if not views:
            continue
        judged = judge_pair(views) if step.pair else views
        found += _disposed(judged, context) if step.as_cast else judged
    return tuple(found)


def _disposed(views: list[ItemView], context: Context) -> list[ItemView]:
    """As-cast values with what of them is out of tolerance: failed until something is said of it.

    A follow-up settles none: one that an older log has leaves the item failed. What was rejected stays so,
    whatever is measured afterwards. What was not measured has no value: a follow-up settles that.
    """
    if not context.record.as_cast:
        return views
    stack, number = context.stack.id, context.setout.number
    every = out_of_tolerance(views, context.record, stack, number)
    found = []
    for view in views:
        out = standing_of(view.key, every)
        measured = view.not_measured is None
        if measured and view.verdict == "fail" and view.own_state in ("failed", "done"):
            state: ItemState = "done" if out and out.said else "failed"
            seen: ItemState = "locked" if view.locked_by else state
            view = evolve(view, state=seen, own_state=state)
        found.append(evolve(view, out=out) if out else view)
    return found


def as_cast_key(step: Step, instance: Instance) -> str | None:
    """The as-cast key an item records under, None where it is no as-cast value."""
    if step.as_cast is None:
        return None
    key = f"{step.as_cast}_{instance.suffix.replace('-', '_')}"
    return key if key in AS_CAST_KEYS else None


def _notes(context: Context) -> dict[str, list[Entry]]:
    by_item: dict[str, list[Entry]] = {}
    for entry in context.record.notes:
        item = entry.data.get("item")
        if isinstance(item, str):
            by_item.setdefault(item, []).append(entry)
    return by_item


def blank_items(step: Step, context: Context) -> tuple[Blank, ...]:
    """The items of a step before anything was answered: none where its conditions do not hold.

    Kept in `context.blanks` by set-out; the few whose target reads the log in `context.from_log`, until there
    is another entry that such a target may read.
    """
    if not step.own and step.expected in READS_LOG:
        read = _may_read(context)
        before = context.from_log.get(step.key)
        if before is None or before[0] != read:
            before = context.from_log[step.key] = (read, _blanks(step, context))
        return before[1]
    kept = context.blanks.get(step.key)
    if kept is None:
        kept = context.blanks[step.key] = _blanks(step, context)
    return kept


UNREAD = frozenset({"load", "weather", "note"})
"""Kinds of entries that no target reads."""


def _may_read(context: Context) -> tuple[Key, ...]:
    """Every entry of the panel and of the one below, but for what no target of the panel's own reads."""
    below = context.below.entries if context.below is not None else ()
    own = (
        entry
        for entry in context.record.entries
        if entry.kind not in UNREAD
        and (entry.kind != "answer" or entry.data["item"] in IN_LEVEL_BOOK)
    )
    return tuple(entry.key for entry in (*below, *own))


def _blanks(step: Step, context: Context) -> tuple[Blank, ...]:
    if not holds(step.when, context):
        return ()
    fixed = _of_step(step)
    return tuple(_blank(step, one, context, fixed) for one in EACH[step.each](context))


def _blank(step: Step, instance: Instance, context: Context, fixed: Mapping[str, Any]) -> Blank:
    if step.own:
        target = Target(value=step.value)
        margin = Margin(plus=step.plus, minus=step.minus, source=step.source)
    else:
        target = TARGETS[step.expected](context, instance) if step.expected else Target(value=None)
        margin = NOT_JUDGED
        if step.tolerance:
            margin = TOLERANCES[step.tolerance](context, instance, step.unit)
        elif step.answer == "count" and target.value is not None:
            margin = Margin(plus=Decimal(0), minus=Decimal(0), source="the plan in force")
    # Two that are judged by their difference have no limits before the other one is measured.
    low, high = (None, None) if step.pair else _limits(target.value, margin)
    choices, good = step.choices, step.good
    if step.choices_from == "bolts":
        choices = tuple(bolt.name for bolt in context.job.kit.bolts)
    if step.expected and step.answer == "choice":
        good = (target.value,) if isinstance(target.value, str) else ()
    values = {
        **fixed,
        "key": f"{step.key}/{instance.suffix}" if instance.suffix else step.key,
        "label": instance.label,
        "group": instance.group,
        "choices": choices,
        "good": good,
        "expected": target.value,
        "plus": margin.plus,
        "minus": None if step.pair else margin.minus,
        "low": _meant(low, step, context),
        "high": _meant(high, step, context),
        "source": margin.source,
        "note": "; ".join(
            note
            for note in (instance.note, target.note, forms_off_note(step.key, context.job))
            if note
        ),
        "where": instance.where,
        "cast_key": as_cast_key(step, instance),
        "place": instance.place,
        "opens": target.opens,
    }
    return Blank(values)


def _limits(
    expected: Decimal | str | None, margin: Margin
) -> tuple[Decimal | None, Decimal | None]:
    if not isinstance(expected, Decimal):
        return margin.low, margin.high
    low = None if margin.minus is None else expected - margin.minus
    high = None if margin.plus is None else expected + margin.plus
    return low, high


def _meant(limit: Decimal | None, step: Step, context: Context) -> Decimal | None:
    """A limit as the office meant it, so that what is typed in the units of the job can meet it."""
    return None if limit is None else as_meant(limit, step.unit, context.job.units)


def _view(step: Step, blank: Blank, context: Context, share: Share) -> ItemView:
    """An item as it stands by the log."""
    asked = blank.values
    stands = standing(
        context.record, step, asked["key"], asked["cast_key"], asked["expected"], asked["where"],
        share.doers, context.job.units,
    )  # fmt: skip
    notes = share.notes.get(asked["key"])
    if stands.entry is None and not notes:
        if share.locked_by is None:
            return blank.view
        return ItemView(**blank.values, state="locked", locked_by=share.locked_by)
    verdict, state = _judged(stands, step, asked)
    # A hold before it may wait for what is decided here.
    locked_by = None if stands.conflict else share.locked_by
    return ItemView(
        **blank.values,
        **_of_log(stands),
        state="locked" if locked_by else state,
        own_state=state,
        verdict=verdict,
        notes=tuple(notes or ()),
        locked_by=locked_by,
    )


def _of_step(step: Step) -> dict[str, Any]:
    """Give what an item has from the template alone."""
    return {
        "section": step.section,
        "name": step.name,
        "prompt": step.prompt,
        "why": step.why,
        "kind": step.answer,
        "unit": step.unit,
        "decimals": DECIMALS.get(step.unit, 0) if step.decimals is None else step.decimals,
        "second": step.second,
        "critical": step.critical,
        "signed": step.signed,
        "kept": step.kept,
        "measured": step.measured,
        "pair": step.pair,
        "bare": step.bare,
        "records": step.records,
    }


def _of_log(stands: Standing) -> dict[str, Any]:
    """Give what an item has from the log, as it was recorded."""
    if stands.entry is None:
        return {}
    return {name: getattr(stands, name) for name in FROM_LOG}


def _judged(
    stands: Standing, step: Step, asked: Mapping[str, Any]
) -> tuple[Verdict | None, ItemState]:
    """The recorded verdict; for an as-cast value, which has none in the log, the one it has now."""
    if stands.entry is None or stands.state not in ("done", "failed"):
        return stands.verdict, stands.state
    verdict = stands.verdict
    if asked["cast_key"] is not None and isinstance(stands.found, Decimal) and not step.pair:
        verdict = within(stands.found, asked["low"], asked["high"])
    elif verdict is None:
        verdict = "recorded"
    return verdict, _state_for(verdict, stands.follow_up)


def _state_for(verdict: Verdict | None, follow_up: str | None) -> ItemState:
    return "failed" if verdict == "fail" and not follow_up else "done"


def judge_pair(views: Iterable[ItemView]) -> list[ItemView]:
    """Two values judged by their difference: the one that came last bears the verdict."""
    given = list(views)
    if len(given) != 2:
        return given
    judged = [_with_other(view, other) for view, other in (given, reversed(given))]
    later = _later(given)
    for index, view in enumerate(judged):
        if view.own_state not in ("done", "failed") or view.not_measured:
            continue
        verdict: Verdict = "recorded"
        if index == later and isinstance(view.found, Decimal):
            verdict = within(view.found, view.low, view.high)
        state = _state_for(verdict, view.follow_up)
        seen = "locked" if view.locked_by else state
        judged[index] = evolve(view, verdict=verdict, state=seen, own_state=state)
    return judged


def _with_other(view: ItemView, other: ItemView) -> ItemView:
    """The limits that a value has once the other one is there."""
    found = other.found if other.own_state in ("done", "failed") else None
    if view.plus is None or not isinstance(found, Decimal):
        return view
    return evolve(view, low=found - view.plus, high=found + view.plus)


def _later(pair: list[ItemView]) -> int:
    first, second = (view.entry.order if view.entry else -1 for view in pair)
    return 0 if first > second else 1
