"""What the walk asks in dialogs before it records: names, reasons, owners, what was seen."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import Ask, AskDialog, ChoiceDialog, TextDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.panel_asks import ask_reason
from pourdeck.deck.screens.walk_dispositions import WalkDispositions
from pourdeck.deck.screens.walk_ends import WalkEnds
from pourdeck.deck.spans import line
from pourdeck.deck.views.end_card import open_nonconformance
from pourdeck.deck.views.ready_words import (
    CORRECTING,
    DEFERRING,
    FOLLOWING_UP,
    LEAVING_OUT,
    NOTING,
    UNMEASURED,
)
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.who import initials
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.word_step import word_step
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.authority import is_critical
from pourdeck.walk.records import Act, ItemView
from pourdeck.walk.times import Doubt
from pourdeck.walk.twice import mean, together
from pourdeck.walk.typed import read_typed
from pourdeck.walk.words import found_text, item_name, moment_of

if TYPE_CHECKING:
    from pourdeck.deck.screens.walk import WalkScreen


class FollowUpDialog(ReleaseDialog):
    """What was done about a failure, and whose word it is that it is settled."""

    cancel_verb = "Leave it failed"
    ready = FOLLOWING_UP


class LeaveOutDialog(ReleaseDialog):
    """Why a critical item does not apply, and whose word it is."""

    cancel_verb = "Leave it"
    ready = LEAVING_OUT


class WalkAsks(WalkEnds):
    """Each ask ends in an act that is recorded, or in a refusal that is shown; Esc does nothing."""

    def __init__(self, screen: "WalkScreen") -> None:
        super().__init__(screen)
        self.dispositions = WalkDispositions(screen)

    # Answers.

    def answer(
        self,
        item: ItemView,
        typed: str,
        drop_draft: Callable[[], None],
        first: str = "",
        doubted: bool = False,
    ) -> None:
        """Record an answer, in the second person's name where one must give it.

        `first`: the first of two readings, where the job asks for both. `doubted`: it was asked about as a
        likely slip, and kept.
        """
        apart = self._apart(item, first, typed) if first else None
        if apart is not None:
            drop_draft()
            self.screen.show_again()
            self.screen.deck.refuse(apart)
            return
        if self._stands(item, typed, first):
            drop_draft()
            self.screen.show_again()
            words = f"{item_name(item)}: {found_text(item, self.walk.job.units)}"
            body = (
                "Still failed: f says what was done about it."
                if item.own_state == "failed" or (item.out and not item.out.settled)
                else ""
            )
            self.screen.deck.say(Said("note", f"Unchanged, nothing recorded: {words}", body))
            return

        def named(by: str) -> None:
            if self._replaces(item):
                self._ask_why(item, typed, by, drop_draft, first, doubted)
            else:
                self._record_answer(item, typed, by, "", drop_draft, first, doubted)

        if item.second:
            self._ask_second(named)
        else:
            self.screen.deck.as_person(named)

    def _apart(self, item: ItemView, first: str, second: str) -> Refusal | None:
        """Both readings, where they do not agree."""
        job, now = self.walk.job, self.screen.deck.desk.now()
        one, other = (read_typed(item, typed, job.units, now) for typed in (first, second))
        if not (item.cast_key and isinstance(one, Decimal) and isinstance(other, Decimal)):
            return None
        both = together(job, item.cast_key, one, other, item_name(item))
        return both if isinstance(both, Refusal) else None

    def _stands(self, item: ItemView, typed: str, first: str) -> bool:
        """True where what was typed, or what both readings come to, is the very answer that stands."""
        if not self._replaces(item):
            return False
        value = read_typed(item, typed, self.walk.job.units, self.screen.deck.desk.now())
        if isinstance(value, datetime):
            stood = moment_of(item.found)
            return stood is not None and stood.replace(second=0) == value.replace(second=0)
        before = read_typed(item, first, self.walk.job.units, self.screen.deck.desk.now())
        if first and isinstance(value, Decimal) and isinstance(before, Decimal):
            value = mean(before, value)
        return value == item.found

    def _replaces(self, item: ItemView) -> bool:
        entry = item.entry
        return (
            entry is not None
            and entry.kind not in ("defer", "not-applicable")
            and item.own_state != "void"
        )

    def _ask_why(
        self,
        item: ItemView,
        typed: str,
        by: str,
        drop_draft: Callable[[], None],
        first: str,
        doubted: bool,
    ) -> None:
        failed = item.own_state == "failed" or item.out is not None
        title = "What was done about it?" if failed else "Why does the answer change?"
        body = f"{item_name(item)}: now {typed}. The old answer stays in the record beside it."
        lapse = acts.taken_back_words(acts.takes_back(self.walk, item))
        if lapse:
            body = f"{body} {lapse}"
        ready = FOLLOWING_UP if failed else CORRECTING

        def take(values: dict[str, str] | None) -> None:
            if values is None:
                drop_draft()
                self.screen.show_again()
            else:
                self._record_answer(item, typed, by, values["text"], drop_draft, first, doubted)

        dialog = TextDialog(title, "In a few words", body, ready=ready, by_itself=True)
        self.screen.app.push_screen(dialog, take)

    def _record_answer(
        self,
        item: ItemView,
        typed: str,
        by: str,
        why: str,
        drop_draft: Callable[[], None],
        first: str,
        doubted: bool,
    ) -> None:
        deck = self.screen.deck
        act = acts.answer(
            self.walk, item.key, typed, by, deck.desk.now(), why, first,
            jumps=deck.desk.jumps(), doubted=doubted,
        )  # fmt: skip
        self.screen.answer.forget(typed if isinstance(act, Refusal) else "")
        if isinstance(act, Doubt):

            def told(why: str) -> None:
                self._record_answer(item, typed, by, why, drop_draft, first, doubted)

            ask_reason(self.screen, act, told, self.screen.show_again)
            return
        if isinstance(act, Refusal):
            deck.refuse(act)
            self.screen.reload()
            return
        drop_draft()
        if deck.record(act) is not None:
            self.screen.go_on()
        else:
            # Not saved: what was typed is still all there is of it.
            self.screen.answer.keep(typed)
            self.screen.show_again()

    def _ask_second(self, then: Callable[[str], None]) -> None:
        """Who read it: never the one signed in by itself, because a second person must answer."""
        people = self.screen.deck.desk.job.people
        body = "A second person reads it off the drawing, not off this screen."

        def taken(name: str | None) -> None:
            if name is None:
                self.screen.show_again()
            else:
                then(name)

        if not people:
            dialog = TextDialog("Who read it?", "Name", body, by_itself=True)
            self.screen.app.push_screen(
                dialog, lambda values: taken(values["text"] if values else None)
            )
            return
        rows = tuple(
            Row(
                key=person.name,
                left=line((person.name, "strong"), (f"  {initials(person.name)}", "quiet")),
                right=line(person.role),
            )
            for person in people
        )
        picking = ChoiceDialog(
            "Who read it?", rows, body, verb="Record", unmarked=True, by_itself=True
        )
        self.screen.app.push_screen(picking, taken)

    # Putting off, leaving out, noting, following up.

    def defer(self, item: ItemView) -> None:
        people = self.screen.deck.desk.job.people
        due = tuple((one, self._due_words(one)) for one in acts.due_points(self.walk, item))
        owners = tuple((person.name, person.name) for person in people)
        asks = (
            Ask(id="reason", label="Reason", ready=DEFERRING),
            Ask(id="owner", label="Who owes it", value=self.screen.deck.by or "", choices=owners),
            Ask(id="before", label="Due before", value=due[0][0] if due else "", choices=due),
        )

        def take(values: dict[str, str], by: str) -> None:
            act = acts.defer(
                self.walk, item.key, values["reason"], values["owner"], values["before"], by
            )
            self.record(act, go_on=True)

        title = f"Defer: {item_name(item)}"
        dialog = AskDialog(title, asks, verb="Defer", draft=self.draft("defer"))
        self.ask("defer", dialog, take)

    def _due_words(self, point: str) -> str:
        hold = self.walk.hold(point)
        return hold.name if hold else "the lift"

    def not_applicable(self, item: ItemView) -> None:
        def take(values: dict[str, str], by: str) -> None:
            act = acts.not_applicable(self.walk, item.key, values["text"], by)
            self.record(act, go_on=True)

        if is_critical(item, "drop-step"):
            self._drop(item)
            return
        dialog = TextDialog(
            "Not applicable here", "Reason", item_name(item),
            ready=LEAVING_OUT, draft=self.draft("not-applicable"),
        )  # fmt: skip
        self.ask("not-applicable", dialog, take)

    def _drop(self, item: ItemView) -> None:
        """Leave out a critical item, on the word of somebody who may."""

        def make(found: Release) -> Act | Refusal:
            return acts.not_applicable(
                self.walk, item.key, found.seen, found.signed_in, word=found.word
            )

        step, draft = word_step(self.screen.deck, "drop-step"), self.draft("not-applicable")
        self.answer_for(
            "not-applicable",
            make,
            lambda refused: LeaveOutDialog(
                f"Not applicable here: {item_name(item)}", (), step, verb="Record", seen="Reason",
                draft=draft, refused=refused,
            ),
        )  # fmt: skip

    def not_measured(self, item: ItemView) -> None:
        """Ask why there is no value; what cannot be left unmeasured is refused before it is asked."""
        deck = self.screen.deck
        refused = acts.not_measured(self.walk, item.key, "asked", deck.by or self._somebody())
        if isinstance(refused, Refusal):
            deck.refuse(refused)
            return

        def take(values: dict[str, str], by: str) -> None:
            self.record(acts.not_measured(self.walk, item.key, values["text"], by), go_on=True)

        dialog = TextDialog(
            "Not measured", "Reason", item_name(item),
            ready=UNMEASURED, draft=self.draft("not-measured"),
        )  # fmt: skip
        self.ask("not-measured", dialog, take)

    def _somebody(self) -> str:
        people = self.screen.deck.desk.job.people
        return people[0].name if people else "anybody"

    def note(self, item: ItemView | None) -> None:
        def take(values: dict[str, str], by: str) -> None:
            key = item.key if item else None
            self.record(acts.note(self.walk, key, values["text"], by))

        about = item_name(item) if item else f"The whole panel {self.walk.mark}."
        title = "A note to this item" if item else "A note to the panel"
        dialog = TextDialog(title, "Note", about, ready=NOTING, draft=self.draft("note"))
        self.ask("note", dialog, take)

    def can_follow_up(self, stop: Stop) -> bool:
        if stop.item is not None and stop.item.cast_key and stop.item.not_measured is None:
            return stop.item.out is not None
        if stop.item is not None:
            return stop.item.verdict == "fail" and stop.item.own_state != "void"
        return open_nonconformance(self.walk, stop.hold) is not None

    def follow_up(self, stop: Stop) -> None:
        """What was done about a failed item, or about a hold that was passed unreleased.

        Of a value out of tolerance its disposition.
        """
        if stop.item is not None and stop.item.out is not None:
            self.dispositions.ask_about(stop.item.key, stop.item.out)
            return
        open_one = open_nonconformance(self.walk, stop.hold)
        if stop.item is None and open_one is None:
            self.screen.deck.say(
                Said("note", "Nothing failed here", "A follow-up answers a failure.")
            )
            return

        def make(found: Release) -> Act | Refusal:
            if stop.item is not None:
                return acts.follow_up(
                    self.walk, stop.item.key, found.seen, found.signed_in, word=found.word
                )
            assert open_one is not None
            station, n = open_one.entry.key
            return acts.close_nonconformance(
                self.walk, station, n, found.seen, found.signed_in, word=found.word
            )

        about = item_name(stop.item) if stop.item else f"{open_one.name if open_one else ''}"
        act = "close-nonconformance"
        if stop.item is not None:
            act = "accept-critical" if is_critical(stop.item, "accept-critical") else "accept"
        step, draft = word_step(self.screen.deck, act), self.draft("follow-up")
        self.answer_for(
            "follow-up",
            make,
            lambda refused: FollowUpDialog(
                f"What was done about it? {about}", (), step, verb="Record", seen="Action",
                draft=draft, refused=refused,
            ),
        )  # fmt: skip
