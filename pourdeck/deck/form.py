"""The one form of the deck: a list of fields that becomes an act, or a refusal that is shown in it.

Enter goes from field to field and stays where one cannot be taken; the button at the end does it. What is
refused stays in sight with all that was written. A reason that an act needs is asked for in the same form.
Esc leaves with nothing done. What could not be saved stays in sight and in the draft, also after Esc.
"""

from collections.abc import Callable, Sequence
from datetime import datetime

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widget import Widget

from pourdeck.deck.choice_dialog import DeckDialog, fit_list
from pourdeck.deck.desk_shell import DeskShell, nothing
from pourdeck.deck.form_fields import CORRECTING, FOLLOWING_UP, Answers, FormField, WordStep
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.widgets.bar import roomy
from pourdeck.deck.widgets.choice import Choice, ReadyWords
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import LetterPad
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import Row, RowList
from pourdeck.plan.messages import Refusal, WhyNeeded, sentence
from pourdeck.walk.clock import NOW
from pourdeck.walk.records import Act
from pourdeck.walk.words import folded

WHY = "why"
"""The field of a reason that the act asks for by itself."""

Make = Callable[[Answers], Act | Refusal | None]
"""Turn what was answered into an act or a refusal; None where nothing is to be recorded."""


class Form(DeckDialog[bool]):
    """`shown` is what people should have read first. `word` asks whose word it is, by its own fields.

    `draft`: what is half typed is kept under this key, and comes back after a kill. `done` is called with the
    answers once it is recorded, `left` where it was left, `unsaved` in its place after what was written could
    not be saved. `why`: the reason that is asked for from the start. `signed`: who is signed in is asked for
    where nobody is. `leads_on`: it records nothing itself, and whoever does drops its draft.
    """

    DEFAULT_CSS = """
    Form #shown { height: 1; margin: 1 0; }
    Form.-low #shown { margin: 0; }
    """

    def __init__(
        self,
        title: str,
        fields: Sequence[FormField],
        act: Make,
        *,
        body: str = "",
        shown: Sequence[Spans] = (),
        word: WordStep | None = None,
        verb: str = "Record",
        leave: str = "Leave it",
        draft: str,
        done: Callable[[Answers], None] = nothing,
        left: Callable[[], None] = nothing,
        unsaved: Callable[[], None] | None = None,
        why: WhyNeeded | None = None,
        signed: bool = True,
        by_itself: bool = False,
        leads_on: bool = False,
        told: str = "",
    ) -> None:
        words = f"{why.title} {why.body}" if why else body
        super().__init__(title, words, verb=verb, cancel_verb=leave, by_itself=by_itself, told=told)
        self.why = why
        asks_why = lambda _: self.why is not None  # noqa: E731
        reason = FormField(
            id=WHY,
            label="In a few words",
            when=asks_why,
            ready=_phrases(why) if why else CORRECTING,
        )
        self.fields = (*fields, reason)
        self.act = act
        self.shown = tuple(Row(left=spans, wrap=True, indent=2) for spans in shown)
        self.word = word
        self.draft = draft
        self.done = done
        self.left = left
        self.unsaved = unsaved or left
        self.not_saved = False
        self.leads_on = leads_on
        self.signed = signed
        self.in_hand: Widget | None = None
        self.not_typed = False

    @property
    def deck(self) -> DeskShell:
        app = self.app
        assert isinstance(app, DeskShell)
        return app

    def compose_middle(self) -> ComposeResult:
        if self.shown:
            yield RowList(self.shown, id="shown")
        for one in self.fields:
            with Horizontal(classes="field-row", id=f"row-{one.id}"):
                yield Prose(line(f"  {one.label}"))
                yield self._made(one)
            if one.ready:
                with Horizontal(classes="field-row", id=f"ready-{one.id}"):
                    yield Prose(line("  ", ("or pick", "quiet")))
                    yield ReadyWords(one.ready, field=f"ask-{one.id}", id=f"words-{one.id}")
        yield LetterPad(id="letters")

    def _made(self, one: FormField) -> Widget:
        kept = "" if one.secret or one.decides else self.deck.kept.text(f"{self.draft}.{one.id}")
        if one.choices:
            return Choice(one.choices, kept or one.value, inline=True, id=f"ask-{one.id}")
        field = Field(
            one.quantity, kept or one.value, rests=False, offered=one.offered and not kept,
            secret=one.secret, clock=self.deck.monotonic, id=f"ask-{one.id}",
        )  # fmt: skip
        field.on_lines = one.lines
        return field

    def on_mount(self) -> None:
        self._show_asked()
        self.hand_changed()
        asked = self._asked()
        if asked:
            self.set_focus(self._widget(asked[0]))
        else:
            self.set_focus(self.query_one("#cancel"))

    # Which fields are asked, and what stands in them.

    def _widget(self, one: FormField) -> Widget:
        return self.query_one(f"#ask-{one.id}")

    def _typed(self) -> dict[str, str]:
        return {one.id: str(getattr(self._widget(one), "value", "")).strip() for one in self.fields}

    def _asked(self) -> tuple[FormField, ...]:
        """The fields that are asked, by what stands in the others."""
        values = self._typed()
        return tuple(one for one in self.fields if one.when is None or one.when(values))

    def values(self) -> dict[str, str]:
        """Read what stands in the fields, by their ids; "" for one that is not asked."""
        asked, values = self._asked(), self._typed()
        return {one.id: values[one.id] if one in asked else "" for one in self.fields}

    def _show_asked(self) -> None:
        """Show the rows that are asked now, and no other."""
        asked = self._asked()
        for one in self.fields:
            if one.when is not None:
                self.query_one(f"#row-{one.id}").display = one in asked
                if one.ready:
                    self.query_one(f"#ready-{one.id}").display = one in asked
        self._fit()

    def _fit(self) -> None:
        if self.shown:
            fit_list(self.query_one("#shown", RowList))

    def on_resize(self) -> None:
        self.hand_changed()

    # What is done in it.

    def on_field_taken(self, event: Field.Taken) -> None:
        """Say at once what cannot be taken, and stay there; else go on to the next field."""
        event.stop()
        one = next(each for each in self.fields if self._widget(each) is event.field)
        why = one.check(self.values()) if one.check is not None and event.typed else None
        if event.typed is None and one.required:
            why = f"{one.quantity.takes}. Tab goes on, Esc leaves."
        if why:
            self._show_fault(one, why)
        else:
            self._after(event.field)

    def on_choice_taken(self, event: Choice.Taken) -> None:
        event.stop()
        self._after(event.field)

    def _after(self, widget: Widget) -> None:
        """From one field to the next, from the last to the button: never past the button."""
        asked = self._asked()
        place = next(n for n, one in enumerate(asked) if self._widget(one) is widget)
        last = place + 1 == len(asked)
        self.set_focus(self.query_one("#do") if last else self._widget(asked[place + 1]))

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        self._changed(event.field.id or "", event.field.text)

    def on_choice_marked(self, event: Choice.Marked) -> None:
        event.stop()
        self._changed(event.field.id or "", event.value)

    def _changed(self, id: str, text: str) -> None:
        self.tell("")
        self._show_asked()
        name = id.removeprefix("ask-")
        if not any(one.secret for one in self.fields if one.id == name):
            self.deck.keep_text(f"{self.draft}.{name}", text)

    def on_ready_words_picked(self, event: ReadyWords.Picked) -> None:
        event.stop()
        field = self.query_one(f"#{event.ready.field}", Field)
        stands = [one.strip() for one in field.text.split(",") if one.strip()]
        if event.words not in stands:
            field.load_draft(", ".join((*stands, event.words)), whole=True)
            self._changed(field.id or "", field.text)
        field.type_over()
        self._after(field)

    def on_descendant_focus(self) -> None:
        for one in self.fields:
            if (widget := self._widget(one)).has_focus:
                if widget is not self.in_hand and self.not_typed:
                    self.not_typed = False
                    self.tell("")
                self.in_hand = widget

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad of letters comes and goes."""
        written = any(not one.choices for one in self._asked())
        wanted = roomy(self) or self.deck.by_mouse
        self.query_one(LetterPad).display = written and wanted
        self._fit()

    def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        field = self.in_hand
        if isinstance(field, Field):
            self.set_focus(field)
            field.press(event.key, event.character)
        elif isinstance(field, Choice) and event.key == "enter":
            field.action_take()
        else:
            self._say_not_typed()

    def type_key(self, event: events.Key) -> bool:
        """Give a key to the line that is written in; False where it is not for it."""
        field = self.focused
        return isinstance(field, Field) and field.type_key(event)

    def on_key(self, event: events.Key) -> None:
        """A character that nothing here takes is said to go nowhere."""
        if event.is_printable and not isinstance(self.focused, Field):
            event.stop()
            self._say_not_typed()

    def _say_not_typed(self) -> None:
        self.not_typed = True
        chosen = next(
            (one for one in self.fields if one.choices and self._widget(one) is self.in_hand), None
        )
        if chosen is not None:
            self.tell(f"Nothing typed. {chosen.label} is picked: ← and → or a click.")
        else:
            self.tell("Nothing typed. Tab, or a click, goes to a field.")

    # How it ends.

    def _fault(self) -> tuple[FormField, str] | None:
        """The first field that cannot be taken, and why."""
        values = self.values()
        for one in self._asked():
            value = values[one.id]
            if not value and one.required:
                return one, f"{one.label}: nothing {'picked' if one.choices else 'written'} yet."
            if value and not one.choices:
                found = one.quantity.read(value)
                if isinstance(found, Refusal):
                    return one, sentence(found)
            if one.check is not None and (value or not one.required) and (why := one.check(values)):
                return one, why
        return None

    def submit(self) -> None:
        found = self._fault()
        if found is not None:
            self._show_fault(*found)
        elif self.word is None and self.signed:
            self.deck.as_person(self._do)
        else:
            self._do(self.word.signed_in if self.word else "")

    def _show_fault(self, one: FormField, why: str) -> None:
        """Say what is wrong beside its field; the next character takes the place of what was typed."""
        widget = self._widget(one)
        self.set_focus(widget)
        if isinstance(widget, Field):
            widget.type_over(why)
            self._fit()
        else:
            self.tell(why)

    def _do(self, by: str) -> None:
        values = self.values()
        word = self.word.word(values) if self.word else None
        answers = Answers(values=values, by=by, why=values[WHY], word=word)
        waits = None
        if self.word is not None and word is not None and word.pin:
            waits = self.word.tries.waiting(word.signer)
        act = waits or self.act(answers)
        if self.word is not None and word is not None and waits is None:
            self.word.tries.tried(word.signer, act if isinstance(act, Refusal) else None)
        if isinstance(act, WhyNeeded):
            self._ask_why(act)
        elif isinstance(act, Refusal):
            self._refuse(act)
        elif act is not None and self.deck.record(act, refresh=False) is None:
            self._keep()
        else:
            if not self.leads_on:
                self._drop()
            self.dismiss(True)
            self.done(answers)

    def _ask_why(self, needed: WhyNeeded) -> None:
        self.why = needed
        self.query_one(f"#words-{WHY}", ReadyWords).show(_phrases(needed))
        self._show_asked()
        self._show_fault(self.fields[-1], sentence(needed))

    def _refuse(self, refusal: Refusal) -> None:
        """It stands beside the field that it is about; else under all of them."""
        for one in self.fields:
            if one.secret:
                self.query_one(f"#ask-{one.id}", Field).load("")
        key = refusal.about
        asked = self._asked() if key else ()
        about = next((one for one in asked if key in (one.id, one.quantity.moment)), None)
        if about is not None:
            self._show_fault(about, sentence(refusal))
        else:
            self.tell(sentence(refusal))

    def _keep(self) -> None:
        """Keep all that was answered: the next try, or the next start, goes on from there."""
        self.not_saved = True
        for one in self._asked():
            widget = self._widget(one)
            said_now = isinstance(widget, Field) and folded(widget.text) == NOW
            if isinstance(widget, Field) and said_now and isinstance(widget.found, datetime):
                # It was then, and not when it can be saved.
                widget.load_draft(f"{widget.found:%Y-%m-%d %H:%M}", whole=True)
        for name, text in self.values().items():
            if not any(one.secret for one in self.fields if one.id == name):
                self.deck.keep_text(f"{self.draft}.{name}", text)
        self.deck.kept.flush()
        said = self.deck.said
        self.tell(f"{said.title} {said.body}")

    def action_cancel(self) -> None:
        if not self.not_saved:
            self._drop()
        super().action_cancel()
        if self.not_saved:
            self.unsaved()
        else:
            self.left()

    def _drop(self) -> None:
        for one in self.fields:
            self.deck.keep_text(f"{self.draft}.{one.id}", "")


def _phrases(needed: WhyNeeded) -> tuple[str, ...]:
    return FOLLOWING_UP if needed.put_right else CORRECTING
