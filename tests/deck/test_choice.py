"""A few words to pick from: nothing is taken by accident, and every one can be reached."""

import pytest
from textual.app import App, ComposeResult

from pourdeck.deck.paint import SHED
from pourdeck.deck.widgets.choice import BOUNCE, TALL, Choice
from tests.deck import driver

THREE = ("even all over", "thin or missed spots", "none")
MANY = tuple(f"choice no. {n}" for n in range(1, 31))


class FieldApp(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.now = 100.0
        self.marked: list[str] = []
        self.taken: list[str] = []

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return SHED.variables()

    def compose(self) -> ComposeResult:
        yield Choice(clock=lambda: self.now)

    @property
    def field(self) -> Choice:
        return self.query_one(Choice)

    def on_choice_marked(self, event: Choice.Marked) -> None:
        self.marked.append(event.value)

    def on_choice_taken(self, event: Choice.Taken) -> None:
        self.taken.append(event.value)

    def shown(self) -> str:
        field = self.field
        rows = ("".join(s.text for s in field.render_line(y)) for y in range(field.size.height))
        return "\n".join(rows)


async def asked(app: FieldApp, choices: tuple[str, ...], found: str | None = None) -> None:
    app.field.ask(tuple((one, one) for one in choices), found)
    app.field.focus()
    await driver.settle(app)


async def test_enter_alone_takes_nothing() -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, THREE)
        await driver.press(app, "enter", "enter")
        assert app.taken == []
        assert "Nothing recorded: first pick, 1 to 3" in app.shown()


async def test_a_figure_marks_and_enter_takes() -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, THREE)
        await driver.press(app, "2")
        assert (app.marked, app.taken) == ([THREE[1]], [])
        assert "▸ 2 (•) thin or missed spots" in app.shown()
        await driver.press(app, "enter")
        assert app.taken == [THREE[1]]


async def test_enter_that_bounces_takes_once() -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, THREE)
        await driver.press(app, "1", "enter")
        app.now += BOUNCE / 2
        await driver.press(app, "enter")
        assert app.taken == [THREE[0]]


async def test_an_answered_choice_changes_only_after_enter_or_a_figure() -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, THREE, found=THREE[0])
        assert "Enter, or a click, changes the answer" in app.shown()
        await driver.press(app, "enter")
        assert app.taken == []
        await driver.press(app, "3", "enter")
        assert app.taken == [THREE[2]]


@pytest.mark.parametrize("key", ["4", "9", "0"])
async def test_a_figure_that_stands_for_nothing_marks_nothing(key: str) -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, THREE)
        await driver.press(app, key)
        assert app.marked == []


async def test_more_than_fit_scroll_with_the_mark_and_say_how_many() -> None:
    app = FieldApp()
    async with app.run_test(size=(60, 20)):
        await asked(app, MANY)
        app.field.make_room(tall=True, most_rows=8)
        await driver.settle(app)
        assert not app.field.tall
        assert app.field.size.height == 8
        assert "23 more" in app.shown()
        for _ in range(len(MANY)):
            await driver.press(app, "right")
        assert f"(•) {MANY[-1]}" in app.shown()
        await driver.press(app, "enter")
        assert app.taken == [MANY[-1]]


async def test_boxes_for_gloves_where_all_fit() -> None:
    """For gloves: three rows by at least twelve columns."""
    app = FieldApp()
    async with app.run_test(size=(75, 30)):
        await asked(app, THREE)
        app.field.make_room(tall=True, most_rows=20)
        await driver.settle(app)
        assert app.field.rows_each == TALL
        assert app.field.box >= 12
        await driver.click(app, app.field, 5, 2 * TALL)
        assert app.marked == [THREE[2]]
        app.now += 1
        await driver.click(app, app.field, 5, 2 * TALL + 2)
        assert app.taken == [THREE[2]]


async def test_a_click_beside_the_boxes_is_nothing() -> None:
    app = FieldApp()
    async with app.run_test(size=(75, 30)):
        await asked(app, THREE)
        app.field.make_room(tall=True, most_rows=20)
        await driver.settle(app)
        await driver.click(app, app.field, app.field.box + 3, 1)
        assert app.marked == []
