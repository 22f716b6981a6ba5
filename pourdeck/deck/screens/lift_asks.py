"""What the Lift screen asks: the release, the lift once more, what was seen of the panel laid bare."""

from typing import TYPE_CHECKING

from pourdeck.deck.ask_dialog import Ask, AskDialog
from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.lift_dialog import LiftReleaseDialog
from pourdeck.deck.release_dialog import Release
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.ready_words import NOTING
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.word_step import word_step
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.lift_acts import Given, not_to_be_lifted, not_to_be_released
from pourdeck.walk.lift_exposed import EXPOSED_CHECKS
from pourdeck.walk.lift_order import goes_before
from pourdeck.walk.lift_words import out_of_order_words, release_rows, strength_words
from pourdeck.walk.lifting import LiftView
from pourdeck.walk.records import Act

if TYPE_CHECKING:
    from pourdeck.deck.screens.lift import LiftScreen

CHOICES = {
    "recesses": (("", "not looked at yet"), ("open, clean, undamaged", "open, clean, undamaged"),
                 ("not clean", "not clean"), ("damaged", "damaged")),
    "residue": (("", "not looked at yet"), ("none", "none"), ("cleaned off", "cleaned off"),
                ("left on", "left on")),
    "face": (("", "not looked at yet"), ("sound", "sound"), ("damaged", "damaged")),
}  # fmt: skip
"""The first of each is no answer: none is there by itself."""


OPEN = "lift.open"
"""Under this key stands which dialog is open, and of which panel."""


class LiftAsks:
    def __init__(self, screen: "LiftScreen") -> None:
        self.screen = screen

    def draft(self, view: LiftView, name: str) -> str:
        """The key under which what is half typed in a dialog is kept: that of the panel it is about."""
        return f"lift.{view.stack}.{view.number}.{name}"

    def _opened(self, view: LiftView, name: str) -> None:
        """A dialog is open: after a kill it opens again."""
        self.screen.deck.keep_text(OPEN, self.draft(view, name))

    def _closed(self) -> None:
        self.screen.deck.keep_text(OPEN, "")

    def open_again(self) -> None:
        """Open the dialog that was open when the deck was killed, where the same panel is marked.

        What was typed in it comes back by itself: it is kept under the dialog's own key.
        """
        was, view = self.screen.deck.kept.text(OPEN), self.screen.view
        self._closed()
        if view is None:
            return
        for name, ask in (("release", self.release), ("exposed", self.look)):
            if was == self.draft(view, name):
                ask(view)

    def _now(self, view: LiftView) -> LiftView:
        """The same panel as it stands when the answer is given: the clock went on while it was typed."""
        return self.screen.deck.desk.lift(view.stack, view.number)

    def release(self, view: LiftView) -> None:
        """The engineer types the name and what was seen; what is missing is said first."""
        deck = self.screen.deck
        refused = not_to_be_released(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def act_of(found: Release) -> Act | Refusal:
            values = found.values
            given = Given(strength=values.get("strength", ""), document=values.get("document", ""))
            return acts.release_to_lift(
                self._now(view), found.signed_in, "", found.seen, given, word=found.word
            )

        dialog = LiftReleaseDialog(
            f"Release {view.mark} to lift, panel {view.number} of {view.of}, stack {view.stack}",
            _shown(view),
            word_step(deck, "lift-release"),
            asks_limit=view.job.limits.lift.strength is None,
            draft=self.draft(view, "release"),
            refused=lambda found: _refusal(act_of(found)),
        )

        def take(values: dict[str, str] | None) -> None:
            self._closed()
            if values is not None:
                deck.record(act_of(dialog.release(values)))

        self._opened(view, "release")
        self.screen.app.push_screen(dialog, take)

    def lift(self, view: LiftView) -> None:
        """Record that it is off the stack, once more asked; then what was seen of the one laid bare."""
        deck = self.screen.deck
        refused = not_to_be_lifted(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def ask(by: str) -> None:
            act = acts.lifted(self._now(view), by)
            if isinstance(act, Refusal):
                deck.refuse(act)
                return
            place = f"panel {view.number} of {view.of}, stack {view.stack}"
            dialog = ConfirmDialog(
                f"Record the lift: {view.mark}, {place}",
                f"It says that the panel is off its stack. {self._out_of_order(view)}".rstrip(),
                verb="Record the lift",
            )

            def told(answer: str | None) -> None:
                if answer is None or deck.record(acts.lifted(self._now(view), by)) is None:
                    return
                if view.number > 1:
                    deck.place(stack=view.stack, panel=view.number - 1)
                    self.screen.refresh_all()
                    self.look(self._below(view))

            self.screen.app.push_screen(dialog, told)

        deck.as_person(ask)

    def _out_of_order(self, view: LiftView) -> str:
        return out_of_order_words(view, goes_before(view, self.screen.deck.desk.lifts()))

    def _below(self, view: LiftView) -> LiftView:
        return self.screen.deck.desk.lift(view.stack, view.number - 1)

    def look(self, view: LiftView) -> None:
        """What was seen of the panel that a lift has laid bare."""
        deck = self.screen.deck
        if view.bared_by is None or view.lifted is not None:
            title = f"{view.mark} was not laid bare by a lift"
            deck.say(Said("note", title, "This is asked once the panel above is off."))
            return
        asks = (
            *(
                Ask(id=key, label=what, choices=CHOICES[key])
                for key, what in EXPOSED_CHECKS.items()
            ),
            Ask(id="more", label="What else", required=False, ready=NOTING),
        )
        dialog = AskDialog(
            f"{view.mark} lies bare: {view.bared_by} was lifted off it",
            asks,
            f"Its own strength: {strength_words(view)}.",
            draft=self.draft(view, "exposed"),
        )

        def take(values: dict[str, str] | None) -> None:
            self._closed()
            if values is None:
                return
            seen = {key: values[key] for key in EXPOSED_CHECKS}
            more = values["more"]
            deck.as_person(
                lambda by: _ignore(
                    deck.record(acts.look_at_exposed(self._now(view), seen, by, more))
                )
            )

        self._opened(view, "exposed")
        self.screen.app.push_screen(dialog, take)


def _ignore(_: object) -> None:
    return None


def _refusal(act: Act | Refusal) -> Refusal | None:
    return act if isinstance(act, Refusal) else None


def _shown(view: LiftView) -> list[Spans]:
    """What the engineer should have read before the name is given."""
    return [
        line((f"{name}  ", "warning" if name in ("!", "lapsed") else "quiet"), words)
        for name, words in release_rows(view)
    ]
