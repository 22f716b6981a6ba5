"""Show how strong the panel in hand is by when: the curve with its limits, what is missing, the tests."""

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import SteadyRow
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.screens.concrete_asks import ask_result, ask_specimen, ask_temperature
from pourdeck.deck.screens.logger_asks import ask_file, take_text
from pourdeck.deck.views.strength_rows import ADDING, AGE, SPECIMEN, read_all_rows, strength_rows
from pourdeck.deck.widgets.prose import GainView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.sitelog.state import PanelState
from pourdeck.walk.strength import Strength, strength


class StrengthScreen(PanelScreen):
    """↑↓ go through what can be added and put right, Enter or a click on the mark does it."""

    ID = "strength"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("strength")]
    DEFAULT_CSS = """
    StrengthScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    StrengthScreen #gain { width: 1fr; height: 1fr; }
    StrengthScreen #known { width: 38; height: 1fr; }
    StrengthScreen.-wide #known { width: 48; }
    StrengthScreen.-narrow #both, StrengthScreen.-slim #both { layout: vertical; }
    StrengthScreen.-narrow #gain, StrengthScreen.-slim #gain { height: 8; }
    StrengthScreen.-narrow #known, StrengthScreen.-slim #known { width: 1fr; }
    """

    def compose_body(self) -> ComposeResult:
        with SteadyRow(id="both"):
            yield GainView(id="gain")
            yield RowList(id="known", empty="The job has no such panel.")

    # What stands.

    @property
    def record(self) -> PanelState | None:
        """Give what the log has of the panel in hand."""
        setout = self.setout
        return self.deck.desk.state.panel(setout.mark) if setout else None

    def found(self) -> Strength | None:
        """By the plan in force, closed or not: a limit that the office gives later counts."""
        record, desk = self.record, self.deck.desk
        if record is None:
            return None
        return strength(desk.job, record, desk.now(), desk.clocks().left_out(record.pour_end))

    @property
    def rows(self) -> RowList:
        return self.query_one("#known", RowList)

    # What is shown.

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.rows)

    def minute(self) -> None:
        """Its age and the estimate by now are others."""
        self.reload()

    def reload(self) -> None:
        record, found, desk = self.record, self.found(), self.deck.desk
        if record is None or found is None:
            self.rows.set_rows(())
            self.query_one(GainView).show(None, desk.job)
            return
        shown = strength_rows(desk.job, record, found, desk.now().tzinfo)
        kept = self.deck.kept.text(self.draft("row")) or None
        self.rows.set_rows(shown, select=kept)
        self.query_one(GainView).show(found, desk.job)

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self.deck.keep_text(self.draft("row"), event.key)

    async def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        if event.key in ADDING:
            await self.run_known(event.key)
        elif event.key == AGE:
            self.action_read_all()
        elif event.key.startswith(SPECIMEN):
            ask_result(self, event.key.removeprefix(SPECIMEN))

    # What can be done.

    def action_add_temperature(self) -> None:
        ask_temperature(self)

    def action_read_logger(self) -> None:
        ask_file(self)

    def action_add_specimen(self) -> None:
        ask_specimen(self)

    def action_correct_specimen(self) -> None:
        key = self.rows.key or ""
        ask_specimen(self, key.removeprefix(SPECIMEN) if key.startswith(SPECIMEN) else "")

    def action_add_result(self) -> None:
        ask_result(self)

    def action_read_all(self) -> None:
        """All that is known, uncut, and what the estimate is worked out by."""
        record, found, desk = self.record, self.found(), self.deck.desk
        if record is not None and found is not None:
            rows = read_all_rows(desk.job, record, found, desk.now().tzinfo)
            self.app.push_screen(TellDialog("How strong by when", rows))

    def can_do(self, action_id: str) -> bool:
        if action_id == "correct-specimen":
            return (self.rows.key or "").startswith(SPECIMEN)
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Lines pasted where no field has the focus are those of a logger."""
        if len(event.text.splitlines()) > 1:
            event.stop()
            take_text(self, event.text)
