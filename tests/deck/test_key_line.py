"""Keys typed faster than the deck can follow: each ends up where, and in the order in which, it was typed."""

from decimal import Decimal
from pathlib import Path

import pytest
from textual import events
from textual.keys import _character_to_key

from pourdeck.deck.app import DeckApp
from pourdeck.deck.widgets.field import Field
from tests.deck import driver
from tests.deck.kit import Ticks, store
from tests.deck.walk_kit import crew_at
from tests.walk.kit import ALONE, FOREMAN, Crew


def burst(app: DeckApp, *keys: str) -> None:
    """All at once, as a fast hand on a slow machine, or a paste without brackets."""
    for key in keys:
        character = key if len(key) == 1 else None
        name = _character_to_key(key) if len(key) == 1 else key
        app.post_message(events.Key(name, character))


def deck(one: Crew, screen: str, item: str | None = None) -> DeckApp:
    drafts = store()
    here = {"screen": screen, "stack": one.stack, "panel": one.number, "item": item, "by": FOREMAN}
    drafts.draft = {"here": here, "texts": {}}
    return DeckApp(one.desk, drafts, monotonic=Ticks())


@pytest.mark.parametrize("first", ["board", "setout", "walk"])
async def test_figures_typed_while_a_screen_opens_stay_in_their_order(
    tmp_path: Path, first: str
) -> None:
    one = crew_at(tmp_path, "close", ALONE)
    app = deck(one, first, "close.stripped")
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        burst(app, "c", *"3001")
        await driver.settle(app)
        assert app.screen.query_one("#measure", Field).text == "3001"


async def test_one_measurement_after_the_other_without_waiting(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "close", ALONE)
    app = deck(one, "ascast")
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        burst(app, *"3001", "enter", *"3002", "enter", *"2999", "enter", *"2998", "enter")
        await driver.settle(app)
        measured = one.walk.record.measured
        assert {key: measured[key] for key in measured} == {
            "width_base": Decimal(3001), "width_head": Decimal(3002),
            "height_left": Decimal(2999), "height_right": Decimal(2998),
        }  # fmt: skip


async def test_answers_of_the_walk_without_waiting(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    app = deck(one, "walk", "forms.run/base")
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        burst(app, "3", "enter", "3", "enter", "3", "enter", "3", "enter")
        await driver.settle(app)
        found = [one.item(f"forms.run/{side}").found for side in ("base", "right", "head", "left")]
        assert found == [Decimal(3)] * 4


async def test_keys_in_a_dialog_wait_until_it_is_open(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    app = deck(one, "walk", "forms.line/base")
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        burst(app, "m", *"bent", "enter", "enter")
        await driver.settle(app)
        assert one.desk.state.last is not None
        assert one.desk.state.last.data["text"] == "bent"


async def test_an_arrow_after_a_measurement_that_failed_does_not_step_its_value(
    tmp_path: Path,
) -> None:
    one = crew_at(tmp_path, "close", ALONE)
    app = deck(one, "ascast")
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        await driver.press(app, *"3001", "enter", *"3020", "enter")
        field = app.screen.query_one("#measure", Field)
        assert (field.text, field.typing) == ("3020", False)
        await driver.press(app, "up")
        assert field.text == "3001"
