"""A hand at the deck that slips, and what it can be held to have said.

It presses at random: arrows, Enter, figures, whole numbers, places between widgets. Of every field it keeps
which texts were typed figure by figure into that field, of every choice what a press on it marked, and where
it worked last. It knows the keys that it pressed and what the screen shows, and nothing of how a field works.
"""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from random import Random
from typing import Any

from pourdeck.deck.choice_dialog import VerbButton
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import Pad
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.plan.numbers import plain
from pourdeck.sitelog.entries import Entry
from tests.deck import driver

ARROWS = ("up", "down", "left", "right", "pageup", "pagedown", "home", "end")
FIGURES = "0123456789.,"
OTHERS = (*("enter",) * 4, "tab", "shift+tab", "backspace", "escape", "space", *"ydpfhwn+-")
NUMBERS = ("5398", "7201", "150", "78", "20", "6.5", "0", "1.405", "42.655", "301", "18", "25")
MARKING = frozenset((*ARROWS, *FIGURES, "click"))
EDITING = frozenset(("backspace", "delete"))
TAKING = frozenset(("enter", "space", "click", *"ydp"))


def number(text: str) -> Decimal | None:
    try:
        return Decimal(text.strip().replace(",", "."))
    except InvalidOperation:
        return None


def added(was: str, text: str) -> str:
    """The one character by which a text became another, or took its place; "" where it is a step."""
    if len(text) == 1:
        return text
    found = [text[at] for at in range(len(text)) if text[:at] + text[at + 1 :] == was]
    return found[0] if found else ""


class Hand:
    """Presses at random. `recorded` counts what it got into the log, by the kind of entry."""

    def __init__(self, app: Any, chance: Random) -> None:
        self.app = app
        self.chance = chance
        self.done: list[str] = []
        self.pending: list[str] = []
        self.typed: dict[Field, Counter[str]] = {}
        self.drafts: dict[tuple[Field, str], Counter[str]] = {}
        self.shown: dict[Field, list[str]] = {}
        self.marked: dict[Choice, str] = {}
        self.last: Field | Choice | None = None
        self.entered: Field | None = None
        """Where Enter was pressed last and nothing was taken: the next figure takes the place of all."""
        self.recorded: Counter[str] = Counter()
        self.here: tuple[str | None, int | None, str | None] | None = None
        self.left: dict[Field, str] = {}
        """Hold what stood in each field after the last act."""

    def next_act(self) -> str:
        """A key, or "click"."""
        if self.pending:
            return self.pending.pop(0)
        roll = self.chance.random()
        if roll < 0.22:
            return self.chance.choice(ARROWS)
        if roll < 0.48:
            return str(self.chance.choice(OTHERS))
        if roll < 0.62:
            return self.chance.choice(FIGURES)
        if roll < 0.75:
            figures = self.chance.choice((*NUMBERS, self._expected()))
            self.pending = [*figures, *["enter"] * self.chance.randrange(3)]
            return self.pending.pop(0)
        return "click"

    def _expected(self) -> str:
        """Write what the item in hand should be, so that some of it is taken."""
        here, desk = self.app.here, self.app.desk
        item = desk.walk(here.stack, here.panel).find(here.item) if here.item else None
        wanted: object = item.expected if item is not None else None
        return str(plain(wanted)) if isinstance(wanted, Decimal) else "7"

    async def act(self) -> None:
        """One key or one click; then what it may record is held against what was typed and marked."""
        before, focused = self._texts(), self.app.focused
        self._look_again(before)
        marks = {one: one.value for one in self._all(Choice)}
        item = self.app.here.item
        entries = len(self.app.desk.state.entries)
        act, pad = self.next_act(), False
        if act == "click":
            x, y = self._place()
            pad = isinstance(self.app.screen.get_widget_at(x, y)[0], Pad)
            self.done.append(f"click {x},{y}")
            await driver.click_at(self.app, x, y)
        else:
            self.done.append(act)
            await driver.press(self.app, act)
        self._see(act, pad, before, marks)
        self.left = self._texts()
        held = self.app.focused
        stayed = self.app.here.item == item
        same = (
            held is focused
            and isinstance(held, Field)
            and before.get(held) == held.value
            and stayed
        )
        self.entered = held if act == "enter" and same else None
        for entry in self.app.desk.state.entries[entries:]:
            self.recorded[entry.kind] += 1
            self._hold(entry, item, marks)
        if isinstance(self.app.focused, Field | Choice):
            self.last = self.app.focused
        elif not stayed:
            self.last = None

    def _look_again(self, texts: dict[Field, str]) -> None:
        """Count what stands in the field of another item as typed for that item, though it looks alike."""
        here = (self.app.current_mode, self.app.here.panel, self.app.here.item)
        for field, text in texts.items():
            if here != self.here or self.left.get(field) != text:
                held = text if self._recorded(text) else self.drafts.get((field, text))
                if text and held:
                    self.typed[field] = Counter(held)
        self.here = here

    def _place(self) -> tuple[int, int]:
        """Anywhere in the window, or in a widget that takes clicks, however small it is."""
        width, height = self.app.size
        region = self.app.screen.region
        roll = self.chance.random()
        pads = [pad for pad in self.app.screen.query(Pad) if pad.display and pad.buttons]
        if roll < 0.3 and pads:
            pad = self.chance.choice(pads)
            button = self.chance.choice(pad.buttons)
            left, top = pad.content_region.offset
            return min(left + button.x + 1, width - 1), min(top + button.y, height - 1)
        if roll < 0.6:
            kinds = (Pad, Field, Choice, VerbButton, RowList)
            small = [one for kind in kinds for one in self.app.screen.query(kind)]
            seen = [one.region for one in small if one.region.area and one.display]
            region = self.chance.choice(seen or [region])
        x = region.x + self.chance.randrange(region.width)
        y = region.y + self.chance.randrange(region.height)
        return min(x, width - 1), min(y, height - 1)

    # What it sees on the screen.

    def _all(self, kind: type[Any]) -> Iterator[Any]:
        for screen in self.app.screen_stack:
            yield from screen.query(kind)

    def _texts(self) -> dict[Field, str]:
        return {one: one.value for one in self._all(Field)}

    def _see(self, act: str, pad: bool, before: dict[Field, str], marks: dict[Choice, str]) -> None:
        if act in TAKING:
            for field, text in before.items():
                if text and self.in_full(field, text):
                    kept = self.shown.setdefault(field, [])
                    kept.append(text)
                    del kept[:-4]
        character = {"space": " "}.get(act, act if len(act) == 1 else "")
        for field, text in self._texts().items():
            was = before.get(field, "")
            if text == was:
                continue
            told = self.typed.setdefault(field, Counter())
            put_in = character or (added(was, text) if pad else "")
            if put_in:
                past = put_in in FIGURES and isinstance(self.last, Choice) and self.last.is_attached
                self._must(not past, f"{act} went past a choice: {was} to {text}")
                over = text == put_in or self.entered is not field or field.quantity.kind == "text"
                self._must(over, f"after Enter {was} became {text}")
                if len(text) <= len(was):
                    # It took the place of all that stood here.
                    told.clear()
                told.update(put_in)
            elif act == "enter" and number(text) is not None and number(text) == number(was):
                # 9,78 that was taken is shown as 9.78, and 0107 as 107.
                self.typed[field] = Counter(text) if self.in_full(field, was) else Counter()
            elif (
                pad
                and field in before
                and len(text) >= len(was)
                and not self._put_back(field, text)
            ):
                self._must(self.in_full(field, was) and bool(was), f"stepped from {was} to {text}")
                told.update(text)
            elif act not in EDITING and (
                not pad or field not in before or self._put_back(field, text)
            ):
                # Another line is in hand, a draft of it came back, or a form opened with what it offers.
                held = text if self._recorded(text) else self.drafts.get((field, text), ())
                self.typed[field] = Counter(held)
            if text and self.in_full(field, text):
                self.drafts[field, text] = Counter(self.typed[field])
        for choice in self._all(Choice):
            if choice.value != marks.get(choice, choice.value) and act in MARKING:
                self.marked[choice] = choice.value

    def _put_back(self, field: Field, text: str) -> bool:
        """Whether it is what stood here before, or a time that the clock offers."""
        return is_time(text) or (field, text) in self.drafts or self._recorded(text)

    def _recorded(self, text: str) -> bool:
        """Whether the log has this for what is in hand: an answer is put right from what stands."""
        for entry in self.app.desk.state.entries:
            here = entry.kind == "answer" and entry.data["item"] == self.app.here.item
            told = [str(entry.data[key]) for key in ("typed", "value")] if here else []
            # A height that was worked out of the staff is shown, and may be stepped.
            worked_out = entry.data["values"].values() if entry.kind == "as-cast" else ()
            facts = [*numbers_of(entry), *told, *map(str, worked_out)]
            # What was typed as 1,20 is shown as 1.2, and words without the spaces that are too many.
            if text in facts or (number(text) and number(text) in map(number, facts)):
                return True
        return False

    def in_full(self, field: Field, text: str) -> bool:
        """Whether each figure of the text was typed into this field."""
        wanted = Counter(one for one in text if one in FIGURES)
        return wanted <= self.typed.get(field, Counter())

    # What it holds an entry to.

    def _hold(self, entry: Entry, item: str | None, marks: dict[Choice, str]) -> None:
        shown = [text for texts in self.shown.values() for text in texts]
        for fact in numbers_of(entry):
            # A value that was typed in another unit is known by its letter.
            same = [
                text
                for text in shown
                if text == fact or number(text) == number(fact) or text[-1:].isalpha()
            ]
            self._must(bool(same), f"{entry.kind} {fact} was not typed: {dict(entry.data)}")
        data = entry.data
        if entry.kind == "answer" and data.get("value") is not None:
            at_walk = self.app.current_mode == "walk"
            self._must(not at_walk or data["item"] == item, f"{data['item']}, not {item}")
            if not data.get("unit") and not isinstance(data["value"], list):
                held = (*marks.values(), *self.marked.values(), *shown)
                words = str(data["typed"])
                self._must(
                    words in held or str(data["value"]) in held or is_time(words),
                    f"{words} was not picked: {dict(data)}",
                )

    def _must(self, holds: bool, words: str) -> None:
        assert holds, f"{words}\nlast acts: {' '.join(self.done[-40:])}"

    async def leads_on(self) -> None:
        """Esc leaves every dialog, and F2 goes to the Board: no state is the end."""
        screen = self.app.current_mode
        for _ in range(6):
            if not isinstance(self.app.screen, DeckScreen):
                await driver.press(self.app, "escape")
        self._must(isinstance(self.app.screen, DeckScreen), "Esc does not lead out")
        await driver.press(self.app, "f2")
        self._must(self.app.current_mode == "board", "F2 does not lead to the Board")
        self.app.go(screen)
        await driver.settle(self.app)
        self.last = None


def is_time(words: str) -> bool:
    return ":" in words


def numbers_of(entry: Entry) -> list[str]:
    """List what an entry says in figures that somebody must have typed; not the times, which are offered."""
    data = entry.data
    if entry.kind == "answer" and data.get("unit") and data.get("value") is not None:
        return [str(data["typed"])]
    if entry.kind == "sight":
        return [str(data["reading"])]
    if entry.kind == "load":
        keys = ("slump", "temperature", "volume", "water", "docket")
        return [str(data["values"][key]) for key in keys if data["values"].get(key) is not None]
    if entry.kind == "test":
        return [str(data["strength"])]
    if entry.kind == "as-cast":
        twice, staff = data.get("readings", {}), data.get("staff", {})
        once = {**data["values"], **staff}
        return [
            str(each) for key, value in once.items() for each in twice.get(key, [value])
        ]  # fmt: skip
    if entry.kind == "revise":
        names = ("width", "height", "thickness")
        changed = [name for name in names if data["after"][name] != data["before"][name]]
        return [str(data["after"][name]) for name in changed]
    if entry.kind == "temperatures" and data["from"] == "typed":
        return [str(reading[1]) for reading in data["readings"]]
    return []
