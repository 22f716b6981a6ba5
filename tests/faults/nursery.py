"""A program that has the code loaded and forks a recorder, quick to start, for each line that it reads.

A line is the mode, the job's folder and a word of the run, for a deck the terminal it runs in. The recorder's
number comes back first; then, from the recorder itself, a line for each act once it is said to be saved, and
`.` when it is gone.
"""

import os
import sys
import traceback
from collections.abc import Callable
from contextlib import redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

from pourdeck import cli
from pourdeck.commands import ascast  # noqa: F401 - loaded once, before anything is forked
from pourdeck.deck import app  # noqa: F401
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.records import Act

WHO, MEASURED = "Ada Reed", "width_base"


def say(text: str) -> None:
    os.write(1, f"{text}\n".encode())


def record_on_a_desk(folder: Path, run: str) -> None:
    """Note after note, each said once the desk has saved it."""
    desk = Desk.open(
        folder,
        station="shed",
        clock=lambda: datetime.now(UTC),
        state_folder=Path(os.environ["POURDECK_STATE"]),
        new_id=lambda: "7f3a" * 4,
    )
    if desk.read_only or desk.messages:
        say(f"not clean: {desk.messages}")
        return
    for number in range(100_000):
        act = acts.note(desk.walk("A", 1), None, f"{run}.{number}", WHO)
        assert isinstance(act, Act), act
        desk.record(act)
        say(f"{run}.{number}")


class _Said:
    """Standard output of a command: its first word is only printed once the act is saved."""

    encoding = "utf-8"

    def __init__(self, run: str) -> None:
        self._run = run

    def write(self, text: str) -> int:
        if self._run:
            say(self._run)
        self._run = ""
        return len(text)

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return False


def record_by_a_command(folder: Path, run: str) -> None:
    """`pourdeck ascast`, with the run as its reason."""
    # Another value each time: one that stands already is not recorded again.
    value = f"{MEASURED}={3000 + int(run.removeprefix('run')) % 50 / 10}"
    words = ["ascast", str(folder), "A", "1", value, "--by", WHO, "--reason", run]
    with redirect_stdout(_Said(run)):  # type: ignore[type-var]
        cli.main(words)


def run_a_deck(folder: Path, terminal: str) -> None:
    """`pourdeck open` in a terminal, as whoever leads its session."""
    os.login_tty(os.open(terminal, os.O_RDWR))
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        stream = open(number, "w" if number else "r", encoding="utf-8", closefd=False)  # noqa: SIM115
        setattr(sys, name, stream)
        setattr(sys, f"__{name}__", stream)
    cli.main(["open", str(folder)])


MODES: dict[str, Callable[[Path, str], None]] = {
    "desk": record_on_a_desk,
    "command": record_by_a_command,
    "deck": run_a_deck,
}


def main() -> None:
    for line in sys.stdin:
        mode, folder, run = line.rstrip("\n").split("\t")
        child = os.fork()
        if child == 0:
            told = os.dup(2)
            try:
                MODES[mode](Path(folder), run)
            except BaseException:
                os.write(told, traceback.format_exc().encode())
            finally:
                os._exit(0)
        say(str(child))
        os.waitpid(child, 0)
        say(".")


if __name__ == "__main__":
    main()
