"""The deck: one app, its screens, and what all of them share."""

import importlib
import os
from collections.abc import Callable
from time import monotonic as system_monotonic
from typing import TYPE_CHECKING, Any, ClassVar

from attrs import frozen
from textual import events
from textual.app import App
from textual.binding import BindingType
from textual.screen import Screen
from textual.timer import Timer

from pourdeck.deck import said as words
from pourdeck.deck.actions import EVERYWHERE, SCREENS, bindings
from pourdeck.deck.here import Here
from pourdeck.deck.kept import Kept, Store
from pourdeck.deck.literal import text
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.signals import exit_code, listen
from pourdeck.deck.theme import DAYLIGHT, LOOKS, PLAIN, SHED, Look, textual_theme
from pourdeck.deck.views.values import day_text
from pourdeck.deck.watch import Watch
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.widgets.too_small import too_small
from pourdeck.paper.keep import keep_record
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.walk.board import Board
from pourdeck.walk.records import Act

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk

DRAFT_SECONDS = 1.0
"""So long after the last key what is half typed is on disk."""


@frozen(kw_only=True)
class Counts:
    deferred: int
    failed: int
    passed: int


def _screen(module: str, name: str) -> Callable[[], Screen[Any]]:
    """A screen that is loaded when it is first shown."""

    def make() -> Screen[Any]:
        made = getattr(importlib.import_module(f"pourdeck.deck.screens.{module}"), name)()
        assert isinstance(made, DeckScreen)
        return made

    return make


class DeckApp(App[None]):
    """`drafts` keeps place and half-typed text; `monotonic` gives seconds that only go forward."""

    TITLE = "pourdeck"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    CSS = """
    Screen { background: $deck-ground; color: $deck-text; }
    """
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - declared so by the toolkit
        (0, "-slim"),
        (60, "-narrow"),
        (80, "-full"),
        (120, "-wide"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012 - declared so by the toolkit
        (0, "-flat"),
        (20, "-low"),
        (24, "-normal"),
        (36, "-tall"),
    ]
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(EVERYWHERE)]
    MODES: ClassVar[dict[str, Any]] = {
        "board": _screen("board", "BoardScreen"),
        "walk": _screen("walk", "WalkScreen"),
        "setout": _screen("setout", "SetOutScreen"),
        "resize": _screen("resize", "ResizeScreen"),
        "log": _screen("log", "LogScreen"),
    }

    def __init__(
        self,
        desk: "Desk",
        drafts: Store | None = None,
        *,
        look: str | None = None,
        ascii_only: bool = False,
        monotonic: Callable[[], float] = system_monotonic,
    ) -> None:
        self.desk = desk
        self.kept = Kept(drafts)
        self.said = Said("note", "")
        self._watch = Watch(monotonic)
        self._board: tuple[tuple[int, str], Board] | None = None
        self._draft_timer: Timer | None = None
        self._put_back: Callable[[], None] = lambda: None
        no_color = bool(os.environ.get("NO_COLOR"))
        self.look = _first_look(PLAIN.name if no_color else look or self.kept.here.look, ascii_only)
        self.ascii_only = ascii_only
        start = self.kept.here.screen if self.kept.here.screen in SCREENS else "board"
        self.DEFAULT_MODE = start  # type: ignore[misc]
        super().__init__(ansi_color=True if no_color else None)
        if not no_color:
            # An empty NO_COLOR asks for nothing (no-color.org); the toolkit would turn all to grey.
            self.no_color = False
            self._filters = self._filters[:1]
        for one in LOOKS.values():
            self.register_theme(textual_theme(one))
        self.theme = self.look.name

    # Place and person.

    @property
    def here(self) -> Here:
        """Which screen, stack, panel and item is in hand."""
        return self.kept.here

    @property
    def by(self) -> str | None:
        """Who is on deck: the name that goes with what is recorded."""
        return self.kept.here.by

    def place(
        self, *, stack: str | None = None, panel: int | None = None, item: str | None = None
    ) -> None:
        """Take another panel in hand on every screen; what is not given stays, but for the item."""
        here = self.here
        changed = (stack or here.stack, panel or here.panel) != (here.stack, here.panel)
        self.kept.go(
            stack=stack or here.stack,
            panel=panel or here.panel,
            item=item if item is not None or changed else here.item,
        )
        self.draft_later()

    def go(
        self,
        screen: str,
        *,
        stack: str | None = None,
        panel: int | None = None,
        item: str | None = None,
    ) -> None:
        """Show a screen, with another panel or item in hand where one is given."""
        self.place(stack=stack, panel=panel, item=item)
        self.kept.go(screen=screen)
        if self.current_mode == screen:
            self.refresh_screen()
        else:
            self.switch_mode(screen)

    def as_person(self, then: Callable[[str], None]) -> None:
        """Do something in the name of who is on deck; asks for it where nobody is."""
        if self.by:
            then(self.by)
        else:
            self.action_person(then)

    # Words.

    def say(self, what: Said) -> None:
        """Say something in the line at the bottom, on this screen and the next."""
        self.said = what
        self._frame()

    def refuse(self, refusal: Refusal) -> None:
        """Say what was refused, and what would allow it."""
        self.say(words.refused(refusal))

    def time_text(self) -> str:
        return day_text(self.desk.now())

    def head_text(self) -> str:
        text = words.head_text(self.desk.head)
        return f"{text} read only" if self.desk.read_only else text

    def board(self) -> Board:
        """Where every stack stands: worked out once for each entry and each minute of the clock."""
        key = (len(self.desk.state.entries), f"{self.desk.now():%Y%m%d%H%M}")
        if self._board is None or self._board[0] != key:
            self._board = (key, self.desk.board())
        return self._board[1]

    def counts(self) -> Counts:
        """What is owed on the whole job: shown on every screen."""
        board = self.board()
        passed = sum(one.closed is None for one in board.nonconformances)
        return Counts(deferred=len(board.deferred), failed=len(board.failed), passed=passed)

    # Recording.

    def record(self, act: Act | Refusal) -> Entry | None:
        """Write an act to the log and say so once it is on disk. None: it was refused or not saved."""
        if isinstance(act, Refusal):
            self.refuse(act)
            return None
        try:
            entry = self.desk.record(act)
        except NotSaved as error:
            self.say(words.not_saved(error.title, error.body))
            return None
        self._watch.saved()
        self.said = words.saved(entry, act.says)
        not_kept = keep_record(self.desk, entry)
        if not_kept:
            self.said = Said("refused", self.said.title, not_kept)
        self.refresh_screen()
        return entry

    # Half-typed text.

    def keep_text(self, key: str, text: str) -> None:
        """Keep what is half typed; it is on disk a second after the last key."""
        self.kept.keep(key, text)
        self.draft_later()

    def draft_later(self) -> None:
        if self.kept.changed and self._draft_timer is None and self.is_running:
            self._draft_timer = self.set_timer(DRAFT_SECONDS, self._flush_draft)

    def _flush_draft(self) -> None:
        self._draft_timer = None
        if not self.kept.flush() and self.kept.message:
            self.say(Said("refused", self.kept.message))

    # Life.

    def on_mount(self) -> None:
        import asyncio

        self._put_back = listen(asyncio.get_running_loop(), self._stop)
        self.set_interval(60, self._frame)
        self._first_words()

    def _first_words(self) -> None:
        board = self.board()
        here = self.here
        known = {stack.id: len(stack.panels) for stack in board.stacks}
        if here.stack not in known or not 1 <= (here.panel or 0) <= known[here.stack]:
            first = board.stacks[0] if board.stacks else None
            self.kept.go(stack=first and first.id, panel=first and first.in_hand, item=None)
        if self.desk.messages:
            self.said = Said("refused", self.desk.messages[0], " ".join(self.desk.messages[1:]))
        else:
            self.said = self._resume()
        self._frame()

    def _stop(self, number: int) -> None:
        self.kept.flush()
        self.exit(return_code=exit_code(number))

    def on_unmount(self) -> None:
        self.kept.flush()
        self._put_back()

    def refresh_screen(self) -> None:
        """Show what stands now on the screen that is open."""
        for screen in reversed(self.screen_stack):
            if isinstance(screen, DeckScreen):
                if screen.is_mounted:
                    screen.refresh_all()
                return

    def _frame(self) -> None:
        for screen in reversed(self.screen_stack):
            if isinstance(screen, DeckScreen):
                if screen.is_mounted:
                    screen.refresh_frame()
                return

    async def on_event(self, event: events.Event) -> None:
        """Keys and the mouse go through the watch before any widget has them."""
        if isinstance(event, events.InputEvent) and not event.is_forwarded:
            verdict = self._watch.judge(event, cramped=too_small(*self.size))
            if verdict == "wake":
                self.say(self._resume(woke=True))
            if verdict != "pass":
                return
        await super().on_event(event)

    def _resume(self, *, woke: bool = False) -> Said:
        act = words.next_of(self.board(), self.here.stack)
        return words.resume(self.desk.state.last, act, self.desk.now(), woke=woke)

    # What can be done everywhere.

    def action_go_board(self) -> None:
        self._switch("board")

    def action_go_walk(self) -> None:
        self._switch("walk")

    def action_go_setout(self) -> None:
        self._switch("setout")

    def action_go_resize(self) -> None:
        self._switch("resize")

    def action_go_log(self) -> None:
        self._switch("log")

    def _switch(self, screen: str) -> None:
        if isinstance(self.screen, DeckScreen):
            self.go(screen)

    def action_help(self) -> None:
        from pourdeck.deck.help import HelpScreen

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen(self._screen_id()))

    def action_palette(self) -> None:
        from pourdeck.deck.palette import Palette

        screen = self.screen
        if isinstance(screen, DeckScreen):
            self.push_screen(Palette(screen), self._run_picked)

    async def _run_picked(self, action_id: str | None) -> None:
        screen = self.screen
        if action_id is not None and isinstance(screen, DeckScreen):
            await screen.run_known(action_id)

    def _screen_id(self) -> str:
        screen = self.screen
        return screen.ID if isinstance(screen, DeckScreen) else self.here.screen

    def action_owed(self) -> None:
        from pourdeck.deck.owed import OwedDialog

        if isinstance(self.screen, DeckScreen):
            self.push_screen(OwedDialog(self.board()), self._open_owed)

    def _open_owed(self, key: str | None) -> None:
        from pourdeck.deck.views.board_rows import target_of

        target = target_of(self.board(), key) if key else None
        if target is not None:
            self.go("walk", stack=target.stack, panel=target.panel, item=target.item)

    def action_person(self, then: Callable[[str], None] | None = None) -> None:
        from pourdeck.deck.person import ask_person

        if not isinstance(self.screen, DeckScreen):
            return

        def take(name: str) -> None:
            self.kept.go(by=name)
            self.draft_later()
            self.say(Said("note", f"{name} is on deck"))
            if then is not None:
                then(name)

        ask_person(self, self.desk.job.people, self.by, take)

    def action_look(self) -> None:
        """Dark to daylight and back."""
        if self.look.ground is None:
            self.say(Said("note", "No colours: NO_COLOR is set"))
            return
        name = DAYLIGHT.name if self.look.name == SHED.name else SHED.name
        self.look = _first_look(name, self.ascii_only)
        self.kept.go(look=name)
        self.draft_later()
        self.theme = name
        self.refresh(layout=False)
        self.screen.refresh(layout=False, repaint=True)
        for widget in self.screen.walk_children():
            widget.refresh()
        self.say(Said("note", f"Look: {self.look.title}"))

    def action_leave(self) -> None:
        """Nothing is lost, and so nothing is asked."""
        self.kept.flush()
        counts = self.counts()
        owed = f"deferred {counts.deferred}, failed {counts.failed}, unreleased {counts.passed}"
        self.exit(message=text(f"Left the deck: {owed}; {self.head_text()}. Nothing is lost."))

    async def action_quit(self) -> None:
        self.action_leave()


def _first_look(name: str | None, ascii_only: bool) -> Look:
    from attrs import evolve

    look = LOOKS.get(name or SHED.name, SHED)
    return evolve(look, ascii_only=True) if ascii_only else look
