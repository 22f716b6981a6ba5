"""What the walk asks about a value out of tolerance: its disposition, and whether a repair was looked at."""

from pourdeck.deck.dialogs import ChoiceDialog
from pourdeck.deck.disposition_dialog import DispositionDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.walk_asking import WalkAsking
from pourdeck.deck.spans import line
from pourdeck.deck.views.out_rows import disposition_lines
from pourdeck.deck.widgets.rows import Row
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

        def act_of(disposition: str, found: Release) -> Act | Refusal:
            return acts.dispose(self.walk, key, disposition, found.seen, found.by, found.role or "")

        def refused_to(disposition: str, found: Release) -> Refusal | None:
            act = act_of(disposition, found)
            return act if isinstance(act, Refusal) else None

        dialog = DispositionDialog(
            f"{out.name} of {walk.mark}, panel {walk.number} of {walk.of}: out of tolerance",
            disposition_lines(walk, out),
            self.screen.deck.desk.job.people,
            "Use as is only an engineer may say, who did not measure it.",
            draft=self.draft("disposition"),
            refused=refused_to,
        )

        def take(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                self.record(act_of(values["disposition"], dialog.release(values)), go_on=True)

        self.opened(FOLLOW_UP)
        self.screen.app.push_screen(dialog, take)

    def _looked_at(self, out: OutOfTolerance) -> None:
        assert out.disposition is not None
        station, n = out.disposition.key

        def act_of(found: Release) -> Act | Refusal:
            return acts.close_nonconformance(self.walk, station, n, found.seen, found.by)

        def refused_to(found: Release) -> Refusal | None:
            act = act_of(found)
            return act if isinstance(act, Refusal) else None

        dialog = ReleaseDialog(
            f"Repair of {out.name}, {self.walk.mark}: looked at",
            disposition_lines(self.walk, out),
            self.screen.deck.desk.job.people,
            f"Somebody else than {out.disposition.by} must have looked at it.",
            verb="Record",
            draft=self.draft("looked-at"),
            refused=refused_to,
        )

        def take(values: dict[str, str] | None) -> None:
            self.closed()
            if values is not None:
                self.record(act_of(dialog.release(values)), go_on=True)

        self.opened(FOLLOW_UP)
        self.screen.app.push_screen(dialog, take)
