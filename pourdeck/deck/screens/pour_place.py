"""The loads on the Pour screen: their table, which of them is in hand, and what of it."""

from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.paint import Spans, Steady, changed_rows, look_of, repaint_rows, strip
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.views.pour import NEW, ON, ORDER, REJECTED, Cell, TableLine, cell_at, on_words
from pourdeck.deck.widgets.field import Field
from pourdeck.walk.loads import asked_after
from pourdeck.walk.pour_page import PourPage

Hand = tuple[int, str]
"""A load by its number, and what of it is in hand; NEW for the next one, ON for what comes after all."""


# Where the crew stands: which load is in hand, and what of it.


class PourPlace(PanelScreen):
    """Keep what was taken in hand; it comes back after a kill."""

    def __init__(self) -> None:
        super().__init__()
        self._hand: Hand | None = None
        self._filled: tuple[object, ...] | None = None

    @property
    def page(self) -> PourPage | None:
        walk = self.walk
        return None if walk is None else self.deck.desk.pour(walk.stack, walk.number)

    @property
    def field(self) -> Field:
        return self.query_one("#value", Field)

    @property
    def field_in_hand(self) -> Field | None:
        return self.field

    def hand(self, page: PourPage) -> Hand:
        """The place that was taken in hand while it is there; else what is to be written down next."""
        number, _, key = self.deck.kept.text(self.draft("hand")).partition(".")
        kept = (int(number), key) if number.isdigit() else self._hand
        if kept is not None and self._there(page, kept):
            return kept
        return self.offered(page)

    def _there(self, page: PourPage, hand: Hand) -> bool:
        number, key = hand
        if key == NEW:
            return self.more(page) and number == page.next_number
        if key == ON:
            return bool(self.on(page))
        return page.line(number) is not None and key in (*ORDER, REJECTED)

    def more(self, page: PourPage) -> bool:
        """Whether another load may come."""
        walk = self.walk
        return walk is not None and walk.record.closed is None

    def on(self, page: PourPage) -> str:
        """Say what comes once no more concrete is to come, "" before."""
        walk = self.walk
        return on_words(page, walk) if walk is not None else ""

    def offered(self, page: PourPage, first: int | None = None, after: int | None = None) -> Hand:
        """Find what is to be written down next: of load `first`, else of the first that wants something.

        `after`: only of a load behind that one.
        """
        one = page.line(first) if after is None else None
        if one is None or one.next is None:
            behind = (each for each in page.lines if each.number > (after or 0) and each.next)
            one = next(behind, None)
        if one is not None and one.next is not None:
            return (one.number, "water" if one.next == "water_by" else one.next)
        if self.on(page):
            return (0, ON)
        if self.more(page) or not page.lines:
            return (page.next_number, NEW)
        return (page.lines[-1].number, ORDER[0])

    def hold(self, hand: Hand) -> None:
        """Take another place in hand. The screen shows it next."""
        self._hand = hand
        self.deck.keep_text(self.draft("hand"), f"{hand[0]}.{hand[1]}")

    def go_on(self, number: int | None = None, key: str = "") -> None:
        """To what is due after `key` of a load, then to later loads: never back to what was skipped."""
        page = self.page
        self._filled = None
        if page is None:
            return
        one = page.line(number)
        due = asked_after(one, key) if one is not None and key else None
        if one is not None and due is not None:
            self.hold((one.number, "water" if due == "water_by" else due))
        else:
            self.hold(self.offered(page, number, after=number if key else None))

    def forget(self) -> None:
        """Fill the field anew: what was typed was not taken."""
        if self._hand is not None:
            self.drop_draft(self._hand)
        self._filled = None
        self.reload()

    def drop_draft(self, hand: Hand) -> None:
        self.deck.keep_text(self.draft(f"{hand[0]}.{hand[1]}"), "")

    def open_again(self, text: str) -> None:
        """Put what was refused back in the field, to be put right; drop a time that was only offered."""
        if text == self.now_text():
            self.forget()
        else:
            self.field.load_draft(text, whole=True)
            self.set_focus(self.field)

    def keep_typed(self, hand: Hand, text: str) -> None:
        """Keep what could not be saved in the field, to be taken by one key."""
        self.deck.keep_text(self.draft(f"{hand[0]}.{hand[1]}"), text)
        self.field.load_draft(text, whole=True)
        self.set_focus(self.field)

    def now_text(self) -> str:
        return f"{self.deck.desk.now():%H:%M}"


# The loads on screen: drawn as they are given, a click on a cell takes it in hand.


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
