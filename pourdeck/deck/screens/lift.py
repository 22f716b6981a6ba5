"""The day of the lift: every panel of the job in the order it goes, and what keeps the marked one down."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import SteadyColumn, SteadyRow, line
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.screens.lift_asks import LiftAsks
from pourdeck.deck.views.lift_list import (
    card_rows,
    caution_lines,
    lift_heading,
    lift_key,
    lift_spots,
    list_rows,
    place_of,
)
from pourdeck.deck.widgets.prose import PlanView, Prose
from pourdeck.deck.widgets.row_list import GUTTER, Row, RowList
from pourdeck.walk.lift_words import CAUTIONS, lift_rows
from pourdeck.walk.lifting import LiftView

TALL = 48
"""Lines of the window from which on every caution stands in full beside the card and the drawing."""


class LiftScreen(PanelScreen):
    """↑↓ go from panel to panel in the order of the lift; Enter reads all of the marked one."""

    ID = "lift"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("lift")]
    DEFAULT_CSS = """
    LiftScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    LiftScreen #lifts { width: 32; height: 1fr; }
    LiftScreen #right { width: 1fr; height: 1fr; }
    LiftScreen #heading { height: 1; }
    LiftScreen #card { height: 1fr; }
    LiftScreen #cautions { height: auto; }
    LiftScreen #plan { display: none; height: 16; }
    LiftScreen.-tall.-full #plan, LiftScreen.-tall.-wide #plan { display: block; }
    LiftScreen.-wide #lifts { width: 36; }
    LiftScreen.-narrow #both, LiftScreen.-slim #both { layout: vertical; }
    LiftScreen.-narrow #lifts, LiftScreen.-slim #lifts { width: 1fr; height: 5; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.asks = LiftAsks(self)
        self._views: tuple[LiftView, ...] = ()

    def compose_body(self) -> ComposeResult:
        with SteadyRow(id="both"):
            yield RowList(id="lifts", empty="The job has no panels.")
            with SteadyColumn(id="right"):
                yield Prose(id="heading")
                yield RowList(id="card")
                yield PlanView(id="plan")
        yield Prose(id="cautions")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#card").can_focus = False
        self.set_focus(self.list)

    @property
    def list(self) -> RowList:
        return self.query_one("#lifts", RowList)

    @property
    def view(self) -> LiftView | None:
        """The marked panel, as it stands now."""
        number = self.number
        return self.deck.desk.lift(*number) if number else None

    def reload(self) -> None:
        if not self.list.content_size.width:
            return
        self._views = self.deck.desk.lifts()
        self.query_one("#cautions", Prose).show(caution_lines(tall=self.app.size.height >= TALL))
        view = self.view
        width = self.list.content_size.width - GUTTER - 1
        self.list.set_rows(list_rows(self._views, width), select=lift_key(view) if view else None)
        self._show_card(view)

    def _show_card(self, view: LiftView | None) -> None:
        card = self.query_one("#card", RowList)
        if view is None:
            self.query_one("#heading", Prose).show([])
            card.set_rows(())
            return
        self.query_one("#heading", Prose).show([lift_heading(view)])
        width = max(20, card.content_size.width - GUTTER - 1)
        card.set_rows(tuple(Row(left=row) for row in card_rows(view, width)))
        self.query_one(PlanView).show(view.setout, spots=lift_spots(view))

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        if event.row_list.id != "lifts":
            return
        stack, number = place_of(event.key)
        self.deck.place(stack=stack, panel=number)
        self._show_card(self.view)
        self.refresh_frame()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_read_all()

    # What can be done.

    def can_do(self, action_id: str) -> bool:
        view = self.view
        if action_id in ("lift-release", "lift-record"):
            return view is not None and view.lifted is None
        if action_id == "look-exposed":
            return view is not None and view.bared_by is not None and view.lifted is None
        return True

    def action_lift_release(self) -> None:
        view = self.view
        if view is not None:
            self.asks.release(view)

    def action_lift_record(self) -> None:
        view = self.view
        if view is not None:
            self.asks.lift(view)

    def action_look_exposed(self) -> None:
        view = self.view
        if view is not None:
            self.asks.look(view)

    def action_read_all(self) -> None:
        view = self.view
        if view is None:
            return
        rows = [lift_heading(view)]
        last = ""
        for name, words in lift_rows(view):
            last = name or last
            rows.append(line((f"{last}: ", "quiet"), words))
        rows += [line((one, "quiet")) for one in CAUTIONS]
        self.app.push_screen(TellDialog("The lift", tuple(rows)))
