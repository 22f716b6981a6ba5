"""How an entry looks on its line, and the words under it: a reason, a question or a hint."""

from typing import Literal

from attrs import frozen

from pourdeck.deck.widgets.entry import KEY, Entry
from pourdeck.deck.widgets.field_line import Look
from pourdeck.plan.literal import literal

_ROOM = 14  # cells: feet, inches and sixteenths, and the cursor


@frozen
class Note:
    """`style` is the last part of the name of a component class."""

    style: Literal["problem", "question", "hint"]
    words: str


def note_of(entry: Entry, *, focused: bool) -> Note:
    """The most pressing thing to say; a sign in front tells reason and question apart."""
    if entry.notice:
        return Note("problem", f"! {entry.notice}")
    if entry.question:
        return Note("question", f"? {entry.question}")
    if entry.problem:
        return Note("problem", f"! {entry.problem}")
    return Note("hint", _hint(entry, focused))


def _hint(entry: Entry, focused: bool) -> str:
    meaning = entry.rules.meaning(entry.text) if entry.rules.meaning and entry.dirty else ""
    if meaning:
        return f"{meaning}. {entry.taker} takes it."
    if entry.whole and focused:
        then = f"{entry.taker} takes it" if entry.dirty else "Esc leaves it"
        return f"Type over it, or ← and change a part. {then}."
    if entry.dirty and not focused:
        return f"Not taken yet: {entry.taker} takes it."
    if entry.dirty and entry.taken_text:
        return f"{entry.taker} takes it, Esc puts back {literal(entry.taken_text)}."
    if focused and entry.text and not entry.editing:
        return entry.to_change
    if not entry.text and not entry.editing and entry.rules.offers is not None:
        opens = "Enter" if entry.taker == KEY else "A click here"
        return f"{opens} offers {literal(entry.rules.offers())}."
    if not entry.text and entry.rules.wanted:
        return f"{entry.rules.wanted}."
    if not entry.text and focused and entry.editing:
        return f"Nothing typed yet: type it, then {entry.taker}."
    return ""


def look_of(entry: Entry, *, focused: bool) -> Look:
    """The line of the field, with a mark for what the colour of the note says too."""
    mark = " "
    if entry.question and not entry.notice:
        mark = "?"
    elif entry.notice or entry.problem:
        mark = "!"
    elif entry.dirty:
        mark = "*"
    return Look(
        text=entry.text,
        cursor=entry.cursor if entry.editing else None,
        whole=entry.whole,
        focused=focused,
        mark=mark,
        unit=entry.rules.label,
        room=None if entry.rules.kind == "text" else _ROOM,
    )
