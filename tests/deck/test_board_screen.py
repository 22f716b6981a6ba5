"""The board: where every stack stands, and what today needs."""

from pathlib import Path

import pytest

from pourdeck.deck.paint import plain
from pourdeck.deck.views.board_rows import need_rows, target_of
from pourdeck.deck.widgets.bar import ActionBar
from pourdeck.deck.widgets.pile_view import PileView
from pourdeck.deck.widgets.row_list import RowList
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import HOSTILE, HOSTILE_JOB, SIZES, make_deck, page, worked_deck


async def test_it_shows_every_panel_with_state_and_what_is_next(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        shown = page(app)

        for mark in ("W02", "W04", "W07", "W15", "W16"):
            assert mark in shown
        assert "○ ready" in shown
        assert "· waiting" in shown
        assert "Next" in shown
        assert "lift" in shown
        assert "bed 100.850 m" in shown


async def test_failed_and_deferred_are_listed_and_counted(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        shown = page(app)

        assert "deferred 1  failed 1" in shown.splitlines()[1]
        assert "needs a fix" in shown
        assert "Ben Cole, before pour" in shown


async def test_the_first_row_that_is_not_next_is_what_failed(tmp_path: Path) -> None:
    board = worked_deck(tmp_path).desk.board()
    kinds = [plain(row.left).split()[0] for row in need_rows(board, "metric")]

    assert kinds[: len(board.next)] == ["Next"] * len(board.next)
    assert kinds[len(board.next)] == "Failed"


async def test_enter_opens_the_marked_panel_in_the_walk(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "right")
        assert (app.here.stack, app.here.panel) == ("B", 1)
        await driver.press(app, "up", "enter")

        assert app.current_mode == "walk"
        assert (app.here.stack, app.here.panel) == ("B", 2)
        assert "W16" in page(app)


@pytest.mark.parametrize(("key", "screen"), [("o", "walk"), ("s", "setout"), ("z", "resize")])
async def test_letters_open_the_marked_panel_on_a_screen(
    tmp_path: Path, key: str, screen: str
) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "up", key)

        assert app.current_mode == screen
        assert app.here.panel == 2


async def test_with_the_mouse_alone(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        rows = page(app).splitlines()
        y = next(index for index, row in enumerate(rows) if "W16" in row)
        await driver.click_at(app, rows[y].index("W16"), y)
        assert (app.here.stack, app.here.panel) == ("B", 2)
        await driver.click_at(app, rows[y].index("W16"), y)
        assert app.current_mode == "walk"
        await driver.click_at(app, page(app).splitlines()[1].index("Board"), 1)
        assert app.current_mode == "board"


async def test_where_the_focus_is_shows_by_a_shape(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        on_piles = page(app)
        await driver.press(app, "tab")
        await driver.settle(app)
        on_rows = page(app)

        assert "▸ Stack A" in on_piles
        assert "› Next" in on_piles
        assert "› Stack A" in on_rows
        assert "▸ Next" in on_rows


async def test_a_row_leads_to_its_item(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "tab", "down", "enter")

        assert app.current_mode == "walk"
        assert app.here.item == app.board().failed[0].key


def test_every_row_leads_somewhere(tmp_path: Path) -> None:
    board = worked_deck(tmp_path).desk.board()

    for row in need_rows(board, "metric"):
        assert row.key is not None
        assert target_of(board, row.key) is not None
    assert target_of(board, "next:99") is None
    assert target_of(board, "what") is None


async def test_the_list_of_what_is_owed_is_one_key_away(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        for key in ("f3", "f4", "f5", "f6"):
            await driver.press(app, key, "f7")
            assert "Owed on this job" in page(app)
            await driver.press(app, "escape")


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_hostile_marks_show_as_they_stand_and_everything_fits(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=size):
        shown = page(app)
        assert f"Stack {HOSTILE}" in shown
        assert "\x1b" not in shown
        assert all(len(line) == size[0] for line in shown.splitlines())
        for key in ("f3", "f4", "f5", "f6", "f7", "escape", "f9", "escape", "f1", "escape", "p"):
            await driver.press(app, key)
        assert HOSTILE in page(app)


async def test_a_click_on_the_name_or_over_a_stack_marks_its_panel_in_hand(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        piles = app.screen.query_one(PileView)
        over = piles.drawing.canvas.lines()
        column = over[0].index("Stack B")
        for x, y in ((column + 2, 0), (column + 2, 1)):
            piles.mark("A", 3)
            await driver.click(app, piles, x, y)
            assert piles.where == ("B", 1)
            assert app.current_mode == "board"


async def test_the_wheel_goes_up_and_down_a_stack(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        piles = app.screen.query_one(PileView)
        assert piles.where == ("A", 1)
        await driver.scroll(app, piles, down=False)
        assert piles.where == ("A", 2)
        await driver.scroll(app, piles, down=True)
        assert piles.where == ("A", 1)


@pytest.mark.parametrize("how", ["enter", "button"])
async def test_what_is_marked_is_what_opens(tmp_path: Path, how: str) -> None:
    """Also where the crew was at another item of the same panel, and whichever list has the focus."""
    app = worked_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        rows = app.screen.query_one(RowList)
        app.keep(item="close.bed")
        for key in ("next:0", "failed:0", "owed:0"):
            app.go("board")
            await driver.settle(app)
            if key == "next:0":
                app.screen.query_one(PileView).focus()
            else:
                rows.focus()
                rows.select(key, tell=True)
            await driver.settle(app)
            assert rows.key == key
            target = target_of(app.board(), key)
            assert target is not None
            if how == "enter":
                await driver.press(app, "enter")
            else:
                bar = app.screen.query_one(ActionBar)
                await driver.click(app, bar, 3, 1)
            assert (app.current_mode, app.here.item) == ("walk", target.item)


async def test_the_marks_of_piles_and_rows_agree(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        piles, rows = app.screen.query_one(PileView), app.screen.query_one(RowList)
        assert (piles.where, rows.key) == (("A", 1), "next:0")
        await driver.press(app, "up")
        assert (piles.where, rows.key) == (("A", 2), None)
        await driver.press(app, "right")
        assert (piles.where, rows.key) == (("B", 1), "next:1")
        rows.focus()
        await driver.press(app, "up")
        assert (piles.where, rows.key) == (("A", 1), "next:0")
