"""A crew at work on the walk of a panel, and what the screen says to it in one line."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from textual.widget import Widget

from pourdeck.deck.app import DeckApp
from tests.deck import driver
from tests.deck.hands import Hands, Keys
from tests.deck.kit import MemoryStore, Ticks, lines, store
from tests.walk.kit import FOREMAN, JOB, Clock, Crew, crew, on_second, open_desk


@asynccontextmanager
async def at_work(
    crew: Crew,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    item: str | None = None,
    by: str | None = FOREMAN,
    drafts: MemoryStore | None = None,
) -> AsyncIterator[Any]:
    """Hands on the walk of a crew's panel, standing at an item, in the name of the foreman."""
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "walk", "stack": crew.stack, "panel": crew.number, "item": item, "by": by}
        here["by_at"] = crew.clock.at.isoformat()
        drafts.draft = {"here": here, "texts": {}}
    app = DeckApp(crew.desk, drafts, monotonic=Ticks())
    async with app.run_test(size=size):
        await driver.settle(app)
        yield hands(app)


def in_lines(app: DeckApp, widget: Widget) -> str:
    """Give what a widget shows, its lines joined as a person reads them."""
    region = widget.region
    shown = [row[region.x : region.right] for row in lines(app, region)[region.y : region.bottom]]
    return " ".join(" ".join(shown).split())


def card(app: DeckApp) -> str:
    return in_lines(app, app.screen.query_one("#card"))


def squeezed(text: str) -> str:
    """Without any gaps, so that a sentence is found wherever its lines break."""
    return "".join(text.split())


_LOGS: dict[tuple[str, str, int], tuple[bytes, datetime]] = {}


def crew_at(folder: Path, section: str, text: str = JOB, number: int = 1) -> Crew:
    """A crew whose panel has all before a section behind it. Each such log is made once in a run."""
    key = (text, section, number)
    if key not in _LOGS:
        made = folder / "made-first"
        made.mkdir()
        one = on_second(made, text) if number == 2 else crew(made, text)
        one.go_to(section)
        one.desk.close()
        _LOGS[key] = ((made / "job" / "log" / "shed.jsonl").read_bytes(), one.clock.at)
    log, at = _LOGS[key]
    (folder / "job" / "log").mkdir(parents=True)
    (folder / "job" / "log" / "shed.jsonl").write_bytes(log)
    clock = Clock(at)
    return Crew(open_desk(folder, text, clock), clock, number=number)
