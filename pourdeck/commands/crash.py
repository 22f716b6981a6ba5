"""A fault of pourdeck itself: what a person is told, and where the details are kept."""

import traceback
from datetime import UTC, datetime

from pourdeck import __version__


def crash_text(error: Exception) -> tuple[str, str]:
    """Title and body. The details go to a file in the state folder, if one can be written."""
    from pourdeck.commands.jobs import state_folder

    what = f"{type(error).__name__}: {error}".splitlines()[0][:200]
    kept = "The details could not be kept."
    try:
        folder = state_folder() / "crashes"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}.txt"
        details = "".join(traceback.format_exception(error))
        path.write_text(f"pourdeck {__version__}\n{details}", encoding="utf-8")
        kept = f"The details are in {path}."
    except OSError:
        pass
    return (
        "something is wrong in pourdeck itself.",
        f"{what}\nWhat was said to be saved is saved. {kept} Start it again.",
    )
