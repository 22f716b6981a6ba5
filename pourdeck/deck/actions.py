"""The one registry that keys, action bar, palette and help are all made from."""

from collections.abc import Iterator

from textual.binding import Binding

from pourdeck.deck.action import DRAWINGS, EVERYWHERE, LISTS, SCREENS, Action, key_name
from pourdeck.deck.action_list import ACTIONS, BARS

__all__ = [
    "ACTIONS",
    "BARS",
    "DRAWINGS",
    "EVERYWHERE",
    "LISTS",
    "SCREENS",
    "Action",
    "actions_for",
    "bindings",
    "five_keys",
    "key_name",
    "on_screen",
]


def actions_for(where: str) -> tuple[Action, ...]:
    """What can be done on one screen (or in `lists`, `piles`, `everywhere`), in the order of the registry."""
    return tuple(action for action in ACTIONS if where in action.where)


def on_screen(screen: str) -> tuple[Action, ...]:
    """What can be done on a screen: its own first, then what works everywhere."""
    return (*actions_for(screen), *actions_for(EVERYWHERE))


def bindings(where: str) -> list[Binding]:
    """The key bindings of a screen, of the app (`everywhere`), of lists or of piles."""
    return [binding for action in actions_for(where) for binding in _bindings(action)]


def _bindings(action: Action) -> Iterator[Binding]:
    for index, key in enumerate(action.keys):
        yield Binding(
            key,
            action.method,
            action.label,
            show=False,
            id=action.id if index == 0 else f"{action.id}-{index}",
            priority=action.where == (EVERYWHERE,) and len(key) > 1 and key != "question_mark",
        )


def five_keys() -> tuple[Action, ...]:
    """The keys that matter most, in their order."""
    return tuple(sorted((one for one in ACTIONS if one.first), key=lambda one: one.first))
