"""Count what goes over the line at a key: for a bad connection every byte counts."""

from pathlib import Path
from typing import Any

import pytest
from rich.console import Console

from pourdeck.deck.app import DeckApp
from pourdeck.deck.widgets.frame import Said
from tests.deck import driver
from tests.deck.test_walk_card import example

pytestmark = pytest.mark.painted

KEYSTROKE, NEXT_ITEM, SECTION = 1_500, 6_000, 15_000
"""Bytes that a key may send in 24-bit colour at 80×24, so that a slow line keeps up; the limits are ours."""


class Line:
    """Counts what the deck paints."""

    def __init__(self, app: DeckApp) -> None:
        self.app = app
        self.bytes = 0
        self.paints = 0
        self._console = Console(color_system="truecolor", force_terminal=True, width=80, height=24)
        app._display = self._display  # type: ignore[method-assign]

    def _display(self, screen: Any, renderable: Any) -> None:
        if renderable is not None:
            self.paints += 1
            self.bytes += len(renderable.render_segments(self._console).encode())

    async def press(self, *keys: str) -> int:
        self.bytes = self.paints = 0
        await driver.press(self.app, *keys)
        return self.bytes


@pytest.fixture
def app(tmp_path: Path) -> DeckApp:
    return example(tmp_path)


async def start(app: DeckApp, item: str) -> Line:
    app.keep(by="R. Osei")
    app.go("walk", stack="A", panel=3, item=item)
    # What was said at the start folds with the first key.
    app.say(Said("note", ""))
    await driver.settle(app)
    return Line(app)


async def test_a_keystroke_in_the_field(app: DeckApp) -> None:
    async with app.run_test(size=(80, 24)):
        line = await start(app, "forms.offset/right-4")
        for key in "300":
            assert 0 < await line.press(key) <= KEYSTROKE
            assert line.paints == 1


async def test_the_next_item(app: DeckApp) -> None:
    async with app.run_test(size=(80, 24)):
        line = await start(app, "forms.offset/right-4")
        for _ in range(6):
            assert 0 < await line.press("down") <= NEXT_ITEM
            assert line.paints == 1


async def test_an_answer_and_the_item_after_it(app: DeckApp) -> None:
    async with app.run_test(size=(80, 24)):
        line = await start(app, "forms.offset/right-4")
        # The first one also takes away the line about where the work was left.
        await line.press("3", "0", "0", "enter")
        for _ in range(3):
            await line.press("3", "0", "0")
            assert 0 < await line.press("enter") <= NEXT_ITEM


async def test_another_section(app: DeckApp) -> None:
    async with app.run_test(size=(80, 24)):
        line = await start(app, "forms.offset/right-4")
        for key in ("pageup", "pagedown", "pagedown"):
            assert 0 < await line.press(key) <= SECTION


async def test_a_key_that_changes_nothing_paints_nothing(app: DeckApp) -> None:
    async with app.run_test(size=(80, 24)):
        line = await start(app, "complete:close")
        assert await line.press("down") == 0
