"""The app on a desk: the panel in hand, what is owed, recording, and what the deck says of it."""

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from attrs import frozen

from pourdeck.deck.shell import Kept, Shell
from pourdeck.deck.views.values import age_text, day_text
from pourdeck.deck.widgets.frame import Said
from pourdeck.plan.messages import Finding, Refusal, literal
from pourdeck.sitelog.entries import Entry, moment_of, station_words
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.state import panel_of
from pourdeck.walk.board import Board
from pourdeck.walk.desk import LOST, Overtaken, lost_words
from pourdeck.walk.records import Act, NextAct
from pourdeck.walk.words import ask_again

if TYPE_CHECKING:
    from pourdeck.deck.views.board_rows import Target
    from pourdeck.sitelog.backups import Backups
    from pourdeck.walk.authority import PinTries
    from pourdeck.walk.desk import Desk


def nothing(*_: object) -> None:
    """Stands for what is to be done where nothing is."""


# What the deck says by itself: after an act, after a pause, at the start.

LOOK_SECONDS = 3
"""So often it is looked whether others have written to the log; before every act it is, too."""

UNSAVED = "unsaved"
"""The key under which it is kept what could not be saved."""

SHORT_SEAL = 12
"""Digits of a seal that are enough to look for it again."""


def saved(entry: Entry, says: str = "") -> Said:
    """Said only after the entry is on disk."""
    tail = f": {says}" if says else ""
    return Said("saved", f"Saved {entry.at:%H:%M:%S}, no. {entry.n}{tail}")


def refused(refusal: Refusal) -> Said:
    return Said("refused", refusal.title, refusal.body)


def not_saved(title: str, body: str) -> Said:
    return Said("refused", f"NOT SAVED: {title.removeprefix('Not saved: ')}", body)


def head_text(head: tuple[int, str | None]) -> str:
    """`log 212 9f3c81aa04be`: the number and the seal of the last entry."""
    number, seal = head
    return f"log {number} {seal[:SHORT_SEAL]}" if seal else "log empty"


def news_words(entries: Sequence[Entry]) -> Said:
    """Say how much came from whom, and the last of it."""
    stations = Counter(entry.station for entry in entries)
    told = ", ".join(
        f"{count} from {literal(station_words(station))}" for station, count in stations.items()
    )
    last = entries[-1]
    panel = f" {literal(last.panel)}" if last.panel else ""
    words = f"Last: {last.kind.replace('-', ' ')}{panel}, {literal(last.by)}, {last.at:%H:%M}."
    return Said("note", f"Came in: {told}", words)


def last_act(entry: Entry | None, now: datetime, item: str = "") -> str:
    """Say what was last done, by whom and how long ago. `item`: what the crew calls the item it was about."""
    if entry is None:
        return "Nothing is recorded yet"
    about = [str(entry.data[key]) for key in ("panel", "hold", "section") if entry.data.get(key)]
    words = " ".join((entry.kind.replace("-", " "), *about, *([item] if item else [])))
    return f"Last: no. {entry.n} {words}, {entry.by}, {age_text(entry.at, now)}"


def next_words(act: NextAct | None) -> str:
    """Say what comes next, but not what there is to do about it: the walk says that."""
    return f"Next: {act.mark} {act.text.partition(': ')[0]}" if act else ""


def next_of(board: Board, stack: str | None) -> NextAct | None:
    """Find what comes next in a stack, or in the first that has something to do."""
    own = next((act for act in board.next if act.stack == stack), None)
    return own or next(iter(board.next), None)


def resume(
    entry: Entry | None,
    act: NextAct | None,
    now: datetime,
    *,
    item: str = "",
    woke: bool = False,
) -> Said:
    """The line after a pause. `woke`: the key that ended it did nothing else."""
    lead = "Awake again, that key did nothing else. " if woke else ""
    return Said("note", f"{lead}{last_act(entry, now, item)}", next_words(act))


# The app on a desk: the panel in hand, what is owed, and recording.


@frozen(kw_only=True, eq=False, repr=False)
class Counts:
    """Count what is owed on the whole job: items deferred and failed, holds passed without release."""

    deferred: int
    failed: int
    passed: int


class DeskShell(Shell):
    """Hold what all screens share of one job; they change it by this class alone.

    `backups` are None where this deck makes none.
    """

    def __init__(
        self,
        desk: "Desk",
        kept: Kept,
        look: str | None,
        ascii_only: bool,
        monotonic: Callable[[], float],
        backups: "Backups | None" = None,
    ) -> None:
        self.desk = desk
        self.backups = backups
        self._board: tuple[tuple[int, str], Board] | None = None
        self.stations_shown = False
        """The Log screen shows who writes to the job in the place of what was written."""
        self._find_place(kept)
        super().__init__(kept, look, ascii_only, monotonic)

    @cached_property
    def pins(self) -> "PinTries":
        """Wrong PINs in a row of this run."""
        from pourdeck.walk.authority import PinTries

        return PinTries(self.monotonic)

    # Place and person.

    def _find_place(self, kept: Kept) -> None:
        """Where the crew left off, or, where that is gone, the panel in hand of the first stack."""
        stacks = {stack.id: len(stack.panels) for stack in self.desk.job.stacks}
        here = kept.here
        if here.stack not in stacks or not 1 <= (here.panel or 0) <= stacks[here.stack]:
            first = next(iter(stacks), None)
            panel = self.desk.panel_in_hand(first) if first is not None else None
            kept.go(stack=first, panel=panel, item=None)

    def place(
        self, *, stack: str | None = None, panel: int | None = None, item: str | None = None
    ) -> None:
        """Take another panel in hand on every screen; what is not given stays, but for the item."""
        here = self.here
        changed = (stack or here.stack, panel or here.panel) != (here.stack, here.panel)
        self.keep(
            stack=stack or here.stack,
            panel=panel or here.panel,
            item=item if item is not None or changed else here.item,
        )

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
        self.keep(screen=screen)
        if self.current_mode == screen:
            self.refresh_screen()
        else:
            self.switch_mode(screen)

    def keep(self, **changes: Any) -> None:
        """Keep a part of the place, and of who is signed in since when."""
        if "by" in changes:
            changes["by_at"] = self.desk.now().isoformat() if changes["by"] else None
        super().keep(**changes)

    def open_target(self, target: "Target") -> None:
        """Go where a row leads, and say what it is about."""
        self.go(target.screen, stack=target.stack, panel=target.panel, item=target.item)
        if target.told:
            self.say(Said("note", target.told, "Look, and record here which it is."))

    def last_seen(self) -> datetime | None:
        """When somebody last acted or signed in at this deck; None: nobody has."""
        at = moment_of(self.here.by_at)
        station = self.desk.station
        last = next(
            (one for one in reversed(self.desk.state.entries) if one.station == station), None
        )
        acted = last.at if last is not None else None
        return max((one for one in (at, acted) if one is not None), default=None)

    def present(self) -> str:
        """Who is signed in and was seen lately, "" for nobody: whoever left long ago signs nothing."""
        there = self.by and not ask_again(self.last_seen(), self.desk.now())
        return self.by or "" if there else ""

    # Words.

    def refuse(self, refusal: Refusal) -> None:
        """Say what was refused, and what would allow it."""
        self.say(refused(refusal))

    def time_text(self) -> str:
        return day_text(self.desk.now())

    def head_text(self) -> str:
        """The head of this station's log, or of all where it has none yet, and whether it is read only."""
        last = self.desk.state.last
        own = self.desk.head
        head = head_text((last.n, last.seal) if own[1] is None and last else own)
        return f"{head} read only" if self.desk.read_only else head

    def board(self) -> Board:
        """Where every stack stands: worked out once for each entry and each minute of the clock."""
        key = (len(self.desk.state.entries), f"{self.desk.now():%Y%m%d%H%M}")
        if self._board is None or self._board[0] != key:
            self._board = (key, self.desk.board())
        return self._board[1]

    def counts(self) -> Counts:
        """Count what is owed on the whole job: shown on every screen."""
        board = self.board()
        passed = sum(one.closed is None for one in board.nonconformances)
        # What is out of tolerance is one failure, whether anything was said of it or not.
        out = {(one.mark, key) for one in board.out_of_tolerance for key in one.items}
        failed = sum((one.mark, one.key) not in out for one in board.failed)
        return Counts(
            deferred=len(board.deferred),
            failed=failed + len(board.out_of_tolerance),
            passed=passed,
        )

    def clock_jumps(self) -> list[Finding]:
        """List the jumps of this computer's clock, until somebody confirms the time."""
        return [one for one in self.board().findings if one.code == "clock" and one.is_error]

    def marks(self) -> tuple[str, ...]:
        """Say what is wrong with the log, in words that stay on every screen until it is put right."""
        board = self.board()
        counted = (
            ("Log damaged", len(self.desk.damage())),
            ("In conflict", len(board.conflicts)),
            ("Clock jumped", len(self.clock_jumps())),
        )
        return tuple(f"{words}: {count}" for words, count in counted if count)

    def woke(self) -> Said:
        return self._resume(woke=True)

    def _resume(self, *, woke: bool = False) -> Said:
        """Say what was last done, how long ago, and what comes next."""
        act = next_of(self.board(), self.here.stack)
        last = self.desk.state.last
        item = self._item_words(last) if last else ""
        return resume(last, act, self.desk.now(), item=item, woke=woke)

    def _item_words(self, entry: Entry) -> str:
        """Give the crew's words for the item of an entry: its label, or what it asks."""
        key = entry.data.get("item")
        for stack in self.desk.job.stacks:
            for number, panel in enumerate(stack.panels, 1):
                if isinstance(key, str) and panel.mark == entry.panel:
                    found = self.desk.walk(stack.id, number).find(key)
                    return f"{found.group} {found.label}".strip() or found.prompt if found else key
        return ""

    # Recording.

    def as_person(self, then: Callable[[str], None], left: Callable[[], None] = nothing) -> None:
        """Do something in the name of who is signed in; `left` where nobody says who.

        Asks who it is where nobody is, and who is there now after four hours or on another day.
        """
        there = self.present()
        if there:
            then(there)
        else:
            self.action_person(then, left)

    def action_person(
        self, then: Callable[[str], None] | None = None, left: Callable[[], None] = nothing
    ) -> None:
        """Ask who is signed in, then do what waited for it."""
        raise NotImplementedError

    def record(
        self,
        act: Act | Refusal,
        then: Callable[[], None] | None = None,
        *,
        refresh: bool = True,
    ) -> Entry | None:
        """Write an act to the log and say so once it is on disk. None: it was refused or not saved.

        `then` goes on from there, before the screen shows all of it; without `refresh` it does so by itself.
        """
        if isinstance(act, Refusal):
            self.refuse(act)
            return None
        try:
            entry = self.desk.record(act)
        except NotSaved as error:
            self.say(not_saved(error.title, error.body))
            self.keep_text(UNSAVED, f"{act.kind.replace('-', ' ')} {act.data.get('panel') or ''}")
            self.kept.flush()
            if isinstance(error, Overtaken):
                # What has just come in is shown; what was typed stays in its field.
                self.refresh_screen()
            return None
        self._watch.saved()
        self.keep_text(UNSAVED, "")
        self.said = saved(entry, act.says)
        self._keep_record(entry)
        if then is not None:
            then()
        if refresh:
            self.refresh_screen()
        return entry

    def _keep_record(self, entry: Entry) -> None:
        """The record of a finished panel goes with what is recorded of it."""
        mark = panel_of(self.desk.state, entry)
        if mark is not None and self.desk.state.panel(mark).closed is not None:
            from pourdeck.paper.record_files import keep_record

            if wrong := keep_record(self.desk, entry):
                self.said = Said("refused", self.said.title, wrong)

    def back_up(self) -> None:
        """Ask where to, and copy the job there."""
        raise NotImplementedError

    def leave(self) -> None:
        """Leave the deck at once."""
        raise NotImplementedError

    # What others write.

    def follow(self) -> None:
        """Look at the log folder, and show what has come from others; whoever types goes on typing."""
        self.look_for_terminal()
        damage = self.desk.damage()
        news = self.desk.follow()
        if damage != self.desk.damage():
            # A file can be damaged, or put right, without a new entry.
            self._board = None
            self.refresh_screen()
        if news.lost:
            title = lost_words(news.lost)
            if self.said.title != title:
                self.say(Said("refused", title, LOST))
        elif news.wrong:
            if news.wrong != self.said.title:
                self.say(Said("refused", news.wrong, "Nothing is recorded until it can be read."))
        elif news.taken_over:
            self.said = Said("note", "This deck writes now", "Whoever had the log open is gone.")
            self.refresh_screen()
        elif news.entries:
            self.said = news_words(news.entries)
            self.refresh_screen()

    # Life.

    def on_mount(self) -> None:
        """Say what is wrong with the log first, else where the work was left."""
        super().on_mount()
        self.set_interval(LOOK_SECONDS, self.follow, name="follow")
        messages = self.desk.messages
        if messages:
            self.said = Said("refused", messages[0], " ".join(messages[1:]))
        elif unsaved := self.kept.text(UNSAVED):
            title = f"NOT SAVED when the deck was last open: {unsaved.strip()}"
            self.said = Said("refused", title, "What was typed is kept: open it again, record it.")
        else:
            self.said = self._resume()
        self.refresh_frame()
        self.repaint()

    def tick(self) -> None:
        """Show what the passing of time has changed, as what waited for hours; paint nothing else anew."""
        before = self._board[1] if self._board else None
        if self.board() != before:
            self.refresh_screen()
        else:
            screen = self.deck_screen
            if screen is not None and screen.is_mounted:
                screen.minute()
            self.refresh_frame()
