"""What the walk asks about a value out of tolerance: its disposition, and whether a repair was looked at."""

from pourdeck.deck.dialogs import ChoiceDialog
from pourdeck.deck.disposition_dialog import DispositionDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.walk_asking import WalkAsking
from pourdeck.deck.spans import line
from pourdeck.deck.views.out_rows import disposition_lines
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.word_step import word_step
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.acts import Act
from pourdeck.walk.dispositions import rejected_for_good
from pourdeck.walk.records import OutOfTolerance

FOLLOW_UP = "follow-up"
"""The action that asks all of it, the same as for what else failed."""


class WalkDispositions(WalkAsking):
    """Name and reason are typed, and no choice is there by itself: no key alone says anything."""

    def ask_about(self, key: str, out: OutOfTolerance) -> None:
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
        self.screen.app.push_screen(dialog, taken)

    def _dispose(self, key: str, out: OutOfTolerance) -> None:
        walk = self.walk

        def make(found: Release) -> Act | Refusal:
            chosen = found.values["disposition"]
            return acts.dispose(
                self.walk, key, chosen, found.seen, found.signed_in, word=found.word
            )

        title = f"{out.name} of {walk.mark}, panel {walk.number} of {walk.of}: out of tolerance"
        step = word_step(self.screen.deck, "disposition.rework")
        lines, draft = disposition_lines(walk, out), self.draft("disposition")
        body = "Use as is and reject are the engineer's, who did not measure it."
        self.answer_for(
            FOLLOW_UP,
            make,
            lambda refused: DispositionDialog(
                title, lines, step, body, verb="Record", seen="Reason", draft=draft, refused=refused
            ),
        )

    def _looked_at(self, out: OutOfTolerance) -> None:
        assert out.disposition is not None
        station, n = out.disposition.key

        def make(found: Release) -> Act | Refusal:
            return acts.close_nonconformance(
                self.walk, station, n, found.seen, found.signed_in, word=found.word
            )

        title = f"Repair of {out.name}, {self.walk.mark}: looked at"
        step = word_step(self.screen.deck, "close-nonconformance")
        lines, draft = disposition_lines(self.walk, out), self.draft("looked-at")
        body = f"Somebody else than {out.disposition.by} must have looked at it."
        self.answer_for(
            FOLLOW_UP,
            make,
            lambda refused: ReleaseDialog(
                title, lines, step, body, verb="Record", draft=draft, refused=refused
            ),
        )
