"""The field on a screen: what is seen, what is posted, what goes on to the screen."""

import random
from collections.abc import Callable
from decimal import Decimal
from typing import Any, ClassVar

import pytest
from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.keys import key_to_character
from textual.widgets import Input

from pourdeck.deck.paint import SHED
from pourdeck.deck.widgets.field import STEP_UP, Field
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.plan.lengths import NotALength, parse_length
from pourdeck.plan.records import Units
from pourdeck.walk.quantities import QUANTITIES
from tests.campaign import share
from tests.deck import driver

_TYPED = "0123456789.,-+e_ '\""


class Clock:
    """Time that goes on only when it is told to."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


class OneScreen(App[None]):
    """Fields one below the other, and what they posted."""

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return SHED.variables()

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "note('defer')"),
        Binding("1", "note('one')"),
        Binding("up", "note('up')"),
        Binding("escape", "note('escape')"),
    ]

    def __init__(self, make: Callable[[Clock], list[Field | Keypad]]) -> None:
        super().__init__()
        self.clock = Clock()
        self._make = make
        self.posted: list[tuple[str, str | None, str, Decimal | None]] = []
        self.acts: list[str] = []

    def compose(self) -> ComposeResult:
        yield from self._make(self.clock)

    def action_note(self, act: str) -> None:
        self.acts.append(act)

    def on_field_taken(self, message: Field.Taken) -> None:
        assert message.typed is not None
        value = message.typed.value
        number = value if isinstance(value, Decimal) else None
        self.posted.append(("taken", message.field.id, message.typed.text, number))

    def on_field_edited(self, message: Field.Edited) -> None:
        self.posted.append(
            ("changed", message.field.id, message.field.text, number_in(message.field))
        )

    def on_keypad_pressed(self, message: Keypad.Pressed) -> None:
        if isinstance(self.focused, Field):
            self.focused.press(message.key)

    def taken(self) -> list[tuple[str, Decimal | None]]:
        return [(text, value) for what, _, text, value in self.posted if what == "taken"]


def number_in(field: Field) -> Decimal | None:
    return field.found if isinstance(field.found, Decimal) else None


def one_field(name: str = "mm", value: str = "", units: Units = "metric", **more: Any) -> OneScreen:
    quantity = QUANTITIES[name].in_job(units, **{"least": None, "most": None, **more})
    return OneScreen(lambda clock: [Field(quantity, value, id="field", clock=clock)])


def lines(field: Field | Keypad) -> list[str]:
    return [
        "".join(segment.text for segment in field.render_line(y)).rstrip()
        for y in range(field.size.height)
    ]


def field_of(app: App[Any], name: str = "field") -> Field:
    return app.query_one(f"#{name}", Field)


async def send(app: App[Any], *keys: str) -> None:
    """Keys right after each other. One that moves the focus needs `driver.press`."""
    for key in keys:
        app.post_message(events.Key(key, key_to_character(key)))
    await driver.settle(app)


# Against the traps of the stock field (measured with Textual 8.2.8)


async def test_the_stock_field_fails_what_ours_must_pass() -> None:
    class Stock(App[None]):
        def compose(self) -> ComposeResult:
            yield Input(type="number")

    app = Stock()
    async with app.run_test():
        await send(app, *"1,5")
        stock = app.query_one(Input)
        assert (stock.value, stock.is_valid) == ("15", True)


async def test_a_decimal_comma_is_a_decimal_comma() -> None:
    app = one_field()
    async with app.run_test():
        await send(app, *"1,5")
        assert field_of(app).text == "1,5"
        await send(app, "enter")
        assert app.taken() == [("1,5", Decimal("1.5"))]


async def test_what_is_no_length_shows_and_is_not_taken() -> None:
    app = one_field()
    async with app.run_test():
        field = field_of(app)
        for text in ("1..2", "1e5", "1_000", "１２", "٣", ".5", "5.", "+5", "1.234"):
            field.load("")
            await send(app, *text)
            assert field.text == text
            assert number_in(field) is None
            assert lines(field)[0].startswith(f"▸[ {text}")
            assert lines(field)[0].endswith("!] mm")
            assert lines(field)[1].startswith("! ")
            await send(app, "enter")
            app.clock.now += 1
            await send(app, "enter")
        assert app.taken() == []


async def test_a_paste_goes_in_or_is_refused_aloud() -> None:
    app = one_field()
    async with app.run_test():
        field = field_of(app)
        for raw in ("12.5 ", " 12.5", "\n12.5", "12.5\r\n", "12.5\t"):
            field.load("")
            app.post_message(events.Paste(raw))
            await driver.settle(app)
            assert (field.text, field.reason) == ("12.5", "")
        for raw in ("12.5\t13", "\u22125", "12.5\n13.5", "12.5\r13.5"):
            field.load("")
            app.post_message(events.Paste(raw))
            await driver.settle(app)
            assert field.text == ""
            assert field.reason.endswith("Nothing was put in.")
            assert lines(field)[1].startswith("! ")


async def test_tab_into_a_filled_field_and_a_brushed_key_leave_it() -> None:
    app = OneScreen(
        lambda clock: [
            Field(id="first", clock=clock),
            Field(text="300", id="field", clock=clock),
        ]
    )
    async with app.run_test():
        await driver.press(app, "tab", "5")
        field = field_of(app)
        assert (field.text, field.dirty) == ("300", False)
        assert "Enter to change" in lines(field)[1]
        assert app.posted == []
        await send(app, "enter", "5")
        assert field.text == "5"
        await send(app, "escape", "enter", "end", "5")
        assert field.text == "3005"
        await send(app, "escape")
        assert field.text == "300"


async def test_keypad_decimal() -> None:
    app = one_field()
    async with app.run_test():
        await send(app, "1", "decimal", "2")
        assert field_of(app).text == "1.2"


@pytest.mark.campaign
async def test_any_keys_show_as_they_are_taken() -> None:
    chance = random.Random(7)
    app = one_field()
    async with app.run_test():
        field = field_of(app)
        for _ in range(share(1500)):
            text = "".join(chance.choices(_TYPED, k=chance.randrange(1, 7)))
            field.load("")
            for key in text:
                assert field.press(key, key)
            try:
                expected = parse_length(text, "metric")
            except NotALength:
                expected = None
            assert field.text == text
            assert number_in(field) == expected
            assert bool(field.reason) == (expected is None)


# What is posted


async def test_each_change_is_posted_with_what_it_says() -> None:
    app = one_field()
    async with app.run_test():
        await driver.press(app, "7", ".", "5", "left", "enter")
        assert app.posted == [
            ("changed", "field", "7", Decimal(7)),
            ("changed", "field", "7.", None),
            ("changed", "field", "7.5", Decimal("7.5")),
            ("taken", "field", "7.5", Decimal("7.5")),
        ]


async def test_enter_bouncing_takes_once() -> None:
    app = one_field()
    async with app.run_test():
        await send(app, "7", "enter")
        app.clock.now = 0.05
        await send(app, "enter")
        assert len(app.taken()) == 1
        assert not field_of(app).typing


async def test_another_unit_and_a_slip_ask_first() -> None:
    app = one_field(expected=Decimal(120), plus=Decimal(2), minus=Decimal(2))
    async with app.run_test(size=(80, 24)):
        field = field_of(app)
        await send(app, *"1.2m", "enter")
        assert app.taken() == []
        assert lines(field)[1].startswith("? Did you mean 120 mm? You typed 1.2m = 1200 mm")
        assert "?]" in lines(field)[0]
        app.clock.now = 0.3
        await send(app, "enter")
        assert app.taken() == [("1.2m", Decimal(1200))]
        assert lines(field)[0] == "▸[ 1200           ] mm"


async def test_putting_back_is_a_change_too() -> None:
    app = one_field(value="300")
    async with app.run_test():
        await send(app, "enter", "5", "escape")
        assert app.posted[-1] == ("changed", "field", "300", Decimal(300))
        assert app.acts == []


# What goes on to the screen


async def test_a_command_reaches_the_screen_where_no_entry_could_begin_with_it() -> None:
    app = one_field()
    async with app.run_test():
        await send(app, "d")
        assert app.acts == ["defer"]
        await send(app, "1", "d")
        assert app.acts == ["defer"]
        assert field_of(app).text == "1d"


async def test_a_key_that_is_no_command_shows_in_an_empty_field() -> None:
    app = one_field()
    async with app.run_test():
        await send(app, "x")
        assert field_of(app).text == "x"
        assert field_of(app).reason


async def test_a_filled_field_lets_commands_by_but_no_figures() -> None:
    app = one_field(value="300")
    async with app.run_test():
        await send(app, "d", "up", "escape", "1", "x")
        assert app.acts == ["defer", "up", "escape"]
        assert field_of(app).text == "300"
        assert field_of(app).reason


async def test_words_take_every_letter_from_the_first() -> None:
    app = one_field("words")
    async with app.run_test():
        await send(app, *"d1 d")
        assert (field_of(app).text, app.acts) == ("d1 d", [])


async def test_a_letter_held_with_alt_is_not_swallowed() -> None:
    app = one_field()
    async with app.run_test():
        field = field_of(app)
        await send(app, "1")
        field.post_message(events.Key("alt+a", "a"))
        await driver.settle(app)
        assert field.text == "1"
        assert "alt+a does nothing here" in field.reason


# What is seen


async def test_focus_is_a_shape() -> None:
    app = OneScreen(
        lambda clock: [
            Field(text="300", id="field", clock=clock),
            Field(id="other", clock=clock),
        ]
    )
    async with app.run_test():
        field = field_of(app)
        assert lines(field)[0] == "▸[ 300            ] mm"
        await driver.press(app, "tab")
        assert lines(field)[0] == " [ 300            ] mm"


async def test_an_edit_that_is_left_stays_and_says_it_is_not_taken() -> None:
    app = OneScreen(
        lambda clock: [
            Field(id="field", clock=clock),
            Field(id="other", clock=clock),
        ]
    )
    async with app.run_test():
        field = field_of(app)
        await driver.press(app, "7", "tab")
        assert app.taken() == []
        assert lines(field)[0] == " [ 7             *] mm"
        assert "Not taken yet" in lines(field)[1]
        await driver.press(app, "shift+tab", "2", "enter")
        assert app.taken() == [("72", Decimal(72))]


async def test_a_refusal_is_not_shown_on_after_the_field_was_left() -> None:
    app = OneScreen(
        lambda clock: [
            Field(text="300", id="field", clock=clock),
            Field(id="other", clock=clock),
        ]
    )
    async with app.run_test():
        await driver.press(app, "5", "tab")
        assert lines(field_of(app))[0] == " [ 300            ] mm"


async def test_the_cursor_is_reverse_and_nothing_moves_by_itself() -> None:
    app = one_field()
    async with app.run_test():
        field = field_of(app)
        await send(app, "1", "2", "left")
        cursor = [s.text for s in field.render_line(0) if s.style == SHED.style("cursor")]
        assert cursor == ["2"]
        assert not field._timers


async def test_markup_in_words_and_reasons_is_literal() -> None:
    hostile = "[/x] [A-1] [Foo] ["
    app = one_field("words", value=hostile)
    async with app.run_test(size=(60, 8)):
        field = field_of(app)
        assert lines(field)[0].startswith(f"▸[ {hostile}")
        await send(app, "enter", "x")
        assert f"puts back {hostile}" in lines(field)[1]
    number = one_field()
    async with number.run_test(size=(60, 8)):
        await send(number, *hostile)
        assert hostile in lines(field_of(number))[0] + lines(field_of(number))[1]


async def test_what_does_not_print_is_stood_in_for() -> None:
    app = one_field("words", value="a\x1b[31m\u202eb")
    async with app.run_test(size=(40, 8)):
        assert "a\ufffd[31m\ufffdb" in lines(field_of(app))[0]


@pytest.mark.parametrize("size", [(20, 10), (12, 10), (5, 6), (1, 3)])
async def test_narrow(size: tuple[int, int]) -> None:
    app = one_field(units="imperial")
    async with app.run_test(size=size):
        field = field_of(app)
        await send(app, *"23' 7-1/2", "quotation_mark")
        assert size[0] < 12 or all(len(line) <= size[0] for line in lines(field))
        await send(app, "enter")
        app.clock.now = 1.0
        await send(app, "enter")
        assert app.taken() == [("23' 7-1/2\"", Decimal("7200.9"))]


async def test_at_twenty_columns_the_whole_reason_shows() -> None:
    app = one_field()
    async with app.run_test(size=(20, 20)):
        field = field_of(app)
        await send(app, *"1.234")
        assert " ".join(" ".join(lines(field)[1:]).split()) == f"! {field.reason}"


# Mouse


async def test_a_click_opens_and_places_the_cursor() -> None:
    app = OneScreen(
        lambda clock: [
            Field(id="other", clock=clock),
            Field(text="300", id="field", clock=clock),
        ]
    )
    async with app.run_test():
        field = field_of(app)
        await driver.click_in(app, "#field", (4, 0))
        assert field.has_focus
        await send(app, "5")
        assert field.text == "3500"
        await driver.click_in(app, "#field", (12, 0))
        await send(app, "7")
        assert field.text == "35007"


async def test_with_the_keypad_alone() -> None:
    app = OneScreen(lambda clock: [Field(id="field", clock=clock), Keypad(id="pad")])
    async with app.run_test(size=(60, 24)):
        field, pad = field_of(app), app.query_one(Keypad)
        where = {button.key: (button.x + 1, button.y) for button in pad.buttons}
        for key in ("1", "2", ".", "5", "backspace", "7", STEP_UP, "enter"):
            await driver.click_in(app, "#pad", where[key])
        assert field.has_focus
        assert app.taken() == [("13.7", Decimal("13.7"))]
