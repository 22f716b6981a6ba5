"""Words that are picked: one of a few answers, and phrases to put into a line of words.

On a screen each answer has a line or a box; a figure or a click marks one, Enter or a second click takes it.
In a form they share a line: ← and →, or a click on either end, turn from one to the next.
"""

import time
from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.paint import Spans, Steady, cells, cut, fit, line, look_of, strip
from pourdeck.deck.widgets.bar import GLOVE_COLUMNS, Chip, Laid, lay, roomy
from pourdeck.plan.messages import literal

BOUNCE = 0.25
"""Count what comes again within so many seconds as the same press of key or button."""

TALL = 3
"""Rows of a choice where there is room for gloves."""

WIDEST = 46
LEAST = 14


INLINE_MOST = 30
COUNT = 10
"""Cells of the words on a shared line at most, and of what says which of how many it is."""


class Choice(Steady, can_focus=True):
    """Nothing is marked at first, so that Enter alone answers nothing; `inline` the first one is.

    `choices` are key and words of each. `most_rows`: how many lines it may take, its hint included; the rest
    scrolls with the mark.
    """

    ALLOW_SELECT = False
    DEFAULT_CSS = "Choice { width: 1fr; height: auto; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Before", show=False),
        Binding("right", "step(1)", "Next", show=False),
        Binding("enter", "take", "Take", show=False),
        *(Binding(str(n), f"mark({n})", str(n), show=False) for n in range(1, 10)),
    ]

    class Marked(Message):
        """Another choice was marked, not yet taken."""

        def __init__(self, field: "Choice", value: str) -> None:
            super().__init__()
            self.field = field
            self.value = value

        @property
        def control(self) -> "Choice":
            return self.field

    class Taken(Marked):
        """A choice was taken."""

    def __init__(
        self,
        choices: tuple[tuple[str, str], ...] = (),
        value: str | None = None,
        *,
        inline: bool = False,
        id: str | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(id=id)
        self.choices = choices
        self.inline = inline
        self.found: str | None = None
        self.marked: int | None = self._index(value)
        if inline and self.marked is None:
            self.marked = 0
        self.editing = True
        self.notice = ""
        self.tall = False
        self.most_rows = 99
        self._clock = clock
        self._marked_at = self._taken_at = float("-inf")

    @property
    def value(self) -> str:
        """The key of the marked choice, "" for none."""
        return "" if self.marked is None else self.choices[self.marked][0]

    def _index(self, key: str | None) -> int | None:
        return next((n for n, one in enumerate(self.choices) if one[0] == key), None)

    def ask(
        self, choices: tuple[tuple[str, str], ...], found: str | None, marked: str | None = None
    ) -> None:
        """Ask something else. `found` was answered before: it changes only after `begin`.

        `marked`: a choice that was marked and not taken.
        """
        self.choices = choices
        self.found = found
        self.notice = ""
        self.editing = found is None
        self.marked = self._index(found if found is not None else marked)
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
        """Count the choices that are shown at a time."""
        fit = max(1, (self.most_rows - 1) // self.rows_each)
        return min(len(self.choices), fit)

    @property
    def top(self) -> int:
        """The first one in sight."""
        marked = self.marked or 0
        return max(0, min(marked - self.in_sight // 2, len(self.choices) - self.in_sight))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        if self.inline:
            return TALL if roomy(self) else 1
        return self.in_sight * self.rows_each + 1

    @property
    def box(self) -> int:
        """The width of a choice, in cells."""
        widest = max((cells(line(words)) for _, words in self.choices), default=0)
        return min(self.content_size.width, max(LEAST, min(WIDEST, widest + 12)))

    def render_line(self, y: int) -> Strip:
        look, width = look_of(self), self.content_size.width
        if self.inline:
            return strip(self._inline(y), look, width)
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
        words = line((mark, "key"), (figure, "key"), f"{sign} {self.choices[index][1]}")
        return fit(cut(words, width), width)

    @property
    def end(self) -> int:
        """The cells of the box at either end of a shared line, where there is room for boxes."""
        return GLOVE_COLUMNS if self.content_size.height >= TALL else 0

    @property
    def middle(self) -> int:
        """The cells of the words between the boxes."""
        return max(8, min(INLINE_MOST, self.content_size.width - 2 * self.end - COUNT))

    def _inline(self, y: int) -> Spans:
        at = self.marked or 0
        count, inner = f"  {at + 1} of {len(self.choices)}", self.end - 2
        left, right = ("◂", "▸") if self.has_focus else ("‹", "›")
        words = line((self.choices[at][1], "field"))
        if not self.end:
            return (
                *line((f"{left} ", "field")),
                *words,
                *line((f" {right}", "field"), (count, "quiet")),
            )
        if y != 1:
            corners = "┌┐" if y == 0 else "└┘"
            box = f"{corners[0]}{'─' * inner}{corners[1]}"
            return line((box, "rule"), " " * self.middle, (box, "rule"))
        words = cut(words, self.middle - 2)
        missing = self.middle - cells(words)
        before, after = " " * (missing // 2), " " * (missing - missing // 2)
        return (
            *line(("│", "rule"), (f"{left:^{inner}}", "key"), ("│", "rule")),
            *((before, "field"), *words, (after, "field")),
            *line(("│", "rule"), (f"{right:^{inner}}", "key"), ("│", "rule")),
            *line((count, "quiet")),
        )

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

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """In a form figures pick nothing: they were meant for a line."""
        return not (self.inline and action == "mark")

    def action_mark(self, number: int) -> None:
        if number <= len(self.choices):
            self._mark(number - 1)
        else:
            if self.editing:
                # What was marked before is not what was meant.
                self.marked = None
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
            self.post_message(self.Marked(self, self.value))
        self.refresh()

    def action_step(self, step: int) -> None:
        if self.inline:
            self._mark(((self.marked or 0) + step) % len(self.choices))
            return
        last = len(self.choices) - 1
        start = -1 if self.marked is None and step > 0 else self.marked or 0
        self._mark(max(0, min(last, start + step)))

    def action_take(self) -> None:
        if self.inline:
            self.post_message(self.Taken(self, self.value))
            return
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
        self.post_message(self.Taken(self, self.value))

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        self.focus()
        if self.inline:
            self.action_step(-1 if offset.x < max(2, self.end) else 1)
            return
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


# Phrases to pick from under a line of words: for gloves, and for a keypad without letters.


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
