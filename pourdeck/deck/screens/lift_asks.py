"""Ask on the Lift screen for the release, the lift once more, and what was seen of the panel laid bare."""

from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import NOTING, Answers, FormField
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.recording import answer_for
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.widgets.frame import Said
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.lift_acts import Given, not_to_be_lifted, not_to_be_released
from pourdeck.walk.lift_seals import EXPOSED_CHECKS
from pourdeck.walk.lift_words import out_of_order_words, release_rows, strength_words
from pourdeck.walk.lifting import LiftView, goes_before
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act

CHOICES = {
    "recesses": (("", "not looked at yet"), ("open, clean, undamaged", "open, clean, undamaged"),
                 ("not clean", "not clean"), ("damaged", "damaged")),
    "residue": (("", "not looked at yet"), ("none", "none"), ("cleaned off", "cleaned off"),
                ("left on", "left on")),
    "face": (("", "not looked at yet"), ("sound", "sound"), ("damaged", "damaged")),
}  # fmt: skip
"""The first of each is no answer: none is there by itself."""


class LiftAsks:
    def __init__(self, screen: PanelScreen) -> None:
        self.screen = screen

    def draft(self, view: LiftView, name: str) -> str:
        """The key under which what is half typed in a form is kept: that of the panel it is about."""
        return f"lift.{view.stack}.{view.number}.{name}"

    def _now(self, view: LiftView) -> LiftView:
        """Read the panel anew when the answer is given: the clock went on while it was typed."""
        return self.screen.deck.desk.lift(view.stack, view.number)

    def release(self, view: LiftView) -> None:
        """The engineer types the name and what was seen; what is missing is said first."""
        deck = self.screen.deck
        refused = not_to_be_released(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def make(told: Answers) -> Act | Refusal:
            given = Given(strength=told["strength"], document=told["document"])
            return acts.release_to_lift(
                self._now(view), told.by, "", told["seen"], given, word=told.word
            )

        strength = QUANTITIES["strength"].in_job(view.job.units)
        limit = (
            FormField(id="strength", label="Strength needed", quantity=strength),
            FormField(id="document", label="Its document"),
        )
        answer_for(
            deck,
            "lift-release",
            f"Release {view.mark} to lift, panel {view.number} of {view.of}, stack {view.stack}",
            make,
            reason="What was seen",
            more=limit if view.job.limits.lift.strength is None else (),
            body="It is never undone.",
            shown=_shown(view),
            verb="Release to lift",
            leave="Leave it down",
            draft=self.draft(view, "release"),
        )

    def lift(self, view: LiftView) -> None:
        """Record that it is off the stack, once more asked; then what was seen of the one laid bare."""
        deck = self.screen.deck
        refused = not_to_be_lifted(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def lifted(_: object) -> None:
            if view.number > 1:
                deck.place(stack=view.stack, panel=view.number - 1)
                self.look(deck.desk.lift(view.stack, view.number - 1))

        def ask(by: str) -> None:
            act = acts.lifted(self._now(view), by)
            if isinstance(act, Refusal):
                deck.refuse(act)
                return
            order = out_of_order_words(view, goes_before(view, deck.desk.lifts()))
            form = Form(
                f"Record the lift: {view.mark}, panel {view.number} of {view.of}, stack {view.stack}",
                (), lambda told: acts.lifted(self._now(view), told.by or by), verb="Record the lift",
                body=f"It says that the panel is off its stack. {order}".rstrip(), done=lifted,
                draft=self.draft(view, "lift"),
            )  # fmt: skip
            deck.push_screen(form)

        deck.as_person(ask)

    def look(self, view: LiftView) -> None:
        """Ask what was seen of the panel that a lift has laid bare."""
        deck = self.screen.deck
        if view.bared_by is None or view.lifted is not None:
            title = f"{view.mark} was not laid bare by a lift"
            deck.say(Said("note", title, "This is asked once the panel above is off."))
            return
        fields = (
            *(
                FormField(id=key, label=what, choices=CHOICES[key])
                for key, what in EXPOSED_CHECKS.items()
            ),
            FormField(id="more", label="What else", required=False, ready=NOTING),
        )

        def make(told: Answers) -> Act | Refusal:
            seen = {key: told[key] for key in EXPOSED_CHECKS}
            return acts.look_at_exposed(self._now(view), seen, told.by, told["more"])

        form = Form(
            f"{view.mark} lies bare: {view.bared_by} was lifted off it", fields, make,
            body=f"Its own strength: {strength_words(view)}.", draft=self.draft(view, "exposed"),
        )  # fmt: skip
        deck.push_screen(form)


def _shown(view: LiftView) -> list[Spans]:
    """List what the engineer should have read before the name is given."""
    return [
        line((f"{name}  ", "warning" if name in ("!", "lapsed") else "quiet"), words)
        for name, words in release_rows(view)
    ]
