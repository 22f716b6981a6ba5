"""The level book of the panel in hand: readings typed where they are, heights worked out as they come."""

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField
from pourdeck.deck.paint import SteadyColumn, SteadyRow, line
from pourdeck.deck.recording import record_act
from pourdeck.deck.screens.base import PanelScreen, WalkedScreen
from pourdeck.deck.views.level_rows import asked_words, corner_rows, level_rows, next_words
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import GUTTER, Row, RowList
from pourdeck.plan.lengths import format_rl
from pourdeck.plan.messages import Refusal
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.level_page import LevelPage, Line, Point
from pourdeck.walk.levels import BENCHMARK, ITEM_OF, NAMED, point_name
from pourdeck.walk.quantities import QUANTITIES, Typed
from pourdeck.walk.records import Act

KINDS = ("back", "inter", "fore")


class LevelsScreen(WalkedScreen):
    """↑↓ go from line to line, figures begin a reading, Enter records it.

    `wanted`: a sight that the crew asked for, kept with what is half typed until it is read.
    """

    ID = "levels"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("levels"),
        Binding("up", "line(-1)", "Before", show=False),
        Binding("down", "line(1)", "Next", show=False),
    ]
    DEFAULT_CSS = """
    LevelsScreen #lines { height: 1fr; }
    LevelsScreen #asked { height: auto; padding: 0 2; }
    LevelsScreen #lower { height: auto; width: 1fr; layout: horizontal; }
    LevelsScreen #entry { width: 1fr; height: auto; padding: 0 2; }
    LevelsScreen #corners { height: auto; }
    LevelsScreen Keypad { width: 31; }
    LevelsScreen.-slim #lower, LevelsScreen.-narrow #lower { layout: vertical; }
    LevelsScreen.-slim #corners { display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._key: str | None = None
        self._shown: tuple[object, ...] | None = None
        self._panel: tuple[str | None, int | None] = (None, None)

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        yield RowList(
            id="lines", empty="The job names no benchmark: heights are levelled from one."
        )
        yield Prose(id="asked")
        with SteadyRow(id="lower"):
            with SteadyColumn(id="entry"):
                yield Field(QUANTITIES["staff"], id="reading", clock=self.deck.monotonic)
                yield Prose(id="corners")
            yield Keypad("rl", units, id="keypad")

    # What it is about.

    @property
    def page(self) -> LevelPage | None:
        here = self.deck.here
        if self.walk is None or here.stack is None or here.panel is None:
            return None
        return self.deck.desk.levels(here.stack, here.panel, self.wanted)

    @property
    def wanted(self) -> Point | None:
        kind, _, point = self.deck.kept.text(self.draft("wanted")).partition(".")
        return (kind, point) if kind in KINDS and point else None  # type: ignore[return-value]

    @property
    def field(self) -> Field:
        return self.query_one("#reading", Field)

    @property
    def field_in_hand(self) -> Field | None:
        return self.field

    @property
    def lines(self) -> RowList:
        return self.query_one("#lines", RowList)

    def line_in_hand(self, page: LevelPage) -> Line | None:
        """The marked line; else that of the item in hand, else the first that is still to be read."""
        found = page.find(self._key or self.deck.kept.text(self.draft("line")) or None)
        item = self.deck.here.item
        asked = (one for one in page.lines if one.item is not None and one.item == item)
        to_read = (one for one in page.lines if one.reading is None)
        return found or next(asked, None) or next(to_read, None) or next(iter(page.lines), None)

    # What is shown.

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.field)

    def reload(self) -> None:
        here, page = self.deck.here, self.page
        if (here.stack, here.panel) != self._panel:
            self._panel, self._key = (here.stack, here.panel), None
        self.query_one("#lower").display = page is not None
        if page is None:
            self.lines.set_rows(())
            self.query_one("#asked", Prose).show([])
            return
        one, units = self.line_in_hand(page), self.deck.desk.job.units
        width = max(24, self.lines.content_size.width - GUTTER - 1)
        self._key = one.key if one else None
        self.lines.set_rows(level_rows(page, units, width), select=self._key)
        self._suit(one)
        self._show_words(page, one)
        self.hand_changed()

    def _show_words(self, page: LevelPage, one: Line | None) -> None:
        units = self.deck.desk.job.units
        said = [asked_words(one, units)] if one else []
        above = next_words(page, units)
        self.query_one("#asked", Prose).show([*said, above] if above else said)
        corners = self.query_one("#corners", Prose)
        corners.show(corner_rows(page, units, max(40, corners.content_size.width)))

    def _suit(self, one: Line | None) -> None:
        """The field is for the line in hand, with what is half typed at it."""
        state = None if one is None else (*self._panel, one.key, one.reading, one.should)
        if state == self._shown:
            return
        self._shown = state
        quantity = QUANTITIES["staff"].in_job(
            self.deck.desk.job.units,
            expected=one.should if one else None,
            without="↓ goes on without it.",
            plus=None if one is None or one.low is None else -one.low / 1000,
            minus=None if one is None or one.high is None else one.high / 1000,
        )
        resting = quantity.entry(one.reading) if one and one.reading is not None else ""
        self.field.ask(quantity, resting)
        if one and (draft := self.deck.kept.text(self.draft(one.key))):
            self.field.load_draft(draft)

    def forget(self) -> None:
        """Fill the field anew: what was typed was not taken."""
        if self._key is not None:
            self.deck.keep_text(self.draft(self._key), "")
        self._shown = None
        self.reload()

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad of figures comes and goes."""
        roomy = self.has_class("-tall") and self.has_class("-wide")
        self.query_one(Keypad).display = self.deck.by_mouse or roomy
        self.field.hand_changed()

    # Going from line to line.

    def _take_in_hand(self, key: str) -> None:
        self._hold(key)
        self.refresh_all()
        self.set_focus(self.field)

    def _hold(self, key: str) -> None:
        """Take another line in hand. The screen shows it next."""
        self._key = key
        self.deck.keep_text(self.draft("line"), key)
        page = self.page
        one = page.find(key) if page else None
        item = ITEM_OF.get((one.kind, one.point)) if one else None
        if item is not None:
            self.deck.place(item=item)

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self._take_in_hand(event.key)

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.set_focus(self.field)
        self.field.open_at()

    def action_line(self, step: int) -> None:
        page = self.page
        keys = [one.key for one in page.lines] if page else []
        if self._key in keys:
            at = keys.index(self._key) + step
            if 0 <= at < len(keys):
                self._take_in_hand(keys[at])

    def want(self, point: Point) -> None:
        """A sight that is to be read next."""
        self.deck.keep_text(self.draft("wanted"), ".".join(point))
        page = self.page
        found = [one for one in page.lines if (one.kind, one.point) == point] if page else []
        if found:
            self._take_in_hand(found[-1].key)

    def taken(self, one: Line, order: list[str]) -> None:
        """A reading was recorded: on to the next that is to be read, in the order that was on the screen."""
        self.deck.keep_text(self.draft(one.key), "")
        if (one.kind, one.point) == self.wanted:
            self.deck.keep_text(self.draft("wanted"), "")
        page = self.page
        behind = order[order.index(one.key) + 1 :] if one.key in order else []
        after = [page.find(key) for key in behind] if page else []
        fresh = [line for line in (page.lines if page else ()) if line.key not in order]
        later = (line for line in (*after, *fresh) if line is not None and line.reading is None)
        now = page.find(one.key) if page else None
        stays = now is not None and now.verdict == "fail"
        target = now if stays else next(later, now)
        self._shown = None
        if target is not None:
            self._hold(target.key)

    # Reading.

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        if self._key is not None:
            self.deck.keep_text(self.draft(self._key), self.field.text if self.field.dirty else "")
        self.suit_letters()

    def on_field_taken(self, event: Field.Taken) -> None:
        event.stop()
        page = self.page
        one = page.find(self._key) if page else None
        if one is None or event.typed is None:
            return
        if one.reading is not None and event.typed.value == one.reading and not one.again:
            self.forget()
            self.deck.say(Said("note", f"Unchanged, nothing recorded: {one.name}"))
            return
        self._record(one, event.typed)

    def _record(self, one: Line, typed: Typed) -> None:
        """Record what was typed at a line; one that replaces a reading asks why."""
        deck = self.deck
        setup = one.setup if one.reading is not None or one.kind != "back" else None

        def make(by: str, why: str) -> Act | Refusal:
            walk = self.walk
            assert walk is not None
            return read_staff(
                walk,
                one.kind,
                one.point,
                typed,
                by,
                deck.desk.now(),
                setup=setup,
                why=why,
            )

        def again(_: object = None) -> None:
            self.field.load_draft(typed.text, whole=True)
            deck.keep_text(self.draft(one.key), typed.text)

        page = self.page
        order = [line.key for line in page.lines] if page else []
        record_act(
            deck,
            make,
            draft=self.draft(one.key),
            done=lambda: self.taken(one, order),
            left=self.forget,
            refused=again,
            unsaved=again,
        )

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        self.set_focus(self.field)
        self.field.press(event.key)

    # What else can be done here.

    def action_move_instrument(self) -> None:
        page = self.page
        if page is None or page.setups[-1].view is None:
            words = "Read the backsight of this set-up first" if page else "No benchmark"
            self.deck.say(Said("note", words, "A set-up begins on a point of known height."))
            return
        move_instrument(self, page, self.want)

    def action_another_point(self) -> None:
        if self.page is not None:
            another_point(self, self.want)


# Forms of the level book: where the instrument goes, and another point.

INTER, FORE = "inter", "fore"
POINT_KINDS = (
    (INTER, "read in passing (intermediate)"),
    (FORE, "to move the instrument (foresight)"),
)

Want = Callable[[Point], None]
"""Takes a sight that is to be read next."""


def another_point(screen: PanelScreen, want: Want) -> None:
    """A point of one's own: read once, or to carry the height to the next set-up."""
    fields = (
        FormField(id="name", label="Point", quantity=QUANTITIES["point"]),
        FormField(id="kind", label="It is read", value=INTER, choices=POINT_KINDS),
    )

    def done(told: Answers) -> None:
        kind = "fore" if told["kind"] == FORE else "inter"
        want((kind, NAMED + " ".join(told["name"].split())))  # type: ignore[arg-type]

    form = Form(
        "Another point", fields, lambda _: None, verb="Read it", draft=screen.draft("point"),
        signed=False, done=done,
    )  # fmt: skip
    screen.app.push_screen(form)


def move_instrument(screen: PanelScreen, page: LevelPage, want: Want) -> None:
    """The next set-up: its backsight on the benchmark, or on a point that was levelled."""
    walk = screen.walk
    if walk is None:
        return
    job = walk.job
    heights = {
        one.point: one.rl
        for one in page.lines
        if one.kind != "back" and one.rl is not None and one.point != BENCHMARK
    }
    named = [point for point in heights if point.startswith(NAMED)]
    points = [BENCHMARK, *reversed(named), *(one for one in heights if one not in named)]
    known = {BENCHMARK: page.benchmark.rl, **heights}
    rows = tuple(
        Row(
            key=point,
            left=line((point_name(job, point), "strong")),
            right=line(format_rl(known[point], job.units)),
        )
        for point in points
    )

    def take(point: str | None) -> None:
        if point is not None:
            want(("back", point))

    body = "The height of the next set-up comes from a point whose height is known."
    dialog = ChoiceDialog("Where is the next backsight read?", rows, body, verb="Read it")
    screen.app.push_screen(dialog, take)
