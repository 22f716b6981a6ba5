"""Questions that stand over a screen: pick one, write something, release a hold.

Every button says what it does. Esc always leaves with nothing done, and so does the button that has the focus
first wherever the other one cannot be undone.
"""

from typing import Any, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical

from pourdeck.deck.looking import look_of
from pourdeck.deck.once import OnceScreen
from pourdeck.deck.spans import line
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.too_small import TooSmall
from pourdeck.deck.widgets.verb_button import VerbButton

Result = TypeVar("Result")


DEAF_SECONDS = 0.25
"""So long a dialog that opened by itself takes no key and no click: they were meant for what was there."""


class DeckDialog(OnceScreen[Result | None]):
    """A box with a title, words, what the dialog is about, and buttons. None: left with nothing done.

    `by_itself`: it opens after an answer and not at a key of its own, and is deaf at first.
    """

    DEFAULT_CSS = """
    DeckDialog { align: center middle; layers: base cover; background: transparent; color: $deck-text; }
    DeckDialog #box {
        width: 100%; max-width: 84; height: auto; max-height: 100%;
        border: solid $deck-rule; padding: 0 1; background: $deck-ground; overflow-y: auto;
    }
    DeckDialog.-ascii #box { border: ascii $deck-rule; }
    DeckDialog #buttons { height: auto; width: 1fr; margin-top: 1; }
    DeckDialog.-low #buttons { margin-top: 0; }
    DeckDialog.-low VerbButton { height: 1; }
    DeckDialog #told { margin-top: 0; }
    DeckDialog .field-row { height: auto; }
    DeckDialog .field-row Prose { width: 23; padding-right: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Leave", show=False),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
        Binding("right", "app.focus_next", "Next", show=False),
        Binding("left", "app.focus_previous", "Before", show=False),
    ]
    verb: ClassVar[str] = "Choose"
    cancel_verb: ClassVar[str] = "Leave it"

    def __init__(
        self,
        title: str,
        body: str = "",
        *,
        verb: str = "",
        cancel_verb: str = "",
        by_itself: bool = False,
    ) -> None:
        super().__init__()
        self.by_itself = by_itself
        self.heading = title
        self.body = body
        self.verb_now = verb or self.verb
        self.cancel_now = cancel_verb or self.cancel_verb

    def compose(self) -> ComposeResult:
        self.set_class(look_of(self).ascii_only, "-ascii")
        with Vertical(id="box"):
            yield Prose(line((self.heading, "heading")), *([line(self.body)] if self.body else []))
            yield from self.compose_middle()
            yield Prose(id="told")
            with Horizontal(id="buttons"):
                yield from self.compose_buttons()
        yield TooSmall()

    def on_mount(self) -> None:
        deafen: Any = getattr(self.app, "deafen", None)
        if self.by_itself and deafen is not None:
            deafen(DEAF_SECONDS)

    def compose_middle(self) -> ComposeResult:
        """What the dialog is about."""
        yield from ()

    def compose_buttons(self) -> ComposeResult:
        """The way out first, what acts last: so in every dialog."""
        yield VerbButton(self.cancel_now, id="cancel")
        yield VerbButton(self.verb_now, id="do")

    def tell(self, words: str) -> None:
        """Say under the fields why it cannot go on."""
        self.query_one("#told", Prose).show([line((f"✗ {words}", "error"))] if words else [])

    def submit(self) -> None:
        """The button with the verb was pressed."""
        raise NotImplementedError

    def action_cancel(self) -> None:
        self.dismiss(None)

    def on_verb_button_pressed(self, event: VerbButton.Pressed) -> None:
        event.stop()
        if event.button.id == "cancel":
            self.action_cancel()
        else:
            self.submit()


def fit_list(rows: RowList) -> None:
    """As high as its lines, as far as the window goes beside the rest of its dialog."""

    def fit() -> None:
        box = rows.screen.query_one("#box")
        frame = box.outer_size.height - box.scrollable_content_region.height
        rest = box.virtual_size.height + frame - rows.size.height
        rows.styles.height = max(1, min(len(rows.lines), rows.app.size.height - rest))

    # How rows break is known once the list has its width.
    rows.call_after_refresh(fit)
