"""The gain of a panel's strength on screen, beside what has the panel in hand."""

from textual.strip import Strip

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.drawing.gain_chart import gain_chart
from pourdeck.deck.paint import Steady, changed_rows, look_of, repaint_rows, strip
from pourdeck.plan.records import Job
from pourdeck.walk.strength import Strength


class GainView(Steady):
    """Never has the focus."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "GainView { width: 1fr; height: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[Strength, Job] | None = None
        self._canvas: Canvas | None = None

    def show(self, found: Strength | None, job: Job) -> None:
        """Draw what stands; None: nothing."""
        self._shown = None if found is None else (found, job)
        before, self._canvas = self._canvas, None
        after = self.canvas
        if before is None or after is None or before.height != after.height:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.rows(), after.rows()))

    @property
    def canvas(self) -> Canvas | None:
        width, height = self.content_size
        if self._shown is None:
            return None
        made = self._canvas
        if made is None or (made.width, made.height) != (width, height):
            made = self._canvas = gain_chart(*self._shown, width, height)
        return made

    def render_line(self, y: int) -> Strip:
        canvas = self.canvas
        spans = canvas.spans(y) if canvas else ()
        return strip(spans, look_of(self), self.content_size.width)
