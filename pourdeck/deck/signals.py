"""Told to stop from outside: the terminal was closed, the connection dropped, the system goes down."""

import contextlib
import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator
from typing import Any

from attrs import frozen

NAMES = ("SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT")
"""Signals that end the deck, where the system has them."""

GRACE_SECONDS = 1.5
"""So long the deck has to end in its own order before it is ended anyway."""

PUT_BACK = (
    "\x1b[?2004l\x1b[?7h\x1b[?2048l\x1b[?1000l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[<u\x1b[?1049l"
    "\x1b[?25h\x1b[?1004l"
)
"""Put a terminal back as the toolkit does when it leaves: paste, mouse, keys, screen, cursor, focus."""


def exit_code(number: int) -> int:
    """The code a program leaves with after a signal: 128 and its number, as shells have it."""
    return 128 + number


@frozen(eq=False, repr=False)
class Terminal:
    """The terminal as it was before the deck. `attributes` are None where there is none."""

    attributes: list[Any] | None

    @classmethod
    def now(cls) -> "Terminal":
        return cls(_attributes()[0])

    @property
    def gone(self) -> bool:
        """Whether there is no terminal any more: its other end was closed."""
        return _attributes()[1] == errno.EIO

    def put_back(self, words: bytes = b"") -> None:
        """Make it what it was, and say something; a terminal that takes nothing is not waited for."""
        if self.attributes is None or sys.__stderr__ is None or sys.__stdin__ is None:
            return
        import termios

        with contextlib.suppress(OSError, ValueError, termios.error):
            termios.tcsetattr(sys.__stdin__.fileno(), termios.TCSANOW, self.attributes)
        with contextlib.suppress(OSError, ValueError):
            out = sys.__stderr__.fileno()
            os.set_blocking(out, False)
            try:
                os.write(out, PUT_BACK.encode() + words)
            finally:
                os.set_blocking(out, True)


def _attributes() -> tuple[list[Any] | None, int | None]:
    """Read what the terminal is set to, or the error that it gives."""
    try:
        import termios

        assert sys.__stdin__ is not None
        return termios.tcgetattr(sys.__stdin__.fileno()), None
    except (ImportError, AssertionError, OSError, ValueError):
        return None, None
    except termios.error as error:
        return None, error.args[0] if error.args else None


def end_now(terminal: Terminal, code: int, words: bytes = b"") -> None:
    """End the process whatever it is waiting for: what is recorded is on disk, the kernel frees the lock."""
    terminal.put_back(words)
    os._exit(code)


def within_grace() -> None:
    """From now on the process has the grace to end in its own order; no thread is needed for it."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, GRACE_SECONDS)


@contextlib.contextmanager
def listening(stop: Callable[[int], None], over: Callable[[], None]) -> Iterator[None]:
    """Call `stop` with the number of each signal that ends the deck, and `over` when the grace is over.

    Where there is no way to listen (no main thread, or a system without such signals) nothing is done.
    """
    handlers: dict[str, Any] = dict.fromkeys(NAMES, lambda number, _: stop(number))
    handlers["SIGALRM"] = lambda *_: over()
    before: dict[int, Any] = {}
    for name, handler in handlers.items():
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(ValueError, OSError):
                before[number] = signal.signal(number, handler)
    try:
        yield
    finally:
        if hasattr(signal, "setitimer"):
            signal.setitimer(signal.ITIMER_REAL, 0)
        for number, handler in before.items():
            signal.signal(number, handler)
