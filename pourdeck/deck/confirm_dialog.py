"""Asking once more before what cannot be undone: the question names it, the button has the verb."""

from pourdeck.deck.dialog_base import DeckDialog


class ConfirmDialog(DeckDialog[str]):
    """The focus is on the button that leaves all as it is, so that Enter pressed twice does nothing."""

    def on_mount(self) -> None:
        self.query_one("#cancel").focus()

    def submit(self) -> None:
        self.dismiss("do")
