"""A hand that slips, on every screen: it records nothing that it did not say, and no state is the end.

`HAND_ACTS=5000 HAND_SEEDS=40` in the environment goes on for as long; `HAND_FROM` is the first seed.
"""

import os
from collections import Counter
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest

from tests.campaign import each_once, in_full, windows
from tests.deck import driver
from tests.deck.hand import Hand
from tests.deck.kit import Ticks, make_deck
from tests.deck.walk_kit import crew_at
from tests.walk import pour_kit
from tests.walk.kit import FOREMAN, Crew

SCREENS = (
    *("walk", "pour", "levels", "ascast", "strength", "resize"),
    *("board", "setout", "lift", "log"),
)
SIZES = ((80, 24), (120, 40))
ACTS = int(os.environ.get("HAND_ACTS", 0))
LONG = bool(ACTS)
COUNT = ACTS or (300 if in_full() else 120)
FIRST = int(os.environ.get("HAND_FROM", 0))
SEEDS = range(FIRST, FIRST + int(os.environ.get("HAND_SEEDS", 3 if in_full() else 1)))
LOOK = 50
"""After so many acts it is seen whether the deck leads on."""


def crew_on(screen: str, folder: Path) -> Crew:
    """A crew where the screen has something to be typed."""
    if screen == "pour":
        one = pour_kit.begun(folder)
        pour_kit.do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
        return one
    if screen in ("ascast", "strength", "lift"):
        return crew_at(folder, "close")
    return crew_at(folder, "height" if screen == "levels" else "forms")


CASES = (
    [(screen, size) for screen in SCREENS for size in SIZES]
    if LONG
    else each_once(SCREENS, windows(SIZES))
)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("screen", "size"), CASES)
async def test_nothing_is_recorded_that_the_hand_did_not_say(
    tmp_path: Path, screen: str, size: tuple[int, int], seed: int
) -> None:
    from pourdeck.deck.app import DeckApp

    one = crew_on(screen, tmp_path)
    chance = Random(1000 * seed + SCREENS.index(screen))
    acts, recorded = 0, Counter[str]()
    while acts < COUNT:
        # Where the hand left the deck it starts it again.
        app = DeckApp(one.desk, None, monotonic=Ticks())
        async with app.run_test(size=size):
            app.keep(by=FOREMAN)
            app.go(screen, stack="A", panel=1)
            await driver.settle(app)
            hand = Hand(app, chance)
            while acts < COUNT and app.is_running:
                await hand.act()
                acts += 1
                one.clock.at += timedelta(seconds=2)
                if acts % LOOK == 0 and app.is_running:
                    await hand.leads_on()
                    app.go(screen, stack="A", panel=1)
                    await driver.settle(app)
        recorded += hand.recorded
    if LONG:
        print(screen, size, seed, acts, dict(recorded))  # noqa: T201


def test_a_deck_can_be_made_for_every_screen(tmp_path: Path) -> None:
    """So that the list above does not fall behind the screens."""
    assert set(SCREENS) == set(make_deck(tmp_path).MODES)
