"""The dialogs that screens put their questions with."""

from pourdeck.deck.ask_dialog import Ask, AskDialog, TextDialog
from pourdeck.deck.choice_dialog import ChoiceDialog, TellDialog
from pourdeck.deck.dialog_base import DeckDialog, fit_list
from pourdeck.deck.release_dialog import Release, ReleaseDialog

__all__ = [
    "Ask",
    "AskDialog",
    "ChoiceDialog",
    "DeckDialog",
    "Release",
    "ReleaseDialog",
    "TellDialog",
    "TextDialog",
    "fit_list",
]
