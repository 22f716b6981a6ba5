"""Count what one answer costs from Enter to the screen: modules of ours that run, texts read, repaints.

Nothing is timed: these are counts, the same on every machine.
"""

import asyncio
import sys
from collections import Counter
from collections.abc import Awaitable, Callable
from pathlib import Path
from types import FrameType
from typing import Any

from attrs import field, frozen
from textual._compositor import Compositor

from pourdeck.deck.app import DeckApp
from pourdeck.plan.amounts import parse_amount
from pourdeck.plan.lengths import parse_length, parse_rl
from pourdeck.walk.clock import read_time
from tests.bench.table import Row
from tests.deck import driver
from tests.deck.kit import Ticks
from tests.deck.walk_kit import crew_at
from tests.walk import pour_kit
from tests.walk.kit import FOREMAN, Crew

PARSERS = frozenset(one.__code__ for one in (parse_amount, parse_length, parse_rl, read_time))
MOST_MODULES = 40
ITEM = "forms.from-line/base"


@frozen(kw_only=True)
class Counts:
    """Count what ran between two moments."""

    modules: set[str] = field(factory=set)
    done: Counter[str] = field(factory=Counter)

    def watch(self, frame: FrameType, event: str, _: Any) -> None:
        if event != "call":
            return
        name = frame.f_globals.get("__name__", "")
        if name.startswith("pourdeck."):
            self.modules.add(name)
        if frame.f_code in PARSERS:
            self.done["parsed"] += 1
        elif frame.f_code in _PAINTING:
            self.done["painted"] += 1


_PAINTING = frozenset(
    one.__code__ for one in (Compositor.render_partial_update, Compositor.render_full_update)
)


def rows(work: Path) -> list[Row]:
    """An offset on the Walk, and a slump at a load."""
    found = []
    for name, crew, screen, typed in (
        ("an answer on the Walk", _at_forms, "walk", "1"),
        ("a slump at a load", _at_pour, "pour", "80"),
    ):
        folder = work / screen
        folder.mkdir()
        counts = asyncio.run(count(crew(folder), screen, typed))
        what = f"{name}, from Enter to the screen"
        most = {"modules": float(MOST_MODULES) if screen == "walk" else None}
        found += [
            Row(what=f"{what}: modules", unit="", ours=len(counts.modules), most=most["modules"]),
            Row(what=f"{what}: texts read", unit="", ours=counts.done["parsed"], most=1),
            Row(what=f"{what}: repaints", unit="", ours=counts.done["painted"], most=1),
        ]
    return found


async def count(crew: Crew, screen: str, typed: str) -> Counts:
    """Type an answer on a screen of the crew's panel, and count from Enter on. It must be recorded."""
    app = DeckApp(crew.desk, None, monotonic=Ticks())
    counts = Counts()
    async with app.run_test(size=(80, 24)):
        app.keep(by=FOREMAN)
        app.go(screen, stack="A", panel=1, item=ITEM if screen == "walk" else None)
        await driver.settle(app)
        await driver.write(app, typed)
        before = len(crew.desk.state.entries)
        await _watched(counts, lambda: driver.press(app, "enter"))
        assert len(crew.desk.state.entries) == before + 1, app.said
    return counts


async def _watched(counts: Counts, act: Callable[[], Awaitable[None]]) -> None:
    sys.setprofile(counts.watch)
    try:
        await act()
    finally:
        sys.setprofile(None)


def _at_forms(folder: Path) -> Crew:
    return crew_at(folder, "forms")


def _at_pour(folder: Path) -> Crew:
    one = pour_kit.begun(folder)
    pour_kit.do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
    return one
