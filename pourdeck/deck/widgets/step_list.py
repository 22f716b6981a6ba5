"""The list of steps of the walk: its keys go from step to step, opened or not, wherever the focus is."""

from typing import ClassVar

from textual.binding import Binding, BindingType

from pourdeck.deck.widgets.row_list import RowList


class StepList(RowList):
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.step(-1)", "Before", show=False),
        Binding("down", "screen.step(1)", "Next", show=False),
        Binding("pageup", "screen.section(-1)", "Section before", show=False),
        Binding("pagedown", "screen.section(1)", "Next section", show=False),
    ]
