"""Name what the crew can do, each a pure function from what stands to an act to record or a refusal.

Answering is in `answers`, what ends something and what is said of a value out of tolerance in `signoffs`,
the day of the lift in `lift_acts`, people, PINs and whose word is enough in `authority`; taking back is here.
All of it is named here.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from attrs import frozen

from pourdeck.plan.messages import (
    Refusal,
    WhyNeeded,
    has_error,
    literal,
    must,
    refusable,
    stop_if,
)
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Panel, Person
from pourdeck.setout.resize import Resize
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import SiteState, undone
from pourdeck.walk.answers import answer, taken_back_words, takes_back, unmeasured_act
from pourdeck.walk.authority import (
    Word,
    actor,
    add_person,
    answerable,
    before_pour,
    find_item,
    is_critical,
    said,
    second_person,
    set_pin,
    unlocked,
    word_for,
)
from pourdeck.walk.clock import Clocks
from pourdeck.walk.conflicts import settling
from pourdeck.walk.lift_acts import lifted, look_at_exposed, release_to_lift
from pourdeck.walk.out_of_tolerance import is_engineer
from pourdeck.walk.records import Act, ItemView, Walk
from pourdeck.walk.signoffs import (
    close_nonconformance,
    close_panel,
    complete,
    dispose,
    pass_unreleased,
    release,
)
from pourdeck.walk.words import folded, item_name, name_of, who

__all__ = [
    "Act", "Cancel", "Word", "add_person", "answer", "close_nonconformance", "close_panel", "complete",
    "defer", "dispose", "follow_up", "lifted", "look_at_exposed", "not_applicable", "not_measured",
    "note", "pass_unreleased", "redo", "release", "release_to_lift", "revise", "set_pin",
    "taken_back_words", "takes_back", "undo",
]  # fmt: skip


# Taking back the last act, and taking that back: each is an entry that names what it voids.

FOR_GOOD = frozenset(
    {"release", "pass-unreleased", "close-nonconformance", "close", "lift-release"}
)
"""Kinds that are never undone: others rest on them, or somebody has put a name to them."""


PASSED_OVER = frozenset({"undo", "start", "person", "pin"})
"""Kinds an undo leaves alone: what was done before them can still be taken back."""


def for_good(entry: Entry) -> bool:
    """True for what is never undone: those kinds, and a disposition by the engineer."""
    by_engineer = entry.kind == "disposition" and is_engineer(entry.data.get("role"))
    return entry.kind in FOR_GOOD or by_engineer


ASKS_WHY = frozenset({"test", "specimen", "temperatures", "lifted"})
"""Kinds that are taken back with a reason, beside all that somebody answers for."""


def undo(
    site: SiteState, by: str, station: str, why: str = "", job: Job | None = None
) -> Act | Refusal:
    """Void the last act of this station that stands. What is for good, and all before it, stays.

    What somebody answered for is taken back by that person, by who took it down or by an engineer, with a
    reason; so is what shows a strength. `job`: whose people may, None: anybody.
    """
    for entry in reversed(site.entries):
        if entry.station != station or entry.kind in PASSED_OVER or entry.key in site.voided:
            continue
        if for_good(entry):
            break
        return _not_taken_back(entry, by, why, job) or _undo_act(entry, by, why, "undone")
    else:
        return Refusal(title="Nothing to undo.", body="No act of this station is left to undo.")
    return Refusal(
        title=f"The last act cannot be undone: {entry.kind} (no. {entry.n}).",
        body="Record what is right as a new act: an answer with why, a note, a new release.",
    )


def _not_taken_back(entry: Entry, by: str, why: str, job: Job | None) -> Refusal | None:
    """Why this person may not take an act back, or not without a reason."""
    someone = by if job is None else who(job, by)
    if isinstance(someone, Refusal):
        return someone
    word, name = entry.data.get("word"), folded(name_of(someone))
    if isinstance(word, dict):
        given = (word.get("of"), word.get("taken_by"), entry.data.get("signed_in"), entry.by)
        role = someone.role if isinstance(someone, Person) else None
        if name not in {folded(one) for one in given if one} and not is_engineer(role):
            whose = literal(str(word.get("of")))
            return Refusal(
                title=f"{whose} answers for that: {literal(name_of(someone))} cannot take it back.",
                body=f"{whose}, who took it down, or an engineer takes it back.",
            )
    if (entry.kind in ASKS_WHY or isinstance(word, dict)) and not why.strip():
        return WhyNeeded(
            title=f"Taking back: {entry.kind} (no. {entry.n}).",
            body="It stays in the record as taken back. Say why.",
        )
    return None


def redo(site: SiteState, by: str, station: str, why: str = "") -> Act | Refusal:
    """Void the last undo of this station, where nothing else was done after it."""
    for entry in reversed(site.entries):
        if entry.station != station or entry.key in site.voided:
            continue
        if entry.kind != "undo":
            break
        target = undone(site, entry)
        if target is not None and target.kind == "undo":
            continue
        if target is not None and target.kind == "lifted":
            # What it rested on may have gone since: only a new act asks whether the panel is fit.
            return Refusal(
                title="A lift is not done again by a key.",
                body="Record it as a new act, on the Lift screen, where the panel is fit to lift.",
            )
        return _undo_act(entry, by, why, "done again")
    return Refusal(title="Nothing to do again.", body="Only what was just undone can be.")


def _undo_act(entry: Entry, by: str, why: str, word: str) -> Act:
    data = {"station": entry.station, "n": entry.n, "why": why.strip()}
    where = f" of {literal(entry.panel)}" if entry.panel else ""
    return Act(kind="undo", by=" ".join(by.split()), data=data, says=f"{entry.kind}{where}: {word}")


# What the crew can do, each a pure function from what stands to an act to record or a refusal.

LIFT = "lift"


@frozen(kw_only=True)
class Cancel:
    """A release that a size change takes back. `panel` counts from 1 on the bed."""

    panel: int
    mark: str
    hold: str
    name: str
    by: str
    entry: Entry

    def document(self) -> dict[str, Any]:
        return {"panel": self.panel, "mark": self.mark, "hold": self.hold}


def releases_in_force(walk: Walk) -> list[Cancel]:
    """The releases of a panel that a size change would take back."""
    return [
        Cancel(
            panel=walk.number,
            mark=walk.mark,
            hold=hold.id,
            name=hold.name,
            by=hold.entry.by,
            entry=hold.entry,
        )
        for hold in walk.holds
        if hold.entry and hold.entry.kind == "release" and hold.lapse is None
    ]


@refusable
def defer(walk: Walk, key: str, reason: str, owner: str, before: str, by: str) -> Act | Refusal:
    """Put an item off: why, who owes it, and before which hold (its id) or `lift` it must be settled."""
    item, name = must(find_item(walk, key)), must(actor(walk, by))
    stop_if(_not_set_aside(walk, item, "deferred"))
    why = must(said(reason, "reason"))
    owing = who(walk.job, owner)
    if isinstance(owing, Refusal):
        return Refusal(title=f"Owner: {owing.title}", body=owing.body)
    due = due_points(walk, item)
    if not due:
        return Refusal(
            title=f"{item_name(item)} cannot be deferred any more.",
            body="No hold is left before the pour, and after it nobody can look. Answer it now.",
        )
    if before not in due:
        return Refusal(
            title=f"{item_name(item)} cannot be deferred to before {literal(before) or 'nothing'}.",
            body=f"It can be due before: {', '.join(due)}.",
        )
    owner_name = owing if isinstance(owing, str) else owing.name
    data = {"panel": walk.mark, "item": key, "reason": why, "owner": owner_name, "before": before}
    data |= settling(item.conflict)
    says = f"{item_name(item)}: deferred, {literal(owner_name)} owes it before {before}"
    return Act(kind="defer", by=name, data=data, says=says)


def due_points(walk: Walk, item: ItemView) -> tuple[str, ...]:
    """The holds at or after an item that are still to be released, by id; after the pour, `lift`.

    What the concrete will cover cannot be put off past the last hold before it.
    """
    if walk.record.pour_start or not before_pour(walk, item):
        return (LIFT,)
    section = walk.section(item.section)
    here = section.number if section else 0
    return tuple(
        one.hold.id
        for one in walk.sections
        if one.hold and one.number >= here and not one.hold.lets_pass
    )


@refusable
def not_applicable(
    walk: Walk, key: str, reason: str, by: str, *, word: Word | None = None
) -> Act | Refusal:
    """Say that an item does not apply to this panel, and why. `word` counts for a critical item.

    It says whose word it is and how it was given, `by` then being who is signed in; None: that of `by`, here.
    """
    item = must(find_item(walk, key))
    stop_if(_not_set_aside(walk, item, "not applicable"))
    data: dict[str, Any] = {"panel": walk.mark, "item": key, **settling(item.conflict)}
    if is_critical(item, "drop-step"):
        found = must(word_for("drop-step", by, reason, walk.job, word=word))
        name, data = found.name, {**data, "reason": found.reason, **found.data}
    else:
        name = must(actor(walk, by))
        data["reason"] = must(said(reason, "reason"))
    stop_if(second_person(walk, item, name))
    return Act(kind="not-applicable", by=name, data=data, says=f"{item_name(item)}: not applicable")


@refusable
def not_measured(walk: Walk, key: str, reason: str, by: str) -> Act | Refusal:
    """Answer a number with "not measured" and the reason. It fails where a limit judges the item."""
    item, name = must(find_item(walk, key)), must(actor(walk, by))
    if item.kind not in ("measure", "count"):
        return Refusal(
            title=f"{item_name(item)} is no measurement.",
            body="Answer it, defer it, or say why it does not apply.",
        )
    if item.measured or item.kept:
        return Refusal(
            title=f"{item_name(item)} must be measured.",
            body="Other numbers rest on it. Measure it, or defer it.",
        )
    stop_if(_not_set_aside(walk, item, "left unmeasured") or second_person(walk, item, name))
    why = must(said(reason, "reason"))
    return unmeasured_act(walk, item, why, name)


def _not_set_aside(walk: Walk, item: ItemView, word: str) -> Refusal | None:
    """Why an item may not be left without an answer."""
    if refusal := answerable(walk, item):
        return refusal
    if item.kept:
        return Refusal(
            title=f"{item_name(item)} cannot be {word}.",
            body="The state of the panel hangs on it. Answer it.",
        )
    if item.own_state == "failed":
        return Refusal(
            title=f"{item_name(item)} has failed and stays so until something is done.",
            body="Record a follow-up, or put it right and answer it again."
            if item.cast_key is None or item.not_measured
            else "Say its disposition, or put it right and measure it again.",
        )
    if item.own_state == "done":
        return Refusal(
            title=f"{item_name(item)} is answered.", body="Undo that, or answer it again with why."
        )
    return None


@refusable
def note(walk: Walk, key: str | None, text: str, by: str) -> Act | Refusal:
    """Write a note to an item, or with None to the panel. Always allowed."""
    if key is not None:
        must(find_item(walk, key))
    name = must(actor(walk, by))
    written = must(said(text, "note"))
    data = {"panel": walk.mark, "item": key, "text": written}
    return Act(kind="note", by=name, data=data, says=f"{literal(walk.mark)}: note written")


@refusable
def follow_up(
    walk: Walk, key: str, action: str, by: str, role: str | None = None, *, word: Word | None = None
) -> Act | Refusal:
    """Say what was done about a failed item; it is then settled, and the failure stays in the record.

    Somebody else than who answered it says so, of a critical item or an anchor the engineer: `role` where
    the job names nobody, `word` as for `not_applicable`. Of a value as cast that is out of tolerance a
    disposition is said instead.
    """
    item = must(find_item(walk, key))
    if not walk.record.closed:
        stop_if(unlocked(item))
    if item.verdict != "fail" or item.own_state not in ("failed", "done"):
        return Refusal(
            title=f"{item_name(item)} has not failed.",
            body="A follow-up answers a failed item only.",
        )
    if item.cast_key and item.not_measured is None:
        return Refusal(
            title=f"{item_name(item)}: out of tolerance, no follow-up settles that.",
            body="Say its disposition: rework, repair, use as is by the engineer, or reject. Or put it "
            "right and measure it again.",
        )
    act = "accept-critical" if is_critical(item, "accept-critical") else "accept"
    answered = f"answered {item_name(item)}"
    doers = {folded(one.by): answered for one in walk.record.answers.get(item.key, ())}
    if item.entry is not None:
        doers[folded(item.entry.by)] = answered
    since = (f"{item_name(item)} failed", item.entry.at) if item.entry else None
    found = must(
        word_for(act, by, action, walk.job, role=role, word=word, doers=doers, since=since)
    )
    data = {"panel": walk.mark, "item": key, "action": found.reason, **found.data}
    return Act(kind="follow-up", by=found.name, data=data, says=f"{item_name(item)}: followed up")


@refusable
def revise(
    job: Job,
    resize: Resize,
    cancels: Sequence[Cancel],
    reason: str,
    by: str,
    *,
    word: Word | None = None,
    settles: Sequence[Entry] = (),
) -> Act | Refusal:
    """Record a size change, and the releases it takes back; one that leaves errors is the engineer's.

    `word` as for `not_applicable`. `settles`: size changes in conflict that it decides between; it may then
    be the size that is in force.
    """
    if not resize.changes_anything and not settles:
        return Refusal(
            title=f"{literal(resize.mark)} is that size already.", body="Type the new size."
        )
    act = "size-change-errors" if has_error(resize.findings) else "size-change"
    found = must(word_for(act, by, reason, job, word=word))
    data = {
        "panel": resize.mark,
        "before": _size(resize.before),
        "after": _size(resize.after),
        "reason": found.reason,
        "cancels": [cancel.document() for cancel in cancels],
        **settling(settles),
        **found.data,
    }
    return Act(
        kind="revise",
        by=found.name,
        data=data,
        says=f"{literal(resize.mark)}: size change recorded",
    )


def _size(panel: Panel) -> dict[str, str]:
    return {
        "width": plain(panel.width),
        "height": plain(panel.height),
        "thickness": plain(panel.thickness),
        "align": panel.align,
    }


# The time, confirmed after a clock has jumped.


def confirm_time(clocks: Clocks, by: str, now: datetime) -> Act | Refusal:
    """The act by which a person says that the time of this computer is right now."""
    if not clocks.here:
        return Refusal(title="The clock has not jumped.", body="There is nothing to confirm.")
    jumps = [list(one.key) for one in clocks.here if one is not clocks.now]
    return Act(
        kind="clock",
        by=by,
        data={"time": now.isoformat(timespec="seconds"), "settles": jumps},
        says=f"it is {now:%a %d %b %Y %H:%M}",
    )
