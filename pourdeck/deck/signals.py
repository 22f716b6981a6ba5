"""Told to stop from outside: the terminal was closed, the connection dropped, the system goes down."""

import contextlib
import errno
import os
import signal
import sys
import threading
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
"""What the toolkit writes when it leaves a terminal: paste, mouse, keys, screen, cursor, focus."""


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

    def put_back(self) -> None:
        """Make it what it was, without waiting for a terminal that takes nothing."""
        if self.attributes is None or sys.__stderr__ is None or sys.__stdin__ is None:
            return
        import termios

        with contextlib.suppress(OSError, ValueError, termios.error):
            termios.tcsetattr(sys.__stdin__.fileno(), termios.TCSANOW, self.attributes)
        with contextlib.suppress(OSError, ValueError):
            out = sys.__stderr__.fileno()
            os.set_blocking(out, False)
            try:
                os.write(out, PUT_BACK.encode())
            finally:
                os.set_blocking(out, True)


def _attributes() -> tuple[list[Any] | None, int | None]:
    """What the terminal is set to, or the error that it gives."""
    try:
        import termios

        assert sys.__stdin__ is not None
        return termios.tcgetattr(sys.__stdin__.fileno()), None
    except (ImportError, AssertionError, OSError, ValueError):
        return None, None
    except termios.error as error:
        return None, error.args[0] if error.args else None


def end_now(terminal: Terminal, code: int) -> None:
    """End the process whatever it is waiting for: what is recorded is on disk, the kernel frees the lock."""
    terminal.put_back()
    os._exit(code)


def end_soon(terminal: Terminal, code: int) -> None:
    """End the process after the grace; at once where its terminal is gone.

    A terminal that was closed is followed by a signal to go on, and between the two the toolkit can wait
    for ever for a terminal that is not there.
    """
    if terminal.gone:
        os._exit(code)
    last = threading.Timer(GRACE_SECONDS, end_now, (terminal, code))
    last.daemon = True
    last.start()


@contextlib.contextmanager
def listening(stop: Callable[[int], None]) -> Iterator[None]:
    """Call `stop` with the number of each signal that ends the deck, at any moment inside.

    Where there is no way to listen (no main thread, or a system without such signals) nothing is done.
    """
    before: dict[int, Any] = {}
    for name in NAMES:
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(ValueError, OSError):
                before[number] = signal.signal(number, lambda number, _: stop(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
