"""The drift of a stack on screen, beside what has the panel in hand; a click says on which panel it was.

The drawing is imported when it is first drawn: most starts show none.
"""

from typing import TYPE_CHECKING

from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady, changed_rows, repaint_rows
from pourdeck.plan.records import Units

if TYPE_CHECKING:
    from pourdeck.deck.drawing.drift import DriftDrawing
    from pourdeck.setout.elevation import DriftPicture


class DriftView(Steady):
    """Never has the focus, and draws nothing while it is not displayed."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "DriftView { width: 1fr; height: 1fr; }"

    class Picked(Message):
        """A panel was clicked."""

        def __init__(self, view: "DriftView", number: int) -> None:
            super().__init__()
            self.view = view
            self.number = number

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.picture: DriftPicture | None = None
        self.number: int | None = None
        self.units: Units = "metric"
        self._drawing: DriftDrawing | None = None

    def show(self, picture: "DriftPicture | None", number: int | None, units: Units) -> None:
        """Draw another stack, or mark another panel of it."""
        if picture is not self.picture or number != self.number:
            self.picture, self.number, self.units = picture, number, units
            self._redraw()

    def _redraw(self) -> None:
        """Draw anew, and paint what came out different."""
        before, self._drawing = self._drawing, None
        after = self.drawing
        if before is None or after is None or before.canvas.height != after.canvas.height:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.canvas.rows(), after.canvas.rows()))

    @property
    def drawing(self) -> "DriftDrawing | None":
        width, height = self.content_size
        drawing = self._drawing
        if self.picture is None:
            return None
        if drawing is None or (drawing.canvas.width, drawing.canvas.height) != (width, height):
            from pourdeck.deck.drawing.drift import drift_drawing

            # It never has the focus: its mark is the quiet one.
            drawing = drift_drawing(
                self.picture, self.units, width, height, self.number, focused=False
            )
            self._drawing = drawing
        return drawing

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
        number = drawing.hits.at(offset.x, offset.y)
        if number is not None:
            self.post_message(self.Picked(self, number))
