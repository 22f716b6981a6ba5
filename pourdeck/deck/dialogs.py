"""Questions that stand over a screen: pick one, write something, release a hold.

Every button says what it does. Esc always leaves with nothing done, and so does the button that has the focus
first wherever the other one cannot be undone.
"""

from collections.abc import Callable
from typing import Any, ClassVar, TypeVar

from attrs import frozen
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widget import Widget

from pourdeck.deck.looking import look_of
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.widgets.letter_pad import LetterPad, type_into
from pourdeck.deck.widgets.line_field import LineField
from pourdeck.deck.widgets.picker import Picker
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.ready_words import ReadyWords
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.widgets.too_small import TooSmall
from pourdeck.deck.widgets.verb_button import VerbButton

Result = TypeVar("Result")


class DeckDialog(ModalScreen[Result | None]):
    """A box with a title, words, what the dialog is about, and buttons. None: left with nothing done."""

    DEFAULT_CSS = """
    DeckDialog { align: center middle; layers: base cover; background: transparent; color: $deck-text; }
    DeckDialog #box {
        width: 100%; max-width: 84; height: auto; max-height: 100%;
        border: solid $deck-rule; padding: 0 1; background: $deck-ground;
    }
    DeckDialog.-ascii #box { border: ascii $deck-rule; }
    DeckDialog #buttons { height: auto; width: 1fr; margin-top: 1; }
    DeckDialog.-low #buttons { margin-top: 0; }
    DeckDialog.-low VerbButton { height: 1; }
    DeckDialog #told { margin-top: 0; }
    DeckDialog .field-row { height: auto; }
    DeckDialog .field-row Prose { width: 18; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Leave", show=False),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
        Binding("right", "app.focus_next", "Next", show=False),
        Binding("left", "app.focus_previous", "Before", show=False),
    ]
    verb: ClassVar[str] = "Take"
    cancel_verb: ClassVar[str] = "Leave it"

    def __init__(
        self, title: str, body: str = "", *, verb: str = "", cancel_verb: str = ""
    ) -> None:
        super().__init__()
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

    def compose_middle(self) -> ComposeResult:
        """What the dialog is about."""
        yield from ()

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton(self.verb_now, id="do")
        yield VerbButton(self.cancel_now, id="cancel")

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


def fit_list(rows: RowList, spare: int = 10) -> None:
    """As high as its lines, as far as the window goes; `spare` rows are for the rest of the dialog."""

    def fit() -> None:
        rows.styles.height = max(1, min(len(rows.lines), rows.app.size.height - spare))

    # How rows break is known once the list has its width.
    rows.call_after_refresh(fit)


class ChoiceDialog(DeckDialog[str]):
    """Pick one row: gives its key. Enter, or a click on the marked row, takes it."""

    DEFAULT_CSS = "ChoiceDialog RowList { height: auto; margin-top: 1; }"

    def __init__(
        self,
        title: str,
        rows: tuple[Row, ...],
        body: str = "",
        *,
        select: str | None = None,
        verb: str = "",
    ) -> None:
        super().__init__(title, body, verb=verb)
        self.rows = rows
        self.first = select

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="choices")

    def on_mount(self) -> None:
        choices = self.query_one("#choices", RowList)
        if self.first is not None:
            choices.select(self.first)
        choices.focus()

    def on_resize(self) -> None:
        fit_list(self.query_one("#choices", RowList))

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.dismiss(event.key)

    def submit(self) -> None:
        key = self.query_one("#choices", RowList).key
        if key is not None:
            self.dismiss(key)


@frozen(kw_only=True)
class Ask:
    """One field of a dialog. `choices` (key, words): a word to pick; otherwise a line to write.

    `ready`: phrases to pick from. `check` gives what is wrong with what was written, or nothing.
    """

    id: str
    label: str
    value: str = ""
    required: bool = True
    choices: tuple[tuple[str, str], ...] = ()
    ready: tuple[str, ...] = ()
    check: Callable[[str], str | None] | None = None


class AskDialog(DeckDialog[dict[str, str]]):
    """Write one or more things: gives them by the id of their field.

    `draft`: what is half typed is kept under this key, and comes back after a kill. For the mouse, and where
    there is room, a pad of letters stands under the fields.
    """

    def __init__(
        self,
        title: str,
        asks: tuple[Ask, ...],
        body: str = "",
        *,
        verb: str = "Record",
        draft: str = "",
    ) -> None:
        super().__init__(title, body, verb=verb)
        self.asks = asks
        self.draft = draft

    def compose_middle(self) -> ComposeResult:
        for ask in self.asks:
            with Horizontal(classes="field-row"):
                yield Prose(line((ask.label, "text")))
                if ask.choices:
                    yield Picker(ask.choices, ask.value, id=f"ask-{ask.id}")
                else:
                    yield LineField(self._kept(ask.id) or ask.value, id=f"ask-{ask.id}")
            if ask.ready:
                with Horizontal(classes="field-row"):
                    yield Prose(line(("or pick", "quiet")))
                    yield ReadyWords(ask.ready, field=f"ask-{ask.id}")
        yield LetterPad(id="letters")

    def on_mount(self) -> None:
        self.hand_changed()
        if self.asks:
            self._widget(self.asks[0]).focus()
        else:
            self.query_one("#cancel").focus()

    # The pad of letters.

    @property
    def pad_rows(self) -> int:
        """The lines that the pad takes, 0 where it is away."""
        pad = self.query_one(LetterPad)
        return pad.get_content_height(self.size, self.app.size, 72) if pad.display else 0

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad comes and goes."""
        size = self.app.size
        roomy = size.height >= 36 and size.width >= 100
        words = any(not ask.choices for ask in self.asks)
        self.query_one(LetterPad).display = words and (
            roomy or bool(getattr(self.app, "by_mouse", False))
        )

    async def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        field = self.focused
        if not isinstance(field, LineField):
            field = next(iter(self.query(LineField)))
            field.focus()
        await type_into(field, event.key, event.character)

    def on_ready_words_picked(self, event: ReadyWords.Picked) -> None:
        event.stop()
        field = self.query_one(f"#{event.ready.field}", LineField)
        field.value = f"{field.value}, {event.words}" if field.value.strip() else event.words
        self._after(field)

    def _widget(self, ask: Ask) -> Widget:
        return self.query_one(f"#ask-{ask.id}")

    def value(self, ask: Ask) -> str:
        widget = self._widget(ask)
        return str(getattr(widget, "value", "")).strip()

    def on_input_submitted(self, event: LineField.Submitted) -> None:
        event.stop()
        self._after(event.input)

    def on_picker_taken(self, event: Picker.Taken) -> None:
        event.stop()
        self._after(event.picker)

    def _after(self, widget: Widget) -> None:
        """From one field to the next, from the last to the button: never past the button."""
        ids = [f"ask-{ask.id}" for ask in self.asks]
        place = ids.index(widget.id or "")
        after = (
            self.query_one(f"#{ids[place + 1]}") if place + 1 < len(ids) else self.query_one("#do")
        )
        after.focus()

    def on_input_changed(self, event: LineField.Changed) -> None:
        event.stop()
        self.tell("")
        self._keep((event.input.id or "").removeprefix("ask-"), event.value)

    def on_line_field_told(self, event: LineField.Told) -> None:
        event.stop()
        self.tell(event.text)

    def fault(self) -> tuple[Ask, str] | None:
        """The first field that cannot be taken, and why."""
        for ask in self.asks:
            value = self.value(ask)
            if ask.required and not value:
                return ask, f"{ask.label}: nothing written yet."
            if ask.check is not None and value and (why := ask.check(value)):
                return ask, why
        return None

    def submit(self) -> None:
        found = self.fault()
        if found is not None:
            ask, why = found
            self.tell(why)
            self._widget(ask).focus()
            return
        values = {ask.id: self.value(ask) for ask in self.asks}
        self._drop()
        self.dismiss(values)

    def action_cancel(self) -> None:
        self._drop()
        super().action_cancel()

    # What is half typed.

    def _kept(self, name: str) -> str:
        kept: Any = getattr(self.app, "kept", None)
        return kept.text(f"{self.draft}.{name}") if kept is not None and self.draft else ""

    def _keep(self, name: str, value: str) -> None:
        keep: Any = getattr(self.app, "keep_text", None)
        if keep is not None and self.draft:
            keep(f"{self.draft}.{name}", value)

    def _drop(self) -> None:
        for ask in self.asks:
            self._keep(ask.id, "")


class TextDialog(AskDialog):
    """Write one thing: gives it under `text`."""

    def __init__(
        self,
        title: str,
        label: str,
        body: str = "",
        *,
        value: str = "",
        verb: str = "Record",
        draft: str = "",
        ready: tuple[str, ...] = (),
    ) -> None:
        ask = Ask(id="text", label=label, value=value, ready=ready)
        super().__init__(title, (ask,), body, verb=verb, draft=draft)


class TellDialog(DeckDialog[str]):
    """Something to read, with one way out."""

    DEFAULT_CSS = """
    TellDialog RowList { height: auto; margin-top: 1; }
    """

    def __init__(self, title: str, rows: tuple[Spans, ...], body: str = "") -> None:
        super().__init__(title, body, cancel_verb="Go back")
        self.rows = tuple(Row(left=spans, wrap=True, indent=2) for spans in rows)

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="told-rows")

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton(self.cancel_now, id="cancel")

    def on_mount(self) -> None:
        self.query_one("#cancel").focus()

    def on_resize(self) -> None:
        fit_list(self.query_one("#told-rows", RowList))

    def submit(self) -> None:
        self.dismiss(None)
