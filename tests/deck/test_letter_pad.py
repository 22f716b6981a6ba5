"""A pad of letters for people without a keyboard: every letter, and nothing in the way of another."""

from itertools import combinations
from typing import Any

import pytest
from textual.app import App, ComposeResult

from pourdeck.deck.paint import SHED
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import LetterPad, lay_letters
from pourdeck.walk.quantities import QUANTITIES
from tests.deck import driver

WIDTHS = (30, 31, 44, 60, 72)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("height", [5, 15])
def test_no_button_lies_on_another_and_the_one_that_takes_is_apart(width: int, height: int) -> None:
    """The button that takes is at least twelve cells wide, two columns away."""
    layout = lay_letters(width, height, upper=False, take="Take it")
    take = layout[-1]
    assert take.key == "enter"
    assert take.width >= 12
    assert take.height == (3 if height == 15 else 1)
    assert max(button.x + button.width for button in layout) <= width
    for one, other in combinations(layout, 2):
        across = max(other.x - one.x - one.width, one.x - other.x - other.width)
        down = max(other.y - one.y - one.height, one.y - other.y - other.height)
        assert across >= 0 or down >= 0
        if other is take:
            assert across >= 2 or down >= 0


def test_every_letter_figure_and_mark_of_a_name_has_a_button() -> None:
    keys = {button.key for button in lay_letters(72, 5, upper=False, take="Take it")}
    assert set("abcdefghijklmnopqrstuvwxyz0123456789-.,") <= keys
    assert {"space", "backspace", "shift", "enter"} <= keys


class PadApp(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.taken: list[str] = []

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return SHED.variables()

    def compose(self) -> ComposeResult:
        yield Field(QUANTITIES["words"], rests=False, id="line")
        yield LetterPad()

    def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        self.query_one(Field).press(event.key, event.character)

    def on_field_taken(self, event: Field.Taken) -> None:
        self.taken.append(event.field.text)


async def press(app: App[Any], pad: LetterPad, key: str) -> None:
    button = next(one for one in pad.buttons if one.key == key)
    offset = (button.x + button.width // 2, button.y + button.height // 2)
    await driver.click_in(app, LetterPad, offset)


@pytest.mark.parametrize("size", [(80, 24), (31, 24), (80, 40)])
async def test_a_name_can_be_typed_with_clicks_alone(size: tuple[int, int]) -> None:
    app = PadApp()
    async with app.run_test(size=size):
        pad = app.query_one(LetterPad)
        for key in ("shift", "b", ".", "space", "c", "x", "backspace", "4", "-", "enter"):
            await press(app, pad, key)
        assert app.taken == ["B. c4-"]
        assert not pad.has_focus
        drawn = ["".join(s.text for s in pad.render_line(y)) for y in range(pad.size.height)]
        for button in pad.buttons:
            middle = drawn[button.y + (button.height - 1) // 2]
            seen = middle[button.x : button.x + button.width]
            assert button.label in seen or button.short in seen


async def test_shift_holds_for_one_letter() -> None:
    app = PadApp()
    async with app.run_test(size=(80, 24)):
        pad = app.query_one(LetterPad)
        await press(app, pad, "shift")
        assert "Q" in "".join(segment.text for segment in pad.render_line(1))
        await press(app, pad, "q")
        assert "q" in "".join(segment.text for segment in pad.render_line(1))
