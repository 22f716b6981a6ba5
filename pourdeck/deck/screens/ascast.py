"""As cast: the panel with its tape lines, each measurement where it is taken, and how they fit together."""

from decimal import Decimal
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import SteadyColumn, SteadyRow
from pourdeck.deck.recording import record_act
from pourdeck.deck.screens.base import WalkedScreen
from pourdeck.deck.screens.walk_answer import drop_both, first_reading, record_answer
from pourdeck.deck.screens.walk_asks import WalkAsks
from pourdeck.deck.views.cast import (
    all_words,
    ask_words,
    cast_quantity,
    cast_resting,
    cast_rows,
    state_spans,
    told_words,
)
from pourdeck.deck.widgets.field import FIGURES, Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.deck.widgets.prose import CastView, Prose
from pourdeck.deck.widgets.row_list import GUTTER, RowList, StepList
from pourdeck.plan.messages import Refusal
from pourdeck.walk.answers import asks_twice
from pourdeck.walk.ascast import GROUPS, CastLine, CastSheet, as_cast, cast_name, cast_sheet
from pourdeck.walk.quantities import Typed
from pourdeck.walk.records import Act, Walk

ORDER = tuple(key for _, keys in GROUPS for key in keys)
LOW_PLAN = 8
"""Lines of the drawing where it stands over the list."""


class AsCastScreen(WalkedScreen):
    """↑↓ go from measurement to measurement, PgUp and PgDn by their kind; the field has the focus."""

    ID = "ascast"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("ascast"),
        Binding("up", "step(-1)", "Before", show=False),
        Binding("down", "step(1)", "Next", show=False),
        Binding("pageup", "section(-1)", "Kind before", show=False),
        Binding("pagedown", "section(1)", "Next kind", show=False),
        Binding("escape", "drop_first", "Drop the first reading", show=False),
    ]
    DEFAULT_CSS = """
    AsCastScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    AsCastScreen #left { width: 1fr; height: 1fr; }
    AsCastScreen #plan { height: 1fr; width: 1fr; }
    AsCastScreen #right { width: 46; height: 1fr; }
    AsCastScreen.-wide #right { width: 54; }
    AsCastScreen #lines { height: 1fr; }
    AsCastScreen #hand { height: 8; padding: 0 1; }
    AsCastScreen #ask { height: 2; }
    AsCastScreen #measure { height: auto; max-height: 4; }
    AsCastScreen #told { height: 1fr; }
    AsCastScreen #state { height: 3; padding: 0 1; }
    AsCastScreen.-tall #state { height: 4; }
    AsCastScreen.-slim #both, AsCastScreen.-narrow #both { layout: vertical; }
    AsCastScreen.-slim #left, AsCastScreen.-narrow #left { width: 1fr; height: auto; }
    AsCastScreen.-slim #right, AsCastScreen.-narrow #right { width: 1fr; height: 1fr; }
    AsCastScreen.-slim #hand, AsCastScreen.-narrow #hand { height: 4; }
    AsCastScreen.-slim #ask, AsCastScreen.-narrow #ask { height: 1; }
    AsCastScreen.-slim #state, AsCastScreen.-narrow #state { height: 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._filled: tuple[object, ...] | None = None
        self._refused = ""
        self._measured = ORDER[0]

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        with SteadyRow(id="both"):
            with SteadyColumn(id="left"):
                yield CastView(id="plan")
                yield Keypad("length", units, id="keypad")
            with SteadyColumn(id="right"):
                yield StepList(id="lines")
                with SteadyColumn(id="hand"):
                    yield Prose(id="ask")
                    yield Field(id="measure", clock=self.deck.monotonic)
                    yield Prose(id="told")
        yield Prose(id="state")

    # What stands.

    @property
    def field(self) -> Field:
        return self.query_one("#measure", Field)

    @property
    def field_in_hand(self) -> Field | None:
        return self.field

    def type_key(self, event: events.Key) -> bool:
        """A figure where nothing can be measured yet is answered with why."""
        if super().type_key(event):
            return True
        return (event.character or "") in FIGURES and bool(event.character) and self._refuse()

    @property
    def hand(self) -> str:
        """The key in hand: the one of the step of the walk where that was moved since, else what was kept."""
        key, _, item = self.deck.kept.text(self._place()).partition("\n")
        here, walk = self.deck.here.item or "", self.walk
        if here != item or key not in ORDER:
            found = walk.find(here) if walk and here else None
            if found is not None and found.cast_key:
                return found.cast_key
        if key in ORDER:
            return key
        asked = {item.cast_key for item in walk.items() if not item.answered} if walk else set()
        return next((one for one in ORDER if one in asked), ORDER[0])

    def _place(self) -> str:
        here = self.deck.here
        return f"ascast.{here.stack}.{here.panel}.hand"

    def line_draft(self, one: CastLine) -> str:
        """Where what is half typed is kept: with the item of the walk, where there is one."""
        here = self.deck.here
        screen, key = ("walk", one.item.key) if one.item else ("ascast", one.key)
        return f"{screen}.{here.stack}.{here.panel}.{key}"

    def sheet(self, walk: Walk) -> CastSheet:
        """Give the sheet as it stands, with what is typed in the field as if it were recorded.

        What Enter would ask about is not tried: it is a slip, or there are figures to come.
        """
        value = self.field.found
        if not self.field.display or not self.field.dirty or not isinstance(value, Decimal):
            return cast_sheet(walk)
        if self.field.quantity.question(self.field.text, value):
            return cast_sheet(walk)
        return cast_sheet(walk, (self.hand, value))

    # What is shown.

    def on_mount(self) -> None:
        super().on_mount()
        self.call_after_refresh(self.reload)

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad of figures comes and goes."""
        self.reload()
        self.field.hand_changed()

    def show_again(self, refused: str = "") -> None:
        """Put the field back to what stands or is half typed; what was `refused` is typed over."""
        self._refused = refused
        self._filled = None
        self.reload()

    def reload(self) -> None:
        walk = self.walk
        if walk is None or not self.query_one("#lines").content_size.width:
            return
        self._fill(walk)
        self._show(walk)

    def _fill(self, walk: Walk) -> None:
        """The field for the measurement in hand, with what is half typed of it."""
        sheet = cast_sheet(walk)
        one = sheet.line(self.hand)
        draft = self.line_draft(one)
        self.field.display = sheet.not_yet is None
        second = bool(first_reading(self.deck, draft))
        state = (walk.stack, walk.number, one.key, one.found, second, sheet.not_yet is None)
        if state == self._filled:
            return
        self._filled = state
        quantity = cast_quantity(one, walk, self.deck.desk.now)
        self.query_one(Keypad).show_for(quantity.kind, walk.job.units, signed=quantity.signed)
        self.field.ask(quantity, "" if second else cast_resting(one, quantity))
        if text := self.deck.kept.text(draft):
            self.field.load_draft(text, whole=text == self._refused)
        self.set_focus(self.field if self.field.display else self.query_one("#lines"))

    def _show(self, walk: Walk) -> None:
        """Rows, drawing, card and foot, from what stands and what is typed."""
        sheet, hand = self.sheet(walk), self.hand
        one = sheet.line(hand)
        lines = self.query_one("#lines", RowList)
        width = max(24, lines.content_size.width - GUTTER - 1)
        lines.set_rows(cast_rows(sheet, width), select=hand)
        second = bool(first_reading(self.deck, self.line_draft(one)))
        twice = asks_twice(walk.job, hand)
        short = self.has_class("-narrow") or self.has_class("-slim")
        self.query_one("#ask", Prose).show(ask_words(one, walk, twice=twice, second=second))
        self.query_one("#told", Prose).show(told_words(one, sheet, twice=twice, short=short))
        typed = self.field.text if self.field.display and self.field.dirty else ""
        self.query_one(CastView).show(sheet, hand, typed)
        foot = self.query_one("#state", Prose)
        width, height = foot.content_size
        foot.show(state_spans(sheet, max(20, width), max(1, height)))
        self._make_room()

    def _make_room(self) -> None:
        """The pad beside the drawing, where the mouse is in use or there is room for both."""
        one_column = self.has_class("-narrow") or self.has_class("-slim")
        roomy = self.has_class("-tall") and self.has_class("-wide")
        pad = self.query_one(Keypad)
        pad.display = self.field.display and (self.deck.by_mouse or roomy)
        plan = self.query_one(CastView)
        plan.styles.height = LOW_PLAN if one_column and not pad.display else "1fr"
        plan.display = not (one_column and pad.display)

    # Going from one to the next.

    def stand_at(self, key: str) -> None:
        """Take another measurement in hand."""
        self._hold(key)
        self.refresh_all()

    def _hold(self, key: str) -> None:
        """Take another measurement in hand, on the walk as well where it has it. The screen shows it next."""
        walk = self.walk
        if walk is None:
            return
        item = cast_sheet(walk).line(key).item
        if item is not None:
            self.deck.place(item=item.key)
        self.deck.keep_text(self._place(), f"{key}\n{self.deck.here.item or ''}")

    def go_on(self) -> None:
        """To the next that is not measured; one that is out of its limits stays in hand."""
        walk, key = self.walk, self._measured
        if walk is None:
            return
        self._filled = None
        sheet = cast_sheet(walk)
        place = ORDER.index(key)
        after = (*ORDER[place + 1 :], *ORDER[:place])
        due = next((one for one in after if sheet.line(one).found is None), key)
        self._hold(key if sheet.line(key).verdict == "fail" else due)

    def action_step(self, step: int) -> None:
        self.stand_at(ORDER[max(0, min(ORDER.index(self.hand) + step, len(ORDER) - 1))])

    def action_section(self, step: int) -> None:
        """To the first of the kind before or after."""
        kinds = [keys for _, keys in GROUPS]
        place = next(index for index, keys in enumerate(kinds) if self.hand in keys)
        self.stand_at(kinds[max(0, min(place + step, len(kinds) - 1))][0])

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self.stand_at(event.key)

    def on_cast_view_picked(self, event: CastView.Picked) -> None:
        event.stop()
        self.stand_at(event.key)

    # What is typed.

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_measure()

    def can_do(self, action_id: str) -> bool:
        walk = self.walk
        if action_id == "not-measured":
            return walk is not None and cast_sheet(walk).line(self.hand).item is not None
        return True

    def action_not_measured(self) -> None:
        """The measurement in hand, where the walk asks for it."""
        walk = self.walk
        self._measured = self.hand
        item = cast_sheet(walk).line(self._measured).item if walk else None
        if item is not None and not self._refuse():
            WalkAsks(self).not_measured(item)

    def action_measure(self) -> None:
        """To the field, open for an entry."""
        if not self._refuse():
            if not self.field.typing:
                self.field.open_at()
            self.set_focus(self.field)
            self.suit_letters()

    def _refuse(self) -> bool:
        """True where nothing can be measured: why is said."""
        walk = self.walk
        refusal = cast_sheet(walk).not_yet if walk else None
        if refusal is not None:
            self.deck.refuse(refusal)
        return refusal is not None

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        walk = self.walk
        if walk is not None:
            one = cast_sheet(walk).line(self.hand)
            self.deck.keep_text(self.line_draft(one), event.field.text if event.field.dirty else "")
            self._show(walk)
            self.suit_letters()

    def on_field_taken(self, event: Field.Taken) -> None:
        event.stop()
        walk = self.walk
        if walk is None or event.typed is None:
            return
        self._measured = self.hand
        one = cast_sheet(walk).line(self._measured)
        if one.item is not None:
            draft = self.line_draft(one)
            record_answer(self, walk, one.item, event.typed, draft, doubted=event.doubted)
        else:
            self._record(one, event.typed)

    def _record(self, one: CastLine, typed: Typed) -> None:
        """Record a measurement that no item of the walk asks for; one that replaces another asks why."""
        deck, value = self.deck, typed.value
        assert isinstance(value, Decimal)
        draft = self.line_draft(one)
        if one.found == value:
            shown = self.field.quantity.shown(value)
            drop_both(deck, draft)
            self.show_again()
            words = f"Unchanged, nothing recorded: {cast_name(one.key)} {shown}"
            deck.say(Said("note", words))
            return

        def make(by: str, why: str) -> Act | Refusal:
            walk = self.walk
            assert walk is not None
            return as_cast(walk, {one.key: value}, by, why)

        def done() -> None:
            drop_both(deck, draft)
            self.go_on()

        def left() -> None:
            drop_both(deck, draft)
            self.show_again()

        def unsaved() -> None:
            deck.keep_text(draft, typed.text)
            self.show_again()

        record_act(
            deck, make, draft=draft, done=done, left=left, unsaved=unsaved,
            refused=lambda _: self.show_again(typed.text),
        )  # fmt: skip

    def action_drop_first(self) -> None:
        """Esc, with nothing typed: the first of two readings goes, and both are taken again."""
        walk = self.walk
        one = cast_sheet(walk).line(self.hand) if walk else None
        if one is not None and first_reading(self.deck, self.line_draft(one)):
            drop_both(self.deck, self.line_draft(one))
            self.show_again()
            self.deck.say(Said("note", "The first reading is dropped", "Nothing was recorded."))

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        field, key = self.field, event.key
        if not field.display:
            return
        self.set_focus(field)
        if key == "enter" and not field.typing:
            self.action_measure()
        elif not field.press(key) and key == "escape":
            self.action_drop_first()

    # What else can be done here.

    def action_read_all(self) -> None:
        """All that is said of the measurements, uncut."""
        walk = self.walk
        if walk is not None:
            rows = all_words(self.sheet(walk))
            self.app.push_screen(TellDialog("The panel as cast", tuple(rows)))
