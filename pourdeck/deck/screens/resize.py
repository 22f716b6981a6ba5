"""Size change: type a size and see at once what moves; nothing is recorded before a name and a reason."""

from collections.abc import Callable
from decimal import Decimal
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.form_fields import Answers
from pourdeck.deck.paint import SteadyColumn, SteadyRow, line
from pourdeck.deck.recording import answer_for
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.views.resize import (
    about_way,
    cancel_text,
    change_rows,
    conflict_lines,
    lapses_below,
    outcome,
    size_text,
    way_out_rows,
    way_rows,
)
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import GUTTER, RowList
from pourdeck.plan.messages import Refusal, has_error
from pourdeck.plan.records import ALIGNMENTS, Align, Units
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import Cancel
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act

# The size change in hand: what is typed, how it would lie, and what that does.

SIZES = ("width", "height", "thickness")


class ResizeWork:
    """Keep what is typed, for after a kill too. `marked` is the way under the mark, not the one shown."""

    def __init__(self, screen: PanelScreen, field: Callable[[str], Field]) -> None:
        """`field` gives the field of a size by its name."""
        self.screen = screen
        self.field = field
        self.found: Resize | Refusal | None = None
        self.cancels: tuple[Cancel, ...] = ()
        self.lapses: tuple[Cancel, ...] = ()
        self.marked: str | None = None
        self.last_field = SIZES[0]
        self._align: Align | None = None
        self._panel: tuple[str | None, int | None] = (None, None)
        self._entries = -1

    def take_in_hand(self) -> None:
        """Fill the fields with what was typed for this panel, and work it out where anything is new."""
        here = self.screen.deck.here
        if (here.stack, here.panel) != self._panel:
            self._panel = (here.stack, here.panel)
            self.marked = None
            kept = self.screen.deck.kept.text(self._key("align"))
            self._align = next((one for one in ALIGNMENTS if one == kept), None)
            for name in SIZES:
                field = self.field(name)
                field.load("")
                if text := self.screen.deck.kept.text(self._key(name)):
                    field.load_draft(text)
            self.last_field = SIZES[0]
            self.screen.set_focus(self.field(self.last_field))
            self.work_out()
        elif self._entries != len(self.screen.deck.desk.state.entries):
            self.work_out()

    def _key(self, name: str) -> str:
        here = self.screen.deck.here
        return f"resize.{here.stack}.{here.panel}.{name}"

    def keep(self, name: str, text: str) -> None:
        self.last_field = name if name in SIZES else self.last_field
        self.screen.deck.keep_text(self._key(name), text)

    def press(self, key: str) -> bool:
        """A button of the pad, for the field that has the focus or had it last; False: not for it."""
        field = self.screen.focused
        if not isinstance(field, Field):
            field = self.field(self.last_field)
            self.screen.set_focus(field)
        if key == "enter" and not field.typing:
            self.to_next(field)
            return True
        return field.press(key)

    def to_next(self, field: Field) -> None:
        """From one size to the next, from the last to the ways to lie."""
        place = SIZES.index((field.id or "").removeprefix("new-")) + 1
        after = self.field(SIZES[place]) if place < len(SIZES) else self.screen.query_one("#ways")
        self.screen.set_focus(after)

    def typed(self) -> bool:
        return any(self.field(name).text for name in SIZES)

    def unread(self) -> str | None:
        """The first size that is typed and cannot be read."""
        fields = {name: self.field(name) for name in SIZES}
        return next(
            (
                name
                for name, field in fields.items()
                if field.text and not isinstance(field.found, Decimal)
            ),
            None,
        )

    def work_out(self) -> None:
        here, desk = self.screen.deck.here, self.screen.deck.desk
        if here.stack is None or here.panel is None:
            return
        typed = {name: self.field(name).found for name in SIZES}
        sizes = {name: value for name, value in typed.items() if isinstance(value, Decimal)}
        self._entries = len(desk.state.entries)
        self.found = desk.resize(here.stack, here.panel, align=self._align, **sizes)
        self.cancels = self.lapses = ()
        if isinstance(self.found, Resize) and self.found.changes_anything:
            self.cancels = desk.cancels(self.found)
            self.lapses = lapses_below(desk, self.found)

    def take_way(self, align: Align) -> None:
        """Show the change as it lies so."""
        self._align = align
        self.marked = align
        self.keep("align", align)
        self.work_out()

    def put_back(self) -> None:
        """Forget what was typed and taken."""
        for name in (*SIZES, "align"):
            self.keep(name, "")
        self._panel = (None, None)
        self._align = None


# Size change: type a size and see at once what moves; nothing is recorded before a name and a reason.

READY = ("drawing revised", "measured on site")

ON = "Next size"
"""Name the button of the pad that stands for Enter."""


class ResizeScreen(PanelScreen):
    """Three sizes at the top; at the left what moves, at the right the nine ways to lie, best first."""

    ID = "resize"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("resize"),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
        Binding("right", "app.focus_next", "Next", show=False),
        Binding("left", "app.focus_previous", "Before", show=False),
    ]
    DEFAULT_CSS = """
    ResizeScreen #sizes { layout: horizontal; height: auto; width: 1fr; }
    ResizeScreen #sizes .size { width: 1fr; height: auto; padding-right: 1; }
    ResizeScreen #sizes Prose { width: 1fr; height: 1; }
    ResizeScreen #outcome { height: auto; padding: 0 1; }
    ResizeScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    ResizeScreen #left { width: 1fr; height: 1fr; }
    ResizeScreen #right { width: 40; height: 1fr; }
    ResizeScreen.-wide #right { width: 52; }
    ResizeScreen #moves { height: 1fr; }
    ResizeScreen #ways { height: 11; }
    ResizeScreen #why { height: 1fr; padding: 0 0 0 2; }
    ResizeScreen.-narrow #both, ResizeScreen.-slim #both { layout: vertical; }
    ResizeScreen.-narrow #right, ResizeScreen.-slim #right { width: 1fr; height: 7; }
    ResizeScreen.-narrow #ways, ResizeScreen.-slim #ways { height: 5; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.work = ResizeWork(self, self.field)

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        with SteadyRow(id="sizes"):
            for name in SIZES:
                with SteadyColumn(classes="size"):
                    yield Prose(id=f"now-{name}")
                    size = QUANTITIES["size"].in_job(units, without="Tab goes on without it.")
                    yield Field(size, id=f"new-{name}", clock=self.deck.monotonic)
        yield Prose(id="outcome")
        with SteadyRow(id="both"):
            with SteadyColumn(id="left"):
                yield RowList(id="moves")
                yield Keypad("length", units, take=ON, id="keypad")
            with SteadyColumn(id="right"):
                yield RowList(id="ways", at_once=True)
                yield Prose(id="why")

    def on_mount(self) -> None:
        super().on_mount()
        for name in SIZES:
            self.field(name).taker = ON
        self.set_focus(self.field("width"))

    def field(self, name: str) -> Field:
        return self.query_one(f"#new-{name}", Field)

    @property
    def field_in_hand(self) -> Field | None:
        focused = self.focused
        if not self.query_one("#sizes").display:
            return None
        if isinstance(focused, RowList):
            # A way to lie is in hand: figures are for no size.
            return None
        return focused if isinstance(focused, Field) else self.field(self.work.last_field)

    @property
    def units(self) -> Units:
        return self.deck.desk.job.units

    # What is shown.

    def reload(self) -> None:
        setout = self.setout
        if setout is None:
            return
        self.work.take_in_hand()
        for name in SIZES:
            now = length(getattr(setout.panel, name), self.units)
            self.query_one(f"#now-{name}", Prose).show([line((f"  {name} {now} →", "quiet"))])
        self.hand_changed()
        self.show_found()

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad of figures comes and goes."""
        roomy = self.has_class("-tall") and self.has_class("-wide")
        open_to_change = not isinstance(self.work.found, Refusal) or self.work.typed()
        self.query_one(Keypad).display = open_to_change and (self.deck.by_mouse or roomy)
        for name in SIZES:
            self.field(name).hand_changed()

    def show_found(self) -> None:
        """Show what the typed sizes do."""
        found = self.work.found
        if found is None:
            return
        if isinstance(found, Refusal):
            self._show_refusal(found)
        else:
            self._show_change(found)
        self.refresh_frame()

    def _show_refusal(self, found: Refusal) -> None:
        """A poured panel, or a size that no panel can have."""
        self.query_one("#sizes").display = not self._poured
        words = line(("✗ ", "error"), (f"{found.title} ", "strong"), found.body)
        self.query_one("#outcome", Prose).show([words])
        self.query_one("#moves", RowList).set_rows(())
        self.query_one("#ways", RowList).set_rows(())
        self.query_one("#why", Prose).show([])

    @property
    def _poured(self) -> bool:
        setout = self.setout
        return setout is not None and setout.poured

    def _show_change(self, found: Resize) -> None:
        self.query_one("#sizes").display = True
        cancels, lapses = self.work.cancels, self.work.lapses
        entries = self.deck.desk.sizes_in_conflict(found.mark)
        told = conflict_lines(entries, found.before, self.units)
        told.append(outcome(found, cancels, lapses, self.units))
        self.query_one("#outcome", Prose).show(told)
        moves, ways = self.query_one("#moves", RowList), self.query_one("#ways", RowList)
        width = max(24, moves.content_size.width - GUTTER - 1)
        moves.set_rows(change_rows(found, cancels, lapses, self.units, width))
        width = max(24, ways.content_size.width - GUTTER - 1)
        ways.set_rows(
            way_rows(found, self.units, width), select=self.work.marked or found.after.align
        )
        self._show_why()

    def _show_why(self) -> None:
        """Show what the marked way means, or who is in the way where none works."""
        found, why = self.work.found, self.query_one("#why", Prose)
        if not isinstance(found, Resize):
            return
        key = self.query_one("#ways", RowList).key
        option = next((one for one in found.options if one.align == key), None)
        width = max(20, why.content_size.width)
        stack = self.deck.desk.stack(found.stack)
        rows = way_out_rows(found, self.deck.desk.job, stack, width)
        why.show([*rows, *about_way(option, self.units, width)])

    # What is done.

    def can_do(self, action_id: str) -> bool:
        found = self.work.found
        if action_id == "put-back":
            return self.work.typed() or (isinstance(found, Resize) and found.changes_anything)
        return True

    def on_field_edited(self, event: Field.Edited) -> None:
        event.stop()
        self.work.keep((event.field.id or "").removeprefix("new-"), event.field.text)
        self.work.work_out()
        self.show_found()

    def on_field_taken(self, event: Field.Taken) -> None:
        event.stop()
        self.work.work_out()
        self.show_found()
        self.work.to_next(event.field)

    def on_click(self, event: events.Click) -> None:
        """The words over a size are part of the place to click for it."""
        name = (event.widget.id or "").removeprefix("now-") if event.widget else ""
        if name in SIZES:
            self.set_focus(self.field(name))
            self.field(name).open_at()

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        if event.row_list.id == "ways":
            self.work.marked = event.key
            self._show_why()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        align = next((one for one in ALIGNMENTS if one == event.key), None)
        if event.row_list.id != "ways" or align is None:
            return
        self.work.take_way(align)
        self.show_found()
        self.deck.say(
            Said("note", f"Shown as it lies {align}", "Nothing is recorded: F8 records it.")
        )

    def on_keypad_pressed(self, event: Keypad.Pressed) -> None:
        event.stop()
        if self.field_in_hand is None:
            self.deck.say(Said("note", "Nothing typed", "Tab, or a click, goes to a size."))
        elif not self.work.press(event.key) and event.key == "escape":
            self.action_put_back()

    def action_put_back(self) -> None:
        """Back to the size and the way to lie of the plan in force: nothing is kept."""
        self.work.put_back()
        self.refresh_all()
        self.deck.say(Said("note", "Back to the plan", "Nothing was recorded, nothing is kept."))

    def action_record_resize(self) -> None:
        """Ask for the reason and whose word it is, then record the new size."""
        found, unread = self.work.found, self.work.unread()
        if unread is not None:
            field = self.field(unread)
            self.deck.refuse(Refusal(title=f"The {unread} cannot be read.", body=field.reason))
            self.set_focus(field)
        elif isinstance(found, Refusal):
            self.deck.refuse(found)
        elif found is None or not (
            found.changes_anything or self.deck.desk.sizes_in_conflict(found.mark)
        ):
            self.deck.refuse(
                Refusal(
                    title="Nothing is changed yet.", body="Type a new size, or take a way to lie."
                )
            )
        else:
            self._ask_to_record(found)

    def _ask_to_record(self, found: Resize) -> None:
        """Say again what it cancels, and ask; with errors it is on the engineer's word alone."""
        desk = self.deck.desk

        def make(told: Answers) -> Act | Refusal:
            return desk.revise(found, by=told.by, reason=told["seen"], word=told.word)

        answer_for(
            self.deck,
            "size-change-errors" if has_error(found.findings) else "size-change",
            f"Record the new size of {found.mark}, panel {found.number} of {found.levels[0].after.of}",
            make,
            ready=READY,
            shown=[line(words) for words in about_change(found, self.work, self.units)],
            leave="Leave it as it was",
            draft=f"resize.{found.stack}.{found.number}.reason",
            done=lambda _: self.work.put_back(),
        )


def about_change(found: Resize, work: ResizeWork, units: Units) -> list[str]:
    """Say what a size change does, in sentences."""
    parts = [
        f"{size_text(found.before, units)}, {found.before.align} → "
        f"{size_text(found.after, units)}, {found.after.align}."
    ]
    if work.cancels:
        parts.append(f"Cancels {'; '.join(cancel_text(one) for one in work.cancels)}.")
    else:
        parts.append("Cancels nothing.")
    if work.lapses:
        parts.append(f"Lapses below: {'; '.join(cancel_text(one) for one in work.lapses)}.")
    if has_error(found.findings):
        parts.append("With errors: these panels cannot be built as they stand.")
    return parts
