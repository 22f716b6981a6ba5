"""Hold what a command did, and compare a document with what is promised of it."""

import json
from collections.abc import Callable
from pathlib import Path
from types import UnionType
from typing import Any

from attrs import frozen

from tests.walk.kit import on_second

READING: dict[str, tuple[str, ...]] = {
    "check": (),
    "board": (),
    "setout": ("A", "2"),
    "shrink": ("A", "2", "--width", "2900"),
    "strength": ("A", "1", "--at", "2026-03-05T07:00"),
    "lifting": ("A", "2"),
    "log": (),
}
"""Commands that only read, and what they need besides the job of `tests.walk.kit`."""

WRITING: dict[str, tuple[str, ...]] = {
    "shrink": ("A", "2", "--width", "2900", "--apply", "--by", "Ada Reed", "--reason", "rev D"),
    "ascast": ("A", "1", "width_base=3001", "--by", "Ben Cole", "--reason", "taped again"),
}
"""Commands that record something of that job once its first panel is cast."""


@frozen(kw_only=True)
class Done:
    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        """The one JSON document that standard output holds. Raises ValueError for anything else."""
        assert self.out.endswith("\n")
        return json.loads(self.out)


Command = Callable[..., Done]


def one_panel_cast(folder: Path) -> Path:
    """The job of `tests.walk.kit`, its first panel cast, its log closed again."""
    crew = on_second(folder)
    crew.desk.close()
    return folder / "job"


def log_of(folder: Path) -> bytes:
    return (folder / "log" / "shed.jsonl").read_bytes()


def misses(found: Any, promised: Any, place: str = "") -> list[str]:
    """Where a document is not what is promised: each key with its type, lists value by value."""
    if isinstance(promised, dict):
        if not isinstance(found, dict):
            return [f"{place}: {found!r} is no table"]
        lost = [f"{place}.{key}: missing" for key in promised if key not in found]
        return lost + [
            miss
            for key, kind in promised.items()
            if key in found
            for miss in misses(found[key], kind, f"{place}.{key}")
        ]
    if isinstance(promised, list):
        if not isinstance(found, list):
            return [f"{place}: {found!r} is no list"]
        return [
            miss
            for n, one in enumerate(found)
            for miss in misses(one, promised[0], f"{place}[{n}]")
        ]
    return [] if _is(found, promised) else [f"{place}: {found!r} is no {promised}"]


def _is(found: Any, kind: type | UnionType) -> bool:
    if isinstance(found, bool):
        return kind is bool
    return isinstance(found, kind)
