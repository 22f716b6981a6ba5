"""The pour of the panel in hand: how full it is, every load, what counts, what comes next."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.drawing.pour import drying_chart
from pourdeck.deck.paint import SteadyColumn, SteadyRow
from pourdeck.deck.screens.concrete_asks import ask_specimen
from pourdeck.deck.screens.pour_asks import PourAsks, PourLoads
from pourdeck.deck.screens.pour_place import Hand, LoadTable, PourPlace
from pourdeck.deck.views.pour import (
    NEW,
    ON,
    ORDER,
    REJECTED,
    all_words,
    ask_line,
    drying_words,
    gauge_line,
    keys_in_order,
    load_quantity,
    off_line,
    order_lines,
    table_lines,
    watcher_words,
)
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import NOW, Keypad
from pourdeck.deck.widgets.prose import Prose
from pourdeck.plan.records import Job
from pourdeck.walk.loads import FIELDS
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.quantities import Quantity
from pourdeck.walk.records import Walk

CHART = {"-tall": 9, "-normal": 5}
"""Lines of the chart in a window of that height; elsewhere it gives way to its words."""

FEW = 2
"""So many loads leave room for a chart in a window of normal height."""


class PourScreen(PourPlace):
    """↑↓ go from load to load, ←→ along a load; Enter writes down what is in hand, figures begin it."""

    ID = "pour"
    # Else a field that is away would have the focus, and take the keys.
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("pour"),
        Binding("up", "load(-1)", "Load before", show=False),
        Binding("down", "load(1)", "Next load", show=False),
        Binding("left", "along(-1)", "Before", show=False),
        Binding("right", "along(1)", "Next", show=False),
    ]
    DEFAULT_CSS = """
    PourScreen #gauge { height: 1; padding: 0 1; }
    PourScreen #order { height: auto; max-height: 5; padding: 0 1; }
    PourScreen #loads { height: 1fr; min-height: 3; padding: 0 1; }
    PourScreen #lower { height: auto; width: 1fr; }
    PourScreen #entry { width: 1fr; height: auto; padding: 0 1; }
    PourScreen #ask { height: auto; max-height: 3; }
    PourScreen Keypad { width: 31; }
    PourScreen #chart { height: auto; padding: 0 1; }
    PourScreen #drying { height: auto; max-height: 2; padding: 0 1; }
    PourScreen.-normal #drying { max-height: 3; }
    PourScreen.-tall #drying { max-height: 6; }
    PourScreen #watcher { height: 1; padding: 0 1; }
    PourScreen.-low #watcher, PourScreen.-flat #watcher { display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.asks = PourAsks(self)
        self.loads = PourLoads(self)
        self._panel: tuple[str | None, int | None] = (None, None)
        self._offered = ""

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        yield Prose(id="gauge")
        yield Prose(id="order")
        yield LoadTable(id="loads")
        with SteadyRow(id="lower"):
            with SteadyColumn(id="entry"):
                yield Prose(id="ask")
                yield Field(id="value", clock=self.deck.monotonic)
            yield Keypad("number", units, id="keypad")
        yield Prose(id="chart")
        yield Prose(id="drying", indent=2)
        yield Prose(id="watcher")

    # What is shown.

    def on_mount(self) -> None:
        super().on_mount()
        self.call_after_refresh(self.reload)

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad of figures comes and goes."""
        self.reload()
        self.field.hand_changed()

    def minute(self) -> None:
        """The minutes that count are others now, and the time that is offered."""
        self._show_words()
        if self.field.display and self._offered != self.now_text():
            self._offered = self.now_text()
            self.field.hand_changed()

    def reload(self) -> None:
        here, page, walk = self.deck.here, self.page, self.walk
        table = self.query_one(LoadTable)
        if page is None or walk is None or not table.content_size.width:
            return
        if (here.stack, here.panel) != self._panel:
            self._panel, self._hand = (here.stack, here.panel), None
        hand = self._hand = self.hand(page)
        width = table.content_size.width
        lines = table_lines(
            page, walk.job.units, width, hand, more=self.more(page), on=self.on(page)
        )
        table.show(lines, hand[0])
        self._fill(page, walk, hand)
        self._show_words(page)
        self._show_ask(page, walk.job, hand)

    def _show_ask(self, page: PourPage, job: Job, hand: Hand) -> None:
        ask = [ask_line(page, job, hand), *off_line(page, hand)]
        self.query_one("#ask", Prose).show(ask)

    def _show_words(self, page: PourPage | None = None) -> None:
        page, walk = page or self.page, self.walk
        if page is None or walk is None:
            return
        job = walk.job
        gauge = self.query_one("#gauge", Prose)
        gauge.show([gauge_line(page, job, max(30, gauge.content_size.width))])
        poured = walk.record.pour_end is not None
        self.query_one("#order", Prose).show(order_lines(page, job, poured=poured))
        chart = self.query_one("#chart", Prose)
        rows = next((rows for name, rows in CHART.items() if self.has_class(name)), 0)
        many = self.query_one(Keypad).display or len(page.lines) > FEW
        if self.has_class("-narrow") or (many and rows < CHART["-tall"]):
            rows = 0
        chart.show(
            drying_chart(
                page.weather, job.limits.evaporation, job.units, chart.content_size.width, rows
            )
        )
        self.query_one("#drying", Prose).show(drying_words(page, job))
        self.query_one("#watcher", Prose).show([watcher_words(page, job.units)])
        if self._hand is not None:
            self._show_ask(page, job, self._hand)

    def _fill(self, page: PourPage, walk: Walk, hand: Hand) -> None:
        """The field for what is in hand, with what is half typed of it."""
        number, key = hand
        one = page.line(number)
        quantity = None
        if one is not None and key in FIELDS and walk.record.closed is None:
            quantity = load_quantity(self.asks.quantity(key), key, page, walk.job)
        self.field.display = quantity is not None
        self._show_pad(quantity)
        stands = getattr(one.load, key) if one and key in FIELDS else None
        state = (*self._panel, hand, stands, quantity is not None)
        if state == self._filled:
            return
        self._filled = state
        if quantity is None or one is None:
            self.set_focus(None)
            return
        self.field.ask(quantity, "" if stands is None else quantity.entry(stands))
        if text := self.deck.kept.text(self.draft(f"{number}.{key}")):
            self.field.load_draft(text)
        self.set_focus(self.field)

    def _show_pad(self, quantity: Quantity | None) -> None:
        """A pad is there when the mouse was used last, and where there is room for it anyway."""
        pad = self.query_one(Keypad)
        roomy = self.has_class("-tall") and self.has_class("-wide")
        pad.display = quantity is not None and (self.deck.by_mouse or roomy)
        if quantity is not None and pad.display:
            pad.show_for(quantity.kind, self.deck.desk.job.units, signed=quantity.signed)

    # Going from place to place.

    def take_in_hand(self, hand: Hand) -> None:
        self.hold(hand)
        self.refresh_all()

    def action_load(self, step: int) -> None:
        page = self.page
        if page is None:
            return
        hand = self.hand(page)
        key = hand[1] if page.line(hand[0]) is not None else None
        stops = [(one.number, key or self._first_key(page, one.number)) for one in page.lines]
        stops += [(page.next_number, NEW)] if self.more(page) else []
        stops += [(0, ON)] if self.on(page) else []
        at = stops.index(hand) + step if hand in stops else 0
        if 0 <= at < len(stops):
            self.take_in_hand(stops[at])

    def _first_key(self, page: PourPage, number: int) -> str:
        one = page.line(number)
        return one.next if one is not None and one.next in ORDER else ORDER[0]

    def action_along(self, step: int) -> None:
        page = self.page
        if page is None:
            return
        number, key = self.hand(page)
        keys = keys_in_order(self.query_one(LoadTable).content_size.width)
        if key in keys and 0 <= (at := keys.index(key) + step) < len(keys):
            self.take_in_hand((number, keys[at]))

    def on_load_table_picked(self, event: LoadTable.Picked) -> None:
        event.stop()
        hand = (event.cell.number, event.cell.key)
        again = hand == self._hand
        self.take_in_hand(hand)
        if hand[1] in (NEW, ON) or (again and not self.field.display):
            self.action_write_down()

    # Writing down.

    def action_write_down(self) -> None:
        """Write down what is in hand: words in a dialog, figures and times in the field."""
        page, walk = self.page, self.walk
        if page is None or walk is None:
            return
        number, key = self.hand(page)
        if key == ON:
            self.deck.go("walk", item=walk.next.key if walk.next else None)
        elif key in (NEW, "docket", "mix"):
            self.loads.docket(number)
        elif key == REJECTED:
            self.asks.turn_away(number)
        elif self.field.display:
            self.set_focus(self.field)
            self.field.press("enter")
        self.suit_letters()

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        if self._hand is not None:
            number, key = self._hand
            text = self.field.text if self.field.dirty else ""
            self.deck.keep_text(self.draft(f"{number}.{key}"), text)
        self.suit_letters()

    def on_field_taken(self, event: Field.Taken) -> None:
        event.stop()
        page = self.page
        if page is not None and event.typed is not None:
            self.loads.take(*self.hand(page), event.typed)

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        field = self.field
        if not field.display:
            return
        self.set_focus(field)
        if event.key == NOW:
            field.load_draft(self.now_text(), whole=True)
            if self._hand is not None:
                self.deck.keep_text(self.draft(f"{self._hand[0]}.{self._hand[1]}"), field.text)
        else:
            field.press(event.key)

    # What else can be done here.

    def action_new_load(self) -> None:
        page = self.page
        if page is not None:
            self.loads.docket(page.next_number)

    def action_turn_away(self) -> None:
        """The load in hand; from the line of the next one, the last that is not in the form."""
        page = self.page
        if page is None:
            return
        number = self.hand(page)[0]
        open_ones = [one.number for one in page.lines if not one.taken]
        if page.line(number) is None and open_ones:
            number = open_ones[-1]
        if page.line(number) is None:
            self.deck.say(Said("note", "No load is here", "n begins one."))
        else:
            self.asks.turn_away(number)

    def action_not_measured(self) -> None:
        """The value of a load in hand."""
        page = self.page
        if page is not None:
            self.asks.not_measured(*self.hand(page))

    def action_add_specimen(self) -> None:
        ask_specimen(self)

    def action_weather(self) -> None:
        self.asks.weather()

    def action_note(self) -> None:
        self.asks.note()

    def action_read_pour(self) -> None:
        page, walk = self.page, self.walk
        if page is not None and walk is not None:
            rows = tuple(all_words(page, walk.job))
            self.app.push_screen(TellDialog(f"The pour of {walk.mark}", rows))
