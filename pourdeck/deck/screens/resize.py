"""Size change: type a size and see at once what moves; nothing is recorded before a name and a reason."""

from decimal import Decimal
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container, Vertical

from pourdeck.deck.actions import bindings
from pourdeck.deck.dialogs import Ask, AskDialog
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.resize_rows import (
    cancel_text,
    change_rows,
    option_head,
    option_row,
    option_title,
    size_text,
)
from pourdeck.deck.views.setout_rows import title
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.measure_field import MeasureField
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import GUTTER, Row
from pourdeck.plan.findings import has_error
from pourdeck.plan.records import ALIGNMENTS, Align
from pourdeck.plan.refusal import Refusal
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import revise

SIZES = ("width", "height", "thickness")


class ResizeScreen(DeckScreen):
    """Three sizes at the top; what moves below them; at the foot the nine alignments, best first."""

    ID = "resize"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("resize")]
    DEFAULT_CSS = """
    ResizeScreen #sizes { layout: horizontal; height: 3; width: 1fr; }
    ResizeScreen #sizes .size { width: 1fr; height: 3; }
    ResizeScreen #sizes Prose { width: 1fr; height: 1; }
    ResizeScreen #sizes MeasureField { height: 2; }
    ResizeScreen #moves { height: 1fr; }
    ResizeScreen #ways { height: 11; }
    ResizeScreen.-low #ways, ResizeScreen.-flat #ways { height: 5; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._align: Align | None = None
        self._shown: tuple[str | None, int | None] = (None, None)
        self._found: Resize | Refusal | None = None

    def compose_body(self) -> ComposeResult:
        units = self.deck.desk.job.units
        with Container(id="sizes"):
            for name in SIZES:
                with Vertical(classes="size"):
                    yield Prose(id=f"now-{name}")
                    yield MeasureField("length", units, id=f"new-{name}", idle_arrows=False)
        yield RowList(id="moves")
        yield RowList(id="ways")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#new-width").focus()

    @property
    def setout(self) -> SetOut | None:
        """The panel in hand as it is now."""
        here = self.deck.here
        if here.stack is None or here.panel is None:
            return None
        found = self.deck.desk.set_outs(here.stack)
        return found[here.panel - 1] if 1 <= here.panel <= len(found) else None

    def title_words(self) -> Spans:
        setout = self.setout
        return title(setout) if setout else super().title_words()

    # What is shown.

    def reload(self) -> None:
        here, setout = self.deck.here, self.setout
        if setout is None:
            return
        if (here.stack, here.panel) != self._shown:
            self._shown = (here.stack, here.panel)
            self._align = None
            for name in SIZES:
                self._field(name).clear()
                kept = self.deck.kept.text(self._draft(name))
                if kept:
                    self._field(name).load_draft(kept)
        units = self.deck.desk.job.units
        for name in SIZES:
            now = length(getattr(setout.panel, name), units)
            self.query_one(f"#now-{name}", Prose).show([line((f"  {name}, now {now}", "quiet"))])
        self._work_out()

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self._work_out)

    def _field(self, name: str) -> MeasureField:
        return self.query_one(f"#new-{name}", MeasureField)

    def _draft(self, name: str) -> str:
        here = self.deck.here
        return f"resize.{here.stack}.{here.panel}.{name}"

    def _sizes(self) -> dict[str, Decimal]:
        """The sizes that are typed and can be read."""
        typed = {name: self._field(name).value for name in SIZES}
        return {name: value for name, value in typed.items() if value is not None}

    def _unread(self) -> str | None:
        """The first size that is typed and cannot be read."""
        return next(
            (name for name in SIZES if self._field(name).text and self._field(name).value is None),
            None,
        )

    def _work_out(self) -> None:
        """What the typed sizes do, at every key."""
        here = self.deck.here
        if here.stack is None or here.panel is None or self.setout is None:
            return
        self._found = self.deck.desk.resize(
            here.stack, here.panel, align=self._align, **self._sizes()
        )
        self._show_moves()
        self._show_ways()
        self.refresh_frame()

    def _show_moves(self) -> None:
        moves, found = self.query_one("#moves", RowList), self._found
        if found is None:
            return
        if isinstance(found, Refusal):
            words = line(("✗ ", "error"), (found.title, "strong"), f" {found.body}")
            moves.set_rows((Row(left=words, wrap=True, indent=2),))
            return
        desk, units = self.deck.desk, self.deck.desk.job.units
        width = max(30, (moves.size.width or 80) - GUTTER - 1)
        head = line(
            (size_text(found.before, units), "quiet"),
            (" → ", "strong"),
            (size_text(found.after, units), "value"),
            f"  {found.after.align}",
        )
        rows = [head, *change_rows(found, desk.cancels(found), units, width)]
        moves.set_rows(tuple(Row(left=row) for row in rows))

    def _show_ways(self) -> None:
        ways, found = self.query_one("#ways", RowList), self._found
        if not isinstance(found, Resize):
            ways.set_rows(())
            return
        units = self.deck.desk.job.units
        width = max(30, (ways.size.width or 80) - GUTTER - 1)
        rows = [Row(left=option_title()), Row(left=option_head(width))]
        rows += [
            Row(left=option_row(option, units, width), key=option.align) for option in found.options
        ]
        ways.set_rows(tuple(rows), select=found.after.align)

    # What is done.

    def can_do(self, action_id: str) -> bool:
        if action_id == "record-resize":
            found = self._found
            return isinstance(found, Resize) and found.changes_anything
        return True

    def on_measure_field_changed(self, event: MeasureField.Changed) -> None:
        event.stop()
        name = (event.field.id or "").removeprefix("new-")
        self.deck.keep_text(self._draft(name), event.text)
        self._work_out()

    def on_measure_field_committed(self, event: MeasureField.Committed) -> None:
        event.stop()
        self._work_out()
        place = SIZES.index((event.field.id or "").removeprefix("new-"))
        after = f"#new-{SIZES[place + 1]}" if place + 1 < len(SIZES) else "#ways"
        self.query_one(after).focus()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        if event.row_list.id == "ways":
            self._align = next((one for one in ALIGNMENTS if one == event.key), None)
            self._work_out()
            self.deck.say(
                Said("note", f"Shown with {event.key}", "Nothing is recorded; F8 records it.")
            )

    def action_record_resize(self) -> None:
        """Ask for the reason, then record the new size in the name of who is on deck."""
        found, unread = self._found, self._unread()
        if unread is not None:
            self.deck.refuse(
                Refusal(title=f"The {unread} cannot be read.", body=self._field(unread).reason)
            )
            self._field(unread).focus()
        elif isinstance(found, Refusal):
            self.deck.refuse(found)
        elif found is None or not found.changes_anything:
            self.deck.refuse(
                Refusal(
                    title="Nothing is changed yet.", body="Type a new size, or take an alignment."
                )
            )
        else:
            self.deck.as_person(lambda by: self._ask(found, by))

    def _ask(self, found: Resize, by: str) -> None:
        units = self.deck.desk.job.units
        cancels = self.deck.desk.cancels(found)
        body = f"{size_text(found.before, units)} → {size_text(found.after, units)}, {found.after.align}."
        if cancels:
            body += (
                f" Cancels {len(cancels)}: "
                + "; ".join(cancel_text(cancel) for cancel in cancels)
                + "."
            )
        if has_error(found.findings):
            body += (
                " There are errors after this change: these panels cannot be built as they stand."
            )

        def take(values: dict[str, str] | None) -> None:
            if values is None:
                return
            act = revise(found, cancels, values["reason"], by)
            if self.deck.record(act) is not None:
                self._done()

        asks = (Ask(id="reason", label="Why, by whom"),)
        self.app.push_screen(
            AskDialog(f"Record the new size of {found.mark}", asks, body, draft="resize.reason"),
            take,
        )

    def _done(self) -> None:
        for name in SIZES:
            self._field(name).clear()
            self.deck.keep_text(self._draft(name), "")
        self._align = None
        self.refresh_all()
