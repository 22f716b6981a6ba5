"""Buttons that a glove can hit, and none in the way of another."""

from itertools import combinations

import pytest
from textual.app import App, ComposeResult

from pourdeck.deck.widgets.pad import Button, Keypad, Layout, keys_for, lay_out, rows_of
from pourdeck.plan.records import Units
from pourdeck.walk.quantities import QUANTITIES, Kind, number_read
from tests.deck import driver

TAKE = Button("enter", "Take it")


def _apart(one: Button, other: Button) -> tuple[int, int]:
    """Free columns and rows between two buttons."""
    across = max(other.x - one.x - one.width, one.x - other.x - other.width)
    down = max(other.y - one.y - one.height, one.y - other.y - other.height)
    return across, down


@pytest.mark.parametrize("kind", ["length", "number", "rl"])
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("size", [(80, 12), (60, 12), (49, 6), (70, 6), (40, 2), (20, 5), (20, 40)])
def test_no_overlap_and_the_one_that_takes_apart(
    kind: Kind, units: Units, size: tuple[int, int]
) -> None:
    keys = keys_for(kind, units, signed=True)
    layout = lay_out(keys, TAKE, *size)
    assert {button.key for button in layout} == {button.key for button in keys} | {"enter"}
    take = layout[-1]
    assert take.width >= 12
    for one, other in combinations(layout, 2):
        across, down = _apart(one, other)
        assert across >= 0 or down >= 0
        if other is take:
            assert across >= 2 or down >= 1
    assert max(button.x + button.width for button in layout) <= size[0]


@pytest.mark.parametrize("size", [(60, 12), (70, 6), (79, 6)])
def test_large_where_there_is_room(size: tuple[int, int]) -> None:
    layout = lay_out(keys_for("length", "metric", signed=False), TAKE, *size)
    assert all(button.width >= 5 and button.height >= 3 for button in layout)
    assert rows_of(layout) <= size[1]


@pytest.mark.parametrize(("size", "rows"), [((80, 2), 2), ((49, 5), 3), ((80, 5), 2)])
def test_one_row_each_where_there_is_none(size: tuple[int, int], rows: int) -> None:
    layout = lay_out(keys_for("length", "metric", signed=False), TAKE, *size)
    assert {button.height for button in layout[:-1]} == {1}
    assert rows_of(layout) == rows


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_character_of_an_entry_has_a_button(units: Units) -> None:
    keys = {button.key for button in keys_for("length", units, signed=True)}
    rules = QUANTITIES["mm"].in_job(units, signed=True)
    text = "-7200.5" if units == "metric" else "-23' 7 1/2\""
    assert number_read(rules, text) is not None
    assert {"space" if c == " " else c for c in text} <= keys


class PadScreen(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.pressed: list[str] = []

    def compose(self) -> ComposeResult:
        yield Keypad()

    def on_keypad_pressed(self, message: Keypad.Pressed) -> None:
        self.pressed.append(message.key)


@pytest.mark.parametrize(("size", "rows"), [((60, 24), 3), ((60, 30), 6), ((80, 40), 12)])
async def test_what_is_drawn_is_what_is_hit(size: tuple[int, int], rows: int) -> None:
    app = PadScreen()
    async with app.run_test(size=size):
        pad = app.query_one(Keypad)
        assert pad.size.height == rows
        drawn = ["".join(s.text for s in pad.render_line(y)) for y in range(rows)]
        expected = []
        for button in _hit(pad.buttons):
            middle = button.y + (button.height - 1) // 2
            seen = drawn[middle][button.x : button.x + button.width]
            assert button.label in seen
            await driver.click_in(app, Keypad, (button.x + button.width // 2, middle))
            expected.append(button.key)
        assert app.pressed == expected
        assert not pad.has_focus


async def test_a_click_between_buttons_is_nothing() -> None:
    app = PadScreen()
    async with app.run_test(size=(80, 40)):
        pad = app.query_one(Keypad)
        take = pad.buttons[-1]
        await driver.click_in(app, Keypad, (take.x - 1, 2))
        assert app.pressed == []


async def test_it_suits_another_field() -> None:
    app = PadScreen()
    async with app.run_test(size=(80, 40)):
        pad = app.query_one(Keypad)
        pad.show_for("length", "imperial", take="[/x]")
        await driver.settle(app)
        drawn = "\n".join("".join(s.text for s in pad.render_line(y)) for y in range(12))
        assert "│ ' │" in drawn
        assert "[/x]" in drawn


def _hit(buttons: Layout) -> list[Button]:
    return [button for button in buttons if button.key in ("7", "0", ".", "backspace", "enter")]
