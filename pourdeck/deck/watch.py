"""Keys and clicks before any widget has them: what must not go further, and why."""

from collections.abc import Callable
from typing import Literal

from textual import events

IDLE_SECONDS = 600
"""After so long without a key the next one only wakes the deck."""

BOUNCE_SECONDS = 0.25
"""So long after an entry Enter and Space do nothing: the key has bounced."""

Verdict = Literal["pass", "wake", "drop"]

LEAVE_KEYS = frozenset({"ctrl+q", "f10"})
"""What works always: leaving loses nothing."""


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

    def judge(self, event: events.Event, *, cramped: bool) -> Verdict:
        """`wake`: it ended a pause and does nothing else. `cramped`: the window is too small to see by."""
        if isinstance(event, events.MouseUp) and self._drop_release:
            # A press that went nowhere must not end as a click.
            self._drop_release = False
            return "drop"
        if not isinstance(event, (events.Key, events.MouseDown, events.Paste)):
            return "pass"
        now = self._monotonic()
        idle, self._heard = now - self._heard, now
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
        bounced = key in ("enter", "space") and now - self._saved < BOUNCE_SECONDS
        return "drop" if bounced else "pass"
