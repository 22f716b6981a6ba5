"""Tell the person who gave a command what stopped it; keep the details of a fault of pourdeck itself."""

import errno
import os
import platform
import traceback
from datetime import UTC, datetime
from pathlib import Path

from pourdeck import __version__
from pourdeck.plan.messages import JobFaulty, JobUnreadable, with_place
from pourdeck.sitelog.logfile import NotSaved

MOST_SHOWN = 40

MOST_PLACES = 40
"""Places of one error that are kept, from its end: a recursion has a thousand."""

SAVED = "What was said to be saved is saved."
NO_THREAD = "can't start new thread"
NO_ROOM = ("failed to map segment", "cannot allocate memory")
"""List what the system says where a library cannot be loaded for want of memory."""


def trouble_text(error: Exception) -> tuple[str, str]:
    """Title and body for what a command raised; what nobody foresaw is a fault of pourdeck itself."""
    if isinstance(error, (JobUnreadable, NotSaved)):
        return f"{error.title[:1].lower()}{error.title[1:]}.", error.body
    if isinstance(error, JobFaulty):
        return faulty_text(error)
    return crash_text(error)


def faulty_text(error: JobFaulty) -> tuple[str, str]:
    """Every fault on a line of its own, up to a page of them."""
    number = len(error.findings)
    faults = "1 fault" if number == 1 else f"{number} faults"
    lines = [with_place(finding) for finding in error.findings[:MOST_SHOWN]]
    if number > MOST_SHOWN:
        lines.append(f"… and {number - MOST_SHOWN} more; `pourdeck check` lists them all.")
    return f"the job file has {faults}; put them right first.", "\n".join(lines)


def crash_text(error: Exception) -> tuple[str, str]:
    """Title and body. The details go to a file in the state folder, if one can be written."""
    kept = _keep(error)
    if out_of_memory(error):
        again = f"{SAVED} {kept}\nClose other programs, then start it again."
        return "this computer has no memory left for it.", again
    if isinstance(error, RecursionError):
        return "what was read is nested too deeply.", f"{SAVED} {kept}\nShow it to the office."
    kind = type(error).__name__
    return "something is wrong in pourdeck itself.", f"{kind}. {SAVED} {kept} Start it again."


def out_of_memory(error: BaseException) -> bool:
    """Whether the computer, or a limit set on the program, gave it no more memory."""
    said = str(error).lower()
    return (
        isinstance(error, MemoryError)
        or (isinstance(error, OSError) and error.errno == errno.ENOMEM)
        or (isinstance(error, RuntimeError) and said == NO_THREAD)
        or (isinstance(error, ImportError) and any(words in said for words in NO_ROOM))
    )


def _keep(error: Exception) -> str:
    """Keep what went wrong, and say where. Less can be done where memory or disk are full."""
    try:
        from pourdeck.commands.jobs import state_folder

        folder = state_folder() / "crashes"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}-{os.getpid()}.txt"
        path.write_text("\n".join(details(error)) + "\n", encoding="utf-8")
    except (OSError, MemoryError, ImportError):
        return "The details could not be kept."
    return f"The details are in {path}."


def details(error: BaseException) -> list[str]:
    """Versions, and of each error in the chain its type and the places it came through.

    No message and no value: either may hold a name or what somebody measured.
    """
    lines = [f"pourdeck {__version__}", f"Python {platform.python_version()}, {platform.system()}"]
    seen: set[int] = set()
    one: BaseException | None = error
    while one is not None and id(one) not in seen:
        seen.add(id(one))
        lines.append(type(one).__name__)
        places = traceback.StackSummary.extract(
            traceback.walk_tb(one.__traceback__), lookup_lines=False
        )
        lines += [
            f"  {_module(place.filename)}:{place.lineno} {place.name}"
            for place in places[-MOST_PLACES:]
        ]
        one = one.__cause__ or one.__context__
    return lines


def _module(filename: str) -> str:
    """A file of ours by its package, another by its last folder: those above may be named after somebody."""
    path, ours = Path(filename), Path(__file__).parents[2]
    return "/".join(path.relative_to(ours).parts if path.is_relative_to(ours) else path.parts[-2:])
