"""What all asks of the walk share: the walk, the name of who does it, and what is kept while one is open."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import AskDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.acts import Act
from pourdeck.walk.records import Walk

if TYPE_CHECKING:
    from pourdeck.deck.screens.walk import WalkScreen

OPEN = "walk.open"
"""Under this key stands whose dialog is open, and at which stop."""


class WalkAsking:
    def __init__(self, screen: "WalkScreen") -> None:
        self.screen = screen

    @property
    def walk(self) -> Walk:
        walk = self.screen.walk
        assert walk is not None
        return walk

    def draft(self, name: str) -> str:
        """The key under which what is half typed in a dialog is kept: that of the stop it is about."""
        here = self.screen.deck.here
        return f"walk.{here.stack}.{here.panel}.{here.item}.{name}"

    def opened(self, action_id: str) -> None:
        """The dialog of an action is open: after a kill it opens again."""
        self.screen.deck.keep_text(OPEN, f"{action_id}\n{self.draft('')}")

    def closed(self) -> None:
        self.screen.deck.keep_text(OPEN, "")

    async def open_again(self) -> None:
        """Open the dialog that was open when the deck was killed, where the crew stands at the same stop.

        What was typed in it comes back by itself: it is kept under the dialog's own key.
        """
        action_id, _, place = self.screen.deck.kept.text(OPEN).partition("\n")
        self.closed()
        if action_id and place == self.draft("") and self.screen.can_do(action_id):
            await self.screen.run_known(action_id)

    def ask(
        self, action_id: str, dialog: AskDialog, take: Callable[[dict[str, str], str], None]
    ) -> None:
        """Open the dialog of an action; what was written is taken in the name of who is signed in."""
        deck = self.screen.deck

        def told(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                deck.as_person(lambda by: take(values, by))

        self.opened(action_id)
        self.screen.app.push_screen(dialog, told)

    def answer_for(
        self,
        action_id: str,
        make: Callable[[Release], Act | Refusal],
        dialog: Callable[[Callable[[Release], Refusal | None]], ReleaseDialog],
    ) -> None:
        """Ask for the word of somebody who answers for an act, and record it.

        `dialog` is made with what says why the act of what was typed is refused.
        """

        def refused(found: Release) -> Refusal | None:
            act = make(found)
            return act if isinstance(act, Refusal) else None

        asked = dialog(refused)

        def take(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                self.record(make(asked.release(values)), go_on=True)

        self.opened(action_id)
        self.screen.app.push_screen(asked, take)

    def record(self, act: Act | Refusal, *, go_on: bool = False) -> None:
        if self.screen.deck.record(act) is not None and go_on:
            self.screen.go_on()
