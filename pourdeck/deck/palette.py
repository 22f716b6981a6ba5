"""Finding what can be done by typing part of its name."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen

from pourdeck.deck.actions import SCREENS, Action, on_screen
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.spans import line
from pourdeck.deck.widgets.line_field import LineField
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.widgets.too_small import TooSmall


def found(query: str, actions: tuple[Action, ...]) -> tuple[Action, ...]:
    """The actions whose words hold every word of the query; those whose label holds it first."""
    words = query.casefold().split()

    def holds(text: str) -> bool:
        return all(word in text for word in words)

    in_label = [one for one in actions if holds(f"{one.label} {one.key_text}".casefold())]
    in_help = [one for one in actions if one not in in_label and holds(one.help.casefold())]
    return (*in_label, *in_help)


def provide(screen: DeckScreen) -> tuple[Action, ...]:
    """What the palette offers on a screen: all of the registry that has a meaning there now."""
    return tuple(one for one in on_screen(screen.ID) if screen.can_do(one.id))


def palette_rows(actions: tuple[Action, ...]) -> tuple[Row, ...]:
    return tuple(
        Row(
            key=one.id,
            left=line((f"{one.label:<14}", "strong"), one.help),
            right=line((one.key_text, "key")),
        )
        for one in actions
    )


class Palette(ModalScreen[str | None]):
    """Type, move, Enter. Gives the id of the action, None where nothing was taken."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Go back", show=False),
        Binding("down", "move(1)", "Down", show=False, priority=True),
        Binding("up", "move(-1)", "Up", show=False, priority=True),
    ]
    DEFAULT_CSS = """
    Palette { align: center top; layers: base cover; background: $deck-ground; color: $deck-text; }
    Palette #box { width: 100%; max-width: 96; height: 100%; padding: 0 1; }
    Palette #query { margin: 1 0; }
    """

    def __init__(self, screen: DeckScreen) -> None:
        super().__init__()
        self.actions = provide(screen)
        self.about = SCREENS.get(screen.ID, "")

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Prose(
                line((f"Find what can be done on the {self.about} screen", "heading")),
                line(("Type part of its name; Enter does it, Esc goes back.", "quiet")),
            )
            yield LineField(id="query")
            yield RowList(palette_rows(self.actions), id="found", empty="Nothing of that name.")
        yield TooSmall()

    def on_mount(self) -> None:
        self.query_one("#query").focus()

    def on_input_changed(self, event: LineField.Changed) -> None:
        event.stop()
        rows = palette_rows(found(event.value, self.actions))
        self.query_one(RowList).set_rows(rows, select=rows[0].key if rows else None)

    def on_input_submitted(self, event: LineField.Submitted) -> None:
        event.stop()
        self.dismiss(self.query_one(RowList).key)

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.dismiss(event.key)

    def action_move(self, step: int) -> None:
        rows = self.query_one(RowList)
        if step > 0:
            rows.action_row_down()
        else:
            rows.action_row_up()

    def action_close(self) -> None:
        self.dismiss(None)
