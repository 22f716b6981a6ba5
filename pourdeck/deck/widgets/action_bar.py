"""What can be done here, from the registry: each entry a key and a word, and a place to click."""

from textual.strip import Strip

from pourdeck.deck.actions import ACTIONS, BARS, Action
from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.spans import Spans, cells, line
from pourdeck.deck.widgets.bar import Bar, Chip, Laid, lay

_BY_ID = {action.id: action for action in ACTIONS}

TALL_WIDTH = 12
"""Least width of an entry where there is room for large ones."""


class ActionBar(Bar):
    """One line of entries, or (`-tall`) three lines of boxes that a gloved finger can hit."""

    DEFAULT_CSS = """
    ActionBar { height: 1; }
    ActionBar.-tall { height: 3; }
    """
    base = "text"

    def __init__(self, screen_id: str) -> None:
        super().__init__()
        self.screen_id = screen_id
        self.hidden: frozenset[str] = frozenset()
        self.letters = True

    def show_only(self, hidden: frozenset[str]) -> None:
        """Leave out actions that have no meaning now, by id."""
        if hidden != self.hidden:
            self.hidden = hidden
            self.refresh()

    def show_letters(self, letters: bool) -> None:
        """Whether a letter is a key now, or is written into a field: then none is promised."""
        if letters != self.letters:
            self.letters = letters
            self.refresh()

    @property
    def tall(self) -> bool:
        return self.content_size.height >= 3

    def laid(self, width: int) -> tuple[Laid, ...]:
        """Each at a place of its own, whatever else has a meaning now: none moves from under a finger.

        Where they do not all fit, Help comes before the rest.
        """
        build = _box if self.tall else _word
        gap = 1 if self.tall else 2
        chips = [build(_BY_ID[name], self.letters) for name in BARS.get(self.screen_id, ())]
        laid = lay(chips, width - 1, gap)
        if len(laid) < len(chips):
            helping = next(chip for chip in chips if chip.action == "help")
            rest = [chip for chip in chips if chip is not helping]
            kept = lay(rest, width - 1 - cells(helping.spans) - gap, gap)
            laid = lay([*(one.chip for one in kept), helping], width - 1, gap)
        return tuple(one for one in laid if one.chip.action not in self.hidden)

    def render_line(self, y: int) -> Strip:
        if not self.tall:
            return super().render_line(y)
        width = self.content_size.width
        laid = self.laid(width)
        spans: list[tuple[str, str]] = []
        at = 0
        for one in laid:
            spans.append((" " * (one.start - at), "text"))
            size = one.end - one.start
            if y == 1:
                spans.extend(one.chip.spans)
            else:
                left, right = ("┌", "┐") if y == 0 else ("└", "┘")
                spans.append((f"{left}{'─' * (size - 2)}{right}", "rule"))
            at = one.end
        return strip(tuple(spans), look_of(self), width)


def _words(action: Action, letters: bool) -> Spans:
    """Key and word; only the word where the key is a letter that would be written."""
    key = action.key_text
    if not letters and len(key) == 1:
        key = " "
    return line((key, "key"), (f" {action.label}", "label"))


def _word(action: Action, letters: bool) -> Chip:
    return Chip(_words(action, letters), action.id)


def _box(action: Action, letters: bool) -> Chip:
    words = _words(action, letters)
    missing = max(0, TALL_WIDTH - 2 - cells(words))
    left = missing // 2
    return Chip(_boxed(words, left, missing - left), action.id)


def _boxed(words: Spans, left: int, right: int) -> Spans:
    return (("│", "rule"), (" " * left, "label"), *words, (" " * right, "label"), ("│", "rule"))
