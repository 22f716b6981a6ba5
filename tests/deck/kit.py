"""A deck on a small job, its screen as plain lines, and a clock nobody has to wait for."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from attrs import define
from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip

from pourdeck.deck.app import DeckApp
from pourdeck.walk import acts
from tests.walk.kit import FOREMAN, HEAD, JOB, KIT, LIMITS, PEOPLE, Clock, Crew, open_desk

HOSTILE = "[/x] [A-1] [Foo] ["
"""Hold what a toolkit takes for markup: closing tags, tags it knows, one that is never closed."""

SIZES = ((60, 20), (80, 24), (120, 40))
TOO_SMALL = (40, 12)

_STACKS = """
[[stack]]
id = "A"
bed_rl = 100.850
[[stack.panel]]
mark = "W02"
width = 6000
height = 5000
thickness = 150
lift = 6
rev = "B"
castins = [ { name = "L1", kind = "lifter", x = 1800, y = 3200 } ]
[[stack.panel]]
mark = "W04"
width = 5800
height = 4800
thickness = 150
lift = 5
rev = "B"
drawn_from = "outside"
openings = [ { name = "D1", x = 900, y = 0, width = 1000, height = 2100 } ]
[[stack.panel]]
mark = "W07"
width = 5500
height = 4800
thickness = 150
lift = 4
align = "base-centre"
[[stack]]
id = "B"
bed_rl = 100.900
[[stack.panel]]
mark = "W15"
width = 3000
height = 3000
thickness = 150
lift = 3
[[stack.panel]]
mark = "W16"
width = 2900
height = 3000
thickness = 150
lift = 2
"""

TWO_STACKS = HEAD + PEOPLE + KIT + LIMITS + _STACKS

_HOSTILE_STACK = f"""
[[stack]]
id = "{HOSTILE}"
bed_rl = 100.850
[[stack.panel]]
mark = "{HOSTILE}"
width = 6000
height = 5000
thickness = 150
rev = "{HOSTILE}"
openings = [ {{ name = "{HOSTILE}", x = 900, y = 900, width = 3000, height = 2100 }} ]
castins = [ {{ name = "{HOSTILE} L", kind = "lifter", x = 300, y = 4200 }} ]
[[stack.panel]]
mark = "\\u202e\\u001b[31m"
width = 5800
height = 5000
thickness = 150
"""

HOSTILE_JOB = (
    HEAD.replace("Trial yard", HOSTILE)
    + PEOPLE.replace("Ben Cole", HOSTILE)
    + KIT
    + LIMITS
    + _HOSTILE_STACK
)


@define
class Ticks:
    """Seconds that go forward by one each time they are asked for, or as far as they are told."""

    now: float = 0.0

    def __call__(self) -> float:
        self.now += 1.0
        return self.now


@define
class MemoryStore:
    """Drafts that outlive an app and touch no disk."""

    draft: dict[str, Any]
    message: str | None = None

    def load(self) -> dict[str, Any]:
        return self.draft

    def save(self, draft: dict[str, Any]) -> bool:
        self.draft = draft
        return True


def store() -> MemoryStore:
    return MemoryStore({})


def make_deck(folder: Path, text: str = TWO_STACKS, **more: Any) -> DeckApp:
    """A deck nobody has worked on yet."""
    more.setdefault("monotonic", Ticks())
    return DeckApp(open_desk(folder, text), more.pop("drafts", None), **more)


def worked_deck(folder: Path, text: str = JOB, **more: Any) -> DeckApp:
    """A deck with a few entries in its log: answers, one of them failed, one deferred, a note."""
    clock = Clock()
    crew = Crew(open_desk(folder, text, clock), clock)
    first, second, third = (item.key for item in crew.walk.items()[:3])
    crew.pass_item(first)
    item = crew.item(second)
    bad = [choice for choice in item.choices if choice not in item.good]
    crew.answer(second, bad[0] if bad else "C")
    crew.do(acts.defer(crew.walk, third, "waits for the office", "Ben Cole", "pour", FOREMAN))
    crew.do(acts.note(crew.walk, third, HOSTILE, FOREMAN))
    more.setdefault("monotonic", Ticks())
    return DeckApp(crew.desk, more.pop("drafts", None), **more)


def segments(app: DeckApp) -> Iterator[list[Segment]]:
    """Give what is on screen, row by row. Here and in the driver alone a test reaches into the toolkit."""
    yield from (list(strip) for strip in app.screen._compositor.render_strips())


def lines(app: DeckApp, region: Region | None = None) -> list[str]:
    """Give what is on screen as plain text; of a region alone its own cells, and empty rows above it."""
    if region is None:
        return ["".join(segment.text for segment in row) for row in segments(app)]
    compositor = app.screen._compositor
    rows = region.intersection(compositor.size.region).line_range
    chops = compositor._render_chops(region, rows.__contains__)
    shown = {y: Strip.join(chops[y].values()) for y in rows}
    return [shown[y].text if y in shown else "" for y in range(compositor.size.height)]


def page(app: DeckApp) -> str:
    return "\n".join(lines(app))
