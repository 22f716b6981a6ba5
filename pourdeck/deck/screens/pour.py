"""The pour of the panel in hand: how full it is, every load, what counts, what comes next."""

from datetime import timedelta
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.dialogs import TellDialog
from pourdeck.deck.drawing.drying import drying_chart
from pourdeck.deck.repaint import SteadyColumn, SteadyRow
from pourdeck.deck.screens.docket_ask import DocketAsk
from pourdeck.deck.screens.load_ask import LoadAsk
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.deck.screens.pour_asks import PourAsks
from pourdeck.deck.screens.specimen_ask import ask_specimen
from pourdeck.deck.screens.what_else import what_else
from pourdeck.deck.views.load_table import NEW, ON, ORDER, REJECTED, keys_in_order, table_lines
from pourdeck.deck.views.pour_rows import (
    all_words,
    ask_line,
    drying_words,
    field_for,
    gauge_line,
    off_line,
    on_words,
    order_lines,
    resting,
    watcher_words,
)
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.keypad import NOW, Keypad, PadKind
from pourdeck.deck.widgets.load_table import LoadTable
from pourdeck.deck.widgets.measure_field import MeasureField
from pourdeck.deck.widgets.prose import Prose
from pourdeck.plan.records import Job
from pourdeck.walk.clock_jumps import set_back
from pourdeck.walk.load_fields import FIELDS
from pourdeck.walk.load_lines import asked_after
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Walk
from pourdeck.walk.typed import day_taken

Hand = tuple[int, str]
"""A load by its number, and what of it is in hand; NEW for the next one, ON for what comes after all."""

CHART = {"-tall": 9, "-normal": 5}
"""Lines of the chart in a window of that height; elsewhere it gives way to its words."""

FEW = 2
"""So many loads leave room for a chart in a window of normal height."""


class PourScreen(PanelScreen):
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
        self.dockets = DocketAsk(self)
        self.values = LoadAsk(self)
        self._hand: Hand | None = None
        self._panel: tuple[str | None, int | None] = (None, None)
        self._offered = ""
        self._filled: tuple[object, ...] | None = None

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        yield Prose(id="gauge")
        yield Prose(id="order")
        yield LoadTable(id="loads")
        with SteadyRow(id="lower"):
            with SteadyColumn(id="entry"):
                yield Prose(id="ask")
                yield MeasureField("number", units, id="value", clock=self.deck.monotonic)
            yield Keypad("number", units, id="keypad")
        yield Prose(id="chart")
        yield Prose(id="drying", indent=2)
        yield Prose(id="watcher")

    # What it is about.

    @property
    def page(self) -> PourPage | None:
        walk = self.walk
        return None if walk is None else self.deck.desk.pour(walk.stack, walk.number)

    @property
    def field(self) -> MeasureField:
        return self.query_one("#value", MeasureField)

    def hand(self, page: PourPage) -> Hand:
        """The place that was taken in hand while it is there; else what is to be written down next."""
        number, _, key = self.deck.kept.text(self.draft("hand")).partition(".")
        kept = (int(number), key) if number.isdigit() else self._hand
        if kept is not None and self._there(page, kept):
            return kept
        return self.offered(page)

    def _there(self, page: PourPage, hand: Hand) -> bool:
        number, key = hand
        if key == NEW:
            return self._more(page) and number == page.next_number
        if key == ON:
            return bool(self._on(page))
        return page.line(number) is not None and key in (*ORDER, REJECTED)

    def _more(self, page: PourPage) -> bool:
        """Whether another load may come."""
        walk = self.walk
        return walk is not None and walk.record.closed is None

    def _on(self, page: PourPage) -> str:
        """What comes once no more concrete is to come, "" before."""
        walk = self.walk
        return on_words(page, walk) if walk is not None else ""

    def offered(self, page: PourPage, first: int | None = None, after: int | None = None) -> Hand:
        """What is to be written down next: of load `first`, else of the first that wants something.

        `after`: only of a load behind that one.
        """
        one = page.line(first) if after is None else None
        if one is None or one.next is None:
            behind = (each for each in page.lines if each.number > (after or 0) and each.next)
            one = next(behind, None)
        if one is not None and one.next is not None:
            return (one.number, "water" if one.next == "water_by" else one.next)
        if self._on(page):
            return (0, ON)
        if self._more(page) or not page.lines:
            return (page.next_number, NEW)
        return (page.lines[-1].number, ORDER[0])

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
            page, walk.job.units, width, hand, more=self._more(page), on=self._on(page)
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
        rules = None
        if one is not None and key in FIELDS and walk.record.closed is None:
            rules = field_for(FIELDS[key], page, one, walk.job, self.now_text, self._meaning)
        self.field.display = rules is not None
        self._suit_pad(rules is not None, key)
        stands = getattr(one.load, key) if one and key in FIELDS else None
        state = (*self._panel, hand, stands, rules is not None)
        if state == self._filled:
            return
        self._filled = state
        if rules is None or one is None:
            self.set_focus(None)
            return
        self.field.suit(rules, resting(FIELDS[key], rules, one, walk.job))
        if text := self.deck.kept.text(self.draft(f"{number}.{key}")):
            self.field.load_draft(text)
        self.field.focus()

    def _meaning(self, text: str) -> str:
        back = set_back(self.page.jumped) if self.page else timedelta()
        return day_taken(text, self.deck.desk.now(), back)

    def now_text(self) -> str:
        return f"{self.deck.desk.now():%H:%M}"

    def _suit_pad(self, wanted: bool, key: str) -> None:
        """A pad is there when the mouse was used last, and where there is room for it anyway."""
        pad = self.query_one(Keypad)
        roomy = self.has_class("-tall") and self.has_class("-wide")
        pad.display = wanted and (self.deck.by_mouse or roomy)
        if pad.display:
            one = FIELDS[key]
            kind: PadKind = {"time": "time", "length": "length"}.get(one.kind, "number")  # type: ignore[assignment]
            pad.suit(kind, self.deck.desk.job.units, signed=one.signed)

    def forget(self) -> None:
        """Fill the field anew: what was typed was not taken."""
        if self._hand is not None:
            self.drop_draft(self._hand)
        self._filled = None
        self.reload()

    def drop_draft(self, hand: Hand) -> None:
        self.deck.keep_text(self.draft(f"{hand[0]}.{hand[1]}"), "")

    # Going from place to place.

    def take_in_hand(self, hand: Hand) -> None:
        self._hand = hand
        self.deck.keep_text(self.draft("hand"), f"{hand[0]}.{hand[1]}")
        self.refresh_all()

    def go_on(self, number: int | None = None, key: str = "") -> None:
        """To what is due after `key` of a load, then to later loads: never back to what was skipped."""
        page = self.page
        self._filled = None
        if page is None:
            return
        one = page.line(number)
        due = asked_after(one, key) if one is not None and key else None
        if one is not None and due is not None:
            self.take_in_hand((one.number, "water" if due == "water_by" else due))
        else:
            self.take_in_hand(self.offered(page, number, after=number if key else None))

    def action_load(self, step: int) -> None:
        page = self.page
        if page is None:
            return
        hand = self.hand(page)
        key = hand[1] if page.line(hand[0]) is not None else None
        stops = [(one.number, key or self._first_key(page, one.number)) for one in page.lines]
        stops += [(page.next_number, NEW)] if self._more(page) else []
        stops += [(0, ON)] if self._on(page) else []
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
        """What is in hand: a dialog for words, the field for figures and times."""
        page, walk = self.page, self.walk
        if page is None or walk is None:
            return
        number, key = self.hand(page)
        if key == ON:
            self.deck.go("walk", item=walk.next.key if walk.next else None)
        elif key in (NEW, "docket", "mix"):
            self.dockets.ask(number)
        elif key == REJECTED:
            self.asks.turn_away(number)
        elif self.field.display:
            self.field.focus()
            self.field.press("enter")
        self.suit_letters()

    def on_measure_field_changed(self, event: MeasureField.Changed) -> None:
        event.stop()
        if self._hand is not None:
            number, key = self._hand
            self.deck.keep_text(
                self.draft(f"{number}.{key}"), event.text if self.field.dirty else ""
            )
        self.suit_letters()

    def on_measure_field_committed(self, event: MeasureField.Committed) -> None:
        event.stop()
        page = self.page
        if page is not None:
            number, key = self.hand(page)
            self.values.take(number, key, event.text)

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        field = self.field
        if not field.display:
            return
        field.focus()
        if event.key == NOW:
            field.load_draft(self.now_text(), whole=True)
            if self._hand is not None:
                self.deck.keep_text(self.draft(f"{self._hand[0]}.{self._hand[1]}"), field.text)
        else:
            field.press(event.key)

    def on_key(self, event: events.Key) -> None:
        """What nothing here takes is said to do nothing."""
        if not self.is_stray(event):
            return
        field = self.field
        if field.display and field.check_consume_key(event.key, event.character):
            field.focus()
            field.press(event.key, event.character)
        else:
            self.say_stray(event)

    # What else can be done here.

    def action_new_load(self) -> None:
        page = self.page
        if page is not None:
            self.dockets.ask(page.next_number)

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

    def action_more(self) -> None:
        what_else(self)
