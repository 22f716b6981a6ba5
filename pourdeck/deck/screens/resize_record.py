"""Recording a size change: what it cancels is said again, and nobody's name stands under it by accident."""

from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import Ask, AskDialog
from pourdeck.deck.views.resize_rows import cancel_text, size_text
from pourdeck.plan.findings import has_error
from pourdeck.plan.refusal import Refusal
from pourdeck.setout.resize import Resize

if TYPE_CHECKING:
    from pourdeck.deck.screens.resize import ResizeScreen

READY = ("drawing revised", "as the engineer says", "measured on site")


def ask_to_record(screen: "ResizeScreen") -> None:
    """Ask for the reason, then record the new size in the name of who is signed in."""
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
        screen.deck.as_person(lambda by: _ask(screen, found, by))


def _ask(screen: "ResizeScreen", found: Resize, by: str) -> None:
    deck = screen.deck

    def take(values: dict[str, str] | None) -> None:
        if values is None:
            return
        act = deck.desk.revise(found, by=by, reason=values["reason"])
        if deck.record(act) is not None:
            screen.work.put_back()
            screen.refresh_all()

    asks = (Ask(id="reason", label="Why, whose word", ready=READY),)
    dialog = AskDialog(
        f"Record the new size of {found.mark}, panel {found.number} of {found.levels[0].after.of}",
        asks,
        _body(screen, found, by),
        draft=f"resize.{found.stack}.{found.number}.reason",
    )
    screen.app.push_screen(dialog, take)


def _body(screen: "ResizeScreen", found: Resize, by: str) -> str:
    units, work = screen.units, screen.work
    parts = [
        f"{size_text(found.before, units)}, {found.before.align} → "
        f"{size_text(found.after, units)}, {found.after.align}; recorded by {by}."
    ]
    if work.cancels:
        parts.append(f"Cancels {'; '.join(cancel_text(one) for one in work.cancels)}.")
    else:
        parts.append("Cancels nothing.")
    if work.lapses:
        parts.append(f"Lapses below: {'; '.join(cancel_text(one) for one in work.lapses)}.")
    if has_error(found.findings):
        parts.append("With errors: these panels cannot be built as they stand.")
    return " ".join(parts)
