"""Saying what is to be done about a value out of tolerance: nothing is chosen until somebody chooses it."""

from collections.abc import Callable, Sequence

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.spans import Spans
from pourdeck.deck.views.ready_words import DISPOSING
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal

CHOICES = (
    ("", "not chosen yet"),
    ("rework", "rework: then measure again"),
    ("repair", "repair: then looked at"),
    ("use-as-is", "use as is: engineer only"),
    ("reject", "reject: held for good"),
)
"""The first one is no disposition: none is there by itself."""


class DispositionDialog(ReleaseDialog):
    """Choice, name and reason; for use as is the engineer's name. `refused` is given the choice too."""

    cancel_verb = "Leave it open"
    ready = DISPOSING
    rest = 17

    def __init__(
        self,
        title: str,
        shown: Sequence[Spans],
        people: Sequence[Person],
        body: str,
        *,
        draft: str,
        refused: Callable[[str, Release], Refusal | None],
    ) -> None:
        super().__init__(title, shown, people, body, verb="Record", seen="Reason", draft=draft)
        self.refused_as = refused

    def first_asks(self) -> tuple[Ask, ...]:
        return (Ask(id="disposition", label="Disposition", choices=CHOICES, decides=True),)

    def why_not(self, values: dict[str, str]) -> Refusal | None:
        return self.refused_as(values["disposition"], self.release(values))
