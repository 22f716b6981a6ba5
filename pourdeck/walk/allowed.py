"""Whether an item may be acted on now, and by whom; else why not and what would allow it."""

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.people import folded, name_of, who
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.words import item_name


def find_item(walk: Walk, key: str) -> ItemView | Refusal:
    item = walk.find(key)
    if item is None:
        return Refusal(
            title=f"{literal(walk.mark)} has no item {literal(key)}.",
            body="The plan or its size has changed. Go back to the walk and take the item in hand.",
        )
    return item


def actor(walk: Walk, name: str) -> str | Refusal:
    """The name as the job writes it."""
    found = who(walk.job, name)
    return found if isinstance(found, Refusal) else name_of(found)


def person(walk: Walk, name: str) -> Person | str | Refusal:
    return who(walk.job, name)


def unlocked(item: ItemView) -> Refusal | None:
    """Why an item is locked, with its name in front."""
    if item.locked_by is None:
        return None
    return Refusal(
        title=f"{item_name(item)}: locked.", body=f"{item.locked_by.title} {item.locked_by.body}"
    )


def answerable(walk: Walk, item: ItemView) -> Refusal | None:
    """Why an item takes no answer now."""
    mark = literal(walk.mark)
    if walk.record.closed:
        if item.cast_key or item.own_state == "deferred":
            return None
        return Refusal(
            title=f"{mark} is closed.",
            body="Only what was deferred, as-cast corrections, dispositions, follow-ups and notes are "
            "taken now.",
        )
    lock = unlocked(item)
    if lock:
        return lock
    if walk.record.pour_start and before_pour(walk, item) and item.own_state in ("done", "n/a"):
        return Refusal(
            title=f"{mark} is poured: what was found before stands.",
            body="Write a note to the item instead.",
        )
    return None


def before_pour(walk: Walk, item: ItemView) -> bool:
    """True for an item of a section before the pour."""
    pour, section = walk.section("pour"), walk.section(item.section)
    return pour is not None and section is not None and section.number < pour.number


def second_person(walk: Walk, item: ItemView, by: str) -> Refusal | None:
    """Why this person may not answer: who did the work cannot be the second person, nor the reverse."""
    section = walk.section(item.section)
    if section is None:
        return None
    others = [one for one in section.items if one.second != item.second]
    acts = [
        entry
        for one in others
        for entry in (
            *walk.record.answers.get(one.key, ()),
            *([one.entry] if one.entry and one.entry.kind == "not-applicable" else []),
        )
    ]
    if not any(folded(entry.by) == folded(by) for entry in acts):
        return None
    if item.second:
        return Refusal(
            title=f"{literal(by)} answered other items of this section.",
            body=f"{item_name(item)}: a second person must answer it.",
        )
    return Refusal(
        title=f"{literal(by)} is the second person in this section.",
        body=f"{item_name(item)}: the one who does the work must answer it.",
    )


def said(text: str, what: str) -> str | Refusal:
    """Text that must not be blank; `what` names it."""
    tidy = text.strip()
    if not tidy:
        return Refusal(title=f"No {what} given.", body=f"Write the {what} in a few words.")
    return tidy
