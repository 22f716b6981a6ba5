"""Taking back the last act, and taking that back: each is an entry that names what it voids."""

from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import SiteState, undone
from pourdeck.walk.out_of_tolerance import is_engineer
from pourdeck.walk.records import Act

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


def undo(site: SiteState, by: str, station: str, why: str = "") -> Act | Refusal:
    """Void the last act of this station that stands. What is for good, and all before it, stays."""
    for entry in reversed(site.entries):
        if entry.station != station or entry.kind in PASSED_OVER or entry.key in site.voided:
            continue
        if for_good(entry):
            break
        return _undo_act(entry, by, why, "undone")
    else:
        return Refusal(title="Nothing to undo.", body="No act of this station is left to undo.")
    return Refusal(
        title=f"The last act cannot be undone: {entry.kind} (no. {entry.n}).",
        body="Record what is right as a new act: an answer with why, a note, a new release.",
    )


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
