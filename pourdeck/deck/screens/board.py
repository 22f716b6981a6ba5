"""The board: every stack as the pile it is, and under it what today needs."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.drawing.pile import Where
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.views.board_rows import need_rows, panel_line, pile_stacks, target_of
from pourdeck.deck.widgets.pile_view import PileView
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.board import Board


class BoardScreen(DeckScreen):
    """Tab goes from the piles to the rows and back."""

    ID = "board"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("board")]
    DEFAULT_CSS = """
    BoardScreen #piles { height: 9; }
    BoardScreen #marked { height: 1; }
    BoardScreen #needs { height: 1fr; }
    """

    def compose_body(self) -> ComposeResult:
        yield PileView(id="piles")
        yield Prose(id="marked", base="bar")
        yield RowList(id="needs", empty="Nothing is wanted today.")

    def on_mount(self) -> None:
        self.query_one(PileView).focus()

    @property
    def board(self) -> Board:
        return self.deck.board()

    def reload(self) -> None:
        board, here = self.board, self.deck.here
        units = self.deck.desk.job.units
        where = (here.stack, here.panel) if here.stack and here.panel else None
        piles = self.query_one(PileView)
        piles.show(pile_stacks(board, units), where)
        self.query_one(RowList).set_rows(need_rows(board, units))
        self._mark(piles.where)
        self._share()
        if not self.query_one(RowList).has_focus:
            self._mark_next(piles.where)

    def on_resize(self) -> None:
        super().on_resize()
        self._share()

    def _share(self) -> None:
        """The piles get what they need, boxes where there is room for boxes; the rows get the rest."""
        body = self.query_one("#body").size.height or max(4, self.app.size.height - 4)
        highest = max((len(stack.panels) for stack in self.board.stacks), default=1)
        most = max(4, body - 7)
        full = 2 * highest + 4
        self.query_one(PileView).styles.height = full if full <= most else min(highest + 3, most)

    def _mark(self, where: Where | None) -> None:
        board = self.board
        stack = next((one for one in board.stacks if where and one.id == where[0]), None)
        words = [panel_line(stack, where[1], self.deck.desk.job.units)] if stack and where else []
        self.query_one("#marked", Prose).show(words)

    def on_pile_view_selected(self, event: PileView.Selected) -> None:
        event.stop()
        stack, panel = event.where
        self.deck.place(stack=stack, panel=panel)
        self._mark(event.where)
        self._mark_next(event.where)

    def _mark_next(self, where: Where | None) -> None:
        """In the rows, what comes next on the marked panel: what is marked in both is what Enter opens."""
        rows = self.query_one(RowList)
        index = self._next_index(where)
        if index is None:
            rows.unmark()
        else:
            rows.select(f"next:{index}")

    def _next_index(self, where: Where | None) -> int | None:
        acts = enumerate(self.board.next)
        return next((index for index, act in acts if (act.stack, act.number) == where), None)

    def on_pile_view_chosen(self, event: PileView.Chosen) -> None:
        event.stop()
        self._open_marked_panel()

    def _open_marked_panel(self) -> None:
        """At what comes next on it, where there is such a thing."""
        index = self._next_index(self.query_one(PileView).where)
        if index is None:
            self._open("walk")
        else:
            self._open_row(f"next:{index}")

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        target = target_of(self.board, event.key)
        if target is not None and target.stack is not None and target.panel is not None:
            self.query_one(PileView).mark(target.stack, target.panel)
            self._mark((target.stack, target.panel))

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self._open_row(event.key)

    def _open_row(self, key: str) -> None:
        target = target_of(self.board, key)
        if target is not None:
            self.deck.go(target.screen, stack=target.stack, panel=target.panel, item=target.item)

    def _open(self, screen: str) -> None:
        where = self.query_one(PileView).where
        if where is not None:
            self.deck.go(screen, stack=where[0], panel=where[1])

    def action_open_panel(self) -> None:
        """What is marked: the row where the rows have the focus, else the panel."""
        rows = self.query_one(RowList)
        if rows.has_focus and rows.key is not None:
            self._open_row(rows.key)
        else:
            self._open_marked_panel()

    def action_show_setout(self) -> None:
        self._open("setout")

    def action_show_resize(self) -> None:
        self._open("resize")
