"""What the walk shows over itself: the sum of an item, all there is to read of it, all that can be done."""

from typing import TYPE_CHECKING

from pourdeck.deck.actions import ACTIONS, EVERYWHERE, Action
from pourdeck.deck.dialogs import ChoiceDialog, TellDialog
from pourdeck.deck.spans import line
from pourdeck.deck.views.item_sum import item_sum
from pourdeck.deck.views.read_all import read_all_rows
from pourdeck.deck.views.sum_lines import sum_lines
from pourdeck.deck.views.walk_card import blind
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.rows import Row

if TYPE_CHECKING:
    from pourdeck.deck.screens.walk import WalkScreen

SUM_WIDTH = 68
NOT_LISTED = ("more", "take", "help", "palette")


def show_sum(screen: "WalkScreen") -> None:
    """Open the sum behind what the item expects."""
    walk, item = screen.walk, screen.item
    if walk is None or item is None or (item is not None and blind(item)):
        words = "It is shown once it is read off the drawing" if item else "No item is in hand"
        screen.deck.say(Said("note", "There is no sum to open yet", f"{words}."))
        return
    opened = item_sum(walk, item)
    if opened is None:
        screen.deck.say(Said("note", "There is no sum behind this item", "It is seen or written."))
        return
    rows = sum_lines(opened, walk.job.units, SUM_WIDTH)
    screen.app.push_screen(TellDialog("The sum", tuple(rows)))


def read_all(screen: "WalkScreen") -> None:
    """Everything about the stop in hand, uncut."""
    walk, stop = screen.walk, screen.stop
    if walk is not None and stop is not None:
        rows = read_all_rows(walk, stop)
        screen.app.push_screen(TellDialog("All there is to read here", tuple(rows)))


def what_else(screen: "WalkScreen") -> None:
    """A list of what can be done, for a hand that has arrows and Enter only."""
    actions = [
        action
        for action in ACTIONS
        if (screen.ID in action.where and screen.can_do(action.id)) or action.where == (EVERYWHERE,)
    ]
    rows = tuple(_row(action) for action in actions if action.id not in NOT_LISTED)

    async def picked(action_id: str | None) -> None:
        if action_id is not None:
            await screen.run_known(action_id)

    screen.app.push_screen(ChoiceDialog("What else", rows, verb="Do it"), picked)


def _row(action: Action) -> Row:
    return Row(
        key=action.id,
        left=line((f"{action.key_text:<6}", "key"), (f"{action.label:<12}", "strong"),
                  f" {action.help}"),
    )  # fmt: skip
