"""A log with every odd entry that can be sealed: the deck shows what it can, and no screen breaks."""

from pathlib import Path

from pourdeck.deck.app import DeckApp
from tests.commands.test_odd_entries import ODD, add
from tests.deck import driver
from tests.deck.kit import Ticks
from tests.walk.kit import WITH_ENGINEER, Clock, on_second, open_desk

SCREENS = (
    "board",
    "walk",
    "pour",
    "strength",
    "levels",
    "ascast",
    "resize",
    "setout",
    "lift",
    "log",
)


async def test_every_screen_stands(tmp_path: Path) -> None:
    one = on_second(tmp_path, WITH_ENGINEER)
    one.desk.close()
    for odd in ODD.values():
        add(tmp_path / "job", odd)
    desk = open_desk(tmp_path, WITH_ENGINEER, Clock(one.clock.at))
    assert len(desk.state.unknown) > 20
    app = DeckApp(desk, None, monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        for number in (1, 2):
            for screen in SCREENS:
                app.go(screen, stack="A", panel=number)
                await driver.settle(app)
                for key in ("down", "enter", "escape", "end", "v", "escape"):
                    await driver.press(app, key)
        assert app.is_running
    desk.close()
