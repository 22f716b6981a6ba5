"""Taking back the last act, and taking that back, from every screen."""

from pourdeck.deck.desk_shell import DeskShell, saved
from pourdeck.deck.recording import record_act
from pourdeck.deck.widgets.frame import Said
from pourdeck.paper.diary import diary_line
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import undone
from pourdeck.walk.levels import ITEMS

AT_THE_POUR = frozenset({"load", "weather", "specimen"})
"""Kinds that are undone where they were made."""


def undo(deck: DeskShell) -> None:
    record_act(deck, deck.desk.undo, draft="undo", done=lambda: _show(deck))


def redo(deck: DeskShell) -> None:
    record_act(deck, lambda by, _: deck.desk.redo(by), draft="redo", done=lambda: _show(deck))


def _show(deck: DeskShell) -> None:
    """Go to what it changed: an undo that nobody sees is a trap."""
    entry = deck.desk.state.last
    target = undone(deck.desk.state, entry) if entry else None
    while target is not None and target.kind == "undo":
        target = undone(deck.desk.state, target)
    if target is None or target.panel is None:
        return
    for stack in deck.desk.job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            if panel.mark == target.panel:
                said = _with_words(deck, entry, target)
                key = _stop_of(deck, stack.id, number, target)
                screen = "levels" if _is_levelled(deck, target) else "walk"
                if target.kind in AT_THE_POUR:
                    screen = "pour"
                deck.go(screen, stack=stack.id, panel=number, item=key or deck.here.item)
                deck.say(said)


def _is_levelled(deck: DeskShell, target: Entry) -> bool:
    """A line of the level book; one that answers an item too is gone to where the crew stands."""
    return target.kind == "sight" or (
        deck.here.screen == "levels"
        and ("staff" in target.data or target.data.get("item") in ITEMS)
    )


def _with_words(deck: DeskShell, entry: Entry | None, target: Entry) -> Said:
    """Give what was said of it, and in words what it undid or did again."""
    if entry is None or deck.said.kind != "saved":
        return deck.said
    before = target.key in deck.desk.state.voided
    words = f"{target.panel} {diary_line(target, deck.desk.job.units)}"
    return saved(entry, f"{'undone' if before else 'done again'}: {words}")


def _stop_of(deck: DeskShell, stack: str, number: int, entry: Entry) -> str | None:
    """The key of the stop that an entry was made at."""
    key = entry.data.get("item")
    if isinstance(key, str):
        return key
    if isinstance(entry.data.get("section"), str):
        return f"complete:{entry.data['section']}"
    values = entry.data.get("values")
    if isinstance(values, dict):
        walk = deck.desk.walk(stack, number)
        return next((item.key for item in walk.items() if item.cast_key in values), None)
    return None
