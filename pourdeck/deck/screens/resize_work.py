"""The size change in hand: what is typed, how it would lie, and what that does."""

from collections.abc import Callable
from decimal import Decimal

from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.deck.views.resize_lapse import lapses_below
from pourdeck.deck.widgets.field import Field
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import ALIGNMENTS, Align
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import Cancel

SIZES = ("width", "height", "thickness")


class ResizeWork:
    """What is typed comes back after a kill. `marked` is the way under the mark, not the one shown."""

    def __init__(self, screen: PanelScreen, field: Callable[[str], Field]) -> None:
        """`field` gives the field of a size by its name."""
        self.screen = screen
        self.field = field
        self.found: Resize | Refusal | None = None
        self.cancels: tuple[Cancel, ...] = ()
        self.lapses: tuple[Cancel, ...] = ()
        self.marked: str | None = None
        self.last_field = SIZES[0]
        self._align: Align | None = None
        self._panel: tuple[str | None, int | None] = (None, None)
        self._entries = -1

    def take_in_hand(self) -> None:
        """Fill the fields with what was typed for this panel, and work it out where anything is new."""
        here = self.screen.deck.here
        if (here.stack, here.panel) != self._panel:
            self._panel = (here.stack, here.panel)
            self.marked = None
            kept = self.screen.deck.kept.text(self._key("align"))
            self._align = next((one for one in ALIGNMENTS if one == kept), None)
            for name in SIZES:
                field = self.field(name)
                field.load("")
                if text := self.screen.deck.kept.text(self._key(name)):
                    field.load_draft(text)
            self.last_field = SIZES[0]
            self.field(self.last_field).focus()
            self.work_out()
        elif self._entries != len(self.screen.deck.desk.state.entries):
            self.work_out()

    def _key(self, name: str) -> str:
        here = self.screen.deck.here
        return f"resize.{here.stack}.{here.panel}.{name}"

    def keep(self, name: str, text: str) -> None:
        self.last_field = name if name in SIZES else self.last_field
        self.screen.deck.keep_text(self._key(name), text)

    def press(self, key: str) -> bool:
        """A button of the pad, for the field that has the focus or had it last; False: not for it."""
        field = self.screen.focused
        if not isinstance(field, Field):
            field = self.field(self.last_field)
            field.focus()
        if key == "enter" and not field.typing:
            self.to_next(field)
            return True
        return field.press(key)

    def to_next(self, field: Field) -> None:
        """From one size to the next, from the last to the ways to lie."""
        place = SIZES.index((field.id or "").removeprefix("new-")) + 1
        after = self.field(SIZES[place]) if place < len(SIZES) else self.screen.query_one("#ways")
        after.focus()

    def typed(self) -> bool:
        return any(self.field(name).text for name in SIZES)

    def unread(self) -> str | None:
        """The first size that is typed and cannot be read."""
        fields = {name: self.field(name) for name in SIZES}
        return next(
            (
                name
                for name, field in fields.items()
                if field.text and not isinstance(field.found, Decimal)
            ),
            None,
        )

    def work_out(self) -> None:
        here, desk = self.screen.deck.here, self.screen.deck.desk
        if here.stack is None or here.panel is None:
            return
        typed = {name: self.field(name).found for name in SIZES}
        sizes = {name: value for name, value in typed.items() if isinstance(value, Decimal)}
        self._entries = len(desk.state.entries)
        self.found = desk.resize(here.stack, here.panel, align=self._align, **sizes)
        self.cancels = self.lapses = ()
        if isinstance(self.found, Resize) and self.found.changes_anything:
            self.cancels = desk.cancels(self.found)
            self.lapses = lapses_below(desk, self.found)

    def take_way(self, align: Align) -> None:
        """Show the change as it lies so."""
        self._align = align
        self.marked = align
        self.keep("align", align)
        self.work_out()

    def put_back(self) -> None:
        """Forget what was typed and taken."""
        for name in (*SIZES, "align"):
            self.keep(name, "")
        self._panel = (None, None)
        self._align = None
