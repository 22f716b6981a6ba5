"""The pictures of README.md, drawn from the example job: `python -m tests.make_pictures`.

Each is the screen as it stands at the end of the example's story, at 120 by 40.
"""

import asyncio
import os
import re
import tempfile
from datetime import datetime
from pathlib import Path

from pourdeck.deck.app import DeckApp
from pourdeck.example import example_folder
from pourdeck.plan.reader import read_job
from pourdeck.walk.desk import Desk
from pourdeck.walk.replay_story import copy_example
from pourdeck.walk.words import zone_of

NOW = datetime.fromisoformat("2026-11-25T07:41:00+11:00")
PICTURES = Path(__file__).parent / "pictures"
SIZE = (120, 40)

STEPS: dict[str, tuple[str, ...]] = {
    "board": ("f2",),
    "walk": ("f3",),
    "setout": ("f4",),
    "ascast": ("b", "c"),
    "levels": ("i",),
    "pour": ("t",),
    "resize": ("f4", "a", "f5", *"6.9", "space", "m"),
    "log": ("f6",),
    "drift": ("f2", "right", "d"),
    "strength": ("e",),
    "lift": ("k",),
}
"""The keys that lead to each picture, from the one before."""


def fixed() -> datetime:
    return NOW


async def draw(folder: Path, state: Path, into: Path) -> list[Path]:
    desk = Desk.open(folder, station="shed", clock=fixed, state_folder=state, read_only=True)
    app = DeckApp(desk, monotonic=lambda: 0.0)
    drawn = []
    async with app.run_test(size=SIZE) as pilot:
        app.kept.go(by="M. Tallow")
        for name, keys in STEPS.items():
            await pilot.press(*keys)
            await pilot.pause(0.3)
            path = into / f"{name}.svg"
            path.write_text(
                without_fonts(app.export_screenshot(title="pourdeck")), encoding="utf-8"
            )
            drawn.append(path)
    desk.close()
    return drawn


def without_fonts(svg: str) -> str:
    """The picture without the web fonts it would fetch: any monospaced font of the reader does."""
    return re.sub(r"@font-face\s*\{[^}]*\}\s*", "", svg)


def main() -> None:
    os.environ.pop("NO_COLOR", None)
    PICTURES.mkdir(exist_ok=True)
    source = example_folder()
    now = fixed().astimezone(zone_of(read_job(source), None))
    with tempfile.TemporaryDirectory() as place:
        folder, state = Path(place, "job"), Path(place, "state")
        copy_example(source, folder, now, state_folder=state)
        for path in asyncio.run(draw(folder, state, PICTURES)):
            print(path.name)  # noqa: T201


if __name__ == "__main__":
    main()
