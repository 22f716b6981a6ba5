"""What was seen, picked from a few words: a figure or a click marks one, Enter or a second click takes it."""

import time
from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.spans import Spans, cut, line

BOUNCE = 0.25
"""A second Enter within so many seconds is the same press of the key."""

TALL = 3
"""Rows of a choice where there is room for gloves."""


class ChoiceField(Widget, can_focus=True):
    """Nothing is marked at first, so that Enter alone answers nothing."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "ChoiceField { width: 1fr; height: auto; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Before", show=False),
        Binding("right", "step(1)", "Next", show=False),
        Binding("enter", "take", "Take", show=False),
        *(Binding(str(n), f"mark({n})", str(n), show=False) for n in range(1, 10)),
    ]

    class Committed(Message):
        """A choice was taken."""

        def __init__(self, field: "ChoiceField", value: str) -> None:
            super().__init__()
            self.field = field
            self.value = value

        @property
        def control(self) -> "ChoiceField":
            return self.field

    def __init__(
        self, *, id: str | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(id=id)
        self.choices: tuple[str, ...] = ()
        self.found: str | None = None
        self.marked: int | None = None
        self.tall = False
        self.editing = True
        self._clock = clock
        self._taken_at = -1.0

    def suit(self, choices: tuple[str, ...], found: str | None) -> None:
        """Ask something else. `found` is what was answered before: it is changed only after `begin`."""
        self.choices = choices
        self.found = found
        self.marked = choices.index(found) if found in choices else None
        self.editing = found is None
        self.refresh(layout=True)

    def begin(self) -> None:
        """Let an answered choice be changed."""
        self.editing = True
        self.refresh()

    @property
    def rows_each(self) -> int:
        return TALL if self.tall else 1

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.choices) * self.rows_each + 1

    def render_line(self, y: int) -> Strip:
        look, width = look_of(self), self.content_size.width
        index, row = divmod(y, self.rows_each)
        if index >= len(self.choices):
            return strip(self._hint() if row == 0 else (), look, width)
        if self.tall and row != 1:
            return strip(line(("  " + "─" * max(0, width - 4), "rule")) if row == 0 else (), look, width)
        on = index == self.marked
        mark = "▸ " if on and self.has_focus else "› " if on else "  "
        sign = "(•)" if on else "( )"
        spans = cut(line((mark, "key"), (f"{index + 1} ", "key"), f"{sign} {self.choices[index]}"), width)
        return strip(spans, look, width, over="cursor" if on and self.has_focus else None)

    def _hint(self) -> Spans:
        if not self.editing:
            return line(("  Enter changes the answer", "quiet"))
        if self.marked is None:
            figures = "1" if len(self.choices) == 1 else f"1 to {min(9, len(self.choices))}"
            return line((f"  {figures} marks what you see", "quiet"))
        return line(("  Enter records it", "quiet"))

    def action_mark(self, number: int) -> None:
        self._mark(number - 1)

    def _mark(self, index: int) -> None:
        if not self.editing:
            self.app.bell()
        elif 0 <= index < len(self.choices):
            self.marked = index
        self.refresh()

    def action_step(self, step: int) -> None:
        last = len(self.choices) - 1
        start = -1 if self.marked is None and step > 0 else self.marked or 0
        self._mark(max(0, min(last, start + step)))

    def action_take(self) -> None:
        if not self.editing:
            self.begin()
            return
        now = self._clock()
        if self.marked is None or now - self._taken_at < BOUNCE:
            return
        self._taken_at = now
        self.post_message(self.Committed(self, self.choices[self.marked]))

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        self.focus()
        index = offset.y // self.rows_each
        if index >= len(self.choices):
            self.action_take()
        elif index == self.marked:
            self.action_take()
        else:
            self.editing = True
            self._mark(index)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()
