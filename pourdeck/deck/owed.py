"""The list of what is owed: one key away from every screen."""

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.spans import line
from pourdeck.deck.views.board_rows import owed_rows
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.records import Units
from pourdeck.walk.board import Board


class OwedDialog(ChoiceDialog):
    """What failed or is out of tolerance, what was passed, what is deferred; a row opens its item."""

    def __init__(self, board: Board, units: Units) -> None:
        rows = tuple(owed_rows(board, units))
        empty = Row(
            left=line(("Nothing is deferred, nothing failed, no hold was passed.", "quiet"))
        )
        super().__init__("Owed on this job", rows or (empty,), verb="Go there")
