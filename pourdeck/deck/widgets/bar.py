"""Bars of things to do: places that a finger can hit, each with its key and its words."""

from collections.abc import Sequence

from attrs import frozen
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.actions import ACTIONS, BARS, Action
from pourdeck.deck.paint import Spans, Steady, cells, fit, justify, line, look_of, strip

GLOVE_COLUMNS = 12
"""Least width of a place that a gloved finger can hit."""


def roomy(widget: Widget) -> bool:
    """Tell whether the window is tall and wide enough for places that a gloved finger can hit."""
    size = widget.app.size
    return size.height >= 36 and size.width >= 100


# A line of things to click: what the bars of tabs and of actions have in common.


@frozen(eq=False, repr=False)
class Chip:
    """A piece of a bar. `action` None: words that are not for clicking."""

    spans: Spans
    action: str | None = None


@frozen(eq=False, repr=False)
class Laid:
    """A chip at its place in the line."""

    chip: Chip
    start: int
    end: int


def lay(chips: Sequence[Chip], width: int, gap: int = 0) -> tuple[Laid, ...]:
    """As many chips from the first on as fit whole in `width` cells."""
    laid: list[Laid] = []
    at = 0
    for chip in chips:
        size = cells(chip.spans)
        if at + size > width:
            break
        laid.append(Laid(chip, at, at + size))
        at += size + gap
    return tuple(laid)


class Bar(Steady):
    """A line of chips at the left, and words at the right."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Bar { width: 1fr; height: 1; }"
    base = "bar"

    class Clicked(Message):
        """A chip was clicked: the id of its action."""

        def __init__(self, bar: "Bar", action: str) -> None:
            super().__init__()
            self.bar = bar
            self.action = action

    def laid(self, width: int) -> tuple[Laid, ...]:
        """The chips that fit, at their places."""
        return ()

    def right(self, width: int) -> Spans:
        """The words at the right; they give way where the chips need the room."""
        return ()

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        laid = self.laid(width)
        spans: list[tuple[str, str]] = []
        at = 0
        for one in laid:
            spans.append((" " * (one.start - at), self.base))
            spans.extend(one.chip.spans)
            at = one.end
        right = self.right(width)
        room = width - at - 1
        whole = (
            justify(tuple(spans), right, width, self.base) if cells(right) <= room else tuple(spans)
        )
        return strip(fit(whole, width, self.base), look_of(self), width, base=self.base)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        for one in self.laid(self.content_size.width):
            if one.start <= offset.x < one.end and one.chip.action is not None:
                self.post_message(self.Clicked(self, one.chip.action))
                return


# What can be done here, from the registry: each entry a key and a word, and a place to click.

_BY_ID = {action.id: action for action in ACTIONS}

TALL_WIDTH = GLOVE_COLUMNS
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


_KEYS = {action.id: action.key_text for action in ACTIONS}


def _words(action: Action, letters: bool) -> Spans:
    """Key and word; only the word where the key is a letter that would be written."""
    key = _KEYS[action.id]
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


# What the stop in hand wants done, as boxes to click: each says its key and what it does.

TALL = 3


@frozen(repr=False)
class Doing:
    """`action` is the id of the registry."""

    key: str
    words: str
    action: str


class Boxes(Bar):
    """Three rows where there is room for gloves, one where there is not; never has the focus."""

    DEFAULT_CSS = """
    Boxes { height: 1; }
    Boxes.-tall { height: 3; }
    """
    base = "text"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.doings: tuple[Doing, ...] = ()

    def show(self, doings: Sequence[Doing], *, tall: bool) -> None:
        self.display = bool(doings)
        self.set_class(tall, "-tall")
        if tuple(doings) != self.doings:
            self.doings = tuple(doings)
            self.refresh()

    @property
    def tall(self) -> bool:
        return self.content_size.height >= TALL

    def laid(self, width: int) -> tuple[Laid, ...]:
        return lay([_chip(one, tall=self.tall) for one in self.doings], width, 2)

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        spans: list[tuple[str, str]] = []
        at = 0
        for one in self.laid(width):
            spans.append((" " * (one.start - at), "text"))
            size = one.end - one.start
            if not self.tall or y == 1:
                spans += one.chip.spans
            else:
                left, right = ("┌", "┐") if y == 0 else ("└", "┘")
                spans.append((f"{left}{'─' * (size - 2)}{right}", "rule"))
            at = one.end
        return strip(tuple(spans), look_of(self), width)


def _chip(doing: Doing, *, tall: bool) -> Chip:
    words = line((f" {doing.key} ", "key"), (f"{doing.words} ", "label"))
    missing = max(0, GLOVE_COLUMNS - 2 - cells(words))
    left, right = ("│", "│") if tall else ("[", "]")
    spans = ((left, "rule"), *words, (" " * missing, "label"), (right, "rule"))
    return Chip(spans, doing.action)
