"""Where the crew stands in the walk of the panel in hand, and how it goes from one stop to the next."""

from pourdeck.deck.screens.panel_screen import WalkedScreen
from pourdeck.deck.views.stops import (
    Stop,
    Stops,
    about_place,
    after,
    find_stop,
    next_due,
    next_owed,
    section_start,
    stops,
)
from pourdeck.deck.views.walk_list import SECTION, SERIES, opened_stop
from pourdeck.deck.widgets.plan_view import PlanView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.records import ItemView, Walk


class WalkPlace(WalkedScreen):
    """The stop in hand is kept by its key, so that it is found again after every entry and after a kill."""

    def __init__(self) -> None:
        super().__init__()
        self._every: tuple[Walk, Stops] | None = None

    @property
    def every(self) -> Stops:
        """The stops of the panel in hand."""
        walk = self.walk
        if walk is None:
            return ()
        if self._every is None or self._every[0] is not walk:
            self._every = (walk, stops(walk))
        return self._every[1]

    @property
    def stop(self) -> Stop | None:
        every = self.every
        return find_stop(every, self.deck.here.item) if every else None

    @property
    def item(self) -> ItemView | None:
        stop = self.stop
        return stop.item if stop else None

    def stand_at(self, stop: Stop) -> None:
        """Take another stop in hand."""
        self.deck.place(item=stop.key)
        self.refresh_all()

    def show_again(self, refused: str = "") -> None:
        """Put the field back to what stands; what was `refused` stands there to be typed over."""
        raise NotImplementedError

    # Going from step to step.

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        every, stop = self.every, self.stop
        if stop is None:
            return
        target = opened_stop(every, event.key)
        if event.key.startswith((SECTION, SERIES)):
            order = [one.key for one in every]
            last = opened_stop(every, event.key, upwards=True)
            if order.index(last.key) == order.index(stop.key) - 1:
                target = last
        self.stand_at(target)

    def on_plan_view_picked(self, event: PlanView.Picked) -> None:
        """A click on the drawing goes to the step about what was clicked."""
        event.stop()
        stop = self.stop
        found = about_place(self.every, stop.key, event.place) if stop else None
        if found is not None:
            self.stand_at(found)

    def action_step(self, step: int) -> None:
        stop = self.stop
        if stop:
            self.stand_at(after(self.every, stop.key, step))

    def action_section(self, step: int) -> None:
        stop = self.stop
        if stop:
            self.stand_at(section_start(self.every, stop.key, step))

    def action_next_owed(self) -> None:
        stop = self.stop
        if stop:
            self.stand_at(next_owed(self.every, stop.key))

    def go_on(self) -> None:
        """Take the next stop that owes something in hand; a failed one stays. The screen shows it next."""
        item, stop = self.item, self.stop
        if stop is not None and (item is None or item.own_state != "failed"):
            self.deck.place(item=next_due(self.every, stop.key).key)
