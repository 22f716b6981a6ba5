"""The engineer's release to lift: name, what was seen, and the strength where the job gives none."""

from collections.abc import Callable, Sequence

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.spans import Spans
from pourdeck.deck.word_step import WordStep
from pourdeck.plan.refusal import Refusal


class LiftReleaseDialog(ReleaseDialog):
    """As every release: no key that is pressed by itself gives it."""

    DEFAULT_CSS = "LiftReleaseDialog RowList { margin: 0; }"
    cancel_verb = "Leave it down"
    says_needed = False

    def __init__(
        self,
        title: str,
        shown: Sequence[Spans],
        step: WordStep,
        *,
        asks_limit: bool,
        draft: str,
        refused: Callable[[Release], Refusal | None],
    ) -> None:
        super().__init__(
            title, shown, step, "Only the engineer who has the lifting design can. It is never undone.",
            verb="Release to lift", draft=draft, refused=refused,
        )  # fmt: skip
        # Lines of the dialog beside what is shown: what is shown comes first, and scrolls.
        self.rest = 16 if asks_limit else 13
        if asks_limit:
            self.asks = (
                *self.asks,
                Ask(id="strength", label="Strength needed"),
                Ask(id="document", label="Its document"),
            )
