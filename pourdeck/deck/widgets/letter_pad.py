"""Letters and figures on screen for words: names, marks, reasons, notes. Mouse and touch.

It never has the focus, so that the field keeps it; the screen hands each key to that field.
"""

from textual.geometry import Size
from textual.message import Message

from pourdeck.deck.widgets.keypad_layout import TAKE, Button, Layout, rows_of
from pourdeck.deck.widgets.pad import Pad

_ROWS = ("1234567890", "qwertyuiop", "asdfghjkl-", "zxcvbnm.,")
SHIFT = "shift"
_COLUMNS = 10
_GAP = 2
_ROOMY = 40
"""From so many rows of the window on the buttons are three rows high, for gloves."""


def lay_letters(width: int, height: int, *, upper: bool, take: str) -> Layout:
    """All buttons in `width` cells: three rows each where `height` allows, else one.

    Rows are those of a keyboard; the one that takes stands last, apart and at least twelve cells wide
    where there is room.
    """
    wide = max(3, min(7, width // _COLUMNS))
    tall = 3 if height >= 3 * (len(_ROWS) + 1) else 1
    placed = [
        Button(key, key.upper() if upper else key, "", column * wide, row * tall, wide, tall)
        for row, keys in enumerate(_ROWS)
        for column, key in enumerate(keys)
    ]
    last_row, whole = len(_ROWS), _COLUMNS * wide
    placed.append(Button(SHIFT, "Aa", "^", 9 * wide, (last_row - 1) * tall, wide, tall))
    y = last_row * tall
    placed.append(Button("space", "space", "_", 0, y, 2 * wide, tall))
    placed.append(Button("backspace", "Del", "<", 2 * wide, y, 2 * wide, tall))
    x = 4 * wide + _GAP
    room = max(TAKE, min(28, whole - x))
    placed.append(Button("enter", take, "", max(x, whole - room), y, room, tall))
    return tuple(placed)


class LetterPad(Pad):
    """`take` is the word on the button that stands for Enter. Shift holds for one letter."""

    class Pressed(Message):
        """`key` and `character` are what a keyboard would send."""

        def __init__(self, pad: "LetterPad", key: str, character: str | None) -> None:
            super().__init__()
            self.pad = pad
            self.key = key
            self.character = character

        @property
        def control(self) -> "LetterPad":
            return self.pad

    def __init__(self, *, take: str = "Go on", id: str | None = None) -> None:
        super().__init__(id=id)
        self.take = take
        self.upper = False

    @property
    def buttons(self) -> Layout:
        return lay_letters(*self.content_size, upper=self.upper, take=self.take)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        most = 15 if viewport.height >= _ROOMY else 5
        return rows_of(lay_letters(width, most, upper=False, take=self.take))

    def pressed(self, button: Button) -> None:
        if button.key == SHIFT:
            self.upper = not self.upper
            self.refresh()
            return
        character: str | None = None
        if button.key == "space":
            character = " "
        elif len(button.key) == 1:
            character = button.label
        if self.upper and character is not None:
            self.upper = False
            self.refresh()
        self.post_message(self.Pressed(self, button.key, character))
