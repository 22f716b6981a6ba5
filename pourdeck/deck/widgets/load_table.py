"""The loads on screen: drawn as they are given, a click on a cell takes it in hand."""

from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.paint import Spans, Steady, changed_rows, look_of, repaint_rows, strip
from pourdeck.deck.views.pour import Cell, TableLine, cell_at


class LoadTable(Steady):
    """The heads stay; the loads scroll as little as shows the one in hand."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "LoadTable { width: 1fr; height: 1fr; min-height: 3; }"

    class Picked(Message):
        """A cell was clicked."""

        def __init__(self, table: "LoadTable", cell: Cell) -> None:
            super().__init__()
            self.table = table
            self.cell = cell

        @property
        def control(self) -> "LoadTable":
            return self.table

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.table: tuple[TableLine, ...] = ()
        self.top = 0
        self._hand: int | None = None

    def show(self, lines: list[TableLine], hand: int | None) -> None:
        """Show other lines; `hand`: the number of the load in hand."""
        before = self._picture()
        self.table, self._hand = tuple(lines), hand
        self._reveal()
        after = self._picture()
        if len(before) == len(after):
            repaint_rows(self, changed_rows(before, after))
        else:
            self.refresh()

    @property
    def in_sight(self) -> tuple[TableLine, ...]:
        """The heads, then as many loads as there is room for."""
        rows = self.content_size.height
        return (*self.table[:1], *self.table[1 + self.top : self.top + rows])

    def _reveal(self) -> None:
        page = max(1, self.content_size.height - 1)
        loads = self.table[1:]
        at = next((n for n, one in enumerate(loads) if one.number == self._hand), 0)
        # The line for another load stays in sight with the last one where it can.
        last = len(loads) - 1 if at == len(loads) - 2 and page > 1 else at
        self.top = max(0, min(self.top, at, len(loads) - page), last - page + 1)

    def _picture(self) -> list[Spans]:
        shown = [one.spans for one in self.in_sight]
        return [*shown, *([()] * (self.content_size.height - len(shown)))]

    def render_line(self, y: int) -> Strip:
        shown = self.in_sight
        return strip(
            shown[y].spans if y < len(shown) else (), look_of(self), self.content_size.width
        )

    def on_resize(self) -> None:
        self._reveal()
        self.refresh()

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._scroll(1)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._scroll(-1)

    def _scroll(self, step: int) -> None:
        page = max(1, self.content_size.height - 1)
        most = max(0, len(self.table) - 1 - page)
        top = max(0, min(self.top + step, most))
        if top != self.top:
            self.top = top
            self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        cell = cell_at(self.in_sight, offset.y, offset.x) if offset else None
        if cell is not None:
            self.post_message(self.Picked(self, cell))
