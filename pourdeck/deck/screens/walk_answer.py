"""Where the crew stands in the walk, and the field of the stop in hand: its text, and how it is recorded."""

from datetime import datetime
from decimal import Decimal
from typing import Protocol

from pourdeck.deck.desk_shell import DeskShell
from pourdeck.deck.recording import record_act
from pourdeck.deck.screens.base import WalkedScreen
from pourdeck.deck.views.values import asks_for_person, item_quantity, resting_text
from pourdeck.deck.views.walk_list import (
    SECTION,
    SERIES,
    Stop,
    Stops,
    about_place,
    after,
    find_stop,
    next_due,
    next_owed,
    opened_stop,
    section_start,
    stops,
)
from pourdeck.deck.widgets.choice import Choice, ReadyWords
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import NOW, Keypad, LetterPad
from pourdeck.deck.widgets.prose import PlanView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.entries import moment_of
from pourdeck.walk import acts
from pourdeck.walk.answers import ReadingsApart, asks_twice, mean
from pourdeck.walk.quantities import Quantity, Typed, of_item
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.words import found_text, item_name

# Where the crew stands in the walk of the panel in hand, and how it goes from one stop to the next.


class WalkPlace(WalkedScreen):
    """The stop in hand is kept by its key, so that it is found again after every entry and after a kill."""

    def __init__(self) -> None:
        super().__init__()
        self._every: tuple[Walk, Stops] | None = None

    @property
    def every(self) -> Stops:
        """The stops of the panel in hand."""
        walk = self.walk
        if walk is None:
            return ()
        if self._every is None or self._every[0] is not walk:
            self._every = (walk, stops(walk))
        return self._every[1]

    @property
    def stop(self) -> Stop | None:
        every = self.every
        return find_stop(every, self.deck.here.item) if every else None

    @property
    def item(self) -> ItemView | None:
        stop = self.stop
        return stop.item if stop else None

    def stand_at(self, stop: Stop) -> None:
        """Take another stop in hand."""
        self.deck.place(item=stop.key)
        self.refresh_all()

    def show_again(self, refused: str = "") -> None:
        """Put the field back to what stands; what was `refused` stands there to be typed over."""
        raise NotImplementedError

    # Going from step to step.

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        every, stop = self.every, self.stop
        if stop is None:
            return
        target = opened_stop(every, event.key)
        if event.key.startswith((SECTION, SERIES)):
            order = [one.key for one in every]
            last = opened_stop(every, event.key, upwards=True)
            if order.index(last.key) == order.index(stop.key) - 1:
                target = last
        self.stand_at(target)

    def on_plan_view_picked(self, event: PlanView.Picked) -> None:
        """A click on the drawing goes to the step about what was clicked."""
        event.stop()
        stop = self.stop
        found = about_place(self.every, stop.key, event.place) if stop else None
        if found is not None:
            self.stand_at(found)

    def action_step(self, step: int) -> None:
        stop = self.stop
        if stop:
            self.stand_at(after(self.every, stop.key, step))

    def action_section(self, step: int) -> None:
        stop = self.stop
        if stop:
            self.stand_at(section_start(self.every, stop.key, step))

    def action_next_owed(self) -> None:
        stop = self.stop
        if stop:
            self.stand_at(next_owed(self.every, stop.key))

    def go_on(self) -> None:
        """Take the next stop that owes something in hand; a failed one stays. The screen shows it next."""
        item, stop = self.item, self.stop
        if stop is not None and (item is None or item.own_state != "failed"):
            self.deck.place(item=next_due(self.every, stop.key).key)


# The field of the stop in hand: which one takes the answer, what stands in it, and how it is recorded.


class WalkAnswer:
    """Keep what is half typed or marked under the key of its stop; it comes back after a kill."""

    def __init__(self, screen: WalkPlace) -> None:
        self.screen = screen
        self._shown: tuple[object, ...] | None = None
        self._refused = ""

    @property
    def field(self) -> Field:
        return self.screen.query_one("#measure", Field)

    @property
    def people(self) -> ReadyWords:
        return self.screen.query_one("#people", ReadyWords)

    @property
    def choice(self) -> Choice:
        return self.screen.query_one("#choice", Choice)

    def forget(self, refused: str = "") -> None:
        """Fill the field anew at the next `show_for`; what was `refused` is typed over as a whole."""
        self._shown = None
        self._refused = refused

    def show_for(self, walk: Walk, stop: Stop) -> None:
        """Show the field that takes the answer, with what is half typed; a new stop has the focus on it."""
        item = stop.item if stop.item and not stop.locked else None
        chosen = item is not None and item.kind == "choice"
        quantity = None
        if item is not None and not chosen:
            quantity = item_quantity(item, walk, self.screen.deck.desk.now)
        self.field.display = quantity is not None
        self.choice.display = chosen
        self._show_pads(walk, quantity)
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
            self._fill(item, stop, quantity)
        if chosen:
            self.screen.set_focus(self.choice)
        elif item is not None and (item.kind != "time" or self.field.dirty):
            self.screen.set_focus(self.field)
        else:
            # A time waits for Enter, so that letters stay commands.
            self.screen.set_focus(self.screen.query_one("#steps"))

    def _fill(self, item: ItemView, stop: Stop, quantity: Quantity | None) -> None:
        draft = self.screen.deck.kept.text(self._key(stop))
        if quantity is not None:
            self.field.ask(quantity, "" if self.second else resting_text(item, quantity))
            if draft:
                self.field.load_draft(draft, whole=draft == self._refused)
        else:
            stands = item.found if isinstance(item.found, str) else None
            choices = tuple((one, one) for one in item.choices)
            self.choice.ask(choices, None if item.own_state == "void" else stands, draft)

    def _show_pads(self, walk: Walk, quantity: Quantity | None) -> None:
        """A pad is there when the mouse was used last, and where there is room for it anyway."""
        screen = self.screen
        roomy = screen.has_class("-tall") and screen.has_class("-wide")
        wanted = quantity is not None and (screen.deck.by_mouse or roomy)
        words = quantity is not None and quantity.kind == "text"
        keypad, letters = screen.query_one(Keypad), screen.query_one(LetterPad)
        keypad.display = wanted and not words
        letters.display = wanted and words
        if keypad.display and quantity is not None:
            keypad.show_for(quantity.kind, walk.job.units, signed=quantity.signed)

    def _key(self, stop: Stop) -> str:
        here = self.screen.deck.here
        return f"walk.{here.stack}.{here.panel}.{stop.key}"

    # What is done to it.

    def keep(self, text: str) -> None:
        """Keep what is half typed or marked."""
        stop = self.screen.stop
        if stop is not None:
            self.screen.deck.keep_text(self._key(stop), text)

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
        self.field.load_draft(text, whole=True)
        self.keep(text)
        self.screen.set_focus(self.field)

    def begin(self) -> None:
        """To the field, open for an entry; a time begins as now, a failed number is measured anew."""
        item = self.screen.item
        if self.choice.display:
            self.choice.begin()
            self.screen.set_focus(self.choice)
        elif self.field.display:
            if item is not None and item.kind == "time" and not self.field.text:
                offered = item.offered or f"{self.screen.deck.desk.now():%H:%M}"
                self.field.load_draft(str(offered), whole=True)
            elif not self.field.typing:
                if item is not None and item.own_state == "failed" and item.kind != "text":
                    self.field.load_draft("")
                self.field.open_at()
            self.screen.set_focus(self.field)
        self.screen.suit_letters()

    def mark(self, character: str) -> bool:
        """Mark the choice of a figure, though the focus is elsewhere; False where it marks nothing."""
        choice = self.choice
        if not choice.display or choice.has_focus or not character.isdigit():
            return False
        if not 1 <= int(character) <= len(choice.choices):
            return False
        self.screen.set_focus(choice)
        choice.action_mark(int(character))
        return True

    def press(self, key: str, character: str | None) -> None:
        """A button of a pad."""
        item, field = self.screen.item, self.field
        if item is None or not field.display:
            return
        if key == NOW:
            self.write(f"{self.screen.deck.desk.now():%H:%M}")
            return
        if key == "escape" and not field.typing and self.drop_first():
            return
        if key == "enter" and not field.typing and field.text:
            self.begin()
            return
        self.screen.set_focus(field)
        field.press(key, character)

    # Recording.

    def take(self, typed: Typed, doubted: bool = False) -> None:
        """Record what was typed or chosen, or keep it as the first of two readings."""
        walk, stop = self.screen.walk, self.screen.stop
        if walk is None or stop is None or stop.item is None:
            return
        record_answer(self.screen, walk, stop.item, typed, self._key(stop), doubted=doubted)


class Answering(Protocol):
    """A screen on which an item of the walk is answered."""

    @property
    def deck(self) -> DeskShell: ...

    @property
    def walk(self) -> Walk | None: ...

    def show_again(self, refused: str = "") -> None: ...

    def go_on(self) -> None: ...


def first_reading(deck: DeskShell, draft: str) -> str:
    """Give what was typed the first time for the entry whose half-typed text is kept under `draft`."""
    return deck.kept.text(f"{draft}.first")


def keep_first(deck: DeskShell, draft: str, typed: str) -> None:
    """Keep a first reading, and begin the second with nothing in sight of it."""
    deck.keep_text(f"{draft}.first", typed)
    deck.keep_text(draft, "")


def drop_both(deck: DeskShell, draft: str) -> None:
    deck.keep_text(f"{draft}.first", "")
    deck.keep_text(draft, "")


def record_answer(
    screen: Answering,
    walk: Walk,
    item: ItemView,
    typed: Typed,
    draft: str,
    *,
    doubted: bool = False,
) -> None:
    """Record an answer to an item, in the second person's name where one must give it.

    `draft`: the key under which what is half typed is kept. `doubted`: it was asked about as a likely slip,
    and kept.
    """
    deck = screen.deck
    first = first_reading(deck, draft)
    if asks_twice(walk.job, item.cast_key) and not first:
        keep_first(deck, draft, typed.text)
        screen.show_again()
        words = f"{item.label or item.prompt}: first reading taken"
        deck.say(Said("note", words, "Measure it again without looking at it. Esc drops it."))
        return
    if _stands(walk, item, typed, first, deck.desk.now()):
        drop_both(deck, draft)
        screen.show_again()
        words = f"{item_name(item)}: {found_text(item, walk.job.units)}"
        owed = item.own_state == "failed" or (item.out is not None and not item.out.settled)
        body = "Still failed: f says what was done about it." if owed else ""
        deck.say(Said("note", f"Unchanged, nothing recorded: {words}", body))
        return

    def done() -> None:
        drop_both(deck, draft)
        screen.go_on()

    def left() -> None:
        drop_both(deck, draft)
        screen.show_again()

    def unsaved() -> None:
        # What was typed is still all there is of it.
        deck.keep_text(draft, typed.text)
        screen.show_again()

    def refused(refusal: Refusal) -> None:
        if isinstance(refusal, ReadingsApart):
            drop_both(deck, draft)
            screen.show_again()
        else:
            deck.keep_text(draft, typed.text)
            screen.show_again(typed.text)

    record_act(
        deck,
        lambda by, why: acts.answer(
            screen.walk or walk, item.key, typed, by, deck.desk.now(), why, first,
            jumps=deck.desk.jumps(), doubted=doubted,
        ),
        draft=draft,
        done=done,
        left=left,
        refused=refused,
        unsaved=unsaved,
        second=item.second,
    )  # fmt: skip


def _stands(walk: Walk, item: ItemView, typed: Typed, first: str, now: datetime) -> bool:
    """True where what was typed, or what both readings come to, is the very answer that stands."""
    replaced = item.entry is not None and item.entry.kind not in ("defer", "not-applicable")
    if not replaced or item.own_state == "void":
        return False
    value = typed.value
    if isinstance(value, datetime):
        stood = moment_of(item.found)
        return stood is not None and stood.replace(second=0) == value.replace(second=0)
    before = of_item(item, walk.job.units).read(first, now) if first else None
    if isinstance(value, Decimal) and isinstance(before, Decimal):
        value = mean(before, value)
    return value == item.found
