"""The environment in which the programs that are measured run."""

import os
from collections.abc import Mapping
from pathlib import Path


def environment(work: Path) -> Mapping[str, str]:
    """As people have it: our own state, a colour terminal, and Python keeping what it has compiled.

    Where a machine that tests tells Python not to, every start would compile our modules again, and not
    those of the toolkit, which were compiled when they were installed.
    """
    return {
        **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
        "PYTHONPYCACHEPREFIX": str(work / "compiled"),
        "POURDECK_STATE": str(work / "state"),
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
    }
