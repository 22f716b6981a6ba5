"""The set-out: the panel drawn in plan on the one below, and every number of it, each open to its sum."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import SteadyColumn, SteadyRow, line
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.views.setout_rows import NumberRow, setout_rows
from pourdeck.deck.views.values import sum_lines
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.prose import DriftView, PlanView, Prose
from pourdeck.deck.widgets.row_list import GUTTER, Row, RowList
from pourdeck.walk.records import Place

SUM_WIDTH = 68


class SetOutScreen(PanelScreen):
    """↑↓ go through the numbers, Enter or F8 opens one, ← and → go down and up the stack."""

    ID = "setout"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("setout")]
    DEFAULT_CSS = """
    SetOutScreen #set { layout: horizontal; height: 1fr; width: 1fr; }
    SetOutScreen #plan { width: 1fr; height: 1fr; }
    SetOutScreen #drift { display: none; width: 1fr; height: 1fr; }
    SetOutScreen.-drift #drift { display: block; }
    SetOutScreen.-drift #plan { display: none; }
    SetOutScreen #right { width: 40; height: 1fr; }
    SetOutScreen.-wide #right { width: 54; }
    SetOutScreen #numbers { height: 1fr; }
    SetOutScreen #sum { display: none; height: 14; padding: 0 1 0 2; }
    SetOutScreen.-wide.-tall #sum { display: block; }
    SetOutScreen.-narrow #set, SetOutScreen.-slim #set { layout: vertical; }
    SetOutScreen.-narrow #plan, SetOutScreen.-slim #plan { height: 8; }
    SetOutScreen.-narrow #drift, SetOutScreen.-slim #drift { height: 8; }
    SetOutScreen.-narrow #right, SetOutScreen.-slim #right { width: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[NumberRow, ...] = ()

    def compose_body(self) -> ComposeResult:
        with SteadyRow(id="set"):
            yield PlanView(id="plan")
            yield DriftView(id="drift")
            with SteadyColumn(id="right"):
                yield RowList(id="numbers")
                yield Prose(id="sum")

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.numbers)

    @property
    def numbers(self) -> RowList:
        return self.query_one("#numbers", RowList)

    def reload(self) -> None:
        setout, numbers = self.setout, self.numbers
        self.set_class(self.drifting, "-drift")
        if setout is None or not numbers.content_size.width:
            return
        job = self.deck.desk.job
        stack = job.stack(setout.stack)
        width = max(24, numbers.content_size.width - GUTTER - 1)
        self._rows = setout_rows(setout, job, stack, width) if stack else ()
        numbers.set_rows(
            tuple(
                Row(left=row.spans, key=str(index) if row.opens else None)
                for index, row in enumerate(self._rows)
            )
        )
        self._draw()

    def _marked(self) -> NumberRow | None:
        key = self.numbers.key
        return self._rows[int(key)] if key is not None and int(key) < len(self._rows) else None

    def _draw(self) -> None:
        setout, row = self.setout, self._marked()
        if setout is None:
            return
        if self.drifting:
            picture = self.deck.desk.drift(setout.stack)
            units = self.deck.desk.job.units
            self.query_one(DriftView).show(picture, setout.number, units)
        else:
            self.query_one(PlanView).show(setout, row.place if row else None)
        pane = self.query_one("#sum", Prose)
        if pane.display:
            opened = row.opens() if row and row.opens else None
            units = self.deck.desk.job.units
            lines = sum_lines(opened, units, max(20, pane.content_size.width)) if opened else []
            room = pane.content_size.height
            if room and len(lines) > room:
                lines = [*lines[: room - 1], line(("… F8 opens it whole", "quiet"))]
            pane.show(lines)

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self._draw()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_setout_sum()

    def on_plan_view_picked(self, event: PlanView.Picked) -> None:
        """A click on the drawing marks the first number of what was clicked."""
        event.stop()
        found = next(
            (
                index
                for index, row in enumerate(self._rows)
                if row.opens and same_place(row.place, event.place)
            ),
            None,
        )
        if found is not None:
            self.numbers.select(str(found), tell=True)
            self.set_focus(self.numbers)

    def action_setout_sum(self) -> None:
        """Open the sum behind the marked number."""
        row = self._marked()
        opened = row.opens() if row and row.opens else None
        if opened is None:
            self.deck.say(Said("note", "There is no sum behind this row", "Mark a number first."))
            return
        rows = sum_lines(opened, self.deck.desk.job.units, SUM_WIDTH)
        self.app.push_screen(TellDialog("The sum", tuple(rows)))

    @property
    def drifting(self) -> bool:
        """Whether the drift of the stack stands in the place of the plan."""
        return self.deck.here.drifting(self.ID)

    def can_do(self, action_id: str) -> bool:
        return action_id != "hide-drift" or self.drifting

    def action_show_drift(self) -> None:
        self.deck.keep(drift=self.deck.here.turned(self.ID))
        self.refresh_all()

    def action_hide_drift(self) -> None:
        if self.drifting:
            self.action_show_drift()

    def on_drift_view_picked(self, event: DriftView.Picked) -> None:
        """A click on a panel of the drift goes to it."""
        event.stop()
        self.deck.place(panel=event.number)
        self.refresh_all()

    def action_panel_above(self) -> None:
        self._climb(1)

    def action_panel_below(self) -> None:
        self._climb(-1)

    def _climb(self, step: int) -> None:
        here = self.deck.here
        if here.stack is None or here.panel is None:
            return
        wanted = here.panel + step
        if not 1 <= wanted <= len(self.deck.desk.set_outs(here.stack)):
            end = "the top panel" if step > 0 else "on the bed"
            self.deck.say(
                Said("note", f"This is {end}", "There is no further panel in this stack.")
            )
            return
        self.deck.place(panel=wanted)
        self.refresh_all()


def same_place(row: Place, picked: Place) -> bool:
    """Whether a row speaks of what was clicked: a bracket, a named thing, an anchor's or a whole side."""
    if picked.bracket is not None:
        return row.bracket == picked.bracket
    if picked.name is not None:
        return row.name == picked.name and row.side == picked.side
    if picked.corner is not None:
        return row.corner == picked.corner
    if picked.x is not None:
        return (row.x, row.y) == (picked.x, picked.y)
    return row.side == picked.side and row.bracket is None
