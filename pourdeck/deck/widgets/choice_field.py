"""What was seen, picked from a few words: a figure or a click marks one, Enter or a second click takes it."""

import time
from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans, cells, cut, fit, line

BOUNCE = 0.25
"""What comes again within so many seconds is the same press of key or button."""

TALL = 3
"""Rows of a choice where there is room for gloves."""

WIDEST = 46
LEAST = 14


class ChoiceField(Steady, can_focus=True):
    """Nothing is marked at first, so that Enter alone answers nothing.

    `most_rows`: how many lines it may take, its hint included; the rest scrolls with the mark.
    """

    ALLOW_SELECT = False
    DEFAULT_CSS = "ChoiceField { width: 1fr; height: auto; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Before", show=False),
        Binding("right", "step(1)", "Next", show=False),
        Binding("enter", "take", "Take", show=False),
        *(Binding(str(n), f"mark({n})", str(n), show=False) for n in range(1, 10)),
    ]

    class Marked(Message):
        """Another choice was marked, not yet taken."""

        def __init__(self, field: "ChoiceField", value: str) -> None:
            super().__init__()
            self.field = field
            self.value = value

        @property
        def control(self) -> "ChoiceField":
            return self.field

    class Committed(Marked):
        """A choice was taken."""

    def __init__(
        self, *, id: str | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(id=id)
        self.choices: tuple[str, ...] = ()
        self.found: str | None = None
        self.marked: int | None = None
        self.editing = True
        self.notice = ""
        self.tall = False
        self.most_rows = 99
        self._clock = clock
        self._marked_at = self._taken_at = float("-inf")

    def suit(self, choices: tuple[str, ...], found: str | None, marked: str | None = None) -> None:
        """Ask something else. `found` was answered before: it changes only after `begin`.

        `marked`: a choice that was marked and not taken.
        """
        self.choices = choices
        self.found = found
        self.notice = ""
        self.editing = found is None
        shown = found if found is not None else marked
        self.marked = choices.index(shown) if shown in choices else None
        self._redraw()

    def make_room(self, *, tall: bool, most_rows: int) -> None:
        """Boxes for gloves where all of them fit in `most_rows`, else a line each."""
        tall = tall and len(self.choices) * TALL + 1 <= most_rows
        if (tall, most_rows) != (self.tall, self.most_rows):
            self.tall, self.most_rows = tall, most_rows
            self._redraw()

    def _redraw(self) -> None:
        """A new layout only where the height is another: it paints much that has not changed."""
        wanted = self.in_sight * self.rows_each + 1
        if wanted != self.content_size.height:
            # As a style: of two requests for a layout in one go the toolkit hears the first only.
            self.styles.height = wanted
        self.refresh()

    def begin(self) -> None:
        """Let an answered choice be changed."""
        self.editing = True
        self.refresh()

    # Lines.

    @property
    def rows_each(self) -> int:
        return TALL if self.tall else 1

    @property
    def in_sight(self) -> int:
        """How many choices are shown at a time."""
        fit = max(1, (self.most_rows - 1) // self.rows_each)
        return min(len(self.choices), fit)

    @property
    def top(self) -> int:
        """The first one in sight."""
        marked = self.marked or 0
        return max(0, min(marked - self.in_sight // 2, len(self.choices) - self.in_sight))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return self.in_sight * self.rows_each + 1

    @property
    def box(self) -> int:
        """The width of a choice, in cells."""
        widest = max((cells(line(choice)) for choice in self.choices), default=0)
        return min(self.content_size.width, max(LEAST, min(WIDEST, widest + 12)))

    def render_line(self, y: int) -> Strip:
        look, width = look_of(self), self.content_size.width
        row, part = divmod(y, self.rows_each)
        if row >= self.in_sight:
            return strip(self._hint() if part == 0 else (), look, width)
        index = self.top + row
        on = index == self.marked
        over = "cursor" if on and self.has_focus else "cursor-off" if on else None
        if not self.tall:
            return strip(self._choice(index, width), look, width, over=over)
        if part != 1:
            left, right = ("┌", "┐") if part == 0 else ("└", "┘")
            return strip(line((f"{left}{'─' * (self.box - 2)}{right}", "rule")), look, width)
        inside = strip(self._choice(index, self.box - 2), look, self.box - 2, over=over)
        side = strip(line(("│", "rule")), look, 1)
        return Strip.join([side, inside, side, strip((), look, width - self.box)])

    def _choice(self, index: int, width: int) -> Spans:
        on = index == self.marked
        mark = "▸ " if on and self.has_focus else "› " if on else "  "
        figure = f"{index + 1} " if index < 9 else "  "
        sign = "(•)" if on else "( )"
        words = line((mark, "key"), (figure, "key"), f"{sign} {self.choices[index]}")
        return fit(cut(words, width), width)

    def _hint(self) -> Spans:
        hidden = len(self.choices) - self.in_sight
        more = f"  ({hidden} more, ←→ go through all)" if hidden else ""
        by_mouse = bool(getattr(self.app, "by_mouse", False))
        if self.notice:
            return line((f"! {self.notice}{more}", "error"))
        if not self.editing:
            how = "A click" if by_mouse else "Enter, or a click,"
            return line((f"  {how} changes the answer{more}", "quiet"))
        if by_mouse:
            how = (
                "A click marks what you see" if self.marked is None else "A second click records it"
            )
            return line((f"  {how}{more}", "quiet"))
        if self.marked is None:
            return line((f"  {self._figures} marks what you see{more}", "quiet"))
        return line((f"  Enter, or a second click, records it{more}", "quiet"))

    @property
    def _figures(self) -> str:
        return "1" if len(self.choices) == 1 else f"1 to {min(9, len(self.choices))}"

    # What it is told.

    def action_mark(self, number: int) -> None:
        if number <= len(self.choices):
            self._mark(number - 1)
        else:
            self._say(f"{number} is none of these: pick {self._figures}")

    def _say(self, notice: str) -> None:
        self.notice = notice
        self.refresh()

    def _mark(self, index: int) -> None:
        self.notice = ""
        if not self.editing:
            self.begin()
        if index != self.marked:
            self.marked = index
            self._marked_at = self._clock()
            self.post_message(self.Marked(self, self.choices[index]))
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
        if self.marked is None:
            self._say(f"Nothing recorded: first pick, {self._figures}")
            return
        if now - self._taken_at < BOUNCE:
            return
        self._taken_at = now
        self.post_message(self.Committed(self, self.choices[self.marked]))

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        self.focus()
        row = offset.y // self.rows_each
        index = self.top + row
        if row >= self.in_sight or (self.tall and offset.x >= self.box):
            return
        if index != self.marked or not self.editing:
            self._mark(index)
        elif self._clock() - self._marked_at >= BOUNCE:
            self.action_take()

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()
