"""Buttons on screen that stand for keys: figures and letters, for mouse and touch."""

from collections.abc import Callable
from typing import Literal

from attrs import evolve, frozen
from rich.cells import cell_len, set_cell_size
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.paint import Spans, Steady, look_of, strip
from pourdeck.deck.widgets.field import STEP_DOWN, STEP_UP
from pourdeck.plan.records import Units
from pourdeck.walk.quantities import Kind

# Where the buttons of a keypad stand: as large as the room allows, the one that takes apart.
#
# In cells. Buttons are three rows by five columns where they fit, for gloves, and one row otherwise;
# the button that takes is at least twelve columns wide and two columns or a row away.

GAP = 2
TAKE = 12
_FIGURES = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0")


@frozen
class Button:
    """`key` as on a keyboard, `short` a label of one cell for tight rooms; then the region."""

    key: str
    label: str
    short: str = ""
    x: int = 0
    y: int = 0
    width: int = 0
    height: int = 0

    def covers(self, x: int, y: int) -> bool:
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


Layout = tuple[Button, ...]


def lay_out(keys: Layout, take: Button, width: int, height: int) -> Layout:
    """All buttons, placed; the smallest arrangement where even that has not enough room."""
    tries: tuple[Callable[[], Layout | None], ...] = (
        lambda: _calculator(keys, take, width),
        lambda: _beside(keys, take, width, 5, 3),
        lambda: _above(keys, take, width, 5, 3),
        lambda: _beside(keys, take, width, 5, 1),
        lambda: _beside(keys, take, width, 3, 1),
    )
    for arrange in tries:
        placed = arrange()
        if placed is not None and rows_of(placed) <= height:
            return placed
    return _above(keys, take, width, 3, 1)


def rows_of(layout: Layout) -> int:
    return max((button.y + button.height for button in layout), default=0)


def _calculator(keys: Layout, take: Button, width: int) -> Layout | None:
    """Figures as on a calculator, the mark and Del beside the nought, the rest to the right."""
    by_key = {button.key: button for button in keys}
    block = [by_key[key] for key in (*_FIGURES, ".", ":", "backspace") if key in by_key]
    if len(block) < 12:
        return None
    others = [button for button in keys if button not in block]
    columns = 3 + -(-len(others) // 4)
    if columns * 5 + GAP + TAKE > width:
        return None
    placed = [_at(button, 5 * (n % 3), 3 * (n // 3), 5, 3) for n, button in enumerate(block)]
    placed += [_at(b, 15 + 5 * (n // 4), 3 * (n % 4), 5, 3) for n, b in enumerate(others)]
    return (*placed, _at(take, columns * 5 + GAP, 0, TAKE, 12))


def _beside(keys: Layout, take: Button, width: int, wide: int, tall: int) -> Layout | None:
    most = (width - TAKE - GAP) // wide
    if most < 5:
        return None
    columns = max(5, _even(len(keys), most))
    placed = _flow(keys, columns, wide, tall)
    return (*placed, _at(take, columns * wide + GAP, 0, TAKE, rows_of(placed)))


def _above(keys: Layout, take: Button, width: int, wide: int, tall: int) -> Layout:
    columns = min(len(keys), max(1, width // wide))
    placed = _flow(keys, columns, wide, tall)
    return (*placed, _at(take, 0, rows_of(placed) + 1, max(TAKE, min(width, 24)), tall))


def _even(count: int, most: int) -> int:
    """Columns, so that the fewest rows that hold `count` are filled alike."""
    rows = -(-count // most)
    return -(-count // rows)


def _flow(keys: Layout, columns: int, wide: int, tall: int) -> Layout:
    return tuple(
        _at(button, n % columns * wide, n // columns * tall, wide, tall)
        for n, button in enumerate(keys)
    )


def _at(button: Button, x: int, y: int, width: int, height: int) -> Button:
    return evolve(button, x=x, y=y, width=width, height=height)


# Buttons on screen that stand for keys: what the number pad and the letter pad have in common.


class Pad(Steady, can_focus=False):
    """It never has the focus, so that the field keeps it; the screen hands each key to that field."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Pad { width: 1fr; height: auto; }"

    @property
    def buttons(self) -> Layout:
        """As they stand now, in cells from the top left of the pad."""
        return ()

    def pressed(self, button: Button) -> None:
        """A button was hit."""
        raise NotImplementedError

    async def _on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None or event.button != 1:
            return
        event.stop()
        for button in self.buttons:
            if button.covers(offset.x, offset.y):
                self.pressed(button)
                return

    def render_line(self, y: int) -> Strip:
        spans: list[tuple[str, str]] = []
        column = 0
        row = [b for b in self.buttons if b.y <= y < b.y + b.height]
        for button in sorted(row, key=lambda button: button.x):
            spans.append((" " * (button.x - column), "text"))
            spans.extend(_line_of(button, y - button.y))
            column = button.x + button.width
        return strip(tuple(spans), look_of(self), self.content_size.width)


def _line_of(button: Button, line: int) -> Spans:
    inner = button.width - 2
    words = button.label if cell_len(button.label) <= inner or not button.short else button.short
    label = _centred(words, inner) if line == (button.height - 1) // 2 else " " * inner
    ink = "key" if button.key == "enter" else "strong"
    if button.height < 3:
        return (("[", "rule"), (label, ink), ("]", "rule"))
    if line in (0, button.height - 1):
        corners = "┌┐" if line == 0 else "└┘"
        return ((f"{corners[0]}{'─' * inner}{corners[1]}", "rule"),)
    return (("│", "rule"), (label, ink), ("│", "rule"))


def _centred(words: str, width: int) -> str:
    words = set_cell_size(words, width) if cell_len(words) > width else words
    missing = width - cell_len(words)
    return f"{' ' * (missing // 2)}{words}{' ' * (missing - missing // 2)}"


# Buttons on screen for a field: figures, mark, take out, step, put back, take. Mouse and touch.
#
# It never has the focus, so that the field keeps it; the screen hands each key to that field.

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


# Letters and figures on screen for words: names, marks, reasons, notes. Mouse and touch.
#
# It never has the focus, so that the field keeps it; the screen hands each key to that field.

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
