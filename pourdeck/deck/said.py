"""What the deck says by itself: after an act, after a pause, at the start."""

from datetime import datetime

from pourdeck.deck.views.values import age_text
from pourdeck.deck.widgets.banner import Said
from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.board import Board
from pourdeck.walk.records import NextAct

SHORT_SEAL = 4


def saved(entry: Entry, says: str = "") -> Said:
    """Said only after the entry is on disk."""
    tail = f": {says}" if says else ""
    return Said(
        "saved", f"Saved {entry.at:%H:%M:%S}, no. {entry.n}, {entry.seal[:SHORT_SEAL]}{tail}"
    )


def refused(refusal: Refusal) -> Said:
    return Said("refused", refusal.title, refusal.body)


def not_saved(title: str, body: str) -> Said:
    return Said("refused", f"NOT SAVED: {title.removeprefix('Not saved: ')}", body)


def head_text(head: tuple[int, str | None]) -> str:
    """`log 212 9f3c`: the number and the seal of the last entry."""
    number, seal = head
    return f"log {number} {seal[:SHORT_SEAL]}" if seal else "log empty"


def last_act(entry: Entry | None, now: datetime, item: str = "") -> str:
    """What was last done, by whom and how long ago. `item`: what the crew calls the item it was about."""
    if entry is None:
        return "Nothing is recorded yet"
    about = [str(entry.data[key]) for key in ("panel", "hold", "section") if entry.data.get(key)]
    words = " ".join((entry.kind.replace("-", " "), *about, *([item] if item else [])))
    return f"Last: no. {entry.n} {words}, {entry.by}, {age_text(entry.at, now)}"


def next_words(act: NextAct | None) -> str:
    """What comes next, without what there is to do about it: the walk says that."""
    return f"Next: {act.mark} {act.text.partition(': ')[0]}" if act else ""


def next_of(board: Board, stack: str | None) -> NextAct | None:
    """What comes next in a stack, or in the first that has something to do."""
    own = next((act for act in board.next if act.stack == stack), None)
    return own or next(iter(board.next), None)


def resume(
    entry: Entry | None,
    act: NextAct | None,
    now: datetime,
    *,
    item: str = "",
    woke: bool = False,
) -> Said:
    """The line after a pause. `woke`: the key that ended it did nothing else."""
    lead = "Awake again, that key did nothing else. " if woke else ""
    return Said("note", f"{lead}{last_act(entry, now, item)}", next_words(act))
