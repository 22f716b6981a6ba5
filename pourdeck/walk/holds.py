"""Hold points: whether one is released, what a release covers, and what is still missing before it."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from attrs import field, frozen

from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Limits, Units
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.conflicts import conflict_needs
from pourdeck.walk.out_of_tolerance import need_words
from pourdeck.walk.pour_findings import READY, ready_reading
from pourdeck.walk.records import HoldState, HoldView, ItemView, NonConformance, OutOfTolerance
from pourdeck.walk.steps import Hold, Section, Template
from pourdeck.walk.words import canonical, count_of, folded, item_name

# Holds that were passed without release: in sight until somebody closes each.


def nonconformances(
    record: PanelState, template: Template, stack: str, number: int
) -> tuple[NonConformance, ...]:
    """Those of a panel, closed ones too, oldest first."""
    names = {hold.id: hold.name for hold in template.holds}
    entries = [entry for passed in record.passed.values() for entry in passed]
    return tuple(
        _nonconformance(record, entry, names, stack, number)
        for entry in sorted(entries, key=lambda entry: entry.order)
    )


def _nonconformance(
    record: PanelState, entry: Entry, names: dict[str, str], stack: str, number: int
) -> NonConformance:
    closed = record.closed_ncs.get(entry.key)
    hold = str(entry.data["hold"])
    return NonConformance(
        stack=stack,
        number=number,
        mark=record.mark,
        hold=hold,
        name=names.get(hold, hold),
        reason=str(entry.data.get("reason", "")),
        by=entry.by,
        at=entry.at,
        entry=entry,
        closed=closed,
        action=str(closed.data.get("action", "")) if closed else None,
    )


# Who did the work of a section: whoever checks or releases it must be somebody else.

Work = Mapping[str, Sequence[Entry]]
"""The acts on ordinary items of a panel, by section."""


def ordinary_work(record: PanelState, template: Template) -> Work:
    """Answers to ordinary items, and what says that one does not apply.

    Items for a second person do not count: who read a size as the second person has checked it.
    """
    work: dict[str, list[Entry]] = {}

    def add(key: str, acts: Iterable[Entry]) -> None:
        step = template.step(key)
        if step is not None and not step.second:
            work.setdefault(step.section, []).extend(acts)

    for key, answers in record.answers.items():
        add(key, answers)
    for key, entry in record.latest.items():
        if entry.kind == "not-applicable":
            add(key, [entry])
    return work


def doers(work: Work, sections: Iterable[str], before: Entry | None = None) -> set[str]:
    """Who did the work of these sections, folded. `before`: only what came before that entry."""
    return {
        folded(entry.by)
        for section in sections
        for entry in work.get(section, ())
        if before is None or entry.order < before.order
    }


# What a release covers, as one digest: whatever of it changes afterwards makes the release void.

_ACTS = ("answer", "defer", "not-applicable")


def setout_numbers(setout: SetOut) -> list[Any]:
    """List what a second person has seen of a set-out: the panel itself and how it sits on the one below.

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


# Hold points: whether one is released, and what is still missing before it may be.


@frozen(kw_only=True, eq=False, repr=False)
class CastBelow:
    """Hold how the panel below came out: what of it was out of tolerance, settled too; `slip` where its tapes
    contradict each other and are to be taken again.
    """

    out: tuple[OutOfTolerance, ...] = ()
    slip: bool = False


NOTHING_BELOW = CastBelow()

SLIPPED = "the tapes contradict each other, measure again; its findings say what may be off"


@frozen(kw_only=True, eq=False, repr=False)
class Facts:
    """Hold what the holds of one panel are judged by. `below`: the log of the panel below, None on the bed.

    `items`, by section, is filled as the sections are worked out one after the other.
    """

    template: Template
    setout: SetOut
    record: PanelState
    work: Work
    below: PanelState | None
    revisions: Sequence[Entry]
    units: Units = "metric"
    limits: Limits = field(factory=Limits)
    cast_below: CastBelow = NOTHING_BELOW
    items: dict[str, tuple[ItemView, ...]] = field(factory=dict)

    @property
    def first(self) -> bool:
        return self.below is None


def hold_view(hold: Hold, facts: Facts, locked_by: Refusal | None) -> HoldView:
    """A hold as it stands; `locked_by` why its section cannot be worked on."""
    record = facts.record
    put_off = _put_off_to(hold, facts)
    covered = [item for section in hold.covers for item in facts.items.get(section, ())]
    covered += put_off
    release = _last(record.releases.get(hold.id))
    passed = _last(record.passed.get(hold.id))
    lapse = _release_lapse(hold, release, covered, facts) if release else None
    state: HoldState = "open"
    entry: Entry | None = None
    if release and lapse is None:
        state, entry = "released", release
    elif (
        passed
        and (release is None or passed.order > release.order)
        and _stands(passed, hold, facts)
    ):
        state, entry, lapse = "passed", passed, None
    elif release:
        state, entry = "void", release
    if locked_by and record.pour_start is None:
        state = "locked"
    data: dict[str, Any] = entry.data if entry else {}
    due = _due(hold, facts)
    # Judged together: until all four are in there is nothing to say.
    weather = [
        item for item in covered if item.key in READY and item.own_state in ("done", "failed")
    ]
    return HoldView(
        id=hold.id,
        section=hold.section,
        name=(hold.name_first if facts.first else None) or hold.name,
        look=(hold.look_first if facts.first else None) or hold.look,
        state=state,
        by=entry.by if entry else None,
        role=data.get("role"),
        at=entry.at if entry else None,
        seen=data.get("seen"),
        reason=data.get("reason"),
        lapse=lapse,
        entry=entry,
        needs=() if state == "released" else needs(hold, facts, due, put_off),
        covers=tuple(item.key for item in covered),
        digest=covers_digest(facts.setout, covered, record),
        due=due,
        fast=tuple(item for item in covered if item.fast),
        locked_by=locked_by,
        accepted=tuple(
            one
            for one in facts.cast_below.out
            if hold.requires == "below-closed" and one.stands and one.settled
        ),
        weather=ready_reading(weather, facts.limits) if len(weather) == len(READY) else None,
    )


def _last(entries: list[Entry] | None) -> Entry | None:
    return entries[-1] if entries else None


def _put_off_to(hold: Hold, facts: Facts) -> list[ItemView]:
    """Items of other holds that were once deferred to before this one: who releases it looks at them.

    The hold that covers them was released while they were open, so nobody else has.
    """
    keys = {
        entry.data.get("item")
        for entry in facts.record.entries
        if entry.kind == "defer" and entry.data.get("before") == hold.id
    }
    return [
        item
        for section, items in facts.items.items()
        if keys and section not in hold.covers
        for item in items
        if item.key in keys
    ]


def needs(
    hold: Hold, facts: Facts, due: tuple[ItemView, ...], put_off: Sequence[ItemView] = ()
) -> tuple[str, ...]:
    """List what must be done before a hold may be released, failures first."""
    failed: list[str] = []
    open_now: list[str] = []
    unsaid: list[str] = []
    for section_id in hold.covers:
        section = facts.template.section(section_id)
        items = facts.items.get(section_id, ())
        if section is None or not items:
            continue
        bad = [item for item in items if item.own_state == "failed"]
        owed = [item for item in items if item.own_state in ("open", "void")]
        if bad:
            failed.append(f"{section.name}: {_named(bad)} failed, no follow-up")
        if owed:
            first = item_name(owed[0])
            open_now.append(f"{section.name}: {count_of(len(owed), 'item')} open, first {first}")
        elif section.hold is None and section_id not in facts.record.completed:
            unsaid.append(f"{section.name}: not said to be complete")
    failed += [
        f"{item_name(item)} failed, no follow-up" for item in put_off if item.own_state == "failed"
    ]
    if facts.record.conflicts:
        failed = [*conflict_needs(facts.record, facts.units), *failed]
    waiting = [f"{item_name(item)} is deferred to before this hold" for item in due]
    if hold.requires == "below-closed" and facts.below and facts.below.closed is None:
        unsaid.append(f"{literal(facts.below.mark)} must be closed, its as-cast sizes recorded")
    if hold.requires == "below-closed":
        failed = [*_held_by_below(facts), *failed]
    return (*failed, *open_now, *waiting, *unsaid)


def _held_by_below(facts: Facts) -> list[str]:
    """List what of the panel below is not settled, in words; tapes to be taken again first."""
    mark = literal(facts.below.mark) if facts.below else ""
    slip = [f"{mark}: {SLIPPED}"] if facts.cast_below.slip else []
    if facts.below is not None and facts.below.conflicts:
        slip += conflict_needs(facts.below, facts.units)
    out = [one for one in facts.cast_below.out if not one.settled]
    return [*slip, *(need_words(one, facts.units) for one in out)]


def _out_since(release: Entry, facts: Facts) -> str | None:
    """Why the as-cast release is void by the panel below: what is not settled now, or came out since.

    What came out after the release and is settled by now was still not seen by who gave it.
    """
    held = _held_by_below(facts)
    if held:
        return held[0]
    since = [one for one in facts.cast_below.out if one.entry.order > release.order]
    if since:
        return f"{need_words(since[-1], facts.units)}, all after it was given"
    return None


def _named(items: Sequence[ItemView]) -> str:
    """The first few of some items by where they are, or what they ask."""
    names = [item.label or f"“{item.prompt}”" for item in items[:3]]
    return ", ".join(names) + (f" and {len(items) - 3} more" if len(items) > 3 else "")


def _due(hold: Hold, facts: Facts) -> tuple[ItemView, ...]:
    """Deferred items that had to be settled before this hold, or an earlier one."""
    order = [one.id for one in facts.template.holds]
    here = order.index(hold.id)
    return tuple(
        item
        for items in facts.items.values()
        for item in items
        if item.own_state == "deferred"
        and item.before != "lift"
        and (item.before not in order or order.index(item.before) <= here)
    )


def _cancelled(entry: Entry, hold: Hold, facts: Facts) -> Entry | None:
    """The size change that took a release or a passing back."""
    mark = facts.setout.mark
    for revision in facts.revisions:
        if revision.order < entry.order:
            continue
        listed = revision.data.get("cancels")
        named = isinstance(listed, list) and any(
            isinstance(one, dict) and one.get("mark") == mark and one.get("hold") == hold.id
            for one in listed
        )
        if named or revision.panel == mark:
            return revision
    return None


def _poured_since(entry: Entry, facts: Facts) -> bool:
    start = facts.record.pour_start
    return start is not None and start.order > entry.order


def _release_lapse(
    hold: Hold, release: Entry, covered: Sequence[ItemView], facts: Facts
) -> str | None:
    """Why a release does not stand, or None. Once the pour has begun it is history and stands."""
    did = doers(facts.work, hold.covers, release) | _answered_by(covered, facts.record, release)
    if folded(release.by) in did:
        return f"{literal(release.by)} did the work it covers; somebody else must release it"
    if _poured_since(release, facts):
        return None
    revision = _cancelled(release, hold, facts)
    if revision:
        changed = literal(revision.panel or "")
        return f"the size of {changed} was changed at {revision.at:%H:%M} by {literal(revision.by)}"
    if hold.requires == "below-closed" and (since := _out_since(release, facts)):
        return since
    if release.data.get("covers") == covers_digest(facts.setout, covered, facts.record, release):
        return None
    return _what_changed(release, covered, facts.record)


def _answered_by(covered: Sequence[ItemView], record: PanelState, release: Entry) -> set[str]:
    """Who answered the ordinary items among these before the release, folded."""
    return {
        folded(entry.by)
        for item in covered
        if not item.second
        for entry in record.answers.get(item.key, ())
        if entry.order < release.order
    }


def _what_changed(release: Entry, covered: Sequence[ItemView], record: PanelState) -> str:
    since = [
        item
        for item in covered
        if item.entry
        and item.entry.order > release.order
        and not settled_since(item, record, release)
    ]
    if since:
        return f"answered again since: {_named(since)}"
    lapsed = [item for item in covered if item.own_state == "void"]
    if lapsed:
        return f"no longer valid: {_named(lapsed)}"
    missing = [item for item in covered if item.own_state == "open"]
    if missing:
        return f"open since: {_named(missing)}"
    return "the set-out or the items it covers have changed"


def _stands(passed: Entry, hold: Hold, facts: Facts) -> bool:
    if _poured_since(passed, facts):
        return True
    if _cancelled(passed, hold, facts):
        return False
    return passed.data.get("covers", "") in ("", setout_digest(facts.setout))


def hold_lock(hold: HoldView, section: Section) -> Refusal:
    """Refuse what comes after a hold that does not let pass, and say what the hold waits for."""
    if hold.state == "void":
        body = f"Its release is void: {hold.lapse}. A second person must release it again."
    elif hold.needs:
        body = f"Still missing: {'; '.join(hold.needs)}."
    else:
        body = "A second person must look and release it."
    return Refusal(
        title=f"Locked by the hold “{hold.name}” in section {section.number}.", body=body
    )
