"""A field that holds one of a few words."""

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import line


class Picker(Steady, can_focus=True):
    """Left and right go through the words, and so does a click on either end. `value` is the key."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Picker { width: 1fr; height: 1; }"
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

    def __init__(self, choices: tuple[tuple[str, str], ...], value: str = "", *, id: str) -> None:
        """`choices`: key and words of each, at least one."""
        super().__init__(id=id)
        self.choices = choices
        keys = [key for key, _ in choices]
        self.index = keys.index(value) if value in keys else 0

    @property
    def value(self) -> str:
        return self.choices[self.index][0]

    def render_line(self, y: int) -> Strip:
        words = self.choices[self.index][1]
        left, right = ("◂ ", " ▸") if self.has_focus else ("‹ ", " ›")
        count = f"  {self.index + 1} of {len(self.choices)}"
        spans = line((f"{left}{words}{right}", "field"), (count, "quiet"))
        return strip(spans, look_of(self), self.content_size.width)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def action_turn(self, step: int) -> None:
        self.index = (self.index + step) % len(self.choices)
        self.refresh()

    def action_take(self) -> None:
        self.post_message(self.Taken(self))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        self.action_turn(-1 if offset is not None and offset.x < 2 else 1)
