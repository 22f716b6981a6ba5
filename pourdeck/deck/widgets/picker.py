"""A field that holds one of a few words."""

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans, cells, cut, line
from pourdeck.deck.widgets.room import GLOVE_COLUMNS, roomy

TALL = 3
MOST = 30
COUNT = 10
"""Cells of the words at most, and of what says which of how many it is."""


class Picker(Steady, can_focus=True):
    """Left and right go through the words, and so does a click on either end. `value` is the key."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Picker { width: 1fr; height: auto; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "Before", show=False),
        Binding("right", "turn(1)", "After", show=False),
        Binding("space", "turn(1)", "After", show=False),
        Binding("enter", "take", "Take", show=False),
    ]

    class Taken(Message):
        def __init__(self, picker: "Picker") -> None:
            super().__init__()
            self.picker = picker

    class Turned(Message):
        """Another word stands in it."""

        def __init__(self, picker: "Picker") -> None:
            super().__init__()
            self.picker = picker

    def __init__(self, choices: tuple[tuple[str, str], ...], value: str = "", *, id: str) -> None:
        """`choices`: key and words of each, at least one."""
        super().__init__(id=id)
        self.choices = choices
        keys = [key for key, _ in choices]
        self.index = keys.index(value) if value in keys else 0

    @property
    def value(self) -> str:
        return self.choices[self.index][0]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return TALL if roomy(self) else 1

    @property
    def end(self) -> int:
        """The cells of the box at either end, where there is room for boxes."""
        return GLOVE_COLUMNS if self.content_size.height >= TALL else 0

    @property
    def middle(self) -> int:
        """The cells of the words between the boxes."""
        return max(8, min(MOST, self.content_size.width - 2 * self.end - COUNT))

    def render_line(self, y: int) -> Strip:
        width, look = self.content_size.width, look_of(self)
        if self.end:
            return strip(self._boxed(y), look, width)
        words = self.choices[self.index][1]
        left, right = ("◂ ", " ▸") if self.has_focus else ("‹ ", " ›")
        spans = line((f"{left}{words}{right}", "field"), (self._count(), "quiet"))
        return strip(spans, look, width)

    def _count(self) -> str:
        return f"  {self.index + 1} of {len(self.choices)}"

    def _boxed(self, y: int) -> Spans:
        inner = self.end - 2
        if y != 1:
            corners = "┌┐" if y == 0 else "└┘"
            box = f"{corners[0]}{'─' * inner}{corners[1]}"
            return line((box, "rule"), " " * self.middle, (box, "rule"))
        left, right = ("◂", "▸") if self.has_focus else ("‹", "›")
        words = cut(line((self.choices[self.index][1], "field")), self.middle - 2)
        missing = self.middle - cells(words)
        before, after = " " * (missing // 2), " " * (missing - missing // 2)
        return (
            *line(("│", "rule"), (f"{left:^{inner}}", "key"), ("│", "rule")),
            *((before, "field"), *words, (after, "field")),
            *line(("│", "rule"), (f"{right:^{inner}}", "key"), ("│", "rule")),
            *line((self._count(), "quiet")),
        )

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def action_turn(self, step: int) -> None:
        self.index = (self.index + step) % len(self.choices)
        self.refresh()
        self.post_message(self.Turned(self))

    def action_take(self) -> None:
        self.post_message(self.Taken(self))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        self.action_turn(-1 if offset is not None and offset.x < max(2, self.end) else 1)
