"""Ask at the end of a section, a hold and a panel of the walk."""

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form_fields import Answers, FormField
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.recording import answer_for, record_act
from pourdeck.deck.screens.walk_asks import WalkAsking
from pourdeck.deck.views.values import day_text
from pourdeck.deck.views.walk_list import Stop
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.messages import Refusal, literal
from pourdeck.walk import acts
from pourdeck.walk.acts import Act
from pourdeck.walk.oddities import LOAD, POUR, Oddity, odd_digest, oddities
from pourdeck.walk.out_of_tolerance import need_words
from pourdeck.walk.pour_findings import needs_measures, weather_words
from pourdeck.walk.records import HoldView
from pourdeck.walk.signoffs import not_closable
from pourdeck.walk.words import count_of, fast_words, item_name

FOR_GOOD = "From then on it is what its record says. It cannot be undone."
DRYING = ("wind breaks up", "shade up", "fog spray on", "retarder ready", "cure ready")
CONFIRMED = "confirmed"


class OddDialog(ChoiceDialog):
    """List what is odd about a panel: Enter opens a row, the button confirms them all.

    Gives the number of the row that is to be opened, as text, or CONFIRMED.
    """

    def submit(self) -> None:
        self.dismiss(CONFIRMED)


class WalkEnds(WalkAsking):
    """Ending a section, releasing a hold or passing it, closing the panel."""

    def complete(self, stop: Stop) -> None:
        """Say that a section is complete; at the end of the walk, close the panel."""
        deck, closing = self.screen.deck, stop.section.id == "close"
        if stop.section.complete is not None:
            self.say(f"{stop.section.name} is {'closed' if closing else 'complete'}")
        elif closing:
            self._close()
        else:
            record_act(
                deck,
                lambda by, _: acts.complete(self.walk, stop.section.id, by),
                draft=self.draft("complete"),
                done=self.screen.go_on,
            )

    def _close(self) -> None:
        """Close the panel: all that is odd about it is shown first, to be gone through and confirmed."""
        walk, deck = self.walk, self.screen.deck
        found, seen = oddities(walk), odd_digest(walk)
        refused = not_closable(walk, seen)
        if refused is not None:
            deck.refuse(refused)
            return

        def close(confirms: str = "") -> None:
            answer_for(
                deck,
                "close-panel",
                f"Close it: {walk.mark}, panel {walk.number} of {walk.of}, stack {walk.stack}",
                lambda told: acts.close_panel(self.walk, told.by, seen, word=told.word),
                body=f"{confirms}{FOR_GOOD}",
                verb="Close it",
                draft=self.draft("close"),
                done=self.go_on,
                by_itself=bool(found),
            )

        if not found:
            close()
            return

        def told(answer: str | None) -> None:
            if answer == CONFIRMED:
                close("The list is confirmed by that name. ")
            elif answer is not None:
                self._open(found[int(answer)].key)

        title = f"{count_of(len(found), 'thing')} odd about {walk.mark}: Enter opens each"
        body = f"Who closes confirms the list by name, and it goes into the record. {FOR_GOOD}"
        rows = tuple(_odd_row(number, one) for number, one in enumerate(found))
        deck.push_screen(OddDialog(title, rows, body, verb="Confirm and close"), told)

    def _open(self, key: str) -> None:
        """Go to what is odd: an item or a hold of the walk, a load, or the pour."""
        deck = self.screen.deck
        if key.startswith(LOAD):
            here = f"pour.{deck.here.stack}.{deck.here.panel}.hand"
            deck.keep_text(here, f"{key.removeprefix(LOAD)}.slump")
            deck.go("pour")
        elif key == POUR:
            deck.go("pour")
        else:
            deck.go("walk", item=key)

    def release(self, hold_id: str) -> None:
        """The second person types the name and what was seen; what is missing is said first."""
        walk = self.walk
        hold = walk.hold(hold_id)
        refused = self._not_yet(hold) if hold else None
        if hold is None or refused is not None:
            if refused is not None:
                self.screen.deck.refuse(refused)
            return

        def make(told: Answers) -> Act | Refusal:
            return acts.release(
                self.walk, hold_id, told.by, "", told["seen"],
                word=told.word, measures=told["measures"],
            )  # fmt: skip

        measures = FormField(id="measures", label="Against drying", ready=DRYING)
        answer_for(
            self.screen.deck,
            f"release.{hold_id}",
            f"{_released(hold.name)} of {walk.mark}, panel {walk.number} of {walk.of}",
            make,
            reason="What was seen",
            more=(measures,) if needs_measures(hold) else (),
            shown=self._release_lines(hold),
            body="Who did this work cannot release it.",
            verb="Release",
            leave="Leave it held",
            draft=self.draft(f"release.{hold_id}"),
            done=self.go_on,
        )

    def _not_yet(self, hold: HoldView) -> Refusal | None:
        """Why it cannot be released by anybody now: asked before a name is typed for nothing."""
        if not (hold.locked_by or hold.needs or hold.lets_pass or self.walk.record.pour_start):
            return None
        people = self.screen.deck.desk.job.people
        act: Act | Refusal = acts.release(
            self.walk, hold.id, people[0].name if people else "anybody", "", "looked"
        )
        return act if isinstance(act, Refusal) else None

    def _release_lines(self, hold: HoldView) -> list[Spans]:
        section = self.walk.section(hold.section)
        rows = [
            line(("! ", "warning"), (f"Caution: {words}", "warning"))
            for words in (section.cautions if section else ())
        ]
        rows.append(line(("Look at: ", "quiet"), (hold.look, "strong")))
        rows.append(line(("It covers ", "quiet"), f"{len(hold.covers)} items."))
        if hold.weather is not None:
            desk = self.screen.deck.desk
            words = weather_words(self.walk, desk.now(), desk.jumps())
            if needs_measures(hold):
                words = f"{words}. {' '.join(hold.weather.advice)}"
            rows.append(
                line(("Weather: ", "quiet"), (words, "warning" if needs_measures(hold) else "text"))
            )
        covered = [item for item in map(self.walk.find, hold.covers) if item is not None]
        rows += [
            line(("✗ ", "failed"), f"failed, {item.follow_up}: {item_name(item)}")
            for item in covered
            if item.verdict == "fail" and item.follow_up
        ]
        rows += [
            line(("» ", "deferred"),
                 f"deferred, {item.owner} before {item.before}: {item_name(item)}")
            for item in covered
            if item.own_state == "deferred"
        ]  # fmt: skip
        rows += [
            line(("✗→ ", "followed-up"), need_words(one, self.walk.job.units))
            for one in hold.accepted
        ]
        if hold.fast:
            words = f"{fast_words(len(hold.fast))}: ask"
            rows.append(line(("! ", "warning"), (words, "warning")))
        return rows

    def pass_unreleased(self, hold_id: str) -> None:
        hold = self.walk.hold(hold_id)
        name = hold.name if hold else hold_id
        if hold is not None and hold.locked_by is not None:
            self.screen.deck.refuse(
                Refusal(
                    title=f"{hold.name}: locked.",
                    body=f"{hold.locked_by.title} {hold.locked_by.body}",
                )
            )
            return
        answer_for(
            self.screen.deck,
            "pass-unreleased",
            f"Pass {name} of {self.walk.mark} unreleased",
            lambda told: acts.pass_unreleased(
                self.walk, hold_id, told["seen"], told.by, word=told.word
            ),
            body="A non-conformance: it stays in sight until it is closed.",
            verb="Go on without release",
            leave="Leave it held",
            draft=self.draft(f"pass-unreleased.{hold_id}"),
            done=self.go_on,
        )


def _released(name: str) -> str:
    """`Release set-out check`; a hold that is named by its release is not said twice."""
    return name if name.startswith("Release") else f"Release {name}"


def _odd_row(number: int, one: Oddity) -> Row:
    said = ", ".join(part for part in (literal(one.who), day_text(one.at)) if part)
    return Row(
        key=str(number),
        left=line(
            (f"{one.what}: ", "warning"), (one.where, "strong"), f"; {one.words} ", (said, "quiet")
        ),
        wrap=True,
        indent=2,
    )
