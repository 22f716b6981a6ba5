"""Recording a size change: what it cancels is said again, and nobody's name stands under it by accident."""

from typing import TYPE_CHECKING

from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.spans import line
from pourdeck.deck.views.resize_rows import cancel_text, size_text
from pourdeck.deck.word_step import word_step
from pourdeck.plan.findings import has_error
from pourdeck.plan.refusal import Refusal
from pourdeck.setout.resize import Resize
from pourdeck.walk.records import Act

if TYPE_CHECKING:
    from pourdeck.deck.screens.resize import ResizeScreen

READY = ("drawing revised", "measured on site")


def ask_to_record(screen: "ResizeScreen") -> None:
    """Ask for the reason and whose word it is, then record the new size."""
    found, unread = screen.work.found, screen.work.unread()
    if unread is not None:
        field = screen.field(unread)
        screen.deck.refuse(Refusal(title=f"The {unread} cannot be read.", body=field.reason))
        field.focus()
    elif isinstance(found, Refusal):
        screen.deck.refuse(found)
    elif found is None or not found.changes_anything:
        screen.deck.refuse(
            Refusal(title="Nothing is changed yet.", body="Type a new size, or take a way to lie.")
        )
    else:
        _ask(screen, found)


class ResizeDialog(ReleaseDialog):
    """Why a size changes, and on whose word: with errors the engineer's alone."""

    cancel_verb = "Leave it as it was"
    ready = READY


def _ask(screen: "ResizeScreen", found: Resize) -> None:
    deck = screen.deck

    def make(given: Release) -> Act | Refusal:
        return deck.desk.revise(found, by=given.signed_in, reason=given.seen, word=given.word)

    def refused(given: Release) -> Refusal | None:
        act = make(given)
        return act if isinstance(act, Refusal) else None

    act = "size-change-errors" if has_error(found.findings) else "size-change"
    dialog = ResizeDialog(
        f"Record the new size of {found.mark}, panel {found.number} of {found.levels[0].after.of}",
        [line(words) for words in _about(screen, found)],
        word_step(deck, act),
        verb="Record",
        seen="Reason",
        draft=f"resize.{found.stack}.{found.number}.reason",
        refused=refused,
    )

    def take(values: dict[str, str] | None) -> None:
        if values is not None and deck.record(make(dialog.release(values))) is not None:
            screen.work.put_back()
            screen.refresh_all()

    screen.app.push_screen(dialog, take)


def _about(screen: "ResizeScreen", found: Resize) -> list[str]:
    units, work = screen.units, screen.work
    parts = [
        f"{size_text(found.before, units)}, {found.before.align} → "
        f"{size_text(found.after, units)}, {found.after.align}."
    ]
    if work.cancels:
        parts.append(f"Cancels {'; '.join(cancel_text(one) for one in work.cancels)}.")
    else:
        parts.append("Cancels nothing.")
    if work.lapses:
        parts.append(f"Lapses below: {'; '.join(cancel_text(one) for one in work.lapses)}.")
    if has_error(found.findings):
        parts.append("With errors: these panels cannot be built as they stand.")
    return parts
