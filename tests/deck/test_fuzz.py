"""Keys, clicks and window sizes without sense: nothing breaks, and the log only grows by whole entries."""

import random
from pathlib import Path

import pytest
from textual import events

from pourdeck.deck.app import DeckApp
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.sitelog.verify import verify
from tests.campaign import share
from tests.deck import driver
from tests.deck.kit import HOSTILE, HOSTILE_JOB, lines, make_deck
from tests.deck.test_walk_card import example

pytestmark = pytest.mark.painted

KEYS = (
    *"0123456789", *"abcdefghijklmnopqrstuvwxyz", *"[]/'\".,+-*()?!<>{}$%&=\\", "space",
    "enter", "enter", "enter", "escape", "tab", "shift+tab", "backspace", "delete",
    "up", "down", "left", "right", "up", "down", "pageup", "pagedown", "home", "end",
    "f1", "f2", "f3", "f3", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "ctrl+p", "ctrl+j",
)  # fmt: skip
PASTES = (HOSTILE, "300", "7200\n8700", "\x1b[201~x", "\u202e\u200b", "1" * 2000, "\t", "")
COUNT = 300


MACROS = (
    ("1", "enter"), ("2", "enter"), ("3", "0", "0", "enter", "enter"), ("1", "2", "0", "0", "enter", "enter"),
    ("m", "w", "e", "t", "enter", "enter"), ("d", "x", "enter", "enter", "enter", "enter"),
    ("f", "o", "k", "enter", "enter"), ("n", "n", "o", "enter", "enter"), ("u",), ("r",), ("g",),
    ("h", "tab", "tab", "c", "h", "enter", "o", "k", "enter", "enter"), ("pagedown",), ("pageup",),
    ("f5", "7", "1", "9", "0", "f8", "x", "enter", "enter"), ("f5", "escape", "escape"), ("f3",),
    ("c", "3", "0", "0", "1", "enter", "enter"), ("c", "down", "pagedown"), ("c", "0", "enter", "w"),
    ("f2", "up", "enter"), ("f2", "right", "enter"), ("f4", "down", "enter", "escape"),
)  # fmt: skip
"""Keys that make sense, so that not all of it ends in a refusal."""


async def mash(app: DeckApp, seed: int, count: int = COUNT) -> None:
    """So many keys, clicks and pastes, the same in every run."""
    chance = random.Random(seed)
    keys: list[str] = []
    for _ in range(share(count)):
        roll = chance.random()
        if keys:
            await driver.press(app, keys.pop(0))
        elif not isinstance(app.screen, DeckScreen) and roll < 0.3:
            await driver.press(app, "escape")
        elif roll < 0.55:
            await driver.press(app, chance.choice(KEYS))
        elif roll < 0.85:
            keys += chance.choice(MACROS)
        elif roll < 0.96:
            x, y = chance.randrange(app.size.width), chance.randrange(app.size.height)
            await driver.click_at(app, x, y)
        else:
            app.post_message(events.Paste(chance.choice(PASTES)))
            await driver.settle(app)
        if not app.is_running:
            return


def check(app: DeckApp, before: int) -> None:
    assert len(app.desk.state.entries) >= before
    assert all(len(row) == app.size.width for row in lines(app))


@pytest.mark.campaign
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)])
async def test_mashing_keys_breaks_nothing(tmp_path: Path, size: tuple[int, int]) -> None:
    app = example(tmp_path)
    before = len(app.desk.state.entries)
    async with app.run_test(size=size):
        app.keep(by="R. Osei")
        app.go("walk", stack="A", panel=3)
        await driver.settle(app)
        await mash(app, seed=size[0])
        check(app, before)
    app.desk.close()
    report = verify(app.desk.plan.folder)
    assert report.whole, report


@pytest.mark.campaign
async def test_mashing_keys_over_hostile_names_breaks_nothing(tmp_path: Path) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=(80, 24)):
        app.go("walk", stack=HOSTILE, panel=1)
        await driver.settle(app)
        await mash(app, seed=7, count=120)
        check(app, 0)


@pytest.mark.campaign
async def test_a_storm_of_window_sizes_keeps_the_focus_and_what_is_typed(tmp_path: Path) -> None:
    app = example(tmp_path)
    chance = random.Random(41)
    async with app.run_test(size=(80, 24)):
        app.keep(by="R. Osei")
        app.go("walk", stack="A", panel=3, item="forms.offset/right-4")
        await driver.settle(app)
        await driver.press(app, "3", "0")
        focused = app.focused
        for _ in range(share(40)):
            await driver.resize(app, chance.randrange(8, 210), chance.randrange(3, 70))
        for screen in ("setout", "ascast", "resize", "board", "log", "walk"):
            app.go(screen)
            await driver.settle(app)
        assert app.focused is focused
        assert app.screen.query_one("#measure").text == "30"  # type: ignore[attr-defined]
