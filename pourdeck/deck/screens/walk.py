"""The walk: what the crew does next on the panel in hand, and what was found."""

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical

from pourdeck.deck.actions import bindings
from pourdeck.deck.dialogs import TellDialog
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.screens.walk_asks import WalkAsks
from pourdeck.deck.spans import Spans
from pourdeck.deck.views.answering import field_rules, first_text, resting_text
from pourdeck.deck.views.setout_rows import sum_lines, title
from pourdeck.deck.views.stops import Stop, after, find_stop, next_owed, section_start, stops
from pourdeck.deck.views.walk_card import answer_lines, card
from pourdeck.deck.views.walk_list import GROUP, SECTION, opened_stop, walk_rows
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.choice_field import ChoiceField
from pourdeck.deck.widgets.keypad import Keypad
from pourdeck.deck.widgets.measure_field import MeasureField
from pourdeck.deck.widgets.plan_view import PlanView
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.records import ItemView, Walk

SUM_WIDTH = 68
CHOICES = ("choice", "yes")


class WalkScreen(DeckScreen):
    """Steps at the left, the one in hand at the right. ↑↓ go from step to step, PgUp and PgDn by section.

    The answer has the focus, so that figures go into it at once; letters are commands until an entry begins.
    """

    ID = "walk"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("walk"),
        Binding("up", "step(-1)", "Before", show=False),
        Binding("down", "step(1)", "Next", show=False),
        Binding("pageup", "section(-1)", "Section before", show=False),
        Binding("pagedown", "section(1)", "Next section", show=False),
        Binding("enter", "take", "Take", show=False),
    ]
    DEFAULT_CSS = """
    WalkScreen #split { layout: horizontal; height: 1fr; width: 1fr; }
    WalkScreen #steps { width: 31; height: 1fr; }
    WalkScreen.-wide #steps { width: 44; }
    WalkScreen #card { width: 1fr; height: 1fr; padding: 0 0 0 1; }
    WalkScreen #plan { height: 1fr; min-height: 4; }
    WalkScreen #measure { height: auto; }
    WalkScreen.-slim #split, WalkScreen.-narrow #split { layout: vertical; }
    WalkScreen.-slim #steps, WalkScreen.-narrow #steps { width: 1fr; height: 6; }
    WalkScreen.-slim #card, WalkScreen.-narrow #card { width: 1fr; }
    WalkScreen.-slim #plan, WalkScreen.-narrow #plan { display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._shown: str | None = None
        self.asks = WalkAsks(self)

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        with Container(id="split"):
            yield RowList(id="steps")
            with Vertical(id="card"):
                yield Prose(id="ask")
                yield MeasureField("length", units, id="measure", idle_arrows=False)
                yield ChoiceField(id="choice")
                yield Keypad("length", units, id="keypad")
                yield Prose(id="answer")
                yield PlanView(id="plan")

    # Where the crew stands.

    @property
    def walk(self) -> Walk | None:
        """The panel in hand, None where the job has no such panel."""
        here, desk = self.deck.here, self.deck.desk
        stack = desk.job.stack(here.stack) if here.stack else None
        if stack is None or here.panel is None or not 1 <= here.panel <= len(stack.panels):
            return None
        return desk.walk(stack.id, here.panel)

    @property
    def stop(self) -> Stop | None:
        walk = self.walk
        return find_stop(stops(walk), self.deck.here.item) if walk else None

    @property
    def item(self) -> ItemView | None:
        stop = self.stop
        return stop.item if stop else None

    def title_words(self) -> Spans:
        walk = self.walk
        return title(walk.setout) if walk else super().title_words()

    def stand_at(self, stop: Stop) -> None:
        """Take another stop in hand."""
        self.deck.place(item=stop.key)
        self.reload()
        self.refresh_frame()

    # What is shown.

    def reload(self) -> None:
        walk, stop = self.walk, self.stop
        if walk is None or stop is None:
            return
        if self.deck.here.item != stop.key:
            self.deck.place(item=stop.key)
        self.query_one("#steps", RowList).set_rows(walk_rows(walk, stop.key), select=stop.key)
        self._show_card(walk, stop)

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self.reload)

    def _show_card(self, walk: Walk, stop: Stop) -> None:
        width = max(20, (self.query_one("#card").size.width or 48) - 1)
        units = walk.job.units
        self.query_one("#ask", Prose).show(card(walk, stop, width))
        rows = answer_lines(stop.item, units, width) if stop.item else []
        self.query_one("#answer", Prose).show(rows)
        self._suit_answer(walk, stop)
        place = stop.item.place if stop.item else None
        self.query_one(PlanView).show(walk.setout, place)

    def _suit_answer(self, walk: Walk, stop: Stop) -> None:
        """Show the field that takes the answer, with what is half typed; a new stop has the focus on it."""
        measure, choice = self.query_one(MeasureField), self.query_one(ChoiceField)
        keypad, item = self.query_one(Keypad), stop.item
        asked = item is not None and not stop.locked
        measure.display = asked and item is not None and item.kind not in CHOICES
        choice.display = asked and item is not None and item.kind in CHOICES
        rules = field_rules(item, walk) if item is not None and measure.display else None
        keypad.display = rules is not None and rules.kind != "text"
        state = (
            f"{walk.mark} {stop.key} {item.entry.n if item and item.entry else ''} {stop.locked}"
        )
        if state == self._shown:
            return
        self._shown = state
        if item is not None and rules is not None:
            measure.suit(rules, resting_text(item, rules))
            draft = self.deck.kept.text(self._draft(stop))
            draft = draft or first_text(item, f"{self.deck.desk.now():%H:%M}")
            if draft:
                measure.load_draft(draft)
            if keypad.display:
                keypad.suit(rules.kind, walk.job.units, signed=rules.signed, take="Record")
        if item is not None and choice.display:
            choice.tall = self.has_class("-tall")
            choice.suit(item.choices, item.found if isinstance(item.found, str) else None)
        self._focus_answer(rules is not None and rules.kind == "text")

    def _focus_answer(self, is_text: bool) -> None:
        measure, choice = self.query_one(MeasureField), self.query_one(ChoiceField)
        if choice.display:
            choice.focus()
        elif measure.display and (not is_text or measure.dirty):
            measure.focus()
        else:
            self.query_one("#steps").focus()

    def _draft(self, stop: Stop) -> str:
        here = self.deck.here
        return f"walk.{here.stack}.{here.panel}.{stop.key}"

    # Going from step to step.

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        walk, stop = self.walk, self.stop
        if walk is None or stop is None:
            return
        every = stops(walk)
        target = opened_stop(walk, event.key)
        if event.key.startswith((SECTION, GROUP)):
            order = [one.key for one in every]
            last = opened_stop(walk, event.key, upwards=True)
            if order.index(last.key) == order.index(stop.key) - 1:
                target = last
        self.stand_at(target)

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_take()

    def action_step(self, step: int) -> None:
        walk, stop = self.walk, self.stop
        if walk and stop:
            self.stand_at(after(stops(walk), stop.key, step))

    def action_section(self, step: int) -> None:
        walk, stop = self.walk, self.stop
        if walk and stop:
            self.stand_at(section_start(stops(walk), stop.key, step))

    def go_on(self) -> None:
        """To the next stop that owes something; a failed one stays in hand."""
        walk, stop = self.walk, self.stop
        if walk is None or stop is None:
            return
        if stop.item and stop.item.own_state == "failed":
            return
        self.stand_at(next_owed(stops(walk), stop.key))

    # Answering.

    def action_take(self) -> None:
        """Enter: on an item to its field, on a hold its release, on a section's end its completion."""
        stop = self.stop
        if stop is None:
            return
        if stop.kind == "hold":
            self.action_release()
        elif stop.kind == "complete":
            self.asks.complete(stop)
        elif stop.locked and stop.item and stop.item.locked_by:
            self.deck.refuse(stop.item.locked_by)
        elif self.query_one(ChoiceField).display:
            self.query_one(ChoiceField).begin()
            self.query_one(ChoiceField).focus()
        elif self.query_one(MeasureField).display:
            self.query_one(MeasureField).focus()

    def on_measure_field_changed(self, event: MeasureField.Changed) -> None:
        event.stop()
        stop = self.stop
        if stop is not None:
            self.deck.keep_text(self._draft(stop), event.text)

    def on_measure_field_committed(self, event: MeasureField.Committed) -> None:
        event.stop()
        self._answer(event.text)

    def on_choice_field_committed(self, event: ChoiceField.Committed) -> None:
        event.stop()
        self._answer(event.value)

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        field = self.query_one(MeasureField)
        field.focus()
        field.press(event.key)

    def _answer(self, typed: str) -> None:
        stop = self.stop
        if stop is not None and stop.item is not None:
            draft = self._draft(stop)
            self.asks.answer(stop.item, typed, lambda: self.deck.keep_text(draft, ""))

    def show_again(self) -> None:
        """Put the field back to what stands, after an answer that was not taken."""
        self._shown = None
        self.reload()

    # What else can be done here.

    def can_do(self, action_id: str) -> bool:
        stop = self.stop
        if stop is None:
            return action_id not in _ON_ITEMS
        if action_id in ("release", "pass-unreleased"):
            return stop.section.hold is not None
        if action_id == "follow-up":
            return self.asks.can_follow_up(stop)
        if action_id == "show-sum":
            return stop.item is not None and stop.item.opens is not None
        return stop.item is not None or action_id not in _ON_ITEMS

    def action_defer(self) -> None:
        self._on_item(self.asks.defer)

    def action_not_applicable(self) -> None:
        self._on_item(self.asks.not_applicable)

    def action_note(self) -> None:
        self._on_item(self.asks.note)

    def _on_item(self, ask: Callable[[ItemView], None]) -> None:
        item = self.item
        if item is not None:
            ask(item)

    def action_follow_up(self) -> None:
        if self.stop is not None:
            self.asks.follow_up(self.stop)

    def action_undo(self) -> None:
        self.asks.undo()

    def action_release(self) -> None:
        self._on_hold(self.asks.release)

    def action_pass_unreleased(self) -> None:
        self._on_hold(self.asks.pass_unreleased)

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
        item = self.item
        opened = item.sum if item else None
        if opened is None:
            self.deck.say(Said("note", "There is no sum behind this item"))
            return
        rows = sum_lines(opened, self.deck.desk.job.units, SUM_WIDTH)
        self.app.push_screen(TellDialog("The sum", tuple(rows)))


_ON_ITEMS = ("defer", "not-applicable", "note", "follow-up", "show-sum")
