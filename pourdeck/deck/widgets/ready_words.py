"""A few phrases to pick from under a line of words: for gloves, and for a keypad without letters."""

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.paint import Steady, cells, line, look_of, strip
from pourdeck.deck.widgets.bar import GLOVE_COLUMNS, Chip, Laid, lay, roomy
from pourdeck.plan.messages import literal


class ReadyWords(Steady, can_focus=True):
    """Left and right go through the phrases, Enter or a click takes one. `field` is whose words they are."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "ReadyWords { width: 1fr; height: auto; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "Before", show=False),
        Binding("right", "turn(1)", "After", show=False),
        Binding("enter", "take", "Take", show=False),
        Binding("space", "take", "Take", show=False),
    ]

    class Picked(Message):
        """A phrase was taken."""

        def __init__(self, ready: "ReadyWords", words: str) -> None:
            super().__init__()
            self.ready = ready
            self.words = words

    def __init__(self, phrases: tuple[str, ...], *, field: str, id: str | None = None) -> None:
        super().__init__(id=id)
        self.phrases = phrases
        self.field = field
        self.index = 0

    def laid(self, width: int) -> list[tuple[int, Laid]]:
        """Every phrase that fits a line, with the number of its line."""
        chips = [
            Chip(line((f"[{self._wide(words)}]", "label")), str(n))
            for n, words in enumerate(self.phrases)
        ]
        placed: list[tuple[int, Laid]] = []
        row = 0
        while chips:
            laid = lay(chips, width, 1) or (Laid(chips[0], 0, min(width, cells(chips[0].spans))),)
            placed += [(row, one) for one in laid]
            chips = chips[len(laid) :]
            row += 1
        return placed

    def _wide(self, words: str) -> str:
        """Words that are as wide as a gloved finger, where there is room."""
        return f"{literal(words):^{GLOVE_COLUMNS - 2}}" if roomy(self) else words

    def show(self, phrases: tuple[str, ...]) -> None:
        """Offer other phrases."""
        if phrases != self.phrases:
            self.phrases, self.index = phrases, 0
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        laid = self.laid(max(1, width))
        return laid[-1][0] + 1 if laid else 0

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        spans: list[tuple[str, str]] = []
        at = 0
        for row, one in self.laid(width):
            if row != y:
                continue
            spans.append((" " * (one.start - at), "text"))
            words = self._wide(self.phrases[int(one.chip.action or 0)])
            if self.has_focus and one.chip.action == str(self.index):
                spans += line((f"▸{words}◂", "cursor"))
            else:
                spans += one.chip.spans
            at = one.end
        return strip(tuple(spans), look_of(self), width)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def action_turn(self, step: int) -> None:
        self.index = (self.index + step) % len(self.phrases)
        self.refresh()

    def action_take(self) -> None:
        self.post_message(self.Picked(self, self.phrases[self.index]))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        for row, one in self.laid(self.content_size.width):
            if offset is not None and row == offset.y and one.start <= offset.x < one.end:
                self.index = int(one.chip.action or 0)
                self.action_take()
                return
