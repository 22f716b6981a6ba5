"""A list of rows that scrolls: one widget, however many rows."""

from typing import ClassVar

from attrs import evolve, frozen
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.actions import LISTS, bindings
from pourdeck.deck.paint import (
    Spans,
    Steady,
    cells,
    changed_rows,
    cut,
    justify,
    line,
    look_of,
    repaint_rows,
    strip,
    wrap,
)

# Rows of a list, and how they fall into lines.

GUTTER = 2
"""Cells at the left of every line, for the mark of the row."""


@frozen(kw_only=True, repr=False)
class Row:
    """One row. `key` None: a heading or a note, that the mark passes over.

    `right` stands at the right end of the first line and is never cut for `left`. `wrap`: as many lines as
    `left` needs, the later ones indented by `indent`; otherwise one line that ends in `…`.
    """

    left: Spans
    key: str | None = None
    right: Spans = ()
    wrap: bool = False
    indent: int = 0


@frozen(eq=False, repr=False)
class Placed:
    """A line of a list: the row it belongs to, and whether it is that row's first."""

    row: int
    first: bool
    spans: Spans


def _in_flow(row: Row, width: int) -> Row:
    """Put the words at the right behind the rest where they would take more than a third of the width."""
    if row.wrap and cells(row.right) * 3 > width:
        return evolve(row, left=(*row.left, ("  ", "text"), *row.right), right=())
    return row


def place(rows: tuple[Row, ...], width: int, spread: int = 1) -> list[Placed]:
    """The lines of the rows in `width` cells, the gutter left out; `spread` of a keyed row at the least."""
    placed: list[Placed] = []
    for index, row in enumerate(rows):
        placed += _lines(index, row, width)
        if row.key is not None:
            taken = sum(one.row == index for one in placed[-spread:])
            placed += [Placed(index, False, ())] * (spread - taken)
    return placed


def _lines(index: int, row: Row, width: int) -> list[Placed]:
    row = _in_flow(row, width)
    right = cut(row.right, max(0, width - 8))
    room = width - cells(right) - 1 if right else width
    if not row.wrap:
        return [Placed(index, True, justify(row.left, right, width))]
    placed: list[Placed] = []
    for number, spans in enumerate(wrap(row.left, max(1, room), row.indent)):
        first = number == 0
        whole = justify(spans, right, width) if first else spans
        placed.append(Placed(index, first, whole))
    return placed


# A list of rows that scrolls: one widget, however many rows.

WHEEL = 3


class RowList(Steady, can_focus=True):
    """Rows with a mark on one of them. Keyed rows can be marked; the rest are headings and notes.

    The mark is `▸` with the focus and `›` without. A click marks a row, a click on the marked row takes it,
    as Enter does; where `at_once`, the first click takes it. `spread`: lines that a row takes at the least.
    """

    DEFAULT_CSS = "RowList { width: 1fr; height: 1fr; }"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(LISTS)]

    class Selected(Message):
        """The mark moved to a row."""

        def __init__(self, row_list: "RowList", key: str) -> None:
            super().__init__()
            self.row_list = row_list
            self.key = key

        @property
        def control(self) -> "RowList":
            return self.row_list

    class Unpicked(Message):
        """Something was to be taken while no row was marked."""

    class Chosen(Message):
        """The marked row was taken."""

        def __init__(self, row_list: "RowList", key: str) -> None:
            super().__init__()
            self.row_list = row_list
            self.key = key

        @property
        def control(self) -> "RowList":
            return self.row_list

    def __init__(
        self,
        rows: tuple[Row, ...] = (),
        *,
        empty: str = "",
        at_once: bool = False,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self.rows = rows
        self.empty = empty
        self.at_once = at_once
        self.spread = 1
        self.mark: int | None = self._next(-1, 1)
        self.top = 0
        self._placed: list[Placed] | None = None
        self._placed_width = -1

    # What it shows.

    def set_rows(self, rows: tuple[Row, ...], *, select: str | None = None) -> None:
        """Show other rows. The mark goes to `select`, else stays on its key, else near where it was."""
        wanted = select if select is not None else self.key
        before, seen = self.mark, self._picture()
        self.rows = rows
        self._placed = None
        self.mark = self._index(wanted)
        if self.mark is None and before is not None:
            at = min(before, len(rows))
            self.mark = self._next(at - 1, 1)
            if self.mark is None:
                self.mark = self._next(at, -1)
        if self.mark is None:
            self.mark = self._next(-1, 1)
        self._reveal()
        if seen and rows:
            repaint_rows(self, changed_rows(seen, self._picture()))
        else:
            self.refresh()

    @property
    def key(self) -> str | None:
        """The key of the marked row."""
        return (
            self.rows[self.mark].key
            if self.mark is not None and self.mark < len(self.rows)
            else None
        )

    def select(self, key: str, *, tell: bool = False) -> bool:
        """Mark the row of that key; False where there is none. `tell`: post `Selected` as well."""
        index = self._index(key)
        if index is None:
            return False
        self._move(index, tell=tell)
        return True

    def spread_out(self, lines: int) -> None:
        """Give each row that can be marked so many lines at the least, for gloves."""
        if lines != self.spread:
            self.spread = lines
            self._placed = None
            self.refresh()

    def unmark(self) -> None:
        """No row is marked, until a key or a click marks one."""
        before, self.mark = self.mark, None
        if before is not None:
            self._repaint(before)

    def _index(self, key: str | None) -> int | None:
        if key is None:
            return None
        return next((index for index, row in enumerate(self.rows) if row.key == key), None)

    def _next(self, start: int, step: int) -> int | None:
        index = start + step
        while 0 <= index < len(self.rows):
            if self.rows[index].key is not None:
                return index
            index += step
        return None

    # Lines.

    @property
    def lines(self) -> list[Placed]:
        # The last column is for the bar that shows how far the list goes on.
        width = max(1, self.content_size.width - GUTTER - 1)
        if self._placed is None or self._placed_width != width:
            self._placed = place(self.rows, width, self.spread)
            self._placed_width = width
        return self._placed

    @property
    def page(self) -> int:
        return max(1, self.content_size.height)

    def _span(self, index: int) -> tuple[int, int]:
        """First and last line of a row."""
        own = [number for number, placed in enumerate(self.lines) if placed.row == index]
        return (own[0], own[-1]) if own else (0, 0)

    def _reveal(self) -> None:
        """Scroll as little as shows the whole marked row, and what leads up to the first one."""
        if self.mark is None or not self.content_size.height:
            self.top = 0
            return
        first, last = self._span(self.mark)
        if self._next(self.mark, -1) is None:
            first = 0 if last < self.page else first
        if self._next(self.mark, 1) is None:
            last = len(self.lines) - 1 if len(self.lines) - first <= self.page else last
        if last >= self.top + self.page:
            self.top = last - self.page + 1
        self.top = min(self.top, first)
        self._clamp()

    def _clamp(self) -> None:
        self.top = max(0, min(self.top, len(self.lines) - self.page))

    def render_line(self, y: int) -> Strip:
        look = look_of(self)
        width = self.content_size.width
        if not self.rows and y == 0 and self.empty:
            return strip(line("  ", (self.empty, "quiet")), look, width)
        number = self.top + y
        lines = self.lines
        if number >= len(lines):
            return strip((), look, width)
        placed = lines[number]
        marked = placed.row == self.mark
        over = ("cursor" if self.has_focus else "cursor-off") if marked else None
        sign = ("▸ " if self.has_focus else "› ") if marked and placed.first else "  "
        body = strip(((sign, "key"), *placed.spans), look, width - 1, over=over)
        return Strip.join([body, strip(self._bar(y), look, 1)])

    def _picture(self) -> list[Spans]:
        """Give what each line in sight shows, as far as a change of it must be painted."""
        shown: list[Spans] = []
        for y in range(self.content_size.height if self.rows else 0):
            number = self.top + y
            placed = self.lines[number] if number < len(self.lines) else None
            marked = "mark" if placed and placed.row == self.mark else ""
            shown.append((*(placed.spans if placed else ()), (marked, ""), *self._bar(y)))
        return shown

    def _bar(self, y: int) -> Spans:
        total, page = len(self.lines), self.page
        if total <= page:
            return ()
        size = max(1, page * page // total)
        at = round(self.top * (page - size) / max(1, total - page))
        return (("█" if at <= y < at + size else "│", "rule"),)

    # What it is told.

    def on_resize(self) -> None:
        # Another height can move the first line: what is painted must be what a click hits.
        self._placed = None
        self._reveal()
        self.refresh()

    def on_focus(self) -> None:
        self._repaint(*([] if self.mark is None else [self.mark]))

    def on_blur(self) -> None:
        self._repaint(*([] if self.mark is None else [self.mark]))

    def _move(self, index: int | None, *, tell: bool = True) -> None:
        if index is None or self.rows[index].key is None:
            return
        moved = index != self.mark
        before = self.mark, self.top
        self.mark = index
        self._reveal()
        if before[0] is None or before[1] != self.top:
            self.refresh()
        elif moved:
            self._repaint(before[0], index)
        key = self.rows[index].key
        if moved and tell and key is not None:
            self.post_message(self.Selected(self, key))

    def _repaint(self, *rows: int) -> None:
        """Paint the lines of these rows anew."""
        shown = enumerate(self.lines[self.top : self.top + self.page])
        repaint_rows(self, (y for y, placed in shown if placed.row in rows))

    def action_row_up(self) -> None:
        self._step(-1)

    def action_row_down(self) -> None:
        self._step(1)

    def _step(self, step: int) -> None:
        index = self._next(self.mark if self.mark is not None else -1, step)
        if index is None:
            self._scroll(step)
        else:
            self._move(index)

    def action_page_up(self) -> None:
        self._leap(-1)

    def action_page_down(self) -> None:
        self._leap(1)

    def _leap(self, step: int) -> None:
        """Move by a page of lines; past the end, to the end."""
        if self.mark is None:
            self._scroll(step * self.page)
            return
        first, _ = self._span(self.mark)
        wanted = max(0, min(first + step * self.page, len(self.lines) - 1))
        index: int | None = self.lines[wanted].row
        if index is not None and self.rows[index].key is None:
            index = self._next(index, step)
        if index is None:
            index = self._next(len(self.rows), -1) if step > 0 else self._next(-1, 1)
        self._move(index)

    def action_row_first(self) -> None:
        self.top = 0
        self._move(self._next(-1, 1))

    def action_row_last(self) -> None:
        self._move(self._next(len(self.rows), -1))
        self._scroll(len(self.lines)) if self.mark is None else None

    def action_row_take(self) -> None:
        if self.key is not None:
            self.post_message(self.Chosen(self, self.key))
        elif self.rows:
            self.post_message(self.Unpicked())

    def _scroll(self, step: int) -> None:
        self.top += step
        self._clamp()
        self.refresh()

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._scroll(WHEEL)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._scroll(-WHEEL)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        number = self.top + offset.y
        if number >= len(self.lines):
            return
        index = self.lines[number].row
        if self.rows[index].key is None:
            return
        marked = index == self.mark
        if not marked:
            self._move(index)
        if marked or self.at_once:
            self.action_row_take()


# The list of steps of the walk: its keys go from step to step, opened or not, wherever the focus is.


class StepList(RowList):
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.step(-1)", "Before", show=False),
        Binding("down", "screen.step(1)", "Next", show=False),
        Binding("pageup", "screen.section(-1)", "Section before", show=False),
        Binding("pagedown", "screen.section(1)", "Next section", show=False),
    ]
