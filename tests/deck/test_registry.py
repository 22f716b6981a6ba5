"""The one registry: its keys reach every terminal, and keys, bar, palette and help all know it."""

import importlib

import pytest

from pourdeck.deck.actions import (
    ACTIONS,
    DRAWINGS,
    EVERYWHERE,
    LISTS,
    SCREENS,
    Action,
    actions_for,
    bindings,
    five_keys,
    key_name,
    on_screen,
)
from pourdeck.deck.app import DeckApp
from pourdeck.deck.help import help_rows
from pourdeck.deck.paint import plain
from pourdeck.deck.palette import found
from pourdeck.deck.widgets.pile_view import PileView
from pourdeck.deck.widgets.row_list import RowList

NEVER_THE_ONLY_KEY = {f"ctrl+{letter}" for letter in "sqzcbawtnrhijmop"}
"""Flow control, tmux and screen prefixes, browser tabs, and what some terminals send for other keys."""

PLAIN_KEYS = {
    "enter", "escape", "tab", "up", "down", "left", "right", "pageup", "pagedown", "home", "end",
    "question_mark", "slash",
    *(f"f{number}" for number in range(1, 11)),
    *"abcdefghijklmnopqrstuvwxyz0123456789",
}  # fmt: skip
"""List the keys that every terminal, multiplexer and browser passes on."""


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_every_action_has_a_key_that_always_arrives(action: Action) -> None:
    assert action.keys[0] in PLAIN_KEYS
    assert not all(key in NEVER_THE_ONLY_KEY for key in action.keys)
    for key in action.keys:
        assert "alt" not in key
        assert "shift" not in key
        assert not (key[0] == "f" and key[1:].isdigit() and int(key[1:]) > 10)


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_every_action_has_words(action: Action) -> None:
    assert 0 < len(action.label) <= 12
    assert action.help[0].isupper()
    assert action.help.endswith(".")
    assert all(where in (*SCREENS, EVERYWHERE, LISTS, DRAWINGS) for where in action.where)


def test_ids_are_unique() -> None:
    ids = [action.id for action in ACTIONS]

    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_means_two_things_on_a_screen(screen: str) -> None:
    keys = [key for action in on_screen(screen) for key in action.keys]

    assert sorted(keys) == sorted(set(keys))


@pytest.mark.parametrize("screen", SCREENS)
def test_every_action_is_in_the_help_with_its_key(screen: str) -> None:
    rows = [plain(row.left) for row in help_rows(screen)]

    for action in ACTIONS:
        shown = action.shown_as or key_name(action.keys[0])
        assert any(shown in row and action.help in row for row in rows), action.id


@pytest.mark.parametrize("screen", SCREENS)
def test_every_action_of_a_screen_is_found_in_the_palette(screen: str) -> None:
    offered = on_screen(screen)

    for action in offered:
        assert action in found(action.label, offered)
        assert action in found("", offered)
        assert action in found(action.help.split()[-1].rstrip("."), offered)


def test_the_help_begins_with_the_five_keys_that_matter() -> None:
    first = five_keys()
    rows = help_rows("board")[1:6]

    assert len(first) == 5
    for action, row in zip(first, rows, strict=True):
        assert action.help in plain(row.left)


def test_what_has_a_letter_can_be_done_while_a_field_has_the_focus() -> None:
    """On screens with fields, by a function key or after Esc: never by Ctrl alone."""
    for action in ACTIONS:
        assert not all(key.startswith("ctrl+") for key in action.keys), action.id


SCREEN_CLASSES = {
    "board": ("board", "BoardScreen"),
    "walk": ("walk", "WalkScreen"),
    "pour": ("pour", "PourScreen"),
    "setout": ("setout", "SetOutScreen"),
    "levels": ("levels", "LevelsScreen"),
    "ascast": ("ascast", "AsCastScreen"),
    "strength": ("strength", "StrengthScreen"),
    "resize": ("resize", "ResizeScreen"),
    "lift": ("lift", "LiftScreen"),
    "log": ("log", "LogScreen"),
}


@pytest.mark.parametrize("screen", SCREENS)
def test_every_action_of_a_screen_does_something(screen: str) -> None:
    module, name = SCREEN_CLASSES[screen]
    kind = getattr(importlib.import_module(f"pourdeck.deck.screens.{module}"), name)

    for action in actions_for(screen):
        assert callable(getattr(kind, f"action_{action.method}", None)), action.id
    assert {binding.key for binding in bindings(screen)} <= {
        binding.key for binding in kind.BINDINGS
    }


@pytest.mark.parametrize(
    ("where", "kind"), [(EVERYWHERE, DeckApp), (LISTS, RowList), (DRAWINGS, PileView)]
)
def test_every_other_action_does_something(where: str, kind: type) -> None:
    for action in actions_for(where):
        assert callable(getattr(kind, f"action_{action.method}", None)), action.id
