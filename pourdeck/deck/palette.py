"""Finding what can be done, or a panel, by typing part of its name."""

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from pourdeck.deck.actions import SCREENS, Action, on_screen
from pourdeck.deck.choice_dialog import OnceScreen, VerbButton
from pourdeck.deck.paint import line
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.widgets.bar import roomy
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import TooSmall
from pourdeck.deck.widgets.pad import LetterPad
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import Row, RowList
from pourdeck.plan.records import Job
from pourdeck.walk.quantities import QUANTITIES


def found(query: str, actions: tuple[Action, ...]) -> tuple[Action, ...]:
    """The actions whose words hold every word of the query; those whose label holds it first."""
    words = query.casefold().split()

    def holds(text: str) -> bool:
        return all(word in text for word in words)

    in_label = [one for one in actions if holds(f"{one.label} {one.key_text}".casefold())]
    in_help = [one for one in actions if one not in in_label and holds(one.help.casefold())]
    return (*in_label, *in_help)


def provide(screen: DeckScreen) -> tuple[Action, ...]:
    """List what the palette offers on a screen: all of the registry that has a meaning there now."""
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


PANEL = "panel:"
"""Begin the key of a row for a panel: `panel:STACK:NUMBER`, by the stack's place."""


def panel_rows(query: str, job: Job) -> tuple[Row, ...]:
    """The panels whose mark holds the query; none while nothing is typed."""
    wanted = query.strip().casefold()
    if not wanted:
        return ()
    return tuple(
        Row(
            key=f"{PANEL}{place}:{number}",
            left=line((f"{panel.mark:<14}", "strong"), f"Open it: panel {number} of "
                      f"{len(stack.panels)} of stack {stack.id}"),
        )
        for place, stack in enumerate(job.stacks)
        for number, panel in enumerate(stack.panels, 1)
        if wanted in panel.mark.casefold()
    )  # fmt: skip


class Palette(OnceScreen[str | None]):
    """Type, move, Enter. Gives the id of the action or the key of a panel, None where nothing was taken."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Go back", show=False),
        Binding("down", "move(1)", "Down", show=False, priority=True),
        Binding("up", "move(-1)", "Up", show=False, priority=True),
    ]
    DEFAULT_CSS = """
    Palette { align: center top; layers: base cover; background: $deck-ground; color: $deck-text; }
    Palette #box { width: 100%; max-width: 96; height: 100%; padding: 0 1; }
    Palette #query { margin: 1 0; }
    Palette #back { height: auto; }
    """

    def __init__(self, screen: DeckScreen) -> None:
        super().__init__()
        self.actions = provide(screen)
        self.about = SCREENS.get(screen.ID, "")
        self.job = screen.deck.desk.job

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Prose(
                line((f"Find what can be done on the {self.about} screen, or a panel", "heading")),
                line(("Type part of its name; Enter does it, Esc goes back.", "quiet")),
            )
            yield Field(QUANTITIES["note"], rests=False, id="query")
            yield RowList(palette_rows(self.actions), id="found", empty="Nothing of that name.")
            yield LetterPad(take="Do it", id="letters")
            yield VerbButton("Go back", id="back")
        yield TooSmall()

    def on_mount(self) -> None:
        self.hand_changed()
        self.set_focus(self.query_one("#query"))

    def type_key(self, event: events.Key) -> bool:
        """Give a key to the line that is written in; False where it is not for it."""
        field = self.focused
        return isinstance(field, Field) and field.type_key(event)

    def hand_changed(self) -> None:
        """The pad and the way back by click: where there is room, or where the mouse is in use."""
        room = roomy(self)
        by_mouse = bool(getattr(self.app, "by_mouse", False))
        self.query_one(LetterPad).display = room or (by_mouse and self.app.size.height >= 24)
        self.query_one("#back").display = room or by_mouse

    def on_verb_button_pressed(self, event: VerbButton.Pressed) -> None:
        event.stop()
        self.dismiss(None)

    def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        self.query_one(Field).press(event.key, event.character)

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        text = event.field.text
        rows = palette_rows(found(text, self.actions)) + panel_rows(text, self.job)
        self.query_one(RowList).set_rows(rows, select=rows[0].key if rows else None)

    def on_field_taken(self, event: Field.Taken) -> None:
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
