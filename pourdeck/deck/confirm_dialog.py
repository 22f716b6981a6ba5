"""Asking once more before what cannot be undone: the question names it, the button has the verb."""

from textual.app import ComposeResult

from pourdeck.deck.dialog_base import DeckDialog
from pourdeck.deck.widgets.verb_button import VerbButton


class ConfirmDialog(DeckDialog[str]):
    """The focus is on the button that leaves all as it is, so that Enter pressed twice does nothing."""

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton(self.cancel_now, id="cancel")
        yield VerbButton(self.verb_now, id="do")

    def on_mount(self) -> None:
        self.query_one("#cancel").focus()

    def submit(self) -> None:
        self.dismiss("do")
