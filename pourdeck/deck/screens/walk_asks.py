"""Ask of an item what is not its answer: putting off, leaving out, a note, a failure settled."""

from collections.abc import Callable

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form, Make
from pourdeck.deck.form_fields import (
    DEFERRING,
    DISPOSING,
    FOLLOWING_UP,
    LEAVING_OUT,
    NOTING,
    UNMEASURED,
    Answers,
    FormField,
)
from pourdeck.deck.paint import line
from pourdeck.deck.recording import answer_for
from pourdeck.deck.screens.walk_answer import Answering
from pourdeck.deck.views.walk_card import disposition_lines, open_nonconformance
from pourdeck.deck.views.walk_list import Stop
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.authority import is_critical
from pourdeck.walk.records import Act, ItemView, OutOfTolerance, Walk
from pourdeck.walk.signoffs import rejected_for_good
from pourdeck.walk.words import item_name

DISPOSITIONS = (
    ("", "not chosen yet"),
    ("rework", "rework: then measure again"),
    ("repair", "repair: then looked at"),
    ("use-as-is", "use as is: engineer only"),
    ("reject", "reject: held for good"),
)
"""The first one is no disposition: none is there by itself."""


class WalkAsking:
    """Hold what all asks of the walk share: the walk, and where what is half typed is kept."""

    def __init__(self, screen: Answering) -> None:
        self.screen = screen

    @property
    def walk(self) -> Walk:
        walk = self.screen.walk
        assert walk is not None
        return walk

    def draft(self, name: str) -> str:
        """The key under which what is half typed in a form is kept: that of the stop it is about."""
        here = self.screen.deck.here
        return f"walk.{here.stack}.{here.panel}.{here.item}.{name}"

    def go_on(self, _: object = None) -> None:
        self.screen.go_on()

    def say(self, title: str, body: str = "") -> None:
        self.screen.deck.say(Said("note", title, body))


class WalkAsks(WalkAsking):
    """Each ends in an act that is recorded, or in a refusal that is shown; Esc does nothing."""

    def _ask(
        self,
        title: str,
        label: str,
        name: str,
        make: Callable[[Answers], Act | Refusal],
        *,
        about: str,
        ready: tuple[str, ...],
        go_on: bool = True,
    ) -> None:
        """A form with one line of words in it."""
        words = FormField(id="text", label=label, ready=ready)
        form = Form(title, (words,), make, body=about, draft=self.draft(name))
        if go_on:
            form.done = self.go_on
        self.screen.deck.push_screen(form)

    def defer(self, item: ItemView) -> None:
        people = self.screen.deck.desk.job.people
        due = tuple((one, self._due_words(one)) for one in acts.due_points(self.walk, item))
        owners = tuple((person.name, person.name) for person in people)
        if owners and not self.screen.deck.by:
            # Nobody owes it because of being first in the list.
            owners = (("", "not picked yet"), *owners)
        fields = (
            FormField(id="reason", label="Reason", ready=DEFERRING),
            FormField(
                id="owner", label="Who owes it", value=self.screen.deck.by or "", choices=owners
            ),
            FormField(id="before", label="Due before", value=due[0][0] if due else "", choices=due),
        )

        def make(told: Answers) -> Act | Refusal:
            return acts.defer(
                self.walk, item.key, told["reason"], told["owner"], told["before"], told.by
            )

        title = f"Defer: {item_name(item)}"
        form = Form(title, fields, make, verb="Defer", draft=self.draft("defer"), done=self.go_on)
        self.screen.deck.push_screen(form)

    def _due_words(self, point: str) -> str:
        hold = self.walk.hold(point)
        return hold.name if hold else "the lift"

    def not_applicable(self, item: ItemView) -> None:
        """Leave an item out; a critical one on the word of somebody who may."""

        def make(told: Answers) -> Act | Refusal:
            reason = told["seen"] if told.word else told["text"]
            return acts.not_applicable(self.walk, item.key, reason, told.by, word=told.word)

        if is_critical(item, "drop-step"):
            self._answer_for(
                "drop-step", f"Not applicable here: {item_name(item)}", make,
                draft="not-applicable", ready=LEAVING_OUT,
            )  # fmt: skip
        else:
            self._ask(
                "Not applicable here", "Reason", "not-applicable", make,
                about=item_name(item), ready=LEAVING_OUT,
            )  # fmt: skip

    def not_measured(self, item: ItemView) -> None:
        """Ask why there is no value; what cannot be left unmeasured is refused before it is asked."""
        deck = self.screen.deck
        people = deck.desk.job.people
        somebody = deck.by or (people[0].name if people else "anybody")
        refused = acts.not_measured(self.walk, item.key, "asked", somebody)
        if isinstance(refused, Refusal):
            deck.refuse(refused)
            return
        self._ask(
            "Not measured", "Reason", "not-measured",
            lambda told: acts.not_measured(self.walk, item.key, told["text"], told.by),
            about=item_name(item), ready=UNMEASURED,
        )  # fmt: skip

    def note(self, item: ItemView | None) -> None:
        key = item.key if item else None
        self._ask(
            "A note to this item" if item else "A note to the panel", "Note", "note",
            lambda told: acts.note(self.walk, key, told["text"], told.by),
            about=item_name(item) if item else f"The whole panel {self.walk.mark}.",
            ready=NOTING, go_on=False,
        )  # fmt: skip

    def _answer_for(
        self,
        act: str,
        title: str,
        make: Make,
        *,
        draft: str,
        ready: tuple[str, ...],
        reason: str = "Reason",
        leave: str = "Leave it",
    ) -> None:
        answer_for(
            self.screen.deck, act, title, make, reason=reason, ready=ready, leave=leave,
            draft=self.draft(draft), done=self.go_on,
        )  # fmt: skip

    # What failed.

    def follow_up(self, stop: Stop) -> None:
        """Ask what was done about a failed item, or about a hold that was passed unreleased.

        Of a value out of tolerance its disposition.
        """
        item = stop.item
        if item is not None and item.out is not None:
            self._out(item.key, item.out)
        elif item is not None:
            self._settle(item)
        else:
            self._close_passed(stop)

    def _settle(self, item: ItemView) -> None:
        critical = is_critical(item, "accept-critical")

        def make(told: Answers) -> Act | Refusal:
            return acts.follow_up(self.walk, item.key, told["seen"], told.by, word=told.word)

        self._answer_for(
            "accept-critical" if critical else "accept",
            f"What was done about it? {item_name(item)}",
            make, draft="follow-up", ready=FOLLOWING_UP, reason="Action", leave="Leave it failed",
        )  # fmt: skip

    def _close_passed(self, stop: Stop) -> None:
        passed = open_nonconformance(self.walk, stop.hold)
        if passed is None:
            self.say("Nothing failed here", "A follow-up answers a failure.")
            return
        station, n = passed.entry.key
        self._answer_for(
            "close-nonconformance",
            f"What was done about it? {passed.name}",
            lambda told: acts.close_nonconformance(
                self.walk, station, n, told["seen"], told.by, word=told.word
            ),
            draft="follow-up", ready=FOLLOWING_UP, reason="Action", leave="Leave it open",
        )  # fmt: skip

    def _out(self, key: str, out: OutOfTolerance) -> None:
        """Of a repair first whether it was looked at, else what is to be done; of a rejected one nothing."""
        if out.state == "rejected":
            self.screen.deck.refuse(rejected_for_good(out))
            return
        if out.state != "repair":
            self._dispose(key, out)
            return
        rows = (
            Row(key="looked", left=line(("The repair is done, and was looked at", "strong"))),
            Row(key="other", left=line(("Say another disposition", "strong"))),
        )

        def taken(chosen: str | None) -> None:
            if chosen == "looked":
                self._looked_at(out)
            elif chosen == "other":
                self._dispose(key, out)

        dialog = ChoiceDialog(f"Repair of {out.name}, {self.walk.mark}", rows)
        self.screen.deck.push_screen(dialog, taken)

    def _dispose(self, key: str, out: OutOfTolerance) -> None:
        """Name and reason are typed, and no choice is there by itself: no key alone says anything."""
        walk = self.walk

        def make(told: Answers) -> Act | Refusal:
            return acts.dispose(
                self.walk, key, told["disposition"], told["seen"], told.by, word=told.word
            )

        answer_for(
            self.screen.deck,
            "disposition.rework",
            f"{out.name} of {walk.mark}, panel {walk.number} of {walk.of}: out of tolerance",
            make,
            first=(
                FormField(
                    id="disposition", label="Disposition", choices=DISPOSITIONS, decides=True
                ),
            ),
            ready=DISPOSING,
            shown=disposition_lines(walk, out),
            body="Use as is and reject are the engineer's, who did not measure it.",
            leave="Leave it open",
            draft=self.draft("disposition"),
            done=self.go_on,
        )

    def _looked_at(self, out: OutOfTolerance) -> None:
        assert out.disposition is not None
        station, n = out.disposition.key
        answer_for(
            self.screen.deck,
            "close-nonconformance",
            f"Repair of {out.name}, {self.walk.mark}: looked at",
            lambda told: acts.close_nonconformance(
                self.walk, station, n, told["seen"], told.by, word=told.word
            ),
            reason="What was seen",
            shown=disposition_lines(self.walk, out),
            body=f"Somebody else than {out.disposition.by} must have looked at it.",
            leave="Leave it held",
            draft=self.draft("looked-at"),
            done=self.go_on,
        )
