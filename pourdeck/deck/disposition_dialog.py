"""Saying what is to be done about a value out of tolerance: nothing is chosen until somebody chooses it."""

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.release_dialog import ReleaseDialog
from pourdeck.deck.views.ready_words import DISPOSING

CHOICES = (
    ("", "not chosen yet"),
    ("rework", "rework: then measure again"),
    ("repair", "repair: then looked at"),
    ("use-as-is", "use as is: engineer only"),
    ("reject", "reject: held for good"),
)
"""The first one is no disposition: none is there by itself."""


class DispositionDialog(ReleaseDialog):
    """Choice, whose word, and reason; for use as is and reject the engineer's."""

    cancel_verb = "Leave it open"
    ready = DISPOSING
    rest = 18

    def first_asks(self) -> tuple[Ask, ...]:
        return (Ask(id="disposition", label="Disposition", choices=CHOICES, decides=True),)
