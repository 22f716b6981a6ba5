"""A cast panel with its tape lines on screen; a click says which measurement it was on."""

from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.drawing.cast_plan import CastDrawing, cast_plan
from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady, changed_rows, repaint_rows
from pourdeck.walk.cast_sheet import CastSheet


class CastView(Steady):
    """Never has the focus: it shows what the list and the field beside it have in hand."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "CastView { width: 1fr; height: 1fr; }"

    class Picked(Message):
        """A tape line, a corner or an offset mark was clicked: the key of its measurement."""

        def __init__(self, view: "CastView", key: str) -> None:
            super().__init__()
            self.view = view
            self.key = key

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[CastSheet, str | None, str] | None = None
        self._drawing: CastDrawing | None = None

    def show(self, sheet: CastSheet, hand: str | None, typed: str = "") -> None:
        """Draw what stands, the measurement in hand with what is typed for it."""
        self._shown = (sheet, hand, typed)
        before, self._drawing = self._drawing, None
        after = self.drawing
        if before is None or after is None or before.canvas.height != after.canvas.height:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.canvas.rows(), after.canvas.rows()))

    @property
    def drawing(self) -> CastDrawing | None:
        width, height = self.content_size
        if self._shown is None:
            return None
        made = self._drawing
        if made is None or (made.canvas.width, made.canvas.height) != (width, height):
            sheet, hand, typed = self._shown
            made = self._drawing = cast_plan(sheet, width, height, hand, typed)
        return made

    def render_line(self, y: int) -> Strip:
        drawing = self.drawing
        spans = drawing.canvas.spans(y) if drawing else ()
        return strip(spans, look_of(self), self.content_size.width)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        drawing = self.drawing
        if offset is None or drawing is None:
            return
        event.stop()
        key = drawing.hits.at(offset.x, offset.y)
        if key is not None:
            self.post_message(self.Picked(self, key))
