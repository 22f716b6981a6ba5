"""A hand that slips: arrows, Enter, figures and places between widgets at random, on every screen.

Whatever is recorded as a number was typed, figure by figure: arrows, Enter and clicks invent none. From every
state Esc and a function key lead on.
"""

from collections import Counter
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import pytest

from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.widgets.field import Field
from pourdeck.plan.numbers import plain
from pourdeck.sitelog.entries import Entry
from tests.campaign import each_once, in_full, windows
from tests.deck import driver
from tests.deck.kit import Ticks, make_deck
from tests.deck.walk_kit import crew_at
from tests.walk import pour_kit
from tests.walk.kit import FOREMAN, Crew

SCREENS = ("walk", "pour", "levels", "ascast", "strength", "resize")
ARROWS = ("up", "down", "left", "right", "pageup", "pagedown", "home", "end")
FIGURES = "0123456789.,"
OTHERS = (
    "enter",
    "enter",
    "enter",
    "tab",
    "shift+tab",
    "backspace",
    "escape",
    "space",
    "y",
    "d",
    "p",
)
COUNT = 300 if in_full() else 150
SEEDS = range(3) if in_full() else range(1)
NUMBERS = frozenset("0123456789")


class Hand:
    """Presses at random, and keeps what it typed and what fields took."""

    def __init__(self, app: Any, seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
        self.app = app
        self.chance = Random(seed)
        self.typed: list[str] = []
        self.stepped = False
        step = Field._step

        def stepping(entry: Field, steps: int) -> Any:
            self.stepped = True
            return step(entry, steps)

        monkeypatch.setattr(Field, "_step", stepping)

    async def act(self) -> None:
        roll = self.chance.random()
        if roll < 0.35:
            await driver.press(self.app, self.chance.choice(ARROWS))
        elif roll < 0.6:
            await driver.press(self.app, self.chance.choice(OTHERS))
        elif roll < 0.85:
            figure = self.chance.choice(FIGURES)
            self.typed.append(figure)
            await driver.press(self.app, figure)
        else:
            width, height = self.app.size
            x, y = self.chance.randrange(width), self.chance.randrange(height)
            await driver.click_at(self.app, x, y)

    def said(self, figures: str) -> bool:
        """Whether each of these figures was typed, in any order: the cursor moves. A step is seen."""
        wanted = Counter(figure for figure in figures if figure in NUMBERS)
        return self.stepped or wanted <= Counter(self.typed)


def numbers_of(entry: Entry) -> list[str]:
    """What an entry says in figures that somebody must have typed."""
    data = entry.data
    found = []
    if entry.kind == "answer" and data.get("unit") and data.get("value") is not None:
        found.append(str(data["typed"]))
    if entry.kind == "sight":
        found.append(str(data["reading"]))
    if entry.kind == "load":
        values = {
            key: data["values"].get(key) for key in ("slump", "temperature", "volume", "water")
        }
        found += [str(value) for value in values.values() if value is not None]
    if entry.kind == "revise":
        found += [
            plain(Decimal(data["after"][name]))
            for name in ("width", "height", "thickness")
            if data["after"][name] != data["before"][name]
        ]
    return found


def crew_on(screen: str, folder: Path) -> Crew:
    """A crew where the screen has something to be typed."""
    if screen == "pour":
        one = pour_kit.begun(folder)
        pour_kit.do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
        return one
    if screen in ("ascast", "strength"):
        return crew_at(folder, "close")
    return crew_at(folder, "height" if screen == "levels" else "forms")


@pytest.mark.campaign
@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    ("screen", "size"),
    each_once(SCREENS, windows([(80, 24), (120, 40)])),  # type: ignore[list-item]
)
async def test_no_number_is_recorded_that_was_not_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, screen: str, size: tuple[int, int], seed: int
) -> None:
    from pourdeck.deck.app import DeckApp

    one = crew_on(screen, tmp_path)
    app = DeckApp(one.desk, None, monotonic=Ticks())
    async with app.run_test(size=size):
        app.keep(by=FOREMAN)
        app.go(screen, stack="A", panel=1)
        await driver.settle(app)
        hand = Hand(app, 1000 * seed + SCREENS.index(screen), monkeypatch)
        for _ in range(COUNT):
            before = len(one.desk.state.entries)
            await hand.act()
            for entry in one.desk.state.entries[before:]:
                for figures in numbers_of(entry):
                    assert hand.said(figures), (entry.kind, dict(entry.data), hand.typed[-20:])
            if not app.is_running:
                # The hand left the deck.
                return
            one.clock.at += timedelta(seconds=2)
        for _ in range(6):
            if not isinstance(app.screen, DeckScreen):
                await driver.press(app, "escape")
        assert isinstance(app.screen, DeckScreen), "Esc leads out of every dialog"
        await driver.press(app, "f2")
        assert app.current_mode == "board"


def test_a_deck_can_be_made_for_every_screen(tmp_path: Path) -> None:
    """So that the list above does not fall behind the screens that take figures."""
    modes = set(make_deck(tmp_path).MODES)
    assert set(SCREENS) <= modes
