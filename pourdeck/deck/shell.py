"""The app below the desk: looks, what comes back after a kill, keys before any widget has them, signals."""

import asyncio
import os
import threading
from collections.abc import Callable
from time import time
from typing import Any, Literal, Protocol, runtime_checkable

from attrs import asdict, evolve, fields, frozen
from textual import events
from textual.app import App
from textual.message import Message
from textual.screen import Screen
from textual.theme import Theme
from textual.timer import Timer
from textual.worker import WorkerFailed

from pourdeck.deck.paint import DAYLIGHT, LOOKS, PLAIN, SHED, Look, textual_theme
from pourdeck.deck.signals import Terminal, end_now, exit_code, listening, within_grace
from pourdeck.deck.widgets.frame import Banner, Said, too_small

# What must come back after a kill but is not yet recorded: the place on screen and half-typed text.

# Where the crew is: which screen, stack, panel and item, and who is signed in.


@frozen(kw_only=True, repr=False)
class Here:
    """`panel` counts from 1 on the bed. `item` is the key of an item of the walk. `drift`: the screens, with
    a space between them, that show the drift of the stack in place of their own picture. `by_at` is when the
    person signed in, RFC 3339.
    """

    screen: str = "board"
    stack: str | None = None
    panel: int | None = None
    item: str | None = None
    by: str | None = None
    by_at: str | None = None
    look: str | None = None
    drift: str | None = None

    def drifting(self, screen: str) -> bool:
        return screen in (self.drift or "").split()

    def turned(self, screen: str) -> str:
        """Give `drift` with one screen the other way round."""
        shown = set((self.drift or "").split()) ^ {screen}
        return " ".join(sorted(shown))


# What must come back after a kill but is not yet recorded: the place on screen and half-typed text.

MOST_TEXTS = 200
MOST_CHARACTERS = 4000


class Store(Protocol):
    """Where it is kept: one draft of JSON values. `message` says what went wrong last, if anything."""

    message: str | None

    def load(self) -> dict[str, Any]: ...

    def save(self, draft: dict[str, Any]) -> bool: ...


class Kept:
    """The place and the half-typed texts; without a store they live in memory only.

    Nothing is written before `flush`; `changed` says that there is something to write. What a store gives
    back is only a hint: whatever in it has not the right shape is passed over.
    """

    def __init__(self, store: Store | None = None, *, write: bool = True) -> None:
        """`write` False: what the store holds is another's, and is only read."""
        self._store = store
        self._write = write
        self.here = Here()
        self.texts: dict[str, str] = {}
        self.changed = False
        if store is not None:
            self._read(store.load())

    @property
    def message(self) -> str | None:
        return self._store.message if self._store else None

    def go(self, **changes: Any) -> Here:
        """Keep a new place."""
        here = evolve(self.here, **changes)
        if here != self.here:
            self.here = here
            self.changed = True
        return here

    def keep(self, key: str, text: str) -> None:
        """Keep a half-typed text under a key; an empty one is dropped."""
        text = text[:MOST_CHARACTERS]
        if self.texts.get(key, "") == text:
            return
        self.texts.pop(key, None)
        if text:
            self.texts[key] = text
            while len(self.texts) > MOST_TEXTS:
                del self.texts[next(iter(self.texts))]
        self.changed = True

    def text(self, key: str) -> str:
        """The half-typed text kept under a key, or an empty one."""
        return self.texts.get(key, "")

    def flush(self) -> bool:
        """Write what changed. False where that was not possible: the next flush tries again."""
        if self._store is None or not self._write or not self.changed:
            return True
        done = self._store.save({"here": asdict(self.here), "texts": self.texts})
        self.changed = not done
        return done

    def _read(self, draft: dict[str, Any]) -> None:
        here = draft.get("here")
        if isinstance(here, dict):
            self.here = _here(here)
        texts = draft.get("texts")
        if isinstance(texts, dict):
            self.texts = {
                key: text[:MOST_CHARACTERS]
                for key, text in list(texts.items())[-MOST_TEXTS:]
                if isinstance(text, str)
            }


def _here(data: dict[str, Any]) -> Here:
    kept: dict[str, Any] = {}
    for one in fields(Here):
        value = data.get(one.name)
        if type(value) is int if one.name == "panel" else isinstance(value, str):
            kept[one.name] = value
    return Here(**kept)


# The app below the desk: looks, half-typed text, keys before any widget has them, signals from outside.

CALM = 4
"""So often in a row no part of a screen has a message left: what the last key did is done."""

MOST_SECONDS = 2.0
"""No key waits longer: a deck that never comes to rest must still take Esc."""

# Keys and clicks before any widget has them: what must not go further, and why.

IDLE_SECONDS = 600
"""After so long without a key the next one only wakes the deck."""

BOUNCE_SECONDS = 0.25
"""So long after an entry Enter and Space do nothing: the key has bounced."""

Verdict = Literal["pass", "wake", "drop"]

LEAVE_KEYS = frozenset({"ctrl+q", "f10"})
"""List the keys that work always: leaving loses nothing."""


class Watch:
    """`monotonic` gives seconds that only go forward."""

    def __init__(self, monotonic: Callable[[], float]) -> None:
        self._monotonic = monotonic
        self._heard = monotonic()
        self._saved = float("-inf")
        self._drop_release = False

    def saved(self) -> None:
        """An entry was just written."""
        self._saved = self._monotonic()

    def judge(self, event: events.Event, now: float, *, cramped: bool) -> Verdict:
        """`wake`: it ended a pause and does nothing else. `now`: when it was pressed.

        `cramped`: the window is too small to see by.
        """
        if isinstance(event, events.MouseUp) and self._drop_release:
            # A press that went nowhere must not end as a click.
            self._drop_release = False
            return "drop"
        if not isinstance(event, (events.Key, events.MouseDown, events.Paste)):
            return "pass"
        idle, self._heard = now - self._heard, max(now, self._heard)
        verdict = self._judge(event, idle, now, cramped)
        if verdict != "pass" and isinstance(event, events.MouseDown):
            self._drop_release = True
        return verdict

    def _judge(self, event: events.Event, idle: float, now: float, cramped: bool) -> Verdict:
        key = event.key if isinstance(event, events.Key) else ""
        if key in LEAVE_KEYS:
            return "pass"
        if idle > IDLE_SECONDS:
            return "wake"
        if cramped:
            return "drop"
        bounced = key in ("enter", "space") and 0 <= now - self._saved < BOUNCE_SECONDS
        return "drop" if bounced else "pass"


# The app below the desk: looks, half-typed text, keys before any widget has them, signals from outside.

FAULT_CODE = 2
"""The exit code after a fault of pourdeck itself, as of the commands."""

FAULT_WORDS = b"""pourdeck: something is wrong in pourdeck itself.
What was said to be saved is saved. Start it again.
"""

HANGUP = 1
"""The signal of a terminal that was closed, also where nobody sends it."""

THEMES = {name: textual_theme(look) for name, look in LOOKS.items()}

DRAFT_SECONDS = 1.0
"""So long after the last key what is half typed is on disk."""

MINUTE = 60.0
AFTER = 0.2
"""So much after the minute: no clock is read a hair before it."""


def _place(here: Here) -> tuple[object, ...]:
    return here.screen, here.stack, here.panel, here.item


class Front(Screen[None]):
    """A screen of the deck, whatever dialog stands over it, as far as the app knows it."""

    def refresh_all(self) -> None:
        """Body, first line, counts and bar, from what stands now."""

    def refresh_frame(self) -> None:
        """First line, counts, bar and banner."""

    def minute(self) -> None:
        """A minute has passed: what counts on the screen is another number. Nothing else is painted."""


@runtime_checkable
class Typed(Protocol):
    """A screen with a field that keys go to, wherever its focus is."""

    def type_key(self, event: events.Key) -> bool:
        """Give a key to the field in hand; False where it is not for it."""
        ...


@runtime_checkable
class Handled(Protocol):
    """A screen that has something on it for the mouse only."""

    def hand_changed(self) -> None: ...


class Shell(App[None]):
    """`kept` is what comes back at the next start; `monotonic` gives seconds that only go forward.

    `by_mouse`: the mouse was used last, and not a key. `typing`: a key is being taken now. `fault`: what
    nobody foresaw, and ended it.
    """

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
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

    def __init__(
        self, kept: Kept, look: str | None, ascii_only: bool, monotonic: Callable[[], float]
    ) -> None:
        self.kept = kept
        self.said = Said("note", "")
        self.ascii_only = ascii_only
        self.monotonic = monotonic
        self._watch = Watch(monotonic)
        self.typing = False
        self._unpainted: Screen[Any] | None = None
        self.by_mouse = False
        self._deaf_until = float("-inf")
        self._draft_timer: Timer | None = None
        self.fault: Exception | None = None
        self._terminal = Terminal(None)
        self._stop_code: int | None = None
        no_color = bool(os.environ.get("NO_COLOR"))
        self.look = self._look(PLAIN.name if no_color else look or kept.here.look)
        # Before the toolkit has begun: it then reads its style sheets once, and not once for each theme.
        self.set_reactive(App.theme, self.look.name)
        super().__init__(ansi_color=True if no_color else None)
        if not no_color and self.no_color:
            # An empty NO_COLOR asks for nothing (no-color.org); the toolkit would turn all to grey.
            self.no_color = False
            self._filters = self._filters[:1]

    def _look(self, name: str | None) -> Look:
        return evolve(LOOKS.get(name or SHED.name, SHED), ascii_only=self.ascii_only)

    @property
    def available_themes(self) -> dict[str, Theme]:
        """Our looks, and none of the toolkit's own."""
        return THEMES

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The names our style sheets use, also while a theme of the toolkit's own is set."""
        return self.look.variables()

    # Place, person and half-typed text.

    @property
    def here(self) -> Here:
        """Which screen, stack, panel and item is in hand."""
        return self.kept.here

    @property
    def by(self) -> str | None:
        """Who is signed in: the name that goes with what is recorded."""
        return self.kept.here.by

    def keep(self, **changes: Any) -> None:
        """Keep a part of the place: it is on disk a second later.

        What was refused or told at another place is not said on; what was saved is.
        """
        before = self.here
        after = self.kept.go(**changes)
        moved = _place(before) != _place(after) and (before.item or before.screen != after.screen)
        if moved and self.said.title and self.said.kind != "saved":
            self.said = Said("note", "")
        self._draft_later()

    def keep_text(self, key: str, text: str) -> None:
        """Keep what is half typed under a key: it is on disk a second after the last one."""
        self.kept.keep(key, text)
        self._draft_later()

    def drop_texts(self, draft: str) -> None:
        """Drop all texts of a form: what was typed in it is recorded, or not wanted any more."""
        for key in [key for key in self.kept.texts if key.startswith(f"{draft}.")]:
            self.keep_text(key, "")

    def _draft_later(self) -> None:
        if self.kept.changed and self._draft_timer is None and self.is_running:
            self._draft_timer = self.set_timer(DRAFT_SECONDS, self._flush_draft)

    def _flush_draft(self) -> None:
        self._draft_timer = None
        if not self.kept.flush():
            # Room may come back before the next key.
            self._draft_later()
            if self.kept.message and self.said.kind != "refused":
                self.say(Said("refused", self.kept.message))

    # Words.

    def say(self, what: Said) -> None:
        """Say something in the line at the bottom, on this screen and the next."""
        self.said = what
        self.refresh_frame()

    @property
    def deck_screen(self) -> Front | None:
        """The screen of the deck that is open, whatever dialog stands over it."""
        return next((one for one in reversed(self.screen_stack) if isinstance(one, Front)), None)

    def refresh_screen(self) -> None:
        """Show what stands now on the screen that is open."""
        screen = self.deck_screen
        if screen is not None and screen.is_mounted:
            screen.refresh_all()

    def refresh_frame(self) -> None:
        """Show what stands now in all but the body: first line, counts, bar and the last message."""
        screen = self.deck_screen
        if screen is not None and screen.is_mounted:
            screen.refresh_frame()

    def repaint(self) -> None:
        """Paint every widget anew with the next paint: at the start, where the toolkit throws its first
        paint away; and in another look, where it paints only what it knows to have changed.
        """
        for screen in self.screen_stack:
            for widget in screen.walk_children():
                widget.refresh()

    # Life.

    def run(self, **settings: Any) -> None:
        """Run in the terminal until it is left or told to stop.

        Raises what nobody foresaw, once the terminal is put back and what is half typed is on disk.
        """
        self._terminal = Terminal.now()
        threading.excepthook = self._thread_failed
        with listening(self._stopped, self._over):
            try:
                super().run(**settings)
            except Exception as error:
                self.fault = self.fault or error
            finally:
                self.kept.flush()
                threading.excepthook = threading.__excepthook__
            if self._stop_code is not None:
                self._return_code = self._stop_code
            elif self.fault is not None:
                self._terminal.put_back()
                raise self.fault

    def on_mount(self) -> None:
        asyncio.get_running_loop().set_exception_handler(self._task_failed)
        self._next_minute()

    def _next_minute(self) -> None:
        """As the clock of the computer turns to it, wherever it was set meanwhile."""
        self.set_timer(MINUTE - time() % MINUTE + AFTER, self._minute)

    def _minute(self) -> None:
        self._next_minute()
        self.tick()

    def tick(self) -> None:
        """Once a minute, so that the time shown is the time."""
        self.refresh_frame()

    def _stopped(self, number: int) -> None:
        """End in order where it runs; at once where it does not yet, not any more, or is told twice."""
        code, twice = exit_code(number), self._stop_code is not None
        self._stop_code = code
        self.kept.flush()
        if self._driver is None:
            os._exit(code)
        if self._terminal.gone:
            # One that was closed can make the toolkit wait for ever.
            os._exit(code)
        if twice or self._loop is None or not self._running:
            end_now(self._terminal, code)
        within_grace()
        assert self._loop is not None
        self._loop.call_soon_threadsafe(lambda: self.exit(return_code=code))

    def _over(self) -> None:
        """The toolkit did not come to an end in time."""
        self.kept.flush()
        if self._stop_code is not None:
            end_now(self._terminal, self._stop_code)
        end_now(self._terminal, FAULT_CODE, FAULT_WORDS)

    def look_for_terminal(self) -> None:
        """Nobody need say that the terminal is gone: without one there is nothing to wait for."""
        if self._terminal.gone:
            self._stopped(HANGUP)

    def on_unmount(self) -> None:
        self.kept.flush()

    # What nobody foresaw: the deck ends, and who started it says so. The toolkit would print all that
    # every function held.

    def _handle_exception(self, error: Exception) -> None:
        cause = error.error if isinstance(error, WorkerFailed) else error
        self.fault = self.fault or (cause if isinstance(cause, Exception) else error)
        if self._terminal.attributes is not None:
            within_grace()
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        self._close_messages_no_wait()

    def panic(self, *renderables: object) -> None:
        self.look_for_terminal()
        self.fault = self.fault or RuntimeError("the terminal cannot be read")
        self._close_messages_no_wait()

    def _thread_failed(self, failed: Any) -> None:
        """A thread ended by an error, such as the one that writes to the terminal."""
        if self._loop is not None and isinstance(failed.exc_value, Exception):
            self._loop.call_soon_threadsafe(self.panic)

    def _task_failed(self, _: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        if isinstance(error := context.get("exception"), Exception):
            self._handle_exception(error)

    def woke(self) -> Said:
        """Say after a pause that the key which ended it did nothing else."""
        return Said("note", "Awake again, that key did nothing else")

    def post_message(self, message: Message) -> bool:
        if isinstance(message, events.Key) and not message.is_forwarded:
            # When it was pressed: it is taken once what the key before it did is done.
            message.time = self.monotonic()
        return super().post_message(message)

    async def on_event(self, event: events.Event) -> None:
        """Keys and the mouse go through the watch before any widget has them, keys one after the other."""
        if not isinstance(event, events.InputEvent) or event.is_forwarded:
            await super().on_event(event)
            return
        typed = isinstance(event, events.Key)
        pressed = event.time if typed else self.monotonic()
        verdict = self._watch.judge(event, pressed, cramped=too_small(*self.size))
        if verdict == "wake":
            self.say(self.woke())
        if verdict != "pass":
            return
        self.typing = typed
        try:
            if isinstance(event, events.Key):
                await self._done_with_last_key()
            if self._too_early(event, pressed):
                return
            said = self.said
            if not (isinstance(event, events.Key) and await self._press(event)):
                await super().on_event(event)
            if isinstance(event, (events.Key, events.MouseUp)):
                self.call_later(self._take_in_hand, not typed)
                self.call_later(self._fold, said, getattr(event, "y", -1))
        finally:
            self.typing = False

    async def _press(self, event: events.Key) -> bool:
        """Give a key to the field in hand, wherever the focus is, else to what it is bound to.

        The toolkit would hand it from widget to widget, while the key after it goes straight into a field: of
        figures typed fast 7201 becomes 2701. False: nobody has a use for it.
        """
        with self.batch_update():
            # All that it changes is laid out together: every part of the screen says so for itself.
            done = await self._take(event)
            await asyncio.sleep(0)
        if done and self.is_running and self.screen_stack:
            self._unpainted = self.screen
            self._unpainted.call_after_refresh(self._painted)
        return done

    async def _take(self, event: events.Key) -> bool:
        screen = self.screen
        if isinstance(screen, Typed) and screen.type_key(event):
            return True
        bound = screen.active_bindings.get(event.key)
        return bound is not None and await self.run_action(bound.binding.action, bound.node)

    def _painted(self) -> None:
        self._unpainted = None

    @property
    def _behind(self) -> bool:
        """Whether what the last key did is not all shown; another screen owes that key nothing."""
        if self._unpainted is self.screen or not self.screen.is_mounted:
            return True
        return any(
            part.message_queue_size
            for screen in self.screen_stack
            for part in screen.walk_children(with_self=True)
        )

    async def _done_with_last_key(self) -> None:
        """Wait until it is: a screen may still be opening, or an answer on its way to the log."""
        if not self._behind:
            return
        loop = asyncio.get_running_loop()
        until, calm = loop.time() + MOST_SECONDS, 0
        while calm < CALM and loop.time() < until and self.is_running:
            await asyncio.sleep(0.001 if self._unpainted is self.screen else 0)
            calm = 0 if self._behind else calm + 1
        self._unpainted = None

    def deafen(self, seconds: float) -> None:
        """Take no key and no click for so long: they were meant for what was on screen before."""
        self._deaf_until = self.monotonic() + seconds

    def _too_early(self, event: events.InputEvent, pressed: float) -> bool:
        """Whether a key or a click came before people could see what it would go to; the dialog says so."""
        if pressed >= self._deaf_until or isinstance(event, events.MouseMove):
            return False
        tell: Any = getattr(self.screen, "tell", None)
        if tell is not None:
            tell("A key or a click came before this was open: it did nothing.")
        return True

    def _take_in_hand(self, mouse: bool) -> None:
        """After the key or the click has done its work, so that nothing moves from under it."""
        if mouse != self.by_mouse:
            self.by_mouse = mouse
            if isinstance(self.screen, Handled):
                self.screen.hand_changed()

    def _fold(self, said: Said, row: int) -> None:
        """Fold what was said before this key or click: it has been read, and must not cover the work."""
        screen = self.deck_screen
        if self.said is said and screen is not None and screen.is_mounted:
            banner = screen.query_one(Banner)
            if not banner.region.y <= row < banner.region.bottom:
                banner.fold()

    def action_look(self) -> None:
        """Dark to daylight and back."""
        if self.look.ground is None:
            self.say(Said("note", "No colours: NO_COLOR is set"))
            return
        self.look = self._look(DAYLIGHT.name if self.look.name == SHED.name else SHED.name)
        self.keep(look=self.look.name)
        self.theme = self.look.name
        self.repaint()
        self.say(Said("note", f"Look: {self.look.title}"))
