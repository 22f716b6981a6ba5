"""A cast panel with its tape lines on screen; a click says which measurement it was on."""

from textual import events
from textual.message import Message

from pourdeck.deck.drawing.cast_plan import CastDrawing, cast_plan
from pourdeck.deck.widgets.prose import Drawn
from pourdeck.walk.ascast import CastSheet


class CastView(Drawn):
    """Never has the focus: it shows what the list and the field beside it have in hand."""

    class Picked(Message):
        """A tape line, a corner or an offset mark was clicked: the key of its measurement."""

        def __init__(self, view: "CastView", key: str) -> None:
            super().__init__()
            self.view = view
            self.key = key

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[CastSheet, str | None, str] | None = None
        self._made: CastDrawing | None = None

    def show(self, sheet: CastSheet, hand: str | None, typed: str = "") -> None:
        """Draw what stands, the measurement in hand with what is typed for it."""
        self._shown = (sheet, hand, typed)
        self.redraw()

    @property
    def drawing(self) -> CastDrawing | None:
        if self._shown is None:
            return None
        if self._made is None or not self.fits(self._made):
            sheet, hand, typed = self._shown
            self._made = cast_plan(sheet, *self.content_size, hand, typed)
        return self._made

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        drawing = self.drawing
        if offset is None or drawing is None:
            return
        event.stop()
        key = drawing.hits.at(offset.x, offset.y)
        if key is not None:
            self.post_message(self.Picked(self, key))
