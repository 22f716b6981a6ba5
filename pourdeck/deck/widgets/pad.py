"""Buttons on screen that stand for keys: what the number pad and the letter pad have in common."""

from rich.cells import cell_len, set_cell_size
from textual import events
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans
from pourdeck.deck.widgets.keypad_layout import Button, Layout


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
