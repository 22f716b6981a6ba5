"""What the walk asks in dialogs before it records: names, reasons, owners, what was seen."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import Ask, AskDialog, ChoiceDialog, TextDialog
from pourdeck.deck.release_dialog import ReleaseDialog
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.who import initials
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.records import HoldView, ItemView, NonConformance, Walk

if TYPE_CHECKING:
    from pourdeck.deck.screens.walk import WalkScreen


class WalkAsks:
    """Each ask ends in an act that is recorded, or in a refusal that is shown; Esc does nothing."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen = screen
        self._second: str | None = None

    @property
    def walk(self) -> Walk:
        walk = self.screen.walk
        assert walk is not None
        return walk

    # Answers.

    def answer(self, item: ItemView, typed: str, drop_draft: Callable[[], None]) -> None:
        """Record an answer, in the second person's name where one must give it."""

        def named(by: str) -> None:
            if self._replaces(item):
                self._ask_why(item, typed, by, drop_draft)
            else:
                self._record_answer(item, typed, by, "", drop_draft)

        if item.second:
            self._ask_second(item, named)
        else:
            self.screen.deck.as_person(named)

    def _replaces(self, item: ItemView) -> bool:
        entry = item.entry
        return (
            entry is not None
            and entry.kind not in ("defer", "not-applicable")
            and item.own_state != "void"
        )

    def _ask_why(self, item: ItemView, typed: str, by: str, drop_draft: Callable[[], None]) -> None:
        failed = item.own_state == "failed"
        title = "What was done about it?" if failed else "Why does the answer change?"
        body = "The old answer stays in the record beside the new one."

        def take(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.show_again()
            else:
                self._record_answer(item, typed, by, values["text"], drop_draft)

        self.screen.app.push_screen(TextDialog(title, "In a few words", body), take)

    def _record_answer(
        self, item: ItemView, typed: str, by: str, why: str, drop_draft: Callable[[], None]
    ) -> None:
        deck = self.screen.deck
        act = acts.answer(self.walk, item.key, typed, by, deck.desk.now(), why)
        drop_draft()
        if deck.record(act) is None:
            if isinstance(act, Refusal):
                self.screen.show_again()
            return
        self.screen.go_on()

    def _ask_second(self, item: ItemView, then: Callable[[str], None]) -> None:
        """Who read it: never the one on deck by itself, because a second person must answer."""
        people = self.screen.deck.desk.job.people
        body = "A second person reads it off the drawing, not off this screen."
        if not people:

            def written(values: dict[str, str] | None) -> None:
                if values is not None:
                    self._second = values["text"]
                    then(values["text"])

            self.screen.app.push_screen(
                TextDialog("Who read it?", "Name", body, value=self._second or ""), written
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

        def picked(name: str | None) -> None:
            if name is None:
                self.screen.show_again()
            else:
                self._second = name
                then(name)

        self.screen.app.push_screen(
            ChoiceDialog("Who read it?", rows, body, select=self._second, verb="Record"), picked
        )

    # Putting off, leaving out, noting, following up.

    def defer(self, item: ItemView) -> None:
        people = self.screen.deck.desk.job.people
        due = tuple((one, self._due_words(one)) for one in acts.due_points(self.walk, item))
        owners = tuple((person.name, person.name) for person in people)
        asks = (
            Ask(id="reason", label="Reason"),
            Ask(id="owner", label="Who owes it", value=self.screen.deck.by or "", choices=owners),
            Ask(id="before", label="Due before", value=due[0][0] if due else "", choices=due),
        )

        def take(values: dict[str, str], by: str) -> None:
            self._record(
                acts.defer(
                    self.walk, item.key, values["reason"], values["owner"], values["before"], by
                ),
                go_on=True,
            )

        self._ask(AskDialog("Defer this item", asks, verb="Defer", draft="walk.defer"), take)

    def _due_words(self, point: str) -> str:
        hold = self.walk.hold(point)
        return hold.name if hold else "Lift"

    def not_applicable(self, item: ItemView) -> None:
        def take(values: dict[str, str], by: str) -> None:
            act = acts.not_applicable(self.walk, item.key, values["text"], by)
            self._record(act, go_on=True)

        self._ask(
            TextDialog("Not applicable here", "Reason", item.prompt, draft="walk.not-applicable"),
            take,
        )

    def note(self, item: ItemView) -> None:
        def take(values: dict[str, str], by: str) -> None:
            self._record(acts.note(self.walk, item.key, values["text"], by))

        self._ask(TextDialog("A note to this item", "Note", item.prompt, draft="walk.note"), take)

    def can_follow_up(self, stop: Stop) -> bool:
        if stop.item is not None:
            return stop.item.verdict == "fail"
        return self._open_nonconformance(stop) is not None

    def _open_nonconformance(self, stop: Stop) -> NonConformance | None:
        hold = stop.hold
        if hold is None:
            return None
        return next(
            (
                one
                for one in self.walk.nonconformances
                if one.hold == hold.id and one.closed is None
            ),
            None,
        )

    def follow_up(self, stop: Stop) -> None:
        """What was done about a failed item, or about a hold that was passed unreleased."""
        open_one = self._open_nonconformance(stop)
        if stop.item is None and open_one is None:
            self.screen.deck.say(
                Said("note", "Nothing failed here", "A follow-up answers a failure.")
            )
            return

        def take(values: dict[str, str], by: str) -> None:
            if stop.item is not None:
                act = acts.follow_up(self.walk, stop.item.key, values["text"], by)
            else:
                assert open_one is not None
                station, n = open_one.entry.key
                act = acts.close_nonconformance(self.walk, station, n, values["text"], by)
            self._record(act)

        self._ask(TextDialog("What was done about it?", "Action", draft="walk.follow-up"), take)

    def undo(self) -> None:
        deck = self.screen.deck

        def take(by: str) -> None:
            self._record(acts.undo(deck.desk.state, by, deck.desk.station))

        deck.as_person(take)

    # Ending a section, releasing a hold.

    def complete(self, stop: Stop) -> None:
        """Say that a section is complete; at the end of the walk, close the panel."""

        def take(by: str) -> None:
            if stop.section.id == "close":
                act = acts.close_panel(self.walk, by)
            else:
                act = acts.complete(self.walk, stop.section.id, by)
            self._record(act, go_on=True)

        if stop.section.complete is not None:
            self.screen.deck.say(Said("note", f"{stop.section.name} is complete"))
        else:
            self.screen.deck.as_person(take)

    def release(self, hold_id: str) -> None:
        """The second person types the name and what was seen; what is missing is said first."""
        hold = self.walk.hold(hold_id)
        if hold is None:
            return
        if hold.locked_by or hold.needs or hold.lets_pass:
            refused = acts.release(self.walk, hold_id, self._anybody(), "", "looked")
            if isinstance(refused, Refusal):
                self.screen.deck.refuse(refused)
                return
        people = self.screen.deck.desk.job.people
        dialog = ReleaseDialog(
            f"Release {hold.name} of {self.walk.mark}",
            _release_lines(hold),
            people,
            "Only a second person, who did none of this work, can release it.",
            draft=f"walk.release.{hold_id}",
        )

        def take(values: dict[str, str] | None) -> None:
            if values is not None:
                found = dialog.release(values)
                act = acts.release(self.walk, hold_id, found.by, found.role or "", found.seen)
                self._record(act, go_on=True)

        self.screen.app.push_screen(dialog, take)

    def _anybody(self) -> str:
        people = self.screen.deck.desk.job.people
        return people[0].name if people else "nobody"

    def pass_unreleased(self, hold_id: str) -> None:
        hold = self.walk.hold(hold_id)
        name = hold.name if hold else hold_id

        def take(values: dict[str, str], by: str) -> None:
            act = acts.pass_unreleased(self.walk, hold_id, values["text"], by)
            self._record(act, go_on=True)

        self._ask(
            TextDialog(
                f"Pass {name} of {self.walk.mark} unreleased",
                "Reason",
                "This is a non-conformance. It is recorded with your name and stays in sight until closed.",
                verb="Pass unreleased",
                draft=f"walk.pass.{hold_id}",
            ),
            take,
        )

    # What they share.

    def _ask(self, dialog: AskDialog, take: Callable[[dict[str, str], str], None]) -> None:
        deck = self.screen.deck

        def told(values: dict[str, str] | None) -> None:
            if values is not None:
                deck.as_person(lambda by: take(values, by))

        self.screen.app.push_screen(dialog, told)

    def _record(self, act: acts.Act | Refusal, *, go_on: bool = False) -> None:
        if self.screen.deck.record(act) is not None and go_on:
            self.screen.go_on()


def _release_lines(hold: HoldView) -> list[Spans]:
    rows = [line(("Look at: ", "quiet"), hold.look), line(f"It covers {len(hold.covers)} items.")]
    if hold.roles:
        rows.append(line(f"It takes: {', '.join(hold.roles)}."))
    rows += [
        line(("» ", "deferred"), f"deferred: {item.prompt}, {item.owner} before {item.before}")
        for item in hold.due
    ]
    if hold.fast:
        rows.append(
            line(
                ("! ", "warning"),
                f"{len(hold.fast)} were answered faster than they can be measured.",
            )
        )
    return rows
