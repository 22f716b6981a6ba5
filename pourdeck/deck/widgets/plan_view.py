"""A panel in plan on screen, with the place in hand marked; a click says what it was on."""

from typing import Any

from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.drawing.plan import PlanDrawing, plan
from pourdeck.deck.drawing.plan_frame import Spot
from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady, changed_rows, repaint_rows
from pourdeck.plan.records import Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place


class PlanView(Steady):
    """Never has the focus: it shows what the list beside it has in hand."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "PlanView { width: 1fr; height: 1fr; }"

    class Picked(Message):
        """A bracket, corner, side, opening or cast-in was clicked."""

        def __init__(self, view: "PlanView", place: Place) -> None:
            super().__init__()
            self.view = view
            self.place = place

    def __init__(self, *, legend: bool = True, id: str | None = None) -> None:
        super().__init__(id=id)
        self.legend = legend
        self.setout: SetOut | None = None
        self.place: Place | None = None
        self.spots: tuple[Spot, ...] = ()
        self._drawing: PlanDrawing | None = None

    def show(
        self, setout: SetOut | None, place: Place | None = None, spots: tuple[Spot, ...] = ()
    ) -> None:
        """Draw another panel, or mark another place on it."""
        if setout is not self.setout or (place, spots) != (self.place, self.spots):
            self.setout, self.place, self.spots = setout, place, spots
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
    def units(self) -> Units:
        desk: Any = getattr(self.app, "desk", None)
        return desk.job.units if desk is not None else "metric"

    @property
    def drawing(self) -> PlanDrawing | None:
        width, height = self.content_size
        drawing = self._drawing
        if self.setout is None:
            return None
        if drawing is None or (drawing.canvas.width, drawing.canvas.height) != (width, height):
            drawing = plan(
                self.setout, width, height, self.place,
                units=self.units, legend=self.legend, spots=self.spots,
            )  # fmt: skip
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
        place = drawing.hits.at(offset.x, offset.y)
        if place is not None:
            self.post_message(self.Picked(self, place))
