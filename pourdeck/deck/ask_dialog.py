"""Dialogs with fields in them: reasons, names, notes."""

from collections.abc import Callable
from typing import Any

from attrs import frozen
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widget import Widget

from pourdeck.deck.dialog_base import DeckDialog
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.widgets.letter_pad import LetterPad, type_into
from pourdeck.deck.widgets.line_field import LineField
from pourdeck.deck.widgets.picker import Picker
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.ready_words import ReadyWords
from pourdeck.deck.widgets.room import roomy


@frozen(kw_only=True)
class Ask:
    """One field of a dialog. `choices` (key, words): a word to pick; otherwise a line to write.

    `offered`: its value is the deck's and not what somebody wrote, so that typing takes its place.
    `decides`: the word picked is a decision, and does not come back after a kill by itself.
    `ready`: phrases to pick from. `check` gives what is wrong with what was written, or nothing; `beside`
    what is wrong with it beside the other fields, by their ids. `when`: by what stands in the others, whether
    it is asked at all. `secret`: what is typed does not show and is not kept.
    """

    id: str
    label: str
    value: str = ""
    offered: bool = False
    required: bool = True
    choices: tuple[tuple[str, str], ...] = ()
    decides: bool = False
    ready: tuple[str, ...] = ()
    check: Callable[[str], str | None] | None = None
    beside: Callable[[dict[str, str]], str | None] | None = None
    when: Callable[[dict[str, str]], bool] | None = None
    secret: bool = False


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
        by_itself: bool = False,
    ) -> None:
        super().__init__(title, body, verb=verb, by_itself=by_itself)
        self.asks = asks
        self.draft = draft
        self.in_hand: Widget | None = None

    def compose_middle(self) -> ComposeResult:
        for ask in self.asks:
            with Horizontal(classes="field-row", id=f"row-{ask.id}"):
                yield Prose(self._label(ask, focused=False), id=f"label-{ask.id}")
                if ask.choices:
                    picked = "" if ask.decides else self._kept(ask.id)
                    yield Picker(ask.choices, picked or ask.value, id=f"ask-{ask.id}")
                else:
                    kept = self._kept(ask.id)
                    offered = ask.offered and not kept
                    yield LineField(
                        kept or ask.value, offered=offered, secret=ask.secret, id=f"ask-{ask.id}"
                    )
            if ask.ready:
                with Horizontal(classes="field-row"):
                    yield Prose(line("  ", ("or pick", "quiet")))
                    yield ReadyWords(ask.ready, field=f"ask-{ask.id}")
        yield LetterPad(id="letters")

    def on_mount(self) -> None:
        self.hand_changed()
        self._show_asked()
        if self.asks:
            self._widget(self.asks[0]).focus()
        else:
            self.query_one("#cancel").focus()

    def _label(self, ask: Ask, *, focused: bool) -> Spans:
        """A line of words shows its focus beside its label: its cursor is no shape in plain text."""
        return line(("▸ " if focused else "  ", "key"), ask.label)

    def on_descendant_focus(self) -> None:
        for ask in self.asks:
            focused = self._widget(ask).has_focus
            if focused:
                self.in_hand = self._widget(ask)
            self.query_one(f"#label-{ask.id}", Prose).show([self._label(ask, focused=focused)])

    # The pad of letters.

    @property
    def pad_rows(self) -> int:
        """The lines that the pad takes, 0 where it is away."""
        pad = self.query_one(LetterPad)
        return pad.get_content_height(self.size, self.app.size, 72) if pad.display else 0

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad comes and goes."""
        words = any(not ask.choices for ask in self.asks)
        self.query_one(LetterPad).display = words and (
            roomy(self) or bool(getattr(self.app, "by_mouse", False))
        )

    async def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        field = self.in_hand
        if isinstance(field, LineField):
            field.focus()
            await type_into(field, event.key, event.character)
        else:
            self._say_not_typed()

    def on_key(self, event: events.Key) -> None:
        """A character that nothing here takes is said to go nowhere."""
        if event.is_printable and not isinstance(self.focused, LineField):
            event.stop()
            self._say_not_typed()

    def _say_not_typed(self) -> None:
        ask = next((one for one in self.asks if self._widget(one) is self.in_hand), None)
        if ask is not None and ask.choices:
            self.tell(f"Nothing typed. {ask.label} is picked: ← and → or a click.")
        else:
            self.tell("Nothing typed. Tab, or a click, goes to a field.")

    def on_ready_words_picked(self, event: ReadyWords.Picked) -> None:
        event.stop()
        field = self.query_one(f"#{event.ready.field}", LineField)
        stands = [one.strip() for one in field.value.split(",") if one.strip()]
        if event.words not in stands:
            field.value = ", ".join((*stands, event.words))
        field.type_over()
        self._after(field)

    def _show_asked(self) -> None:
        """Show the rows that are asked now, and no other."""
        values = {ask.id: self.value(ask) for ask in self.asks}
        for ask in self.asks:
            if ask.when is not None:
                self.query_one(f"#row-{ask.id}").display = ask.when(values)

    def _asked(self) -> tuple[Ask, ...]:
        """The fields that are asked, by what stands in the others."""
        values = {ask.id: self.value(ask) for ask in self.asks}
        return tuple(ask for ask in self.asks if ask.when is None or ask.when(values))

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

    def on_picker_turned(self, event: Picker.Turned) -> None:
        event.stop()
        self.tell("")
        self._show_asked()
        self._keep((event.picker.id or "").removeprefix("ask-"), event.picker.value)

    def _after(self, widget: Widget) -> None:
        """From one field to the next, from the last to the button: never past the button."""
        ids = [f"ask-{ask.id}" for ask in self._asked()]
        place = ids.index(widget.id or "")
        after = (
            self.query_one(f"#{ids[place + 1]}") if place + 1 < len(ids) else self.query_one("#do")
        )
        after.focus()

    def on_input_changed(self, event: LineField.Changed) -> None:
        event.stop()
        self.tell("")
        self._show_asked()
        self._keep((event.input.id or "").removeprefix("ask-"), event.value)

    def on_line_field_told(self, event: LineField.Told) -> None:
        event.stop()
        self.tell(event.text)

    def fault(self) -> tuple[Ask, str] | None:
        """The first field that cannot be taken, and why."""
        values = self.values()
        for ask in self._asked():
            value = values[ask.id]
            if ask.required and not value:
                return ask, f"{ask.label}: nothing written yet."
            if ask.check is not None and value and (why := ask.check(value)):
                return ask, why
            if ask.beside is not None and (why := ask.beside(values)):
                return ask, why
        return None

    def values(self) -> dict[str, str]:
        """What stands in the fields, by their ids; "" for one that is not asked."""
        asked = self._asked()
        return {ask.id: self.value(ask) if ask in asked else "" for ask in self.asks}

    def submit(self) -> None:
        found = self.fault()
        if found is not None:
            ask, why = found
            self.tell(why)
            widget = self._widget(ask)
            widget.focus()
            if isinstance(widget, LineField):
                widget.type_over()
            return
        values = self.values()
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
        secret = any(ask.secret for ask in self.asks if ask.id == name)
        if keep is not None and self.draft and not secret:
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
        by_itself: bool = False,
    ) -> None:
        ask = Ask(id="text", label=label, value=value, ready=ready)
        super().__init__(title, (ask,), body, verb=verb, draft=draft, by_itself=by_itself)
