"""A promise of the log, and the cases that try to break it, each with a name by which it is tried again."""

import os
import shutil
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from attrs import frozen


@frozen(kw_only=True)
class Promise:
    """`name` is typed, `words` are read. `cases`: the names of all cases, or of those of a short run.

    `attempt` tries one case in an empty folder, and gives back how many tries it was. It raises where the
    promise is broken.
    """

    name: str
    words: str
    cases: Callable[[bool], Sequence[str]]
    attempt: Callable[[str, Path], int]


@frozen(kw_only=True)
class Kept:
    """Count how often a promise was tried, and the cases that broke it, each with the last line of why."""

    promise: Promise
    tries: int
    broken: tuple[tuple[str, str], ...]


def keep(promise: Promise, cases: Sequence[str], folder: Path) -> Kept:
    """Try each case of a promise in a folder of its own."""
    tries = 0
    broken: list[tuple[str, str]] = []
    for number, case in enumerate(cases):
        place = folder / f"{promise.name}-{number}"
        place.mkdir()
        try:
            tries += promise.attempt(case, place)
        except Exception as error:
            tries += 1
            lines = str(error).splitlines()
            broken.append((case, f"{type(error).__name__}: {lines[0] if lines else ''}"))
            if len(cases) == 1:
                traceback.print_exc(file=sys.stdout)
        shutil.rmtree(place, ignore_errors=True)
    return Kept(promise=promise, tries=tries, broken=tuple(broken))


@contextmanager
def workplace() -> Iterator[Path]:
    """Give a folder for many small files, in memory where the system has one: a disk takes most of the time.

    What programs keep outside the job is kept in it too.
    """
    memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    before = os.environ.get("POURDECK_STATE")
    with tempfile.TemporaryDirectory(prefix="pourdeck-faults-", dir=memory) as name:
        os.environ["POURDECK_STATE"] = str(Path(name, "state"))
        try:
            yield Path(name)
        finally:
            if before is None:
                del os.environ["POURDECK_STATE"]
            else:
                os.environ["POURDECK_STATE"] = before


def spread(count: int, full: bool, *, step: int) -> range:
    """Numbers from 0 on: all of them in full, else one in `step`, which has no factor in common with much."""
    return range(0, count, 1 if full else step)
