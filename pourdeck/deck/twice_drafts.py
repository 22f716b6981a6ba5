"""The first of two readings while the second is still to come: kept like what is half typed."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pourdeck.deck.app import DeckApp


def first_reading(deck: "DeckApp", draft: str) -> str:
    """What was typed the first time for the entry whose half-typed text is kept under `draft`."""
    return deck.kept.text(_key(draft))


def keep_first(deck: "DeckApp", draft: str, typed: str) -> None:
    """Keep a first reading, and begin the second with nothing in sight of it."""
    deck.keep_text(_key(draft), typed)
    deck.keep_text(draft, "")


def drop_both(deck: "DeckApp", draft: str) -> None:
    deck.keep_text(_key(draft), "")
    deck.keep_text(draft, "")


def _key(draft: str) -> str:
    return f"{draft}.first"
