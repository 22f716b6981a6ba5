"""What a file holds, shown before it is recorded."""

from textual.app import ComposeResult

from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.dialog_base import fit_list
from pourdeck.deck.spans import Spans
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row


class ImportDialog(ConfirmDialog):
    """The lines can be read to their end by the arrows; the focus is first on the way out."""

    DEFAULT_CSS = "ImportDialog RowList { height: auto; margin-top: 1; }"
    verb = "Record"

    def __init__(self, title: str, rows: tuple[Spans, ...]) -> None:
        super().__init__(title)
        self.rows = tuple(Row(left=spans, wrap=True, indent=2) for spans in rows)

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="import-rows")

    def on_resize(self) -> None:
        fit_list(self.query_one("#import-rows", RowList))
