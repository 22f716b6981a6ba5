"""The drift of a stack on screen, beside what has the panel in hand; a click says on which panel it was.

The drawing is imported when it is first drawn: most starts show none.
"""

from typing import TYPE_CHECKING

from textual import events
from textual.message import Message

from pourdeck.deck.widgets.prose import Drawn
from pourdeck.plan.records import Units

if TYPE_CHECKING:
    from pourdeck.deck.drawing.drift import DriftDrawing
    from pourdeck.setout.elevation import DriftPicture


class DriftView(Drawn):
    """Never has the focus, and draws nothing while it is not displayed."""

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
        self._made: DriftDrawing | None = None

    def show(self, picture: "DriftPicture | None", number: int | None, units: Units) -> None:
        """Draw another stack, or mark another panel of it."""
        if picture is not self.picture or number != self.number:
            self.picture, self.number, self.units = picture, number, units
            self.redraw()

    @property
    def drawing(self) -> "DriftDrawing | None":
        if self.picture is None:
            return None
        if self._made is None or not self.fits(self._made):
            from pourdeck.deck.drawing.drift import drift_drawing

            # It never has the focus: its mark is the quiet one.
            self._made = drift_drawing(
                self.picture, self.units, *self.content_size, self.number, focused=False
            )
        return self._made

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        drawing = self.drawing
        if offset is None or drawing is None:
            return
        event.stop()
        number = drawing.hits.at(offset.x, offset.y)
        if number is not None:
            self.post_message(self.Picked(self, number))
