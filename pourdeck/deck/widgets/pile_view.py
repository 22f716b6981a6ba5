"""The piles on screen, or the drift of one of them: a drawing with a mark that goes from panel to panel."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from attrs import frozen
from textual import events
from textual.binding import BindingType
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.actions import DRAWINGS, bindings
from pourdeck.deck.drawing.canvas import Canvas, Hits
from pourdeck.deck.drawing.pile import PileDrawing, PileStack, Where, pile
from pourdeck.deck.paint import Steady, changed_rows, look_of, repaint_rows, strip
from pourdeck.plan.records import Units

if TYPE_CHECKING:
    from pourdeck.setout.elevation import DriftPicture

Drifts = Callable[[str], "DriftPicture"]
"""From a stack's id to its drift."""


@frozen(kw_only=True, eq=False, repr=False)
class Drifted:
    """The drift of the marked stack, with what the drawing of the piles has for clicks."""

    canvas: Canvas
    hits: Hits[Where]
    parts: Hits[Where]


class PileView(Steady, can_focus=True):
    """Arrows move the mark; Enter, or a click on the marked panel, takes it."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "PileView { width: 1fr; height: 1fr; }"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(DRAWINGS)]

    class Selected(Message):
        """The mark moved to a panel."""

        def __init__(self, view: "PileView", where: Where) -> None:
            super().__init__()
            self.view = view
            self.where = where

    class Chosen(Message):
        """The marked panel was taken."""

        def __init__(self, view: "PileView", where: Where) -> None:
            super().__init__()
            self.view = view
            self.where = where

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.stacks: tuple[PileStack, ...] = ()
        self.where: Where | None = None
        self.drift: Drifts | None = None
        self.units: Units = "metric"
        self._drawing: PileDrawing | Drifted | None = None

    def show(
        self,
        stacks: tuple[PileStack, ...],
        where: Where | None,
        *,
        drift: Drifts | None = None,
        units: Units = "metric",
    ) -> None:
        """Draw other stacks, the mark on that panel, or on the first stack's where there is none.

        `drift` gives the drift of a stack: it is drawn in the place of the piles.
        """
        self.stacks, self.drift, self.units = stacks, drift, units
        self.where = where if self._panel(where) is not None else self._first()
        self._redraw()

    def _first(self) -> Where | None:
        for stack in self.stacks:
            for panel in stack.panels:
                if panel.in_hand:
                    return stack.id, panel.number
        return next(((stack.id, 1) for stack in self.stacks if stack.panels), None)

    def _panel(self, where: Where | None) -> object:
        if where is None:
            return None
        stack = next((one for one in self.stacks if one.id == where[0]), None)
        return (
            next((one for one in stack.panels if one.number == where[1]), None) if stack else None
        )

    @property
    def drawing(self) -> "PileDrawing | Drifted":
        size = self.content_size
        drawing = self._drawing
        if drawing is None or (drawing.canvas.width, drawing.canvas.height) != tuple(size):
            drawing = self._drawn(size.width, size.height)
            self._drawing = drawing
        return drawing

    def _drawn(self, width: int, height: int) -> "PileDrawing | Drifted":
        if self.drift is None or self.where is None:
            return pile(self.stacks, width, height, self.where, focused=self.has_focus)
        from pourdeck.deck.drawing.drift import drift_drawing

        stack, number = self.where
        found = drift_drawing(
            self.drift(stack), self.units, width, height, number, focused=self.has_focus
        )
        hits: Hits[Where] = Hits()
        for hit in found.hits.found:
            hits.add(hit.x, hit.y, hit.width, hit.height, (stack, hit.what))
        return Drifted(canvas=found.canvas, hits=hits, parts=Hits())

    def _redraw(self) -> None:
        """Draw anew, and paint what came out different."""
        before, self._drawing = self._drawing, None
        size = tuple(self.content_size)
        if before is None or (before.canvas.width, before.canvas.height) != size:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.canvas.rows(), self.drawing.canvas.rows()))

    def render_line(self, y: int) -> Strip:
        return strip(self.drawing.canvas.spans(y), look_of(self), self.content_size.width)

    def on_focus(self) -> None:
        self.call_next(self._redraw)

    def on_blur(self) -> None:
        # Only after this is `has_focus` what it will be.
        self.call_next(self._redraw)

    def mark(self, stack: str, number: int) -> None:
        """Mark a panel without a word of it."""
        if (stack, number) != self.where and self._panel((stack, number)) is not None:
            self.where = (stack, number)
            self._redraw()

    def take(self, stack: str, number: int) -> None:
        """Mark a panel, and say so, as a click on it does; on the marked one, open it."""
        if (stack, number) == self.where:
            self.action_panel_take()
        else:
            self._move((stack, number))

    def _move(self, where: Where | None) -> None:
        if where is not None and where != self.where and self._panel(where) is not None:
            self.where = where
            self._redraw()
            self.post_message(self.Selected(self, where))

    def action_stack_left(self) -> None:
        self._aside(-1)

    def action_stack_right(self) -> None:
        self._aside(1)

    def _aside(self, step: int) -> None:
        """To the next stack: to the panel in hand there."""
        ids = [stack.id for stack in self.stacks if stack.panels]
        if self.where is None or self.where[0] not in ids:
            return
        index = ids.index(self.where[0]) + step
        if 0 <= index < len(ids):
            stack = next(one for one in self.stacks if one.id == ids[index])
            hand = next((one.number for one in stack.panels if one.in_hand), 1)
            self._move((stack.id, hand))

    def action_panel_up(self) -> None:
        self._climb(1)

    def action_panel_down(self) -> None:
        self._climb(-1)

    def _climb(self, step: int) -> None:
        if self.where is not None:
            self._move((self.where[0], self.where[1] + step))

    def action_panel_take(self) -> None:
        if self.where is not None:
            self.post_message(self.Chosen(self, self.where))

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        found = self.drawing.hits.at(offset.x, offset.y)
        if found is not None and found == self.where:
            self.action_panel_take()
        else:
            self._move(found or self.drawing.parts.at(offset.x, offset.y))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._climb(-1)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._climb(1)
