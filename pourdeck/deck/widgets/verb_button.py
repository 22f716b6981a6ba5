"""A button that says what it does: a verb in a box, large enough for a gloved finger where there is room."""

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.paint import cells, cut, line, look_of, strip

LEAST_WIDTH = 12


class VerbButton(Widget, can_focus=True):
    """Pressed by Enter or a click. With the focus it has `▸ ◂` round its word."""

    ALLOW_SELECT = False
    DEFAULT_CSS = """
    VerbButton { width: auto; height: 3; min-width: 12; margin-right: 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "press", "Press", show=False)]

    class Pressed(Message):
        def __init__(self, button: "VerbButton") -> None:
            super().__init__()
            self.button = button

    def __init__(self, verb: str, *, id: str) -> None:
        super().__init__(id=id)
        self.verb = verb

    def get_content_width(self, container: object, viewport: object) -> int:
        return max(LEAST_WIDTH, cells(line(self.verb)) + 6)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        return 3

    def render_line(self, y: int) -> Strip:
        look = look_of(self)
        width, height = self.content_size
        middle = height // 2
        if y != middle:
            left, right = ("┌", "┐") if y < middle else ("└", "┘")
            return strip(line((f"{left}{'─' * (width - 2)}{right}", "rule")), look, width)
        ink = "button-on" if self.has_focus else "button"
        words = cut(line((self.verb, ink)), max(0, width - 6))
        missing = width - 6 - cells(words)
        before = " " * (missing // 2)
        after = " " * (missing - missing // 2)
        left, right = ("▸ ", " ◂") if self.has_focus else ("  ", "  ")
        side = "│" if height >= 3 else " "
        spans = line(
            (side, "rule"),
            (f"{left}{before}", ink),
            *words,
            (f"{after}{right}", ink),
            (side, "rule"),
        )
        return strip(spans, look, width)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_press()

    def action_press(self) -> None:
        self.post_message(self.Pressed(self))
