"""The panel that a lift has laid bare: what is looked at, and what of that keeps it down."""

from collections.abc import Sequence

from pourdeck.plan.literal import literal
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState

EXPOSED = "exposed_by"
"""Where a note of what was seen of a panel laid bare names the one that was lifted off it."""

SEEN = "seen"
"""Where such a note has what was seen, by the keys of EXPOSED_CHECKS."""

EXPOSED_CHECKS = {
    "recesses": "Recesses and lifters",
    "residue": "Residue of bond breaker",
    "face": "Face and edges",
}
"""What is looked at on a panel once the one above is off, by what an answer is kept under."""

NOT_CLEAN, DAMAGED = "not clean", "damaged"
"""Answers that keep a panel down: until it was looked at again, until the engineer has released it since."""


def looks_of(record: PanelState, above: PanelState) -> tuple[Entry, ...]:
    """What was written of a panel since the one above was lifted off it, oldest first.

    What was seen before a lift that was taken back is of another day.
    """
    if above.lifted is None:
        return ()
    since = above.lifted.order
    return tuple(
        one for one in record.notes if one.data.get(EXPOSED) == above.mark and one.order > since
    )


def looks_missing(looks: Sequence[Entry], bared_by: str | None) -> tuple[str, ...]:
    """What of looking at a panel laid bare is still missing, each in words."""
    if bared_by is None:
        return ()
    if not looks:
        return (
            f"not looked at since {literal(bared_by)} was lifted off it: recesses, residue, face",
        )
    seen = looks[-1].data.get(SEEN)
    if isinstance(seen, dict) and seen.get("recesses") == NOT_CLEAN:
        return ("its recesses were seen not clean: clean them and look again",)
    return ()


def damage_after(looks: Sequence[Entry], release: Entry) -> str | None:
    """What of a panel laid bare was seen damaged after its release to lift; None where nothing was."""
    for look in looks:
        seen = look.data.get(SEEN)
        if look.order < release.order or not isinstance(seen, dict):
            continue
        for key, what in EXPOSED_CHECKS.items():
            if seen.get(key) == DAMAGED:
                return what.casefold()
    return None
