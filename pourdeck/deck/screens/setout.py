"""The set-out: the panel drawn in plan on the one below, and every number of it, each open to its sum."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from pourdeck.deck.actions import bindings
from pourdeck.deck.dialogs import TellDialog
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.spans import Spans
from pourdeck.deck.views.setout_rows import NumberRow, setout_rows, sum_lines, title
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.plan_view import PlanView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import GUTTER, Row
from pourdeck.setout.record import SetOut

SUM_WIDTH = 68


class SetOutScreen(DeckScreen):
    """↑↓ go through the numbers, Enter or F8 opens one, PgUp and PgDn go up and down the stack."""

    ID = "setout"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("setout")]
    DEFAULT_CSS = """
    SetOutScreen #set { layout: horizontal; height: 1fr; width: 1fr; }
    SetOutScreen #plan { width: 1fr; height: 1fr; }
    SetOutScreen #numbers { width: 40; height: 1fr; }
    SetOutScreen.-wide #numbers { width: 52; }
    SetOutScreen.-narrow #set, SetOutScreen.-slim #set { layout: vertical; }
    SetOutScreen.-narrow #plan, SetOutScreen.-slim #plan { height: 9; }
    SetOutScreen.-narrow #numbers, SetOutScreen.-slim #numbers { width: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[NumberRow, ...] = ()

    def compose_body(self) -> ComposeResult:
        with Container(id="set"):
            yield PlanView(id="plan")
            yield RowList(id="numbers")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#numbers").focus()

    @property
    def setout(self) -> SetOut | None:
        """The panel in hand, None where the job has no such panel."""
        here = self.deck.here
        if here.stack is None or here.panel is None:
            return None
        found = self.deck.desk.set_outs(here.stack)
        return found[here.panel - 1] if 1 <= here.panel <= len(found) else None

    def title_words(self) -> Spans:
        setout = self.setout
        return title(setout) if setout else super().title_words()

    def reload(self) -> None:
        setout = self.setout
        if setout is None:
            return
        job = self.deck.desk.job
        stack = job.stack(setout.stack)
        numbers = self.query_one("#numbers", RowList)
        width = max(24, (numbers.size.width or 40) - GUTTER - 1)
        self._rows = setout_rows(setout, job, stack, width) if stack else ()
        numbers.set_rows(
            tuple(
                Row(left=row.spans, key=str(index) if row.opens or row.place.side else None)
                for index, row in enumerate(self._rows)
            )
        )
        self._draw()

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self.reload)

    def _marked(self) -> NumberRow | None:
        key = self.query_one("#numbers", RowList).key
        return self._rows[int(key)] if key is not None and int(key) < len(self._rows) else None

    def _draw(self) -> None:
        setout, row = self.setout, self._marked()
        if setout is not None:
            self.query_one(PlanView).show(setout, row.place if row else None)

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self._draw()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_setout_sum()

    def action_setout_sum(self) -> None:
        """Open the sum behind the marked number."""
        row = self._marked()
        opened = row.opens() if row and row.opens else None
        if opened is None:
            self.deck.say(Said("note", "There is no sum behind this row", "Mark a number first."))
            return
        rows = sum_lines(opened, self.deck.desk.job.units, SUM_WIDTH)
        self.app.push_screen(TellDialog("The sum", tuple(rows)))

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
            self.deck.say(Said("note", f"This is {end}", "There is no further panel in this stack."))
            return
        self.deck.place(panel=wanted)
        self.refresh_all()


