"""Lists of rows: one mark, keys and clicks, and nothing lost when rows change."""

from textual.app import App, ComposeResult

from pourdeck.deck.paint import SHED, line, plain, textual_theme
from pourdeck.deck.widgets.row_list import Row, RowList, place
from tests.deck import driver
from tests.deck.kit import HOSTILE


def rows(*names: str) -> tuple[Row, ...]:
    """A row for each name; one that begins with # is a heading."""
    return tuple(Row(key=None if name.startswith("#") else name, left=line(name)) for name in names)


class Host(App[None]):
    look = SHED

    def __init__(self, shown: tuple[Row, ...]) -> None:
        super().__init__()
        self.register_theme(textual_theme(SHED))
        self.theme = SHED.name
        self.list = RowList(shown, id="list", empty="nothing")
        self.told: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        yield self.list

    def on_mount(self) -> None:
        self.list.focus()

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        self.told.append(("selected", event.key))

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        self.told.append(("chosen", event.key))

    @property
    def shown(self) -> list[str]:
        return [self.list.render_line(y).text for y in range(self.list.size.height)]


async def test_the_mark_passes_over_headings_and_stops_at_the_ends() -> None:
    app = Host(rows("#one", "a", "#two", "b", "c"))
    async with app.run_test(size=(30, 8)):
        assert app.list.key == "a"
        await driver.press(app, "up", "down", "down", "down", "down")
        assert app.list.key == "c"
        await driver.press(app, "home")
        assert app.list.key == "a"
        await driver.press(app, "end", "enter")

        assert app.told == [
            *(("selected", key) for key in "bcac"),
            ("chosen", "c"),
        ]


async def test_a_click_marks_and_a_click_on_the_mark_takes() -> None:
    app = Host(rows("a", "b", "c"))
    async with app.run_test(size=(30, 8)):
        await driver.click_in(app, "#list", (5, 2))
        await driver.click_in(app, "#list", (5, 2))
        await driver.click_in(app, "#list", (5, 6))

        assert app.told == [("selected", "c"), ("chosen", "c")]


async def test_the_mark_shows_by_its_shape_with_and_without_the_focus() -> None:
    app = Host(rows("a", "b"))
    async with app.run_test(size=(30, 4)):
        assert app.shown[0].startswith("▸ a")
        await driver.press(app, "down")
        assert app.shown[1].startswith("▸ b")
        app.set_focus(None)
        await driver.settle(app)
        assert app.shown[1].startswith("› b")


async def test_pages_and_the_wheel_scroll_and_a_bar_shows_where() -> None:
    app = Host(rows(*(f"row {number}" for number in range(50))))
    async with app.run_test(size=(30, 10)):
        await driver.press(app, "pagedown")
        assert app.list.key == "row 10"
        await driver.press(app, "pagedown", "pageup")
        assert app.list.key == "row 10"
        await driver.press(app, "end")
        assert app.list.key == "row 49"
        assert app.shown[-1].startswith("▸ row 49")
        assert app.shown[-1].endswith("█")
        assert app.shown[0].endswith("│")
        app.list._scroll(-100)
        assert app.list.key == "row 49", "the wheel must not move the mark"
        assert app.shown[0].startswith("  row 0")


async def test_the_mark_stays_on_its_key_when_rows_change() -> None:
    app = Host(rows("a", "b", "c"))
    async with app.run_test(size=(30, 8)):
        await driver.press(app, "down")
        app.list.set_rows(rows("new", "a", "b", "c"))
        assert app.list.key == "b"
        app.list.set_rows(rows("a", "c"))
        assert app.list.key == "c"
        app.list.set_rows(rows("a"))
        assert app.list.key == "a"
        app.list.set_rows(())
        assert app.list.key is None
        assert "nothing" in app.shown[0]
        app.list.set_rows(rows("#only a heading"))
        assert app.list.key is None
        await driver.press(app, "down", "up", "home", "end", "pagedown", "pageup", "enter")
        app.list.set_rows(rows("a", "b"), select="b")
        assert app.list.key == "b"
        assert app.told == [("selected", "b")]


async def test_markup_in_rows_shows_as_it_stands() -> None:
    app = Host((Row(key="x", left=line(HOSTILE), right=line("\x1b[31m")),))
    async with app.run_test(size=(50, 3)):
        assert HOSTILE in app.shown[0]
        assert "\\x1b[31m" in app.shown[0]


async def test_a_long_row_that_wraps_is_marked_and_clicked_as_one() -> None:
    long = Row(key="long", left=line("word " * 20), wrap=True, indent=2)
    app = Host((Row(key="a", left=line("a")), long))
    async with app.run_test(size=(30, 8)):
        await driver.click_in(app, "#list", (5, 3))
        assert app.list.key == "long"
        assert app.shown[2].startswith("    word")


def test_a_long_right_end_goes_with_the_words_where_there_is_little_room() -> None:
    row = Row(key="a", left=line("bracket B3"), right=line("since 06:16, needs a fix"), wrap=True)
    wide, narrow = place((row,), 80), place((row,), 30)

    assert len(wide) == 1
    assert plain(narrow[0].spans) == "bracket B3  since 06:16, needs"
    assert plain(narrow[1].spans) == "a fix"


def test_the_right_end_of_a_row_stays() -> None:
    placed = place((Row(key="a", left=line("x" * 60), right=line("done")),), 30)

    assert "".join(text for text, _ in placed[0].spans).endswith(" done")
