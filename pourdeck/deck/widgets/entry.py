"""The editing of one field without its screen: text, cursor, and what each key does to them.

A field rests or is being edited. It rests on the text that was taken last; a filled one must be
opened with Enter or F2 before anything changes it, an empty one opens with the first character.
The first character then takes the place of a whole figure, unless the cursor was moved or something
taken out before; words are added to. After a refusal, a question or an offered text the first character
takes the place of words too. Every key that could be meant for the field shows or is refused with a
`notice`. Enter takes the text only if the whole of it reads as the rules want, and asks once more where a
slip is likely; on an empty field it records nothing and says how to go on. Arrows move: a value is stepped
by the buttons of the pad alone, and only one that was typed. Esc puts back what stood before.
"""

from decimal import Decimal
from enum import Enum

from pourdeck.deck.widgets.field_rules import FieldRules
from pourdeck.deck.widgets.keys import has_modifier, is_control, plain_key
from pourdeck.deck.widgets.pasted import into_number, into_text
from pourdeck.plan.lengths import NotALength
from pourdeck.plan.literal import literal

BOUNCE = 0.25
"""Seconds within which an Enter right after an Enter is the same press."""

KEY = "Enter"
"""What takes an entry, unless the mouse is in use: then it is a button with a name of its own."""

_LINE_FEED_SHOWN = "\u240a"
STEP_UP, STEP_DOWN = "step-up", "step-down"
"""Keys of the pad that step a value: no keyboard has them."""

_STEPS = {STEP_UP: 1, STEP_DOWN: -1}


class Did(Enum):
    """What a key came to. PASSED: it is not the field's, and the screen may have it."""

    PASSED = "passed"
    NOTHING = "nothing"
    SHOWN = "shown"
    CHANGED = "changed"
    TAKEN = "taken"


class Entry:
    """Times are seconds of any clock that only goes forward."""

    def __init__(self, rules: FieldRules, text: str = "") -> None:
        self.rules = rules
        self.taken_text = text
        self.typed = text
        self.text = text
        self.cursor = len(text)
        self.editing = False
        self.whole = False
        self.notice = ""
        self.question = ""
        self.doubted = False
        self.taker = KEY
        self._last_enter: float | None = None

    @property
    def to_change(self) -> str:
        """How what was taken is opened again."""
        how = "Enter" if self.taker == KEY else "Click the field"
        return f"{how} to change this."

    @property
    def to_open(self) -> str:
        """How an empty field is opened."""
        return "Enter begins." if self.taker == KEY else "Click the field."

    @property
    def empty_words(self) -> str:
        """What is said at Enter on an empty field: what it takes, and how to go on without it."""
        without = f" {self.rules.without}" if self.rules.without else ""
        return f"Nothing recorded. {self.rules.takes}.{without}"

    @property
    def dirty(self) -> bool:
        return self.text != self.taken_text

    @property
    def _one_figure(self) -> bool:
        """A number, a length or a time: nobody adds to one."""
        return bool(self.text) and (self.rules.kind != "text" or bool(self.rules.starters))

    @property
    def value(self) -> Decimal | None:
        try:
            return self.rules.parse(self.text)
        except NotALength:
            return None

    @property
    def problem(self) -> str:
        """Why the text as it stands could not be taken; empty where it could, or is empty."""
        if not self.text:
            return ""
        try:
            self.rules.parse(self.text)
        except NotALength as refusal:
            return str(refusal)
        return ""

    @property
    def reason(self) -> str:
        """What the person must be told now, the most pressing first; empty: nothing."""
        return self.notice or self.question or self.problem

    def load(self, text: str) -> None:
        """Rest on this text."""
        self.taken_text = text
        self._show(text)
        self.editing = False

    def load_draft(self, text: str, *, whole: bool = False) -> None:
        """Take up again an edit that was not finished; Esc still puts back what was taken.

        `whole`: it was offered, or finished and refused; what is typed now takes its place.
        """
        self._show(text)
        self.editing = True
        self.whole = whole and bool(text)

    def begin(self, cursor: int | None = None) -> Did:
        """Open for editing, the cursor at the end or where asked for; an empty one with what is offered."""
        self.editing = True
        offered = not self.text and self.rules.offers is not None
        if not self.text and self.rules.offers is not None:
            self.text, cursor = self.rules.offers(), None
        self.notice = self.question = ""
        self.whole = offered or (cursor is None and self._one_figure)
        self.cursor = len(self.text) if cursor is None else max(0, min(cursor, len(self.text)))
        return Did.SHOWN

    def leave(self) -> None:
        """The focus goes elsewhere: an edit stays open, a refusal that is over is not shown on."""
        if not self.editing:
            self.notice = ""

    def press(self, key: str, character: str | None, now: float, *, fits: bool = True) -> Did:
        """One key. `fits`: the whole text is in sight."""
        name, character = plain_key(key, character)
        if name == "enter":
            return self._enter(now, fits)
        self._last_enter = None
        did = self._key(name, character)
        if did in (Did.CHANGED, Did.SHOWN):
            self.question = ""
        return did

    def _key(self, name: str, character: str | None) -> Did:
        if character is not None and not has_modifier(name):
            return self._type(character)
        if name == "ctrl+j":
            return self._line_feed()
        if name == "begin":
            return self._refuse("Keypad 5 with NumLock off. Nothing was typed.")
        if name == "f2":
            return Did.NOTHING if self.editing else self.begin()
        if name in ("backspace", "delete"):
            return self._take_out(name)
        if name in _STEPS:
            return self._step(_STEPS[name])
        if not self.editing:
            return Did.PASSED
        if name == "escape":
            return self._put_back()
        return self._move(name)

    def paste(self, raw: str) -> Did:
        """Pasted text: put in at the cursor, or refused whole with a reason."""
        self._last_enter = None
        self.question = ""
        if not self.editing and self.text:
            return self._refuse(f"Nothing was put in. {self.to_change}")
        words = self.rules.kind == "text"
        pasted = into_text(raw) if words else into_number(raw, self.rules.letters)
        if pasted.text is None:
            return self._refuse(pasted.notice)
        did = self._insert(pasted.text)
        if did is Did.CHANGED:
            self.notice = pasted.notice
        return did

    def _enter(self, now: float, fits: bool) -> Did:
        last, self._last_enter = self._last_enter, now
        if last is not None and now - last < BOUNCE:
            return Did.NOTHING
        if not self.text and (self.editing or self.rules.offers is None):
            # At rest again, so that the letters that go on without a value are commands.
            self.editing = False
            return self._refuse(self.empty_words)
        if not self.editing:
            return self.begin()
        try:
            value = self.rules.parse(self.text)
        except NotALength as refusal:
            self.whole = True
            return self._refuse(str(refusal))
        question = self._question(value, fits)
        if question and not self.question:
            self.notice, self.question, self.whole = "", question, True
            return Did.SHOWN
        self._take(value)
        return Did.TAKEN

    def _question(self, value: Decimal | None, fits: bool) -> str:
        if value is None:
            return ""
        if question := self.rules.question(self.text, value, self.taker):
            return question
        return "" if fits else f"You typed {self.text}: {self.taker} again to take it."

    def _take(self, value: Decimal | None) -> None:
        self.typed = self.text
        self.doubted = bool(self.question) and value is not None and self.rules.doubts(value)
        self.load(self.text if value is None else self.rules.entry(value))

    def _put_back(self) -> Did:
        changed = self.dirty
        self.load(self.taken_text)
        return Did.CHANGED if changed else Did.SHOWN

    def _type(self, character: str) -> Did:
        if not self.editing and self.text:
            return self._refuse(self.to_change)
        if not self.editing and self.rules.starters and not self.rules.starts(character):
            return self._refuse(f"{literal(character)} does nothing here. {self.to_open}")
        if self.rules.kind == "text" and character.isspace():
            character = " "
        if any(is_control(c) or not (c.isprintable() or c.isspace()) for c in character):
            return self._refuse(f"{literal(character)} cannot be typed here.")
        return self._insert(character)

    def _line_feed(self) -> Did:
        did = self._type(" " if self.rules.kind == "text" else _LINE_FEED_SHOWN)
        if did is Did.CHANGED and self.rules.kind == "text":
            self.notice = "The line break was put in as a space."
        return did

    def _insert(self, text: str) -> Did:
        most = self.rules.most_characters
        stands, at = ("", 0) if self.whole else (self.text, self.cursor)
        if len(stands) + len(text) > most:
            return self._refuse(f"At most {most} characters. Nothing was put in.")
        self.editing = True
        return self._change(stands[:at] + text + stands[at:], at + len(text))

    def _take_out(self, name: str) -> Did:
        if not self.editing and self.text:
            return self._refuse(self.to_change)
        at = self.cursor - (name == "backspace")
        if not 0 <= at < len(self.text):
            return Did.NOTHING
        return self._change(self.text[:at] + self.text[at + 1 :], at)

    def _step(self, steps: int) -> Did:
        if not self.rules.one_step:
            return self._refuse("Nothing to step here.")
        if not self.text.strip():
            return self._refuse("Nothing to step from: type the figure first.")
        try:
            stepped = self.rules.stepped(self.text, steps)
        except NotALength as refusal:
            return self._refuse(str(refusal))
        self.editing = True
        return self._change(stepped, len(stepped))

    def _move(self, name: str) -> Did:
        places = {"left": self.cursor - 1, "right": self.cursor + 1}
        places |= {"home": 0, "end": len(self.text)}
        if name not in places:
            return Did.PASSED
        self.cursor = max(0, min(places[name], len(self.text)))
        self.whole = False
        self.notice = ""
        return Did.SHOWN

    def _change(self, text: str, cursor: int) -> Did:
        self.text, self.cursor = text, cursor
        self.whole = False
        self.notice = ""
        return Did.CHANGED

    def _show(self, text: str) -> None:
        self.text, self.cursor = text, len(text)
        self.whole = False
        self.notice = self.question = ""

    def _refuse(self, notice: str) -> Did:
        self.notice = notice
        return Did.SHOWN
