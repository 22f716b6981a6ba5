"""What drawings on screen share: drawn once for what is shown and the room, painted where it changed."""

from typing import Protocol

from textual.geometry import Size
from textual.strip import Strip

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady, changed_rows, repaint_rows


class Drawing(Protocol):
    """Anything drawn on a canvas."""

    @property
    def canvas(self) -> Canvas: ...


class Drawn(Steady):
    """A view that never has the focus. One that is made from it gives `drawing`, and keeps it in `_made`."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Drawn { width: 1fr; height: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._made: Drawing | None = None

    @property
    def drawing(self) -> Drawing | None:
        """What is drawn now, None where nothing is."""
        return None

    def fits(self, made: Drawing | None) -> bool:
        """Whether a drawing was made for the room there is."""
        size: Size = self.content_size
        return made is not None and (made.canvas.width, made.canvas.height) == tuple(size)

    def redraw(self) -> None:
        """Draw anew, and paint what came out different."""
        before, self._made = self._made, None
        after = self.drawing
        if before is None or after is None or before.canvas.height != after.canvas.height:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.canvas.rows(), after.canvas.rows()))

    def render_line(self, y: int) -> Strip:
        drawing = self.drawing
        spans = drawing.canvas.spans(y) if drawing else ()
        return strip(spans, look_of(self), self.content_size.width)
