"""Told to stop from outside: the terminal was closed, the connection dropped, the system goes down."""

import asyncio
import contextlib
import errno
import os
import signal
import sys
import threading
from collections.abc import Callable

_NAMES = ("SIGTERM", "SIGHUP")


GRACE_SECONDS = 1.5
"""So long a terminal has to be put back before the program is gone anyway."""


def terminal_gone() -> bool:
    """Whether there is no terminal any more that could be put back."""
    try:
        import termios
    except ImportError:
        return False
    if sys.__stdin__ is None:
        return True
    try:
        termios.tcgetattr(sys.__stdin__.fileno())
    except termios.error as error:
        return bool(error.args and error.args[0] == errno.EIO)
    except (OSError, ValueError):
        return False
    return False


def be_gone(number: int) -> None:
    """End the process after the grace, whatever it is waiting for; at once where its terminal is gone.

    A terminal that was closed is followed by a signal to go on, and between the two the toolkit can wait
    for ever for a terminal that is not there. What is recorded is on disk, and the kernel frees the lock.
    """
    if terminal_gone():
        os._exit(exit_code(number))
    last = threading.Timer(GRACE_SECONDS, os._exit, (exit_code(number),))
    last.daemon = True
    last.start()


def exit_code(number: int) -> int:
    """The code a program leaves with after a signal: 128 and its number, as shells have it."""
    return 128 + number


def listen(loop: asyncio.AbstractEventLoop, stop: Callable[[int], None]) -> Callable[[], None]:
    """Call `stop` with the number of a signal; the result puts everything back.

    Where there is no way to listen (no main thread, or a system without such signals) nothing is done.
    """
    heard: list[signal.Signals] = []
    for name in _NAMES:
        number = getattr(signal, name, None)
        if number is None:
            continue
        with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
            loop.add_signal_handler(number, stop, int(number))
            heard.append(number)

    def put_back() -> None:
        for number in heard:
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.remove_signal_handler(number)

    return put_back
