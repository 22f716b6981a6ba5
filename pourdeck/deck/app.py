"""The deck: its screens, and what can be done on all of them."""

import importlib
from collections.abc import Callable
from functools import cached_property
from time import monotonic as system_monotonic
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import BindingType
from textual.screen import Screen

from pourdeck.deck.actions import EVERYWHERE, SCREENS, bindings
from pourdeck.deck.desk_shell import Counts, DeskShell, nothing
from pourdeck.deck.paint import text
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.shell import Kept, Store
from pourdeck.deck.widgets.frame import Said

if TYPE_CHECKING:
    from pourdeck.deck.backing_up import Copying
    from pourdeck.sitelog.backups import Backups
    from pourdeck.walk.desk import Desk

__all__ = ["Counts", "DeckApp"]


def _screen(module: str, name: str) -> Callable[[], Screen[Any]]:
    """A screen that is loaded when it is first shown."""

    def make() -> Screen[Any]:
        made = getattr(importlib.import_module(f"pourdeck.deck.screens.{module}"), name)()
        assert isinstance(made, DeckScreen)
        return made

    return make


class DeckApp(DeskShell):
    """The deck on a desk. `drafts` keeps place and half-typed text, None only as long as it runs."""

    TITLE = "pourdeck"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(EVERYWHERE)]
    MODES: ClassVar[dict[str, Any]] = {
        "board": _screen("board", "BoardScreen"),
        "walk": _screen("walk", "WalkScreen"),
        "pour": _screen("pour", "PourScreen"),
        "setout": _screen("setout", "SetOutScreen"),
        "levels": _screen("levels", "LevelsScreen"),
        "ascast": _screen("ascast", "AsCastScreen"),
        "strength": _screen("strength", "StrengthScreen"),
        "resize": _screen("resize", "ResizeScreen"),
        "lift": _screen("lift", "LiftScreen"),
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
        backups: "Backups | None" = None,
    ) -> None:
        kept = Kept(drafts, write=not desk.read_only)
        # The mode that the toolkit starts in: no other screen is built on the way to it.
        self.DEFAULT_MODE = kept.here.screen if kept.here.screen in SCREENS else "board"  # type: ignore[misc]
        super().__init__(desk, kept, look, ascii_only, monotonic, backups)

    def action_go_board(self) -> None:
        self._switch("board")

    def action_go_walk(self) -> None:
        self._switch("walk")

    def action_go_pour(self) -> None:
        self._switch("pour")

    def action_go_setout(self) -> None:
        self._switch("setout")

    def action_go_levels(self) -> None:
        self._switch("levels")

    def action_go_ascast(self) -> None:
        self._switch("ascast")

    def action_go_strength(self) -> None:
        self._switch("strength")

    def action_go_resize(self) -> None:
        self._switch("resize")

    def action_go_lift(self) -> None:
        self._switch("lift")

    def action_go_log(self) -> None:
        self.stations_shown = False
        self._switch("log")

    def action_stations(self) -> None:
        """Who writes to the job; from there back to what was written."""
        if isinstance(self.screen, DeckScreen):
            self.stations_shown = self.here.screen != "log" or not self.stations_shown
            self.go("log")

    def _switch(self, screen: str) -> None:
        """Not from under a dialog, which would be left behind half answered."""
        if isinstance(self.screen, DeckScreen):
            self.go(screen)

    def action_help(self) -> None:
        from pourdeck.deck.help import HelpScreen

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen(self.here.screen))

    def action_palette(self) -> None:
        from pourdeck.deck.palette import Palette

        screen = self.screen
        if isinstance(screen, DeckScreen):
            self.push_screen(Palette(screen), self._run_picked)

    async def _run_picked(self, picked: str | None) -> None:
        from pourdeck.deck.palette import PANEL

        screen = self.screen
        if picked is None or not isinstance(screen, DeckScreen):
            return
        if picked.startswith(PANEL):
            place, _, number = picked.removeprefix(PANEL).partition(":")
            self.go("walk", stack=self.desk.job.stacks[int(place)].id, panel=int(number))
        else:
            await screen.run_known(picked)

    def action_owed(self) -> None:
        from pourdeck.deck.choice_dialog import OwedDialog

        if isinstance(self.screen, DeckScreen):
            board, damage, clock = self.board(), self.desk.damage(), self.clock_jumps()
            rows = OwedDialog(board, damage, clock, self.desk.job.units)
            self.push_screen(rows, self._open_owed)

    def _open_owed(self, key: str | None) -> None:
        from pourdeck.deck.views.board_rows import CLOCK, target_of

        if key is not None and key.startswith(CLOCK):
            self.action_time()
            return
        target = target_of(self.board(), key, self.desk.job.units) if key else None
        if target is not None:
            self.stations_shown = False
            self.open_target(target)

    def action_person(
        self, then: Callable[[str], None] | None = None, left: Callable[[], None] = nothing
    ) -> None:
        """Ask who is signed in, then do what waited for it."""
        from pourdeck.deck.person import ask_person

        def take(name: str) -> None:
            self.keep(by=name)
            self.say(Said("note", f"{name} is signed in"))
            if then is not None:
                then(name)

        if then is not None or isinstance(self.screen, DeckScreen):
            title = "Who is there now?" if then is not None and self.by else "Who is signed in?"
            ask_person(self, take, left, title=title, by_itself=then is not None)

    def action_time(self) -> None:
        from pourdeck.deck.recording import ask_time

        if isinstance(self.screen, DeckScreen):
            ask_time(self)

    def action_undo(self) -> None:
        from pourdeck.deck.recording import undo

        if isinstance(self.screen, DeckScreen):
            undo(self)

    def action_redo(self) -> None:
        from pourdeck.deck.recording import redo

        if isinstance(self.screen, DeckScreen):
            redo(self)

    @cached_property
    def copying(self) -> "Copying":
        """The backup that this deck makes."""
        from pourdeck.deck.backing_up import Copying

        return Copying(self)

    def back_up(self) -> None:
        self.copying.ask()

    def action_leave(self) -> None:
        """Leave, unless today's work is in no backup and nobody was asked yet: nothing else is lost."""
        if self.backups is None or not (self.copying.waits() or self.copying.offer()):
            self.leave()

    def leave(self) -> None:
        self.kept.flush()
        counts = self.counts()
        owed = f"deferred {counts.deferred}, failed {counts.failed}, unreleased {counts.passed}"
        backed_up = f" {self.copying.last_words()}" if self.backups is not None else ""
        told = f"Left the deck: {owed}; {self.head_text()}. Nothing is lost.{backed_up}"
        self.exit(message=text(told))

    async def action_quit(self) -> None:
        self.action_leave()
