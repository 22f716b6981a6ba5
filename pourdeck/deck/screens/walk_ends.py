"""What the walk asks at the end of something: a section, a hold, a panel."""

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.odd_dialog import CONFIRMED, OddDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.walk_asking import WalkAsking
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.word_step import word_step
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.acts import Act
from pourdeck.walk.oddities import LOAD, POUR, odd_digest, oddities
from pourdeck.walk.ready_weather import needs_measures, weather_words
from pourdeck.walk.records import HoldView
from pourdeck.walk.tolerance_words import need_words
from pourdeck.walk.words import count_of, fast_words, item_name

FOR_GOOD = "From then on it is what its record says. It cannot be undone."
DRYING = ("wind breaks up", "shade up", "fog spray on", "retarder ready", "cure ready")


class WalkEnds(WalkAsking):
    """Ending a section, releasing a hold or passing it, closing the panel."""

    def complete(self, stop: Stop) -> None:
        """Say that a section is complete; at the end of the walk, close the panel."""

        closing = stop.section.id == "close"

        def take(by: str) -> None:
            if closing:
                self._close(by)
            else:
                self.record(acts.complete(self.walk, stop.section.id, by), go_on=True)

        if stop.section.complete is not None:
            word = "closed" if closing else "complete"
            self.screen.deck.say(Said("note", f"{stop.section.name} is {word}"))
        else:
            self.screen.deck.as_person(take)

    def _close(self, by: str) -> None:
        """Close the panel: all that is odd about it is shown first, to be gone through and confirmed."""
        walk = self.walk
        found, seen = oddities(walk), odd_digest(walk)
        act = acts.close_panel(walk, by, seen)
        if isinstance(act, Refusal):
            self.record(act)
            return
        if not found:
            self._once_more(act, "Close it", FOR_GOOD)
            return

        def told(answer: str | None) -> None:
            if answer == CONFIRMED:
                self.record(acts.close_panel(self.walk, by, seen), go_on=True)
            elif answer is not None:
                self._open(found[int(answer)].key)

        title = f"{count_of(len(found), 'thing')} odd about {walk.mark}: Enter opens each"
        body = f"{by} confirms the list by name, and it goes into the record. {FOR_GOOD}"
        self.screen.app.push_screen(OddDialog(title, found, body), told)

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

    def _once_more(self, act: Act, verb: str, body: str) -> None:
        """Ask once more before an act that ends the panel, and that one key would else be enough for."""
        walk = self.walk

        def told(answer: str | None) -> None:
            if answer is not None:
                self.record(act, go_on=True)

        title = f"{verb}: {walk.mark}, panel {walk.number} of {walk.of}, stack {walk.stack}"
        dialog = ConfirmDialog(title, body, verb=verb)
        self.screen.app.push_screen(dialog, told)

    def release(self, hold_id: str) -> None:
        """The second person types the name and what was seen; what is missing is said first."""
        hold = self.walk.hold(hold_id)
        if hold is None:
            return
        refused = self._not_yet(hold)
        if refused is not None:
            self.screen.deck.refuse(refused)
            return

        def make(found: Release) -> Act | Refusal:
            return acts.release(
                self.walk, hold_id, found.signed_in, "", found.seen,
                word=found.word, measures=found.values.get("measures", ""),
            )  # fmt: skip

        title = (
            f"Release {hold.name} of {self.walk.mark}, panel {self.walk.number} of {self.walk.of}"
        )
        lines, more = self._release_lines(hold), self._measures_ask(hold)
        step, draft = (
            word_step(self.screen.deck, f"release.{hold_id}"),
            self.draft(f"release.{hold_id}"),
        )
        body = "Who did this work cannot release it."
        self.answer_for(
            "release",
            make,
            lambda refused: ReleaseDialog(
                title, lines, step, body, draft=draft, more=more, refused=refused
            ),
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

    def _measures_ask(self, hold: HoldView) -> tuple[Ask, ...]:
        """What was done against drying, where the weather asks for it."""
        ask = Ask(id="measures", label="Against drying", ready=DRYING)
        return (ask,) if needs_measures(hold) else ()

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

        def make(found: Release) -> Act | Refusal:
            return acts.pass_unreleased(
                self.walk, hold_id, found.seen, found.signed_in, word=found.word
            )

        title, step = (
            f"Pass {name} of {self.walk.mark} unreleased",
            word_step(self.screen.deck, "pass-unreleased"),
        )
        draft = self.draft(f"pass-unreleased.{hold_id}")
        body = "A non-conformance: it stays in sight until it is closed."
        self.answer_for(
            "pass-unreleased",
            make,
            lambda refused: ReleaseDialog(
                title, (), step, body, verb="Go on without release", seen="Reason",
                draft=draft, refused=refused,
            ),
        )  # fmt: skip
