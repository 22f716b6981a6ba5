"""Keep in the test cache what takes long to make, by the digest of what made it.

The digest covers the core of the program, the helpers of the tests and whatever the caller names, so that
nothing is taken from the cache after a line of any of them has changed. Only what the newest sources made
stays. Without a cache (`-p no:cacheprovider`) a folder of this run is used.
"""

import hashlib
import json
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parent
CORE = TESTS.parent / "pourdeck"
SCREENS = frozenset({"deck", "paper", "commands"})
"""Name the packages of what people see: no log rests on them."""

STAYS = 3
"""So many digests of sources keep their folder: a change and what it is compared with."""


@cache
def _folder_of_run() -> Path:
    return Path(tempfile.mkdtemp(prefix="pourdeck-kept-"))


_folder: Path | None = None


def use(folder: Path | None) -> None:
    """Keep things under `folder` from now on; None: only for this run."""
    global _folder
    _folder = folder


def _sources() -> list[Path]:
    core = [
        path
        for path in CORE.rglob("*")
        if path.suffix in (".py", ".toml") and path.relative_to(CORE).parts[0] not in SCREENS
    ]
    helpers = [path for path in TESTS.rglob("*.py") if not path.name.startswith("test_")]
    return sorted(core) + sorted(helpers)


@cache
def sources_digest() -> str:
    """Digest of the sources that logs are made by, and of the Python they are made with."""
    found = hashlib.sha256(sys.version.encode())
    for path in _sources():
        found.update(str(path.relative_to(TESTS.parent)).encode())
        found.update(path.read_bytes())
    return found.hexdigest()[:16]


@cache
def _home() -> Path:
    base = _folder or _folder_of_run()
    home = base / sources_digest()
    home.mkdir(parents=True, exist_ok=True)
    os.utime(home)
    older = sorted(base.iterdir(), key=lambda one: one.stat().st_mtime, reverse=True)
    for folder in older[STAYS:]:
        shutil.rmtree(folder, ignore_errors=True)
    return home


def kept(key: object, make: Callable[[], Any]) -> Any:
    """Give what `make` returned for this key, now or in an earlier run. It and the key are plain JSON."""
    name = hashlib.sha256(json.dumps(key, sort_keys=True).encode()).hexdigest()[:32]
    path = _home() / f"{name}.json"
    try:
        return json.loads(path.read_bytes())
    except FileNotFoundError:
        found = make()
    # Another process may make the same: each writes a file of its own, and the last one stays.
    written = path.with_suffix(f".{os.getpid()}")
    written.write_text(json.dumps(found), encoding="utf-8")
    written.replace(path)
    return found
