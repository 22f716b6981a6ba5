"""Keys one after the other: what one did is done and shown before the next one goes on.

The toolkit hands each key to the widget that has the focus when it comes. Of figures typed faster than a
screen opens or an answer is taken, one then goes round by the screen, the next straight into the field:
7201 becomes 2701. So a key that comes too early waits.
"""

import asyncio
from collections import deque
from collections.abc import Iterator
from typing import Any

from textual import events
from textual.app import App
from textual.message_pump import MessagePump
from textual.screen import Screen

CALM = 4
"""So often in a row nobody has a message left."""

MOST_SECONDS = 2.0
"""No key waits longer: a deck that never comes to rest must still take Esc."""


class KeyLine:
    """A key is handed on when nobody has work left and all is painted."""

    def __init__(self, app: App[Any]) -> None:
        self._app = app
        self._waiting: deque[tuple[events.Key, float]] = deque()
        self._feeder: asyncio.Task[None] | None = None
        self._unpainted: Screen[Any] | None = None
        self._due: events.Key | None = None
        self._pressed = 0.0

    @property
    def busy(self) -> bool:
        """Whether a key is waiting, or what the last one did is not all shown."""
        return self._feeder is not None or not self._shown

    @property
    def _shown(self) -> bool:
        """Whether the screen was painted after the last key; another screen owes that one nothing."""
        return self._unpainted is None or self._app.screen is not self._unpainted

    def let_through(self, event: events.Event) -> float | None:
        """When a key was pressed that has waited and whose turn it is now; None for any other."""
        if event is not self._due or self._due is None:
            return None
        self._due = None
        return self._pressed

    def holds(self, event: events.Event, pressed: float) -> bool:
        """True for a key that has to wait; it comes again when it is its turn. `pressed`: when it came."""
        if not isinstance(event, events.Key):
            return False
        if self._feeder is None and self._shown and not self._working():
            return False
        self._waiting.append((event, pressed))
        if self._feeder is None:
            self._feeder = asyncio.create_task(self._feed())
        return True

    def passed(self) -> None:
        """A key was handed on: its work is done when the screen has been painted after it."""
        if self._app.is_running and self._app.screen_stack:
            self._unpainted = self._app.screen
            self._app.call_after_refresh(self._painted)

    def _painted(self) -> None:
        self._unpainted = None

    async def _feed(self) -> None:
        try:
            while self._waiting and self._app.is_running:
                await self._rest()
                self._due, self._pressed = self._waiting.popleft()
                # Through the app, so that it is handled as if it came now.
                self._app.post_message(self._due)
                while self._due is not None and self._app.is_running:
                    await asyncio.sleep(0)
        finally:
            self._feeder = None

    async def _rest(self) -> None:
        loop = asyncio.get_running_loop()
        until, calm = loop.time() + MOST_SECONDS, 0
        while calm < CALM and loop.time() < until:
            await asyncio.sleep(0 if self._shown else 0.001)
            calm = 0 if self._working() or not self._shown else calm + 1
        self._unpainted = None

    def _working(self) -> bool:
        """Whether any part of the deck has a message left."""
        return any(pump.message_queue_size for pump in self._pumps())

    def _pumps(self) -> Iterator[MessagePump]:
        for screen in self._app.screen_stack:
            yield from screen.walk_children(with_self=True)
