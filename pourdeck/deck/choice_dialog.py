"""Dialogs with rows in them: pick one, or just read."""

from textual.app import ComposeResult

from pourdeck.deck.dialog_base import DeckDialog, fit_list
from pourdeck.deck.spans import Spans
from pourdeck.deck.widgets.room import roomy
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.widgets.verb_button import VerbButton

FRAME = 10
"""Lines that a dialog takes round its list."""


class ChoiceDialog(DeckDialog[str]):
    """Pick one row: gives its key. Enter, or a click on the marked row, takes it.

    `unmarked`: no row is marked at first, so that Enter alone picks nobody.
    """

    DEFAULT_CSS = "ChoiceDialog RowList { height: auto; margin-top: 1; }"

    def __init__(
        self,
        title: str,
        rows: tuple[Row, ...],
        body: str = "",
        *,
        select: str | None = None,
        verb: str = "",
        unmarked: bool = False,
        by_itself: bool = False,
    ) -> None:
        super().__init__(title, body, verb=verb, by_itself=by_itself)
        self.rows = rows
        self.first = select
        self.unmarked = unmarked

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="choices")

    def on_mount(self) -> None:
        choices = self.query_one("#choices", RowList)
        if self.first is not None:
            choices.select(self.first)
        elif self.unmarked:
            choices.unmark()
        choices.focus()

    def on_resize(self) -> None:
        choices = self.query_one("#choices", RowList)
        fits = 2 * len(self.rows) <= self.app.size.height - FRAME
        choices.spread_out(2 if fits and roomy(self) else 1)
        fit_list(choices)

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.dismiss(event.key)

    def submit(self) -> None:
        key = self.query_one("#choices", RowList).key
        if key is not None:
            self.dismiss(key)
        else:
            self.tell("Nobody is picked: ↑ and ↓, or a click, mark a name.")

    def on_row_list_unpicked(self, event: RowList.Unpicked) -> None:
        event.stop()
        self.submit()


class TellDialog(DeckDialog[str]):
    """Something to read, with one way out."""

    DEFAULT_CSS = """
    TellDialog RowList { height: auto; margin-top: 1; }
    """

    def __init__(self, title: str, rows: tuple[Spans, ...], body: str = "") -> None:
        super().__init__(title, body, cancel_verb="Go back")
        self.rows = tuple(Row(left=spans, wrap=True, indent=2) for spans in rows)

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="told-rows")

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton(self.cancel_now, id="cancel")

    def on_mount(self) -> None:
        self.query_one("#cancel").focus()

    def on_resize(self) -> None:
        fit_list(self.query_one("#told-rows", RowList))

    def submit(self) -> None:
        self.dismiss(None)
