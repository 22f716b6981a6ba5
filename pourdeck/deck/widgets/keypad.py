"""Buttons on screen for a field: figures, mark, take out, step, put back, take. Mouse and touch.

It never has the focus, so that the field keeps it; the screen hands each key to that field.
"""

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.widgets.field_rules import Kind
from pourdeck.deck.widgets.keypad_layout import Button, Layout, lay_out, rows_of
from pourdeck.plan.records import Units

_TALL = 12
_LOW = 6


def keys_for(kind: Kind, units: Units, *, signed: bool) -> Layout:
    """The buttons that an entry of this kind can need, but for the one that takes it."""
    keys = [Button(figure, figure) for figure in "1234567890"]
    keys += [Button(".", "."), Button("backspace", "Del", "<")]
    if kind == "length" and units == "imperial":
        keys += [Button("'", "'"), Button('"', '"'), Button("/", "/"), Button("space", "spc", "_")]
    if signed or kind == "rl":
        keys.append(Button("-", "-"))
    return (*keys, Button("up", "▲"), Button("down", "▼"), Button("escape", "Esc", "x"))


class Keypad(Widget, can_focus=False):
    """`take` is the word on the button that stands for Enter."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"keypad--button", "keypad--take"}
    DEFAULT_CSS = """
    Keypad {
        width: 1fr; height: auto;
        color: $foreground;
        & > .keypad--button { color: $foreground; }
        & > .keypad--take { color: $primary; text-style: bold; }
    }
    """

    class Pressed(Message):
        """`key` is what `MeasureField.press` takes."""

        def __init__(self, keypad: "Keypad", key: str) -> None:
            super().__init__()
            self.keypad = keypad
            self.key = key

        @property
        def control(self) -> "Keypad":
            return self.keypad

    def __init__(
        self,
        kind: Kind = "length",
        units: Units = "metric",
        *,
        signed: bool = False,
        take: str = "Take it",
        name: str | None = None,
        id: str | None = None,  # noqa: A002 - the name that every widget gives it
        classes: str | None = None,
    ) -> None:
        super().__init__(name=name, id=id, classes=classes)
        self._keys = keys_for(kind, units, signed=signed)
        self._take = Button("enter", take)

    def suit(
        self, kind: Kind, units: Units, *, signed: bool = False, take: str = "Take it"
    ) -> None:
        """Show the buttons for another field."""
        self._keys = keys_for(kind, units, signed=signed)
        self._take = Button("enter", take)
        self.refresh(layout=True)

    @property
    def buttons(self) -> Layout:
        """As they stand now, in cells from the top left of the pad."""
        return lay_out(self._keys, self._take, *self.content_size)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Room for gloves on a tall screen, in two bands on a middling one, else one row each."""
        most = _TALL if viewport.height >= 40 else _LOW if viewport.height >= 30 else 0
        return rows_of(lay_out(self._keys, self._take, width, most))

    async def _on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None or event.button != 1:
            return
        event.stop()
        for button in self.buttons:
            if button.covers(offset.x, offset.y):
                self.post_message(self.Pressed(self, button.key))

    def render_line(self, y: int) -> Strip:
        segments: list[Segment] = []
        column = 0
        row = [b for b in self.buttons if b.y <= y < b.y + b.height]
        for button in sorted(row, key=lambda button: button.x):
            segments.append(Segment(" " * (button.x - column)))
            segments.append(Segment(_line_of(button, y - button.y), self._style(button)))
            column = button.x + button.width
        return Strip(segments)

    def _style(self, button: Button) -> Style:
        part = "take" if button.key == "enter" else "button"
        return self.get_component_rich_style(f"keypad--{part}")


def _line_of(button: Button, line: int) -> str:
    inner = button.width - 2
    words = button.label if len(button.label) <= inner or not button.short else button.short
    label = (words[:inner] if line == (button.height - 1) // 2 else "").center(inner)
    if button.height < 3:
        return f"[{label}]"
    if line in (0, button.height - 1):
        corners = "┌┐" if line == 0 else "└┘"
        return f"{corners[0]}{'─' * inner}{corners[1]}"
    return f"│{label}│"
