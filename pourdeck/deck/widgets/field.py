"""The one field of the deck: a line on the toolkit's `Input`, under our rules of the hand.

A field that `rests` shows what was taken last. A filled one must be opened with Enter before anything
changes it; an empty one opens with the first character. In a form fields do not rest: they are written in
at once. After a refusal, a question or an offered text the first character takes the place of all that
stands, and so it does with a whole figure that was just opened; editing keys edit it. Enter takes the text
only if the whole of it reads as its quantity wants, and asks once more where a slip is likely; on an empty
field it takes nothing and says how to go on. Arrows move: a value is stepped by the buttons of the pad alone,
and only one that was typed. Esc puts back what stood before. Every key that could be meant for the field
shows or is refused with a notice; nothing blinks.
"""

import time
from collections.abc import Callable

from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip
from textual.widgets import Input
from textual.widgets.input import Selection

from pourdeck.deck.paint import Steady, line, look_of, strip
from pourdeck.deck.widgets.field_text import (
    Look,
    has_modifier,
    into_number,
    into_text,
    is_control,
    line_parts,
    place_at,
    plain_key,
    text_fits,
    wrap,
)
from pourdeck.plan.messages import Refusal, literal, sentence
from pourdeck.walk.quantities import QUANTITIES, Quantity, Typed, Value

BOUNCE = 0.25
"""Seconds within which an Enter right after an Enter is the same press."""

FIGURES = frozenset("0123456789.,+-")

KEY = "Enter"
"""Name what takes an entry, unless the mouse is in use: then it is a button with a name of its own."""

STEP_UP, STEP_DOWN = "step-up", "step-down"
"""Keys of the pad that step a value: no keyboard has them."""

_STEPS = {STEP_UP: 1, STEP_DOWN: -1}
_LINE_FEED_SHOWN = "\u240a"
_SECRET = "•"
_NUMBER_ROOM = 14
"""Cells of a number: feet, inches and sixteenths, and the cursor."""


class Field(Steady, Input, can_focus=True, inherit_bindings=False):
    """A line for one quantity. `text` is what it shows first, `offered` that the deck and no person wrote it.

    `rests`: letters are commands until it is opened. `secret`: what is typed does not show. `clock` gives
    seconds that only go forward, to tell a bounce of Enter.
    """

    ALLOW_SELECT = False
    DEFAULT_CSS = """
    Field, Field:focus {
        width: 1fr; height: auto; min-height: 1; border: none; padding: 0;
        background: $deck-ground; color: $deck-text; background-tint: $deck-ground 0%;
    }
    Field.-rests { min-height: 2; }
    """

    class Edited(Message):
        """The text is another than it was."""

        def __init__(self, field: "Field") -> None:
            super().__init__()
            self.field = field

        @property
        def control(self) -> "Field":
            return self.field

    class Taken(Edited):
        """Enter took the text. `typed` is None where nothing was written in a form.

        `changed`: since it was taken before. `doubted`: it was asked about as a likely slip, and kept.
        """

        def __init__(
            self, field: "Field", typed: Typed | None, *, changed: bool, doubted: bool
        ) -> None:
            super().__init__(field)
            self.typed = typed
            self.changed = changed
            self.doubted = doubted

    def __init__(
        self,
        quantity: Quantity = QUANTITIES["mm"],
        text: str = "",
        *,
        rests: bool = True,
        offered: bool = False,
        secret: bool = False,
        clock: Callable[[], float] = time.monotonic,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id, password=secret, select_on_focus=False, validate_on=())
        self.cursor_blink = False
        self.quantity = quantity
        self.rests = rests
        self.taken = ""
        self.typing = not rests
        self.notice = ""
        self.asked = ""
        self.taker = "Record"
        self.on_lines: Callable[[str], None] | None = None
        self._clock = clock
        self._last_enter = float("-inf")
        self._read: tuple[str, Value | Refusal] | None = None
        self.set_class(rests, "-rests")
        self.ask(quantity, text, offered=offered)

    # What it is for, and what stands in it.

    def ask(self, quantity: Quantity, text: str = "", *, offered: bool = False) -> None:
        """Be the field for something else, resting on this text."""
        self.quantity = quantity
        self._read = None
        self.load(text)
        if offered and text:
            self._select_all()

    def load(self, text: str) -> None:
        """Rest on this text, as if it had been taken before."""
        self.taken = text
        self._show(text)
        self.typing = not self.rests
        self._redraw()

    def load_draft(self, text: str, *, whole: bool = False) -> None:
        """Take up again an edit that was not finished; Esc still puts back what was taken.

        `whole`: it was offered, or finished and refused; what is typed now takes its place.
        """
        self._show(text)
        self.typing = True
        if whole:
            self._select_all()
        self._redraw()

    def type_over(self, notice: str = "") -> None:
        """Refused: the next character takes the place of all that stands here."""
        self._select_all()
        self.notice = notice
        self._redraw()

    @property
    def text(self) -> str:
        return self.value

    @property
    def found(self) -> Value | Refusal | None:
        """The text as its quantity reads it, read once; None for an empty one."""
        if not self.value.strip() and not (self.value and self.quantity.is_number):
            return None
        if self._read is None or self._read[0] != self.value:
            self._read = (self.value, self.quantity.read(self.value))
        return self._read[1]

    @property
    def dirty(self) -> bool:
        """True where the text is not what was taken last."""
        return self.value != self.taken

    @property
    def whole(self) -> bool:
        """Whether the next character takes the place of all that stands."""
        low, high = sorted(self.selection)
        return bool(self.value) and self.typing and (low, high) == (0, len(self.value))

    @property
    def problem(self) -> str:
        """Why the text as it stands could not be taken; "" where it could, or is empty."""
        found = self.found if self.rests else None
        return sentence(found) if isinstance(found, Refusal) else ""

    @property
    def reason(self) -> str:
        """Give what the person must be told now, the most pressing first; "" for nothing."""
        return self.notice or self.asked or self.problem

    def _show(self, text: str) -> None:
        self.value = text
        self.cursor_position = len(self.value)
        self.notice = self.asked = ""

    def _select_all(self) -> None:
        self.selection = Selection(0, len(self.value))

    # Keys.

    def press(self, key: str, character: str | None = None) -> bool:
        """One key of a keyboard or of a pad. False: it is not the field's."""
        before, name = self.value, ""
        name, character = plain_key(key, character)
        took = self._enter() if name == "enter" else self._key(name, character)
        if name != "enter":
            self._last_enter = float("-inf")
        # What Enter has taken is told by Taken; what was typed for it stays kept until it is recorded.
        if self.value != before and (name != "enter" or self.dirty):
            self.post_message(self.Edited(self))
        self._redraw()
        return took

    def _key(self, name: str, character: str | None) -> bool:
        if character is not None and not has_modifier(name):
            return self._type(character)
        if name == "ctrl+j":
            return self._line_feed()
        if name == "begin":
            return self._refuse("Keypad 5 with NumLock off. Nothing was typed.")
        if name in _STEPS:
            return self._step(_STEPS[name])
        return self._edit(name)

    def _edit(self, name: str) -> bool:
        """The toolkit's own editing keys, once the field is open."""
        edits: dict[str, Callable[[], None]] = {
            "backspace": self.action_delete_left, "delete": self.action_delete_right,
            "ctrl+w": self.action_delete_left_word, "ctrl+u": self.action_delete_left_all,
            "ctrl+k": self.action_delete_right_all, "home": self.action_home, "end": self.action_end,
            "left": self.action_cursor_left, "right": self.action_cursor_right,
        }  # fmt: skip
        if not self.typing:
            taking_out = name in ("backspace", "delete")
            return self._refuse(self.to_change) if taking_out and self.value else taking_out
        if name == "escape" and self.rests:
            self.load(self.taken)
            return True
        if name not in edits:
            return False
        self.notice = self.asked = ""
        if self.whole:
            # It was all to be typed over; now a part of it is changed, from its end.
            self.cursor_position = len(self.value)
        edits[name]()
        return True

    def open(self, cursor: int | None = None) -> bool:
        """Open for editing, the cursor at the end or where asked for; an empty one with what is offered."""
        offered = not self.value and self.quantity.offers is not None
        if offered and self.quantity.offers is not None:
            self._show(self.quantity.offers())
        self.typing = True
        self.notice = self.asked = ""
        figure = self.quantity.kind != "text"
        if offered or (cursor is None and figure):
            self._select_all()
        else:
            self.cursor_position = len(self.value) if cursor is None else cursor
        self._redraw()
        return True

    def _type(self, character: str) -> bool:
        words = self.quantity.kind == "text"
        if not self.typing and self.value:
            return self._refuse(self.to_change)
        if not self.typing and self.quantity.starters and not self.quantity.starts(character):
            return self._refuse(f"{literal(character)} does nothing here. {self.to_open}")
        if words and character.isspace():
            character = " "
        if any(is_control(c) or not (c.isprintable() or c.isspace()) for c in character):
            return self._refuse(f"{literal(character)} cannot be typed here.")
        return self._put_in(character)

    def _line_feed(self) -> bool:
        words = self.quantity.kind == "text"
        before = self.value
        took = self._type(" " if words else _LINE_FEED_SHOWN)
        if words and self.value != before:
            self.notice = "The line break was put in as a space."
        return took

    def _put_in(self, text: str) -> bool:
        """In place of what is selected, whether it is typed, picked on a pad or pasted."""
        low, high = sorted(self.selection) if self.typing else (len(self.value),) * 2
        if len(self.value) - (high - low) + len(text) > self.quantity.most_characters:
            most = self.quantity.most_characters
            return self._refuse(f"At most {most} characters. Nothing was put in.")
        self.typing = True
        self.notice = self.asked = ""
        self.replace(text, low, high)
        return True

    def _step(self, steps: int) -> bool:
        if not self.quantity.one_step:
            return self._refuse("Nothing to step here.")
        if not self.value.strip():
            return self._refuse("Nothing to step from: type the figure first.")
        stepped = self.quantity.stepped(self.value, steps)
        if isinstance(stepped, Refusal):
            return self._refuse(sentence(stepped))
        self.typing = True
        self._show(stepped)
        return True

    def _enter(self) -> bool:
        now = self._clock()
        last, self._last_enter = self._last_enter, now
        if now - last < BOUNCE:
            return True
        if not self.value and self.rests and (self.typing or self.quantity.offers is None):
            # At rest again, so that the letters that go on without a value are commands.
            self.typing = False
            return self._refuse(self.empty_words)
        if not self.typing:
            return self.open()
        found = self.found
        if found is None and not self.rests:
            self.post_message(self.Taken(self, None, changed=False, doubted=False))
            return True
        if found is None or isinstance(found, Refusal):
            self.type_over(sentence(found) if found else self.empty_words)
            return True
        if (question := self._question(found)) and not self.asked:
            self.notice, self.asked = "", question
            self._select_all()
            return True
        typed, changed = Typed(self.value, found), self.dirty
        doubted = bool(self.asked) and self.quantity.doubts(found)
        if self.rests:
            self.load(self.value if not self.quantity.is_number else self.quantity.entry(found))
        self.asked = ""
        self.post_message(self.Taken(self, typed, changed=changed, doubted=doubted))
        return True

    def _question(self, found: Value) -> str:
        if question := self.quantity.question(self.value, found, self.taker_now):
            return question
        width = self.content_size.width
        fits = not self.quantity.is_number or not width or text_fits(self._look(), width)
        return "" if fits else f"You typed {self.value}: {self.taker_now} again to take it."

    def _refuse(self, notice: str) -> bool:
        self.notice = notice
        return True

    # Words about it.

    @property
    def taker_now(self) -> str:
        """Name what takes an entry: a key, or for the mouse the button `taker`."""
        by_mouse = self.is_attached and bool(getattr(self.app, "by_mouse", False))
        return self.taker if by_mouse else KEY

    @property
    def to_change(self) -> str:
        """Say how what was taken is opened again."""
        return f"{'Enter' if self.taker_now == KEY else 'Click the field'} to change this."

    @property
    def to_open(self) -> str:
        """Say how an empty field is opened."""
        return "Enter begins." if self.taker_now == KEY else "Click the field."

    @property
    def empty_words(self) -> str:
        """Say at Enter on an empty field what it takes, and how to go on without it."""
        without = f" {self.quantity.without}" if self.quantity.without else ""
        return f"Nothing recorded. {self.quantity.takes}.{without}"

    @property
    def _hint(self) -> str:
        taker, focused = self.taker_now, self.has_focus
        if self.dirty and (meaning := self.quantity.meaning(self.value)):
            return f"{meaning}. {taker} takes it."
        if not self.rests:
            return ""
        if self.whole and focused:
            then = f"{taker} takes it" if self.dirty else "Esc leaves it"
            return f"Type over it, or ← and change a part. {then}."
        if self.dirty and not focused:
            return f"Not taken yet: {taker} takes it."
        if self.dirty and self.taken:
            return f"{taker} takes it, Esc puts back {literal(self.taken)}."
        if focused and self.value and not self.typing:
            return self.to_change
        if not self.value and not self.typing and self.quantity.offers is not None:
            opens = "Enter" if taker == KEY else "A click here"
            return f"{opens} offers {literal(self.quantity.offers())}."
        if not self.value and self.quantity.wanted:
            return f"{self.quantity.wanted}."
        if not self.value and focused and self.typing:
            return f"Nothing typed yet: type it, then {taker}."
        return ""

    @property
    def note(self) -> tuple[str, str]:
        """The most pressing thing to say, and the ink it is said in."""
        if self.notice:
            return f"! {self.notice}", "error"
        if self.asked:
            return f"? {self.asked}", "warning"
        if problem := self.problem:
            return f"! {problem}", "error"
        return self._hint, "text"

    # How it is drawn.

    def _look(self) -> Look:
        """The line of the field, with a mark for what the colour of the note says too."""
        mark = " "
        if self.asked and not self.notice:
            mark = "?"
        elif self.notice or self.problem:
            mark = "!"
        elif self.rests and self.dirty:
            mark = "*"
        return Look(
            text=_SECRET * len(self.value) if self.password else self.value,
            cursor=self.cursor_position if self.typing and (self.rests or self.has_focus) else None,
            whole=self.whole and (self.rests or self.has_focus),
            focused=self.has_focus,
            mark=mark,
            unit=self.quantity.label,
            room=_NUMBER_ROOM if self.quantity.is_number else None,
        )

    def render_line(self, y: int) -> Strip:
        width, height = self.content_size
        if y == 0:
            inks = {"text": "strong", "frame": "key" if self.has_focus else "text"}
            parts = line_parts(self._look(), width)
            spans = tuple((text, inks.get(part, part)) for part, text in parts)
            return strip(spans, look_of(self), width)
        words, ink = self.note
        lines = wrap(words, width, most=max(1, height - 1))
        return strip(line((lines[y - 1] if y <= len(lines) else "", ink)), look_of(self), width)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return 1 + max(int(self.rests), len(wrap(self.note[0], width)))

    def _redraw(self) -> None:
        if not self.is_attached:
            return
        width, height = self.content_size
        own_height = self.styles.height is not None and self.styles.height.is_auto
        tall = self.get_content_height(self.size, self.size, width) if width else height
        self.refresh(layout=own_height and tall != height)

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: what is said of them is another."""
        self._redraw()

    # What the toolkit tells it: its own ways with selection, focus, mouse and paste stand back.

    def _watch_value(self, value: str) -> None:
        self.selection = self.validate_selection(self.selection)

    def _watch_selection(self, selection: Selection) -> None:
        """Nothing scrolls: the line shows the stretch that the cursor is in."""

    def watch_has_focus(self, has_focus: bool) -> None:
        super().watch_has_focus(has_focus)
        if not has_focus and not self.typing:
            # An edit stays open, a refusal that is over is not shown on.
            self.notice = ""
        self._redraw()

    def _on_mount(self, event: events.Mount) -> None:
        """Without the toolkit's timer of a cursor that blinks."""
        event.prevent_default()

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a character is the field's before any command of the screen may have it."""
        if character is None or has_modifier(key) or not character.isprintable():
            return False
        return self.typing or self._starts(character)

    def _starts(self, character: str) -> bool:
        if self.quantity.kind == "text":
            return not self.value and self.quantity.starts(character)
        return self.quantity.starts(character)

    def _is_command(self, event: events.Key) -> bool:
        """A character that could not begin an entry, and that is a command here."""
        character = event.character
        if self.typing or character is None or is_control(character):
            return False
        return not self._starts(character) and event.key in self.screen.active_bindings

    def type_key(self, event: events.Key) -> bool:
        """A key while it has the focus; False where it is a command of the screen, or not the field's."""
        if self._is_command(event):
            return False
        if self.press(event.key, event.character):
            return True
        stray = event.is_printable and event.key not in self.screen.active_bindings
        if stray:
            self.notice = f"{literal(event.key)} does nothing here."
            self._redraw()
        return stray

    def begin_with(self, event: events.Key) -> bool:
        """A key while the focus is elsewhere: a figure goes on with the entry, or begins it."""
        character = event.character or ""
        figure = self.quantity.kind != "text" and character in FIGURES
        if not figure or not character or not self.check_consume_key(event.key, character):
            return False
        self.screen.set_focus(self)
        return self.press(event.key, character)

    async def _on_key(self, event: events.Key) -> None:
        event.prevent_default()
        if self.type_key(event):
            event.stop()

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.paste(event.text)

    def paste(self, raw: str) -> None:
        """Put pasted text in at the cursor, or refuse it whole with a reason."""
        if self.on_lines is not None and len(raw.splitlines()) > 1:
            self.on_lines(raw)
            return
        self._last_enter = float("-inf")
        before = self.value
        if not self.typing and self.value:
            self._refuse(f"Nothing was put in. {self.to_change}")
        else:
            number = self.quantity.kind != "text"
            pasted = into_number(raw, self.quantity.letters) if number else into_text(raw)
            if pasted.text is None:
                self._refuse(pasted.notice)
            else:
                self._put_in(pasted.text)
                self.notice = self.notice or pasted.notice
        if self.value != before:
            self.post_message(self.Edited(self))
        self._redraw()

    async def _on_mouse_down(self, event: events.MouseDown) -> None:
        event.prevent_default()

    async def _on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None or event.button != 1:
            return
        event.stop()
        self.open_at(offset.x if offset.y == 0 else None)

    def open_at(self, x: int | None = None) -> None:
        """Open for editing, as a click in column `x` does, or one beside the text."""
        place = None if x is None else place_at(self._look(), self.content_size.width, x)
        before = self.value
        self.open(place)
        if self.value != before:
            self.post_message(self.Edited(self))
