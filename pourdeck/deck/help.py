"""The help: every action of the registry, the five keys that matter first."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from pourdeck.deck.actions import (
    ACTIONS,
    DRAWINGS,
    EVERYWHERE,
    LISTS,
    SCREENS,
    Action,
    actions_for,
    five_keys,
    key_name,
)
from pourdeck.deck.choice_dialog import VerbButton
from pourdeck.deck.drawing.pile import STATE_SIGNS
from pourdeck.deck.paint import line
from pourdeck.deck.views.values import SIGNS, WORDS
from pourdeck.deck.widgets.frame import TooSmall
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import Row, RowList

KEYS = 14
"""Cells of the column of keys."""


def help_rows(screen: str) -> tuple[Row, ...]:
    """The help as rows: for the screen that was open first, then for the others."""
    rows = [_heading("The five keys that matter"), *(_row(action) for action in five_keys())]
    first = [screen] if screen in SCREENS else []
    order = [*first, *(name for name in SCREENS if name not in first)]
    told = {action.id for action in five_keys()}
    for where in (order[0], EVERYWHERE, LISTS, DRAWINGS, *order[1:]):
        fresh = [one for one in actions_for(where) if one.id not in told]
        told |= {one.id for one in fresh}
        if fresh:
            rows += [Row(left=()), _heading(_title(where)), *(_row(one) for one in fresh)]
    rows += [Row(left=()), _heading("Signs of an item"), *_signs(SIGNS, WORDS)]
    rows += [
        Row(left=()),
        _heading("Signs of a panel"),
        *_signs({str(state): sign for state, sign in STATE_SIGNS.items()}, {}),
    ]
    rows += [
        Row(left=()),
        _heading("Good to know"),
        *(_note(words) for words in _NOTES),
    ]
    return tuple(rows)


_NOTES = (
    "Whatever is said to be saved is on disk. Leaving, or losing the terminal, loses nothing.",
    "Nothing is ever removed from the log: an undo, too, is an entry.",
    "After ten minutes without a key the next key only wakes the deck.",
    "While a field has the focus letters go into the field: Esc leaves it, F-keys work everywhere.",
    "Everything here can be clicked: tabs, entries of the bar, rows, panels of a pile.",
)


def _title(where: str) -> str:
    names = {EVERYWHERE: "On every screen", LISTS: "In a list", DRAWINGS: "On the piles"}
    return names.get(where) or f"On the {SCREENS[where]} screen"


def _heading(words: str) -> Row:
    return Row(left=line((words, "heading")))


def _row(action: Action) -> Row:
    keys = action.shown_as or " or ".join(key_name(key) for key in action.keys)
    return Row(
        left=line((f"{keys:<{KEYS - 1}} ", "key"), (f"{action.label}: ", "strong"), action.help),
        wrap=True,
        indent=KEYS,
    )


def _signs(signs: dict[str, str], words: dict[str, str]) -> list[Row]:
    return [
        Row(left=line((f"{sign:<{KEYS}}", "strong"), words.get(state, state)))
        for state, sign in signs.items()
    ]


def _note(words: str) -> Row:
    return Row(left=line(words), wrap=True)


class HelpScreen(Screen[None]):
    """Full screen, because a column beside the work would take the room of the work."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Go back", show=False),
        Binding("f1", "close", "Go back", show=False, priority=True),
    ]
    DEFAULT_CSS = """
    HelpScreen { layers: base cover; background: $deck-ground; color: $deck-text; }
    HelpScreen #what { height: 1; }
    HelpScreen VerbButton { height: 3; }
    HelpScreen.-low VerbButton { height: 1; }
    """

    def __init__(self, screen: str) -> None:
        super().__init__()
        self.about = screen

    def compose(self) -> ComposeResult:
        count = len(ACTIONS)
        yield Prose(
            line(
                (" Help", "bar-strong"),
                (f"  all {count} things that can be done  Esc goes back", "bar"),
            ),
            base="bar",
            id="what",
        )
        yield RowList(help_rows(self.about), id="help")
        yield VerbButton("Go back", id="close")
        yield TooSmall()

    def on_mount(self) -> None:
        self.set_focus(self.query_one(RowList))

    def on_verb_button_pressed(self, event: VerbButton.Pressed) -> None:
        event.stop()
        self.action_close()

    def action_close(self) -> None:
        self.dismiss(None)
