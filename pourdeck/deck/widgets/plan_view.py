"""A panel in plan on screen, with the place in hand marked; a click says what it was on."""

from typing import Any

from textual import events
from textual.message import Message

from pourdeck.deck.drawing.plan import PlanDrawing, plan
from pourdeck.deck.drawing.plan_body import Spot
from pourdeck.deck.widgets.prose import Drawn
from pourdeck.plan.records import Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place


class PlanView(Drawn):
    """Never has the focus: it shows what the list beside it has in hand."""

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
        self._made: PlanDrawing | None = None

    def show(
        self, setout: SetOut | None, place: Place | None = None, spots: tuple[Spot, ...] = ()
    ) -> None:
        """Draw another panel, or mark another place on it."""
        if setout is not self.setout or (place, spots) != (self.place, self.spots):
            self.setout, self.place, self.spots = setout, place, spots
            self.redraw()

    @property
    def units(self) -> Units:
        desk: Any = getattr(self.app, "desk", None)
        return desk.job.units if desk is not None else "metric"

    @property
    def drawing(self) -> PlanDrawing | None:
        if self.setout is None:
            return None
        if self._made is None or not self.fits(self._made):
            self._made = plan(
                self.setout, *self.content_size, self.place,
                units=self.units, legend=self.legend, spots=self.spots,
            )  # fmt: skip
        return self._made

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        drawing = self.drawing
        if offset is None or drawing is None:
            return
        event.stop()
        place = drawing.hits.at(offset.x, offset.y)
        if place is not None:
            self.post_message(self.Picked(self, place))
