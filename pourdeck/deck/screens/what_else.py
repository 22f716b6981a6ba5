"""A list of all that can be done, for a hand that has only arrows and Enter, or only a mouse."""

from pourdeck.deck.actions import EVERYWHERE, Action, actions_for
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.paint import line
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.widgets.row_list import Row


def what_else(screen: DeckScreen) -> None:
    """List what the screen can do now, then what works everywhere; do what is picked."""
    own = [one for one in actions_for(screen.ID) if screen.can_do(one.id)]
    left_out = ("more", "take", f"go-{screen.ID}")
    actions = [one for one in (*own, *actions_for(EVERYWHERE)) if one.id not in left_out]

    async def picked(action_id: str | None) -> None:
        if action_id is not None:
            await screen.run_known(action_id)

    dialog = ChoiceDialog("What else", tuple(_row(one) for one in actions), verb="Do it")
    screen.app.push_screen(dialog, picked)


def _row(action: Action) -> Row:
    key, label = f"{action.key_text:<6}", f"{action.label:<12}"
    return Row(key=action.id, left=line((key, "key"), (label, "strong"), f" {action.help}"))
