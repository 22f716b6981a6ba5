"""What is odd about a panel before it is closed: Enter opens a row, a button confirms them all."""

from collections.abc import Sequence

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.spans import line
from pourdeck.deck.views.values import day_text
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.literal import literal
from pourdeck.walk.oddities import Oddity

CONFIRMED = "confirmed"


class OddDialog(ChoiceDialog):
    """Gives the number of the row that is to be opened, as text, or CONFIRMED."""

    def __init__(self, title: str, found: Sequence[Oddity], body: str) -> None:
        rows = tuple(_row(number, one) for number, one in enumerate(found))
        super().__init__(title, rows, body, verb="Confirm and close")

    def submit(self) -> None:
        self.dismiss(CONFIRMED)


def _row(number: int, one: Oddity) -> Row:
    said = ", ".join(part for part in (literal(one.who), day_text(one.at)) if part)
    return Row(
        key=str(number),
        left=line(
            (f"{one.what}: ", "warning"), (one.where, "strong"), f"; {one.words} ", (said, "quiet")
        ),
        wrap=True,
        indent=2,
    )
