"""A field for one line of words: reasons, names, notes."""

from textual import events
from textual.message import Message
from textual.widgets import Input

from pourdeck.plan.literal import literal

MOST = 400


class LineField(Input):
    """The stock field without its traps: nothing is swallowed or replaced without a word.

    It does not blink and does not select all of itself when it gets the focus, so that a brushed key adds a
    letter and destroys nothing. Only what the deck has `offered` is selected, and what was refused: the first
    key that is typed takes its place, as in every field of the walk, and from then on it is what somebody
    wrote. What is pasted becomes one line, and `Told` says so where that changed it.
    """

    ALLOW_SELECT = False
    DEFAULT_CSS = """
    LineField, LineField:focus {
        width: 1fr; height: 1; border: none; padding: 0 1;
        background: $deck-field; color: $deck-field-text; background-tint: $deck-field 0%;
    }
    LineField > .input--placeholder, LineField > .input--suggestion { color: $deck-field-text; }
    """

    class Told(Message):
        """Something was changed or refused; `text` says what, for people."""

        def __init__(self, field: "LineField", text: str) -> None:
            super().__init__()
            self.field = field
            self.text = text

    def __init__(
        self,
        value: str = "",
        *,
        offered: bool = False,
        secret: bool = False,
        id: str | None = None,
    ) -> None:
        super().__init__(
            value=literal(value), id=id, select_on_focus=offered, max_length=MOST, compact=True,
            password=secret,
        )  # fmt: skip
        self.cursor_blink = False
        self.cursor_position = len(self.value)

    def type_over(self) -> None:
        """Let the next character take the place of all that stands here."""
        self.select_on_focus = True
        if self.has_focus:
            self.action_select_all()

    def validate_value(self, value: str) -> str:
        """What is changed is an offer no more."""
        if self.is_mounted and value != self.value:
            self.select_on_focus = False
        return value

    def _on_blur(self, event: events.Blur) -> None:
        super()._on_blur(event)
        if not self.selection.is_empty:
            self.cursor_position = len(self.value)

    def insert_text_at_cursor(self, text: str) -> None:
        """In place of what is selected, whether it is typed, picked on a pad or pasted."""
        self.replace(text, *self.selection)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        if not event.text:
            return
        words = " ".join(event.text.split())
        safe = "".join(char for char in words if char.isprintable())
        room = MOST - len(self.value)
        self.insert_text_at_cursor(safe[:room])
        if len(safe) > room:
            words = f"Only the first {room} characters fit; the rest was left out."
            self.post_message(self.Told(self, words))
        elif safe != event.text.strip():
            words = "Pasted as one line; what does not print was left out."
            self.post_message(self.Told(self, words))
