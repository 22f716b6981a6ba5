"""`open`: the deck on a job; alone, on the job of this folder."""

import gc
import os
import sys
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import open_backups, open_job, state_folder, station
from pourdeck.commands.outcome import DONE, CannotDoError

if TYPE_CHECKING:
    from pourdeck.deck.app import DeckApp
    from pourdeck.walk.desk import Desk

PLAN = "job.toml"

OBJECTS = 50_000
"""So many new objects make it worth looking for garbage among them."""


def run(arguments: Namespace) -> int:
    """Open the deck, and come back when the crew leaves it."""
    folder = Path(arguments.job) if arguments.job else job_here(Path.cwd())
    return open_deck(folder, station(arguments), ascii_only=arguments.ascii)


def job_here(folder: Path) -> Path:
    """The job of a folder: itself, or the only one in its `jobs`."""
    if (folder / PLAN).is_file():
        return folder
    found = sorted(path.parent for path in (folder / "jobs").glob(f"*/{PLAN}"))
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(f"jobs/{path.name}" for path in found)
        raise CannotDoError("which job?", f"There are {names}. Say: pourdeck open JOB.")
    raise CannotDoError(
        "there is no job here.",
        "Say: pourdeck open JOB, with the folder that holds job.toml; or try: pourdeck demo.",
    )


def open_deck(folder: Path, station_name: str, *, ascii_only: bool = False) -> int:
    """Run the deck. Raises CannotDoError where there is no terminal to run it in.

    `ascii_only` draws with signs that every terminal has; so does a terminal that cannot take others.
    """
    if not has_terminal():
        raise CannotDoError(
            "the deck needs a terminal.", "Every other command prints; see pourdeck --help."
        )
    with _nothing_thrown_away():
        desk, app = _load(folder, station_name, ascii_only or not _takes_signs())
    try:
        app.run(mouse=os.environ.get("POURDECK_MOUSE", "1") != "0")
        if app.return_code:
            return int(app.return_code)
    finally:
        desk.close()
    return DONE


def _load(folder: Path, station_name: str, ascii_only: bool) -> "tuple[Desk, DeckApp]":
    from pourdeck.deck.app import DeckApp
    from pourdeck.sitelog.disk import Drafts

    desk = open_job(folder, station_name, read_only=False)
    _complete_records(desk)
    try:
        drafts = Drafts(state_folder(), desk.plan.folder)
        backups = open_backups(desk.plan.folder)
        return desk, DeckApp(desk, drafts, ascii_only=ascii_only, backups=backups)
    except BaseException:
        desk.close()
        raise


def _complete_records(desk: "Desk") -> None:
    """Records that were deleted are built again; one that cannot be written stops nobody's work."""
    finished = sum(record.closed is not None for record in desk.state.panels.values())
    there = sum(1 for _ in (desk.plan.folder / "record").glob("*.toml"))
    if there < finished and not desk.read_only:
        from pourdeck.paper.record_files import build_records

        with suppress(OSError):
            build_records(desk, missing_only=True)


@contextmanager
def _nothing_thrown_away() -> Iterator[None]:
    """All that is loaded at the start stays: to look it through for garbage takes longer than a key may.

    What comes later is looked through when there is enough of it: a screen has tens of thousands of objects.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.set_threshold(OBJECTS)
        gc.enable()


def _takes_signs() -> bool:
    """True where what is printed can hold a line of a box: not in an old code page, nor in C."""
    try:
        "─■✓".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def has_terminal() -> bool:
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))
