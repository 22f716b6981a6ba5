"""The board: every stack as the pile it is, and under it what today needs."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.drawing.pile import Where
from pourdeck.deck.paint import SteadyRow
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.views.board_rows import need_rows, panel_line, pile_stacks, target_of
from pourdeck.deck.widgets.pile_view import PileView
from pourdeck.deck.widgets.prose import DriftView, Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.board import Board

DRIFT_ROWS = 10
"""Rows of the drift beside those of the panels: what it is, from where it is seen, the bed, and words."""


class BoardScreen(DeckScreen):
    """Tab goes from the piles to the rows and back."""

    ID = "board"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("board")]
    DEFAULT_CSS = """
    BoardScreen #piles { height: 9; }
    BoardScreen #marked { height: 1; }
    BoardScreen #below { height: 1fr; width: 1fr; }
    BoardScreen #needs { height: 1fr; width: 1fr; }
    BoardScreen #drift { display: none; width: 58; margin-left: 1; }
    BoardScreen.-aside #drift { display: block; }
    """

    def compose_body(self) -> ComposeResult:
        yield PileView(id="piles")
        yield Prose(id="marked", base="bar")
        with SteadyRow(id="below"):
            yield RowList(id="needs", empty="Nothing is wanted today.")
            yield DriftView(id="drift")

    def on_mount(self) -> None:
        self.set_focus(self.query_one(PileView))

    @property
    def board(self) -> Board:
        return self.deck.board()

    def reload(self) -> None:
        board, here = self.board, self.deck.here
        units = self.deck.desk.job.units
        where = (here.stack, here.panel) if here.stack and here.panel else None
        piles = self.query_one(PileView)
        drift = self.deck.desk.drift if self.drifting else None
        piles.show(pile_stacks(board, units), where, drift=drift, units=units)
        self.query_one(RowList).set_rows(need_rows(board, units))
        self._mark(piles.where)
        self._share()
        if not self.query_one(RowList).has_focus:
            self._mark_next(piles.where)

    @property
    def drifting(self) -> bool:
        """Whether the drift of the marked stack stands in the place of the piles."""
        return self.deck.here.drifting(self.ID)

    def can_do(self, action_id: str) -> bool:
        return super().can_do(action_id) and (action_id != "hide-drift" or self.drifting)

    def action_show_drift(self) -> None:
        self.deck.keep(drift=self.deck.here.turned(self.ID))
        self.refresh_all()

    def action_hide_drift(self) -> None:
        if self.drifting:
            self.action_show_drift()

    def on_drift_view_picked(self, event: DriftView.Picked) -> None:
        event.stop()
        where = self.query_one(PileView).where
        if where is not None:
            self.query_one(PileView).take(where[0], event.number)

    def on_resize(self) -> None:
        super().on_resize()
        self._share()

    def _share(self) -> None:
        """The piles get what they need, boxes where there is room for boxes; the rows get the rest."""
        body = self.query_one("#body").size.height or max(4, self.app.size.height - 4)
        highest = max((len(stack.panels) for stack in self.board.stacks), default=1)
        most = max(4, body - (5 if self.drifting else 7))
        full = min(most, highest + DRIFT_ROWS) if self.drifting else 2 * highest + 4
        self.query_one(PileView).styles.height = full if full <= most else min(highest + 3, most)
        self._show_aside()

    def _show_aside(self) -> None:
        """The drift under the piles, beside the rows: where there is room and it is not shown large, and
        where a panel of the job was measured, so that it does not come and go from stack to stack.
        """
        size = self.app.size
        room = size.width >= 120 and size.height >= 40 and not self.drifting
        board, where = self.board, self.query_one(PileView).where
        there = room and any(one.cast for stack in board.stacks for one in stack.panels)
        self.set_class(there, "-aside")
        if there and where is not None:
            units = self.deck.desk.job.units
            picture = self.deck.desk.drift(where[0])
            self.query_one(DriftView).show(picture, where[1], units)

    def _mark(self, where: Where | None) -> None:
        board = self.board
        stack = next((one for one in board.stacks if where and one.id == where[0]), None)
        if self.has_class("-aside"):
            self._show_aside()
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
        target = target_of(self.board, event.key, self.deck.desk.job.units)
        if target is not None and target.stack is not None and target.panel is not None:
            self.query_one(PileView).mark(target.stack, target.panel)
            self._mark((target.stack, target.panel))

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self._open_row(event.key)

    def _open_row(self, key: str) -> None:
        target = target_of(self.board, key, self.deck.desk.job.units)
        if target is not None:
            self.deck.open_target(target)

    def _open(self, screen: str) -> None:
        where = self.query_one(PileView).where
        if where is not None:
            self.deck.go(screen, stack=where[0], panel=where[1])

    def action_open_panel(self) -> None:
        """Open what is marked: the row where the rows have the focus, else the panel."""
        rows = self.query_one(RowList)
        if rows.has_focus and rows.key is not None:
            self._open_row(rows.key)
        else:
            self._open_marked_panel()

    def action_show_setout(self) -> None:
        self._open("setout")

    def action_show_resize(self) -> None:
        self._open("resize")
