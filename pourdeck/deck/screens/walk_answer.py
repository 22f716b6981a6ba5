"""The field of the stop in hand: which one takes the answer, what stands in it, what the pads do to it."""

from typing import TYPE_CHECKING

from pourdeck.deck.twice_drafts import drop_both, first_reading, keep_first
from pourdeck.deck.views.answering import asks_for_person, field_rules, resting_text
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.choice_field import ChoiceField
from pourdeck.deck.widgets.field_rules import FieldRules
from pourdeck.deck.widgets.keypad import NOW, Keypad, PadKind
from pourdeck.deck.widgets.letter_pad import LetterPad
from pourdeck.deck.widgets.measure_field import MeasureField
from pourdeck.deck.widgets.ready_words import ReadyWords
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.twice import asks_twice
from pourdeck.walk.typed import day_taken

if TYPE_CHECKING:
    from pourdeck.deck.screens.walk import WalkScreen


class WalkAnswer:
    """What is half typed or marked is kept under the key of its stop, and comes back after a kill."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen = screen
        self._shown: tuple[object, ...] | None = None
        self._refused = ""

    @property
    def measure(self) -> MeasureField:
        return self.screen.query_one("#measure", MeasureField)

    @property
    def people(self) -> ReadyWords:
        return self.screen.query_one("#people", ReadyWords)

    @property
    def choice(self) -> ChoiceField:
        return self.screen.query_one("#choice", ChoiceField)

    def forget(self, refused: str = "") -> None:
        """Fill the field anew at the next `suit`; what was `refused` is typed over as a whole."""
        self._shown = None
        self._refused = refused

    def suit(self, walk: Walk, stop: Stop) -> None:
        """Show the field that takes the answer, with what is half typed; a new stop has the focus on it."""
        item = stop.item if stop.item and not stop.locked else None
        chosen = item is not None and item.kind == "choice"
        rules = field_rules(item, walk, self._meaning) if item is not None and not chosen else None
        self.measure.display = rules is not None
        self.choice.display = chosen
        self._suit_pads(walk, item, rules)
        named = asks_for_person(item) and item is not None and item.own_state in ("open", "void")
        self.people.display = named
        if named:
            self.people.show(tuple(person.name for person in walk.job.people))
        entry = item.entry.key if item and item.entry else None
        state = (walk.mark, stop.key, entry, item.own_state if item else "", stop.locked)
        if state == self._shown:
            return
        self._shown = state
        if item is not None:
            self._fill(item, stop, rules)
        self._focus(item, chosen)

    def _fill(self, item: ItemView, stop: Stop, rules: FieldRules | None) -> None:
        draft = self.screen.deck.kept.text(self._key(stop))
        if rules is not None:
            self.measure.suit(rules, "" if self.second else resting_text(item, rules))
            if draft:
                self.measure.load_draft(draft, whole=draft == self._refused)
        else:
            stands = item.found if isinstance(item.found, str) else None
            self.choice.suit(item.choices, None if item.own_state == "void" else stands, draft)

    def _meaning(self, text: str) -> str:
        return day_taken(text, self.screen.deck.desk.now())

    def _suit_pads(self, walk: Walk, item: ItemView | None, rules: FieldRules | None) -> None:
        """A pad is there when the mouse was used last, and where there is room for it anyway."""
        screen = self.screen
        wanted = rules is not None and (
            screen.deck.by_mouse or (screen.has_class("-tall") and screen.has_class("-wide"))
        )
        words = rules is not None and rules.kind == "text" and (item is None or item.kind == "text")
        keypad, letters = screen.query_one(Keypad), screen.query_one(LetterPad)
        keypad.display = wanted and not words
        letters.display = wanted and words
        if keypad.display and rules is not None:
            kind: PadKind = "time" if rules.kind == "text" else rules.kind
            keypad.suit(kind, walk.job.units, signed=rules.signed)

    def _focus(self, item: ItemView | None, chosen: bool) -> None:
        """A time waits for Enter, so that letters stay commands; words go straight into their field."""
        if chosen:
            self.choice.focus()
        elif item is not None and (item.kind != "time" or self.measure.dirty):
            self.measure.focus()
        else:
            self.screen.query_one("#steps").focus()

    def _key(self, stop: Stop) -> str:
        here = self.screen.deck.here
        return f"walk.{here.stack}.{here.panel}.{stop.key}"

    # What is done to it.

    def keep(self, text: str) -> None:
        """Keep what is half typed or marked."""
        stop = self.screen.stop
        if stop is not None:
            self.screen.deck.keep_text(self._key(stop), text)

    def take(self, typed: str, doubted: bool = False) -> None:
        """Record what was typed or chosen."""
        stop = self.screen.stop
        if stop is None or stop.item is None:
            return
        deck, key, item = self.screen.deck, self._key(stop), stop.item
        first = first_reading(deck, key)
        walk = self.screen.walk
        if walk is not None and asks_twice(walk.job, item.cast_key) and not first:
            keep_first(deck, key, typed)
            self.screen.show_again()
            words = f"{item.label or item.prompt}: first reading taken"
            deck.say(Said("note", words, "Measure it again without looking at it. Esc drops it."))
        else:
            self.screen.asks.answer(item, typed, lambda: drop_both(deck, key), first, doubted)

    @property
    def second(self) -> bool:
        """Whether the first of two readings is taken, and the second still to come."""
        stop = self.screen.stop
        return stop is not None and bool(first_reading(self.screen.deck, self._key(stop)))

    def drop_first(self) -> bool:
        """Both readings are taken anew; False where there is no first one."""
        stop = self.screen.stop
        if stop is None or not self.second:
            return False
        drop_both(self.screen.deck, self._key(stop))
        self.screen.show_again()
        self.screen.deck.say(Said("note", "The first reading is dropped", "Nothing was recorded."))
        return True

    def write(self, text: str) -> None:
        """Words that were picked stand in the field, to be recorded."""
        self.measure.load_draft(text, whole=True)
        self.keep(text)
        self.measure.focus()

    def begin(self) -> None:
        """To the field, open for an entry; a time begins as now."""
        item = self.screen.item
        if self.choice.display:
            self.choice.begin()
            self.choice.focus()
        elif self.measure.display:
            if item is not None and item.kind == "time" and not self.measure.text:
                offered = item.offered or f"{self.screen.deck.desk.now():%H:%M}"
                self.measure.load_draft(str(offered), whole=True)
            elif not self.measure.editing:
                if item is not None and item.own_state == "failed" and item.kind != "text":
                    self.measure.load_draft("")
                self.measure.press("f2")
            self.measure.focus()
        self.screen.suit_letters()

    def start_with(self, key: str, character: str) -> bool:
        """A figure begins the answer though the focus is elsewhere; False where it begins nothing."""
        item = self.screen.item
        if item is None or not (character.isdigit() or character in "+-.,"):
            return False
        if self.choice.display:
            if not character.isdigit() or not 1 <= int(character) <= len(item.choices):
                return False
            self.choice.focus()
            self.choice.action_mark(int(character))
            return True
        if not self.measure.display or item.kind == "text":
            return False
        self.measure.focus()
        return self.measure.press(key, character)

    def press(self, key: str, character: str | None) -> None:
        """A button of a pad."""
        item, field = self.screen.item, self.measure
        if item is None or not field.display:
            return
        if key == NOW:
            self.write(f"{self.screen.deck.desk.now():%H:%M}")
            return
        if key == "escape" and not field.editing and self.drop_first():
            return
        if key == "enter" and not field.editing and field.text:
            self.begin()
            return
        field.focus()
        field.press(key, character)
