"""Buttons on screen for a field: figures, mark, take out, step, put back, take. Mouse and touch.

It never has the focus, so that the field keeps it; the screen hands each key to that field.
"""

from typing import Literal

from textual.geometry import Size
from textual.message import Message

from pourdeck.deck.widgets.field import STEP_DOWN, STEP_UP
from pourdeck.deck.widgets.keypad_layout import Button, Layout, lay_out, rows_of
from pourdeck.deck.widgets.pad import Pad
from pourdeck.plan.records import Units
from pourdeck.walk.quantities import Kind

_TALL = 12
_LOW = 6


NOW = "now"
"""The key of the button that writes the time as it is now."""

PadKind = Kind | Literal["time"]


def keys_for(kind: PadKind, units: Units, *, signed: bool) -> Layout:
    """The buttons that an entry of this kind can need, but for the one that takes it."""
    keys = [Button(figure, figure) for figure in "1234567890"]
    if kind == "time":
        keys += [Button(":", ":"), Button("backspace", "Del", "<")]
        return (*keys, Button(NOW, "Now", "n"), Button("escape", "Esc", "x"))
    keys += [Button(".", "."), Button("backspace", "Del", "<")]
    if kind == "length" and units == "imperial":
        keys += [Button("'", "'"), Button('"', '"'), Button("/", "/"), Button("space", "spc", "_")]
    if signed or kind == "rl":
        keys.append(Button("-", "-"))
    return (*keys, Button(STEP_UP, "▲"), Button(STEP_DOWN, "▼"), Button("escape", "Esc", "x"))


class Keypad(Pad):
    """`take` is the word on the button that stands for Enter."""

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
        kind: PadKind = "length",
        units: Units = "metric",
        *,
        signed: bool = False,
        take: str = "Record",
        name: str | None = None,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(name=name, id=id, classes=classes)
        self._keys = keys_for(kind, units, signed=signed)
        self._take = Button("enter", take)

    def show_for(
        self, kind: PadKind, units: Units, *, signed: bool = False, take: str = "Record"
    ) -> None:
        """Show the buttons for another field."""
        before = self._keys, self._take
        self._keys = keys_for(kind, units, signed=signed)
        self._take = Button("enter", take)
        if before != (self._keys, self._take):
            self.refresh(layout=True)

    @property
    def buttons(self) -> Layout:
        """As they stand now, in cells from the top left of the pad."""
        return lay_out(self._keys, self._take, *self.content_size)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Room for gloves on a tall screen, in two bands on a middling one, else one row each."""
        most = _TALL if viewport.height >= 40 else _LOW if viewport.height >= 30 else 0
        return rows_of(lay_out(self._keys, self._take, width, most))

    def pressed(self, button: Button) -> None:
        self.post_message(self.Pressed(self, button.key))
