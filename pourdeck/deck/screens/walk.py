"""The walk: what the crew does next on the panel in hand, what was found, and the card that shows it."""

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import Spans, SteadyColumn, SteadyRow, line
from pourdeck.deck.screens.walk_answer import WalkAnswer, WalkPlace
from pourdeck.deck.screens.walk_asks import WalkAsks
from pourdeck.deck.screens.walk_ends import WalkEnds
from pourdeck.deck.views.read_all import read_all_rows
from pourdeck.deck.views.values import item_sum, sum_lines
from pourdeck.deck.views.walk_card import (
    ALL,
    LATER,
    SPARE,
    Block,
    answer_blocks,
    blind,
    can_follow_up,
    complete_blocks,
    hold_blocks,
    item_blocks,
    keep_blocks,
    least_rows,
    named,
    open_nonconformance,
    out_blocks,
    rows_of,
    twice_rows,
)
from pourdeck.deck.views.walk_list import Stop, walk_rows
from pourdeck.deck.widgets.bar import Boxes, Doing
from pourdeck.deck.widgets.choice import Choice, ReadyWords
from pourdeck.deck.widgets.field import FIGURES, Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import Keypad, LetterPad
from pourdeck.deck.widgets.prose import PlanView, Prose
from pourdeck.deck.widgets.row_list import RowList, StepList
from pourdeck.walk.answers import asks_twice
from pourdeck.walk.authority import unlocked
from pourdeck.walk.levels import ITEMS
from pourdeck.walk.pour_findings import READY, weather_words
from pourdeck.walk.quantities import Typed
from pourdeck.walk.records import NOWHERE, ItemView, OutOfTolerance, Walk

# How the card of the walk is laid out: what must be in sight, and what the room is left to.

LEAST_PLAN = 5
GOOD_PLAN = 7
"""Lines of a drawing that can be read at all, and that are worth leaving words out for."""

MEASURE_ROWS = 2
PANE_WIDTH = 30


class WalkCard:
    """Works out the lines by what is free: the field is always in sight, the drawing takes what is left."""

    def __init__(self, screen: WalkPlace, answer: WalkAnswer) -> None:
        self.screen = screen
        self.answer = answer

    def show(self, walk: Walk, stop: Stop) -> None:
        card = self.screen.query_one("#card")
        width, height = card.content_size
        if width < 8 or height < 2:
            return
        one_column = self.screen.has_class("-narrow") or self.screen.has_class("-slim")
        tall = self.screen.has_class("-tall") and not one_column
        doings = self._doings(walk, stop)
        boxes = self.screen.query_one(Boxes)
        boxes.show(doings, tall=tall)
        ask, told = self._blocks(walk, stop, width)
        room = height - (0 if not doings else 3 if tall else 1)
        choice = self.screen.query_one("#choice", Choice)
        if choice.display:
            spare = room - least_rows([*ask, *told]) - (GOOD_PLAN if tall else 0)
            choice.make_room(tall=tall, most_rows=max(4, spare))
            room -= choice.get_content_height(card.size, card.size, width)
        elif self.answer.field.display:
            room -= MEASURE_ROWS
            people = self.answer.people
            if people.display:
                room -= people.get_content_height(card.size, card.size, width - 2)
        placed = stop.item is not None and stop.item.place != NOWHERE and not one_column
        kept = keep_blocks([*ask, *told], room - (GOOD_PLAN if placed else 0), least=SPARE)
        # The document that limits come from goes before a larger drawing, but not before any drawing.
        kept = keep_blocks(kept, room - (LEAST_PLAN if placed else 0))
        ask_rows, told_rows = rows_of(kept, ask), rows_of(kept, told)
        ask_rows = _cut(ask_rows, max(1, room - len(told_rows)))
        self.screen.query_one("#ask", Prose).show(ask_rows)
        self.screen.query_one("#told", Prose).show(told_rows)
        left = room - len(ask_rows) - len(told_rows)
        self._show_lower(walk, stop, 0 if one_column else left, wide=tall)

    def _blocks(self, walk: Walk, stop: Stop, width: int) -> tuple[list[Block], list[Block]]:
        if stop.item:
            units = walk.job.units
            weather = self._weather(walk) if stop.item.key in READY else ""
            return (
                item_blocks(walk, stop.section, stop.item, width),
                [
                    Block(tuple(named("weather", weather, width))),
                    *self._twice(walk, stop.item, width),
                    *answer_blocks(stop.item, units, width),
                    *out_blocks(walk, stop.item, width),
                ],
            )
        if stop.hold:
            weather = self._weather(walk)
            return hold_blocks(walk, stop.section, stop.hold, width, weather=weather), []
        return complete_blocks(walk, stop.section, width), []

    def _weather(self, walk: Walk) -> str:
        desk = self.screen.deck.desk
        return weather_words(walk, desk.now(), desk.jumps())

    def _twice(self, walk: Walk, item: ItemView, width: int) -> list[Block]:
        """Say that it is measured twice, and which reading it is now."""
        if item.locked_by or not asks_twice(walk.job, item.cast_key):
            return []
        rows = twice_rows(walk.job, width, second=self.answer.second)
        return [Block(tuple(rows), 0 if self.answer.second else LATER)]

    def _doings(self, walk: Walk, stop: Stop) -> list[Doing]:
        """List what the stop wants done, beside an answer."""
        if stop.locked:
            return [Doing("g", "Go to what is owed", "next-owed")]
        if stop.item:
            cast = _elsewhere(walk, stop.item)
            out = stop.item.out
            if out is not None and not out.settled:
                return [*self._out_doings(out), *cast]
            if stop.item.own_state == "failed":
                again = "Measure again" if stop.item.kind in ("measure", "count") else "Look again"
                return [
                    Doing("f", "Say what was done", "follow-up"),
                    Doing("Enter", again, "take"),
                    *cast,
                ]
            return cast
        if stop.hold:
            if open_nonconformance(walk, stop.hold):
                return [Doing("f", "Close non-conformance", "follow-up")]
            if stop.hold.lets_pass or walk.record.pour_start:
                return []
            return [
                Doing("h", "Release", "release"),
                Doing("x", "Go on without release", "pass-unreleased"),
            ]
        closing = stop.section.id == "close"
        if stop.section.complete is None:
            return [Doing("Enter", "Close panel" if closing else "Complete", "take")]
        if closing and walk.panel_state == "cast":
            return [Doing("k", "To its lift", "go-lift")]
        return []

    def _out_doings(self, out: OutOfTolerance) -> list[Doing]:
        """List what a value out of tolerance wants until it is settled; of a rejected one nothing more."""
        if out.state == "rejected":
            return []
        word = {"repair": "Repair looked at", "open": "Disposition"}.get(out.state, "Say otherwise")
        return [Doing("f", word, "follow-up"), Doing("Enter", "Measure again", "take")]

    def _show_lower(self, walk: Walk, stop: Stop, left: int, *, wide: bool) -> None:
        lower = self.screen.query_one("#lower")
        lower.display = left >= LEAST_PLAN
        if not lower.display:
            return
        item = stop.item
        self.screen.query_one(PlanView).show(walk.setout, item.place if item else None)
        opened = item_sum(walk, item) if wide and item and not blind(item) else None
        pane = self.screen.query_one("#sum", Prose)
        pane.display = opened is not None
        if opened is not None:
            pane.show(_cut(sum_lines(opened, walk.job.units, PANE_WIDTH), left, "… F8 opens it"))


def _elsewhere(walk: Walk, item: ItemView) -> list[Doing]:
    """The screens on which an item is answered too."""
    found = [Doing("c", "On the panel", "go-ascast")] if item.cast_key else []
    levelled = item.key in ITEMS or (item.cast_key or "").startswith("rl_")
    if levelled and walk.job.site.benchmark is not None:
        found.insert(0, Doing("i", "Level book", "go-levels"))
    return found


def _cut(rows: list[Spans], most: int, rest: str = ALL) -> list[Spans]:
    return rows if len(rows) <= most else [*rows[: max(0, most - 1)], line((rest, "quiet"))]


# The walk: what the crew does next on the panel in hand, and what was found.

# What the walk shows over itself: the sum of an item, and all there is to read of it.

SUM_WIDTH = 68


def show_sum(screen: WalkPlace) -> None:
    """Open the sum behind what the item expects."""
    walk, item = screen.walk, screen.item
    if walk is None or item is None or blind(item):
        words = "It is shown once it is read off the drawing" if item else "No item is in hand"
        screen.deck.say(Said("note", "There is no sum to open yet", f"{words}."))
        return
    opened = item_sum(walk, item)
    if opened is None:
        screen.deck.say(Said("note", "There is no sum behind this item", "It is seen or written."))
        return
    rows = sum_lines(opened, walk.job.units, SUM_WIDTH)
    screen.app.push_screen(TellDialog("The sum", tuple(rows)))


def read_all(screen: WalkPlace) -> None:
    """Everything about the stop in hand, uncut."""
    walk, stop = screen.walk, screen.stop
    if walk is not None and stop is not None:
        desk = screen.deck.desk
        rows = read_all_rows(walk, stop, weather_words(walk, desk.now(), desk.jumps()))
        screen.app.push_screen(TellDialog("All there is to read here", tuple(rows)))


# The walk: what the crew does next on the panel in hand, and what was found.


class WalkScreen(WalkPlace):
    """Steps at the left, the one in hand at the right. ↑↓ go from step to step, PgUp and PgDn by section.

    The answer has the focus, so that figures go into it at once, and words where words are asked for. Letters
    are commands until an entry begins; where words are asked for, after Esc.
    """

    ID = "walk"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("walk"),
        Binding("up", "step(-1)", "Before", show=False),
        Binding("down", "step(1)", "Next", show=False),
        Binding("pageup", "section(-1)", "Section before", show=False),
        Binding("pagedown", "section(1)", "Next section", show=False),
        Binding("escape", "leave_field", "Letters are keys", show=False),
    ]
    DEFAULT_CSS = """
    WalkScreen #split { layout: horizontal; height: 1fr; width: 1fr; }
    WalkScreen #left { width: 31; height: 1fr; }
    WalkScreen.-wide #left { width: 44; }
    WalkScreen #steps { height: 1fr; }
    WalkScreen #card { width: 1fr; height: 1fr; padding: 0 0 0 1; }
    WalkScreen #measure { height: auto; }
    WalkScreen #people { padding: 0 0 0 2; }
    WalkScreen #lower { height: 1fr; }
    WalkScreen #plan { height: 1fr; width: 1fr; }
    WalkScreen #sum { height: 1fr; width: 32; padding: 0 0 0 2; }
    WalkScreen.-slim #split, WalkScreen.-narrow #split { layout: vertical; }
    WalkScreen.-slim #left, WalkScreen.-narrow #left { width: 1fr; height: auto; }
    WalkScreen.-slim #steps, WalkScreen.-narrow #steps { height: 4; }
    WalkScreen.-slim #card, WalkScreen.-narrow #card { width: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.asks = WalkAsks(self)
        self.ends = WalkEnds(self)
        self.answer = WalkAnswer(self)
        self.card = WalkCard(self, self.answer)

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        with SteadyRow(id="split"):
            with SteadyColumn(id="left"):
                yield StepList(id="steps")
                yield Keypad("length", units, id="keypad")
                yield LetterPad(take="Record", id="letters")
            with SteadyColumn(id="card"):
                yield Prose(id="ask")
                yield Field(id="measure", clock=self.deck.monotonic)
                yield ReadyWords((), field="measure", id="people")
                yield Choice(id="choice", clock=self.deck.monotonic)
                yield Boxes(id="boxes")
                yield Prose(id="told")
                with SteadyRow(id="lower"):
                    yield PlanView(id="plan")
                    yield Prose(id="sum")

    # What is shown.

    def reload(self) -> None:
        walk, stop = self.walk, self.stop
        if walk is None or stop is None:
            return
        if self.deck.here.item != stop.key:
            self.deck.place(item=stop.key)
        rows = walk_rows(self.every, stop, walk.job.units)
        self.query_one("#steps", RowList).set_rows(rows, select=stop.key)
        self.answer.show_for(walk, stop)
        self.card.show(walk, stop)

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: pads come and go, and what is said of them."""
        self.reload()
        self.answer.field.hand_changed()
        self.answer.choice.refresh()

    def show_again(self, refused: str = "") -> None:
        self.answer.forget(refused)
        self.reload()

    # Answering.

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_take()

    def action_take(self) -> None:
        """Enter: on an item to its field, on a hold its release, on a section's end its completion."""
        stop = self.stop
        if stop is None:
            return
        if stop.kind == "hold":
            self.action_release()
        elif stop.kind == "complete":
            self.ends.complete(stop)
        elif not self.refuse_locked():
            self.answer.begin()

    def action_leave_field(self) -> None:
        """Esc at a field that writes letters: to the steps, where they are keys. Enter comes back.

        Where the first of two readings is taken it is dropped.
        """
        if self.answer.drop_first():
            return
        if self.answer.field.has_focus:
            self.set_focus(self.query_one("#steps"))

    def refuse_locked(self) -> bool:
        """True where the item in hand is locked: why, and what would unlock it, is said."""
        item = self.item
        refusal = unlocked(item) if item else None
        if refusal is None:
            return False
        self.deck.refuse(refusal)
        return True

    @property
    def field_in_hand(self) -> Field | None:
        return self.answer.field

    def type_key(self, event: events.Key) -> bool:
        """A figure marks a choice as well, wherever the focus is; on a locked item it is said why not."""
        character = event.character or ""
        if character in FIGURES and character and self.refuse_locked():
            return True
        return super().type_key(event) or self.answer.mark(character)

    def on_key(self, event: events.Key) -> None:
        """A character that nothing here takes is said to do nothing; on a locked item, why."""
        if self.is_stray(event) and not self.refuse_locked():
            self.say_stray(event)

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        self.answer.keep(event.field.text)
        self.suit_letters()

    def on_field_taken(self, event: Field.Taken) -> None:
        event.stop()
        if event.typed is not None:
            self.answer.take(event.typed, event.doubted)

    def on_ready_words_picked(self, event: ReadyWords.Picked) -> None:
        event.stop()
        self.answer.write(event.words)

    def on_choice_marked(self, event: Choice.Marked) -> None:
        event.stop()
        self.answer.keep(event.value)

    def on_choice_taken(self, event: Choice.Taken) -> None:
        event.stop()
        self.answer.take(Typed(event.value, event.value))

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        self.answer.press(event.key, None)

    def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        self.answer.press(event.key, event.character)

    # What else can be done here.

    def can_do(self, action_id: str) -> bool:
        stop = self.stop
        if stop is None:
            return action_id not in _ON_ITEMS
        if action_id == "release":
            return stop.section.hold is not None
        if action_id == "pass-unreleased":
            return stop.section.hold is not None and not stop.section.hold.lets_pass
        if action_id == "follow-up":
            walk = self.walk
            return walk is not None and can_follow_up(walk, stop.item, stop.hold)
        if action_id == "not-measured":
            return stop.item is not None and stop.item.kind in ("measure", "count")
        if action_id == "show-sum":
            walk = self.walk
            item = stop.item
            return bool(walk and item and not blind(item) and item_sum(walk, item))
        return stop.item is not None or action_id not in _ON_ITEMS

    def action_defer(self) -> None:
        self._on_item(self.asks.defer)

    def action_not_applicable(self) -> None:
        self._on_item(self.asks.not_applicable)

    def action_not_measured(self) -> None:
        self._on_item(self.asks.not_measured)

    def action_note(self) -> None:
        self.asks.note(self.item)

    def _on_item(self, ask: Callable[[ItemView], None]) -> None:
        item = self.item
        if item is not None:
            ask(item)

    def action_follow_up(self) -> None:
        if self.stop is not None:
            self.asks.follow_up(self.stop)

    def action_release(self) -> None:
        self._on_hold(self.ends.release)

    def action_pass_unreleased(self) -> None:
        self._on_hold(self.ends.pass_unreleased)

    def _on_hold(self, ask: Callable[[str], None]) -> None:
        stop = self.stop
        hold = stop.section.hold if stop else None
        if hold is None:
            self.deck.say(
                Said("note", "This section has no hold", "It ends when it is said complete.")
            )
        else:
            ask(hold.id)

    def action_show_sum(self) -> None:
        show_sum(self)

    def action_read_all(self) -> None:
        read_all(self)


_ON_ITEMS = ("defer", "not-applicable", "not-measured", "follow-up", "show-sum")
