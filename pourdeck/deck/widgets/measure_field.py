"""A field for one measurement, number, height or line of text that swallows no key.

First line: the text between brackets and its unit; under it the reason why it could not be taken,
a question, or a hint. How keys act is in `entry`, what a field takes in `field_rules`. Nothing
blinks, and nothing is drawn while no key comes.
"""

import time
from collections.abc import Callable
from decimal import Decimal
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.repaint import Steady
from pourdeck.deck.widgets.entry import KEY, Did, Entry
from pourdeck.deck.widgets.field_line import Look, line_parts, place_at, text_fits
from pourdeck.deck.widgets.field_note import Note, look_of, note_of
from pourdeck.deck.widgets.field_rules import FieldRules, Kind
from pourdeck.deck.widgets.keys import has_modifier, is_control
from pourdeck.deck.widgets.wrapped import wrap
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Units


class MeasureField(Steady, can_focus=True):
    """The arguments are those of `FieldRules`; `value` is the text it rests on at first.

    `clock` gives seconds that only go forward, to tell a bounce of Enter. Lengths are mm, heights m.
    """

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "measure-field--text",
        "measure-field--cursor",
        "measure-field--frame",
        "measure-field--problem",
        "measure-field--question",
        "measure-field--hint",
    }
    DEFAULT_CSS = """
    MeasureField {
        width: 1fr; height: auto; min-height: 2;
        color: $foreground;
        & > .measure-field--text { color: $foreground; text-style: bold; }
        & > .measure-field--cursor { color: $foreground; text-style: reverse; }
        & > .measure-field--frame { color: $foreground; }
        & > .measure-field--problem { color: $error; }
        & > .measure-field--question { color: $warning; }
        & > .measure-field--hint { color: $foreground; }
        &:focus > .measure-field--frame { color: $primary; text-style: bold; }
    }
    """

    class Committed(Message):
        """The text was taken. `text` is as typed, `value` what it says, `changed` since before.

        `doubted`: it was asked about as a likely slip, and kept.
        """

        def __init__(
            self,
            field: "MeasureField",
            text: str,
            value: Decimal | None,
            changed: bool,
            doubted: bool = False,
        ) -> None:
            super().__init__()
            self.doubted = doubted
            self.field = field
            self.text = text
            self.value = value
            self.changed = changed

        @property
        def control(self) -> "MeasureField":
            return self.field

    class Changed(Message):
        """The text is another than it was; `value` None where it could not be taken."""

        def __init__(self, field: "MeasureField", text: str, value: Decimal | None) -> None:
            super().__init__()
            self.field = field
            self.text = text
            self.value = value

        @property
        def control(self) -> "MeasureField":
            return self.field

    def __init__(
        self,
        kind: Kind = "length",
        units: Units = "metric",
        unit_label: str | None = None,
        *,
        expected: Decimal | None = None,
        plus: Decimal | None = None,
        minus: Decimal | None = None,
        least: Decimal | None = None,
        most: Decimal | None = None,
        decimals: int | None = None,
        signed: bool = False,
        step: Decimal | None = None,
        max_length: int = 200,
        value: str = "",
        clock: Callable[[], float] = time.monotonic,
        name: str | None = None,
        id: str | None = None,
        classes: str | None = None,
        disabled: bool = False,
    ) -> None:
        super().__init__(name=name, id=id, classes=classes, disabled=disabled)
        rules = FieldRules(
            kind=kind,
            units=units,
            unit_label=unit_label,
            expected=expected,
            plus=plus,
            minus=minus,
            least=least,
            most=most,
            decimals=decimals,
            signed=signed,
            step=step,
            max_length=max_length,
        )
        self._entry = Entry(rules, value)
        self._clock = clock
        self.taker = "Record"

    @property
    def rules(self) -> FieldRules:
        return self._entry.rules

    @property
    def text(self) -> str:
        return self._entry.text

    @property
    def value(self) -> Decimal | None:
        """What the text says, None where it says nothing that could be taken, or is free text."""
        return self._entry.value

    @property
    def dirty(self) -> bool:
        """True where the text is not what was taken last."""
        return self._entry.dirty

    @property
    def editing(self) -> bool:
        return self._entry.editing

    @property
    def reason(self) -> str:
        """What is wrong, refused or asked; empty: nothing."""
        return self._entry.reason

    def suit(self, rules: FieldRules, text: str = "") -> None:
        """Be the field for something else, resting on this text."""
        self._entry = Entry(rules, text)
        self._redraw()

    def load(self, text: str) -> None:
        """Rest on this text, as if it had been taken before."""
        self._entry.load(text)
        self._redraw()

    def load_draft(self, text: str, *, whole: bool = False) -> None:
        """Take up an unfinished edit again; Esc puts back what is loaded. `whole`: typed over as one."""
        self._entry.load_draft(text, whole=whole)
        self._redraw()

    def clear(self) -> None:
        """Rest on nothing."""
        self.load("")

    def press(self, key: str, character: str | None = None) -> bool:
        """One key of a keyboard or of a keypad on screen. False: it is not the field's."""
        entry = self._named()
        before, changed = entry.text, entry.dirty
        did = entry.press(key, character, self._clock(), fits=self._fits())
        if did is Did.PASSED:
            return False
        self._tell(did, before, changed)
        return True

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a character is the field's before any command of the screen may have it."""
        if character is None or has_modifier(key) or not character.isprintable():
            return False
        return self.editing or self._starts(character)

    def _starts(self, character: str) -> bool:
        entry = self._entry
        if entry.rules.kind == "text":
            return not entry.text and entry.rules.starts(character)
        return entry.rules.starts(character)

    def _is_command(self, event: events.Key) -> bool:
        """A character that could not begin an entry, and that is a command here."""
        character = event.character
        if self.editing or character is None or is_control(character):
            return False
        return not self._starts(character) and event.key in self.screen.active_bindings

    async def _on_key(self, event: events.Key) -> None:
        if self._is_command(event):
            return
        if self.press(event.key, event.character):
            event.stop()
            event.prevent_default()
        elif event.is_printable and event.key not in self.screen.active_bindings:
            self._entry.notice = f"{literal(event.key)} does nothing here."
            self._redraw()

    async def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        entry = self._named()
        before, changed = entry.text, entry.dirty
        self._tell(entry.paste(event.text), before, changed)

    async def _on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None or event.button != 1:
            return
        event.stop()
        self.open_at(offset.x if offset.y == 0 else None)

    def open_at(self, x: int | None = None) -> None:
        """Open for editing, as a click in column `x` does, or one beside the text."""
        before, changed = self._entry.text, self._entry.dirty
        place = None if x is None else place_at(self._look(), self.content_size.width, x)
        self._tell(self._entry.begin(place), before, changed)

    def watch_has_focus(self, has_focus: bool) -> None:
        super().watch_has_focus(has_focus)
        if not has_focus:
            self._entry.leave()
        self._redraw()

    def _tell(self, did: Did, before: str, changed: bool) -> None:
        entry = self._entry
        if did is Did.TAKEN:
            self.post_message(
                self.Committed(self, entry.typed, entry.value, changed, entry.doubted)
            )
        elif entry.text != before:
            self.post_message(self.Changed(self, entry.text, entry.value))
        self._redraw()

    def _look(self) -> Look:
        return look_of(self._entry, focused=self.has_focus)

    def _note(self) -> Note:
        return note_of(self._named(), focused=self.has_focus)

    def _named(self) -> Entry:
        """The entry, knowing what takes it now: a key, or for the mouse the button `taker`."""
        by_mouse = bool(getattr(self.app, "by_mouse", False))
        self._entry.taker = self.taker if by_mouse else KEY
        return self._entry

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: what is said of them is another."""
        self._redraw()

    def _fits(self) -> bool:
        width = self.content_size.width
        return self.rules.kind == "text" or not width or text_fits(self._look(), width)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return 1 + max(1, len(wrap(self._note().words, width)))

    def _redraw(self) -> None:
        width, height = self.content_size
        own_height = self.styles.height is not None and self.styles.height.is_auto
        tall = self.get_content_height(self.size, self.size, width) if width else height
        self.refresh(layout=own_height and tall != height)

    def render_line(self, y: int) -> Strip:
        width, height = self.content_size
        if y == 0:
            parts = line_parts(self._look(), width)
            return Strip([self._segment(text, style) for style, text in parts])
        note = self._note()
        lines = wrap(note.words, width, most=max(1, height - 1))
        return Strip([self._segment(lines[y - 1] if y <= len(lines) else "", note.style)])

    def _segment(self, text: str, style: str) -> Segment:
        return Segment(text, self.get_component_rich_style(f"measure-field--{style}"))
