"""The engineer's release to lift: name, what was seen, and the strength where the job gives none."""

from collections.abc import Callable, Sequence

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.release_dialog import ReleaseDialog
from pourdeck.deck.spans import Spans
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal


class LiftReleaseDialog(ReleaseDialog):
    """As every release: no key that is pressed by itself gives it. `refused` is given all that was typed."""

    DEFAULT_CSS = "LiftReleaseDialog RowList { margin: 0; }"
    cancel_verb = "Leave it down"

    def __init__(
        self,
        title: str,
        shown: Sequence[Spans],
        people: Sequence[Person],
        *,
        asks_limit: bool,
        draft: str,
        refused: Callable[[dict[str, str]], Refusal | None],
    ) -> None:
        body = "Only the engineer who has the lifting design can. It is never undone."
        super().__init__(title, shown, people, body, verb="Release to lift", draft=draft)
        self.refused_values = refused
        # Lines of the dialog beside what is shown: what is shown comes first, and scrolls.
        self.rest = 16 if asks_limit else 14
        if asks_limit:
            self.asks = (
                *self.asks,
                Ask(id="strength", label="Strength needed"),
                Ask(id="document", label="Its document"),
            )

    def why_not(self, values: dict[str, str]) -> Refusal | None:
        return self.refused_values(values)
