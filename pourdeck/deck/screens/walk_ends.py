"""What the walk asks at the end of something: a section, a hold, a panel."""

from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.odd_dialog import CONFIRMED, OddDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.walk_asking import WalkAsking
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.widgets.banner import Said
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
        people = self.screen.deck.desk.job.people

        def act_of(found: Release) -> Act | Refusal:
            return acts.release(
                self.walk, hold_id, found.by, found.role or "", found.seen, found.measures
            )

        def refused_to(found: Release) -> Refusal | None:
            act = act_of(found)
            return act if isinstance(act, Refusal) else None

        dialog = ReleaseDialog(
            f"Release {hold.name} of {self.walk.mark}, panel {self.walk.number} of {self.walk.of}",
            self._release_lines(hold),
            people,
            "Only a second person, who did none of this work, can release it.",
            draft=self.draft(f"release.{hold_id}"),
            refused=refused_to,
            measures=DRYING if needs_measures(hold) else (),
        )

        def take(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                self.record(act_of(dialog.release(values)), go_on=True)

        self.opened("release")
        self.screen.app.push_screen(dialog, take)

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

        def act_of(found: Release) -> Act | Refusal:
            return acts.pass_unreleased(self.walk, hold_id, found.seen, found.by)

        def refused_to(found: Release) -> Refusal | None:
            act = act_of(found)
            return act if isinstance(act, Refusal) else None

        dialog = ReleaseDialog(
            f"Pass {name} of {self.walk.mark} unreleased",
            (),
            self.screen.deck.desk.job.people,
            "This is a non-conformance. It is recorded with your name and stays in sight until closed.",
            verb="Pass unreleased",
            seen="Reason",
            draft=self.draft(f"pass-unreleased.{hold_id}"),
            refused=refused_to,
        )

        def take(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                self.record(act_of(dialog.release(values)), go_on=True)

        self.opened("pass-unreleased")
        self.screen.app.push_screen(dialog, take)
