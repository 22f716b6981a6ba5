"""Dialogs: a box over a screen that is left once, its buttons, and rows to pick from or just to read."""

from collections.abc import Sequence
from typing import Any, ClassVar, TypeVar

from textual import events
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.screen import ModalScreen
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.paint import Spans, cells, cut, line, look_of, strip
from pourdeck.deck.views.board_rows import CLOCK, DAMAGE, finding_rows, owed_rows
from pourdeck.deck.widgets.bar import GLOVE_COLUMNS, roomy
from pourdeck.deck.widgets.frame import TooSmall
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import Row, RowList
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Units
from pourdeck.walk.board import Board

# A button that says what it does: a verb in a box, large enough for a gloved finger where there is room.


class VerbButton(Widget, can_focus=True):
    """Pressed by Enter or a click. With the focus it has `▸ ◂` round its word."""

    ALLOW_SELECT = False
    DEFAULT_CSS = """
    VerbButton { width: auto; height: 3; min-width: 12; margin-right: 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "press", "Press", show=False)]

    class Pressed(Message):
        def __init__(self, button: "VerbButton") -> None:
            super().__init__()
            self.button = button

    def __init__(self, verb: str, *, id: str) -> None:
        super().__init__(id=id)
        self.verb = verb

    def get_content_width(self, container: object, viewport: object) -> int:
        return max(GLOVE_COLUMNS, cells(line(self.verb)) + 6)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        return 3

    def render_line(self, y: int) -> Strip:
        look = look_of(self)
        width, height = self.content_size
        middle = height // 2
        if y != middle:
            left, right = ("┌", "┐") if y < middle else ("└", "┘")
            return strip(line((f"{left}{'─' * (width - 2)}{right}", "rule")), look, width)
        ink = "button-on" if self.has_focus else "button"
        words = cut(line((self.verb, ink)), max(0, width - 6))
        missing = width - 6 - cells(words)
        before = " " * (missing // 2)
        after = " " * (missing - missing // 2)
        left, right = ("▸ ", " ◂") if self.has_focus else ("  ", "  ")
        side = "│" if height >= 3 else " "
        spans = line(
            (side, "rule"),
            (f"{left}{before}", ink),
            *words,
            (f"{after}{right}", ink),
            (side, "rule"),
        )
        return strip(spans, look, width)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_press()

    def action_press(self) -> None:
        self.post_message(self.Pressed(self))


# A screen over another one that is left once, however many keys are still on their way to it.

Left = TypeVar("Left")


class OnceScreen(ModalScreen[Left]):
    """A second Enter must neither do it again nor take the screen below along."""

    _left = False

    def dismiss(self, result: Left | None = None) -> AwaitComplete:
        if self._left:
            return AwaitComplete()
        self._left = True
        done: AwaitComplete = super().dismiss(result)
        return done


# Questions that stand over a screen: pick one, write something, release a hold.
#
# Every button says what it does. Esc always leaves with nothing done, and so does the button that has
# the focus first wherever the other one cannot be undone.

Result = TypeVar("Result")


DEAF_SECONDS = 0.25
"""So long a dialog that opened by itself takes no key and no click: they were meant for what was there."""


class DeckDialog(OnceScreen[Result | None]):
    """A box with a title, words, what the dialog is about, and buttons. None: left with nothing done.

    `by_itself`: it opens after an answer and not at a key of its own, and is deaf at first. `told`: why it
    opens again.
    """

    DEFAULT_CSS = """
    DeckDialog { align: center middle; layers: base cover; background: transparent; color: $deck-text; }
    DeckDialog #box {
        width: 100%; max-width: 100; height: auto; max-height: 100%;
        border: solid $deck-rule; padding: 0 1; background: $deck-ground; overflow-y: auto;
    }
    DeckDialog.-ascii #box { border: ascii $deck-rule; }
    DeckDialog #buttons { height: auto; width: 1fr; margin-top: 1; }
    DeckDialog.-low #buttons { margin-top: 0; }
    DeckDialog.-low VerbButton { height: 1; }
    DeckDialog #told { margin-top: 0; }
    DeckDialog .field-row { height: auto; }
    DeckDialog .field-row Prose { width: 23; padding-right: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Leave", show=False),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
        Binding("right", "app.focus_next", "Next", show=False),
        Binding("left", "app.focus_previous", "Before", show=False),
    ]
    verb: ClassVar[str] = "Choose"
    cancel_verb: ClassVar[str] = "Leave it"

    def __init__(
        self,
        title: str,
        body: str = "",
        *,
        verb: str = "",
        cancel_verb: str = "",
        by_itself: bool = False,
        told: str = "",
    ) -> None:
        super().__init__()
        self.by_itself = by_itself
        self.told = told
        self.heading = title
        self.body = body
        self.verb_now = verb or self.verb
        self.cancel_now = cancel_verb or self.cancel_verb

    def compose(self) -> ComposeResult:
        self.set_class(look_of(self).ascii_only, "-ascii")
        with Vertical(id="box"):
            yield Prose(line((self.heading, "heading")), *([line(self.body)] if self.body else []))
            yield from self.compose_middle()
            yield Prose(*_told(self.told), id="told")
            with Horizontal(id="buttons"):
                yield from self.compose_buttons()
        yield TooSmall()

    def on_mount(self) -> None:
        deafen: Any = getattr(self.app, "deafen", None)
        if self.by_itself and deafen is not None:
            deafen(DEAF_SECONDS)

    def compose_middle(self) -> ComposeResult:
        """Give the widgets between the text of the dialog and its rows; a plain choice has none."""
        yield from ()

    def compose_buttons(self) -> ComposeResult:
        """The way out first, what acts last: so in every dialog."""
        yield VerbButton(self.cancel_now, id="cancel")
        yield VerbButton(self.verb_now, id="do")

    def tell(self, words: str) -> None:
        """Say under the fields why it cannot go on."""
        self.query_one("#told", Prose).show(_told(words))

    def submit(self) -> None:
        """The button with the verb was pressed."""
        raise NotImplementedError

    def action_cancel(self) -> None:
        self.dismiss(None)

    def on_verb_button_pressed(self, event: VerbButton.Pressed) -> None:
        event.stop()
        if event.button.id == "cancel":
            self.action_cancel()
        else:
            self.submit()


def _told(words: str) -> list[Spans]:
    return [line((f"✗ {words}", "error"))] if words else []


def fit_list(rows: RowList) -> None:
    """As high as its lines, as far as the window goes beside the rest of its dialog."""

    def fit() -> None:
        box = rows.screen.query_one("#box")
        frame = box.outer_size.height - box.scrollable_content_region.height
        rest = box.virtual_size.height + frame - rows.size.height
        rows.styles.height = max(1, min(len(rows.lines), rows.app.size.height - rest))

    # How rows break is known once the list has its width.
    rows.call_after_refresh(fit)


# Dialogs with rows in them: pick one, or just read.

FRAME = 10
"""Lines that a dialog takes round its list."""


class ChoiceDialog(DeckDialog[str]):
    """Pick one row: gives its key. Enter, or a click on the marked row, takes it.

    `unmarked`: no row is marked at first, so that Enter alone picks nobody.
    """

    DEFAULT_CSS = "ChoiceDialog RowList { height: auto; margin-top: 1; }"

    def __init__(
        self,
        title: str,
        rows: tuple[Row, ...],
        body: str = "",
        *,
        select: str | None = None,
        verb: str = "",
        unmarked: bool = False,
        by_itself: bool = False,
        told: str = "",
    ) -> None:
        super().__init__(title, body, verb=verb, by_itself=by_itself, told=told)
        self.rows = rows
        self.first = select
        self.unmarked = unmarked

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="choices")

    def on_mount(self) -> None:
        choices = self.query_one("#choices", RowList)
        if self.first is not None:
            choices.select(self.first)
        elif self.unmarked:
            choices.unmark()
        self.set_focus(choices)

    def on_resize(self) -> None:
        choices = self.query_one("#choices", RowList)
        fits = 2 * len(self.rows) <= self.app.size.height - FRAME
        choices.spread_out(2 if fits and roomy(self) else 1)
        fit_list(choices)

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.dismiss(event.key)

    def submit(self) -> None:
        key = self.query_one("#choices", RowList).key
        if key is not None:
            self.dismiss(key)
        else:
            self.tell("Nobody is picked: ↑ and ↓, or a click, mark a name.")

    def on_row_list_unpicked(self, event: RowList.Unpicked) -> None:
        event.stop()
        self.submit()


class TellDialog(DeckDialog[str]):
    """Something to read, with one way out."""

    DEFAULT_CSS = """
    TellDialog RowList { height: auto; margin-top: 1; }
    """

    def __init__(self, title: str, rows: tuple[Spans, ...], body: str = "") -> None:
        super().__init__(title, body, cancel_verb="Go back")
        self.rows = tuple(Row(left=spans, wrap=True, indent=2) for spans in rows)

    def compose_middle(self) -> ComposeResult:
        yield RowList(self.rows, id="told-rows")

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton(self.cancel_now, id="cancel")

    def on_mount(self) -> None:
        self.set_focus(self.query_one("#cancel"))

    def on_resize(self) -> None:
        fit_list(self.query_one("#told-rows", RowList))

    def submit(self) -> None:
        self.dismiss(None)


# The list of what is owed: one key away from every screen.


class OwedDialog(ChoiceDialog):
    """List what is damaged or in conflict, failed or out of tolerance, passed, and deferred.

    A row opens the place where something is done about it.
    """

    def __init__(
        self, board: Board, damage: Sequence[Finding], clock: Sequence[Finding], units: Units
    ) -> None:
        rows = (
            *finding_rows(DAMAGE, "✗ Log", damage),
            *owed_rows(board, units),
            *finding_rows(CLOCK, "✗ Clock", clock),
        )
        empty = Row(
            left=line(("Nothing is deferred, nothing failed, no hold was passed.", "quiet"))
        )
        super().__init__("Owed on this job", rows or (empty,), verb="Go there")
