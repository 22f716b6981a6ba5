"""The drift on the Board and on the Set-out: by keys, by clicks, where there is room, after a kill."""

from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.shell import Store
from pourdeck.deck.widgets.pile_view import PileView
from pourdeck.deck.widgets.prose import DriftView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.records import Act
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import HOSTILE, SIZES, Ticks, lines, page, store
from tests.drift_job import LIMITS, SIX, Taped, drift_desk, job_text
from tests.walk.kit import FOREMAN, HEAD

DRAWN = "times as wide as it is"


def deck(
    folder: Path,
    taped: tuple[Taped, ...] = SIX,
    drafts: Store | None = None,
    text: str = "",
    ascii_only: bool = False,
) -> DeckApp:
    desk = drift_desk(folder, taped, text)
    return DeckApp(desk, drafts, monotonic=Ticks(), ascii_only=ascii_only)


async def test_a_key_shows_the_drift_in_the_place_of_the_piles_and_puts_them_back(
    tmp_path: Path,
) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        piles = lines(app)[2:14]
        assert "lift" in piles[0]
        assert "d Drift" in page(app)
        await driver.press(app, "d")
        shown = page(app)
        assert DRAWN in shown
        assert "! left and right pass the band, 20 mm, on W07: 3 mm more each panel" in shown
        assert "▸ 1 W01" in shown
        await driver.press(app, "d")
        assert lines(app)[2:14] == piles
        await driver.press(app, "d")
        assert lines(app)[2:14] != piles
        await driver.press(app, "escape")
        assert lines(app)[2:14] == piles
        await driver.press(app, "escape")
        assert lines(app)[2:14] == piles, "Esc does nothing where nothing is to be put back"


async def test_arrows_go_on_marking_panels_and_stacks(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d", "up", "up")
        assert (app.here.stack, app.here.panel) == ("A", 3)
        assert "▸ 3 W03" in page(app)
        assert "W03 as cast: width 0 mm, leans 9 mm to the right" in page(app)
        await driver.press(app, "right")
        assert (app.here.stack, app.here.panel) == ("B", 1)
        assert "Nothing of stack B was measured" in page(app)
        await driver.press(app, "left", "enter")
        assert app.current_mode == "walk"


async def test_with_the_mouse_alone(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        bar = lines(app)[23]
        await driver.click_at(app, bar.index("Drift"), 23)
        rows = lines(app)
        y = next(index for index, row in enumerate(rows) if " 5 W05" in row)
        await driver.click_at(app, 40, y)
        assert app.here.panel == 5
        await driver.click_at(app, 40, y)
        assert app.current_mode == "walk"
        await driver.click_at(app, lines(app)[1].index("Board"), 1)
        await driver.click_at(app, lines(app)[23].index("Drift"), 23)
        assert DRAWN not in page(app)


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_it_can_be_read_at_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=size):
        await driver.press(app, "d", "up", "up", "up", "up", "up")
        shown = page(app)
        assert "times as wide" in shown
        assert "−18" in shown
        assert "+18" in shown
        assert "left and right pass the band, 20 mm, on W07" in shown
        assert all(len(row) == size[0] for row in lines(app))


async def test_where_there_is_room_it_stands_beside_the_rows_unasked(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        shown = page(app)
        assert DRAWN in shown
        assert "lift" in shown
        assert "Next" in shown
        await driver.press(app, "up", "up")
        assert "› 3 W03" in page(app)
        view = app.screen.query_one(DriftView)
        rows = lines(app)
        y = next(i for i, row in enumerate(rows) if " 2 W02" in row[view.region.x :])
        await driver.click_at(app, view.region.x + 20, y)
        assert app.here.panel == 2
        assert app.screen.query_one(PileView).where == ("A", 2)
        await driver.press(app, "d")
        assert not app.screen.query_one(DriftView).display
        assert page(app).count(DRAWN) == 1


async def test_where_nothing_was_measured_the_rows_keep_their_room(tmp_path: Path) -> None:
    app = deck(tmp_path, (None, None))
    async with app.run_test(size=(120, 40)):
        assert not app.screen.query_one(DriftView).display
        assert app.screen.query_one(RowList).size.width >= 118


async def test_the_line_of_the_marked_panel_says_how_it_leans(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "up")
        assert "pouring · leans 6 right" in page(app)


async def test_the_place_is_kept_over_a_kill(tmp_path: Path) -> None:
    drafts = store()
    app = deck(tmp_path, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d", "up", "f4", "d")
        app.kept.flush()
    app.desk.close()
    (tmp_path / "again").mkdir()
    again = DeckApp(drift_desk(tmp_path / "again", SIX), drafts, monotonic=Ticks())
    async with again.run_test(size=(80, 24)):
        assert again.current_mode == "setout"
        assert "times as wide" in page(again)
        await driver.press(again, "d", "f2")
        assert DRAWN in page(again), "each screen by itself"


@pytest.mark.parametrize("kept", [7, ["board"], "nowhere", {"board": True}])
async def test_a_place_that_was_kept_wrong_harms_nothing(tmp_path: Path, kept: object) -> None:
    drafts = store()
    drafts.draft = {"here": {"screen": "board", "drift": kept}}
    app = deck(tmp_path, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        assert DRAWN not in page(app)
        await driver.press(app, "d")
        assert DRAWN in page(app)


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_on_the_set_out_it_stands_in_the_place_of_the_plan(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=size):
        await driver.press(app, "up", "up", "f4", "d")
        shown = page(app)
        assert "› 3 W03" in shown
        assert "times as wide" in shown
        assert "+9" in shown
        await driver.press(app, "a")
        assert "› 4 W04" in page(app)
        await driver.press(app, "escape")
        assert "times as wide" not in page(app)


async def test_a_click_on_a_panel_of_the_drift_shows_its_set_out(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f4", "d")
        rows = lines(app)
        y = next(index for index, row in enumerate(rows) if " 5 W05" in row)
        await driver.click_at(app, 20, y)
        assert app.here.panel == 5
        assert "W05 · panel 5 of 8" in page(app)


async def test_the_numbers_of_the_drift_open_to_their_sums(tmp_path: Path) -> None:
    app = deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "up", "f4")
        rows = app.screen.query_one("#numbers", RowList)
        wanted = next(row.key for row in rows.rows if row.key and "right  " in _text(row.left))
        assert wanted is not None
        rows.select(wanted, tell=True)
        await driver.settle(app)
        await driver.press(app, "f8")
        shown = page(app)
        assert "Right side of W02, out from its planned line" in shown
        assert "((6006 − 6000) + (6006 − 6000)) / 2" in shown


def _text(spans: tuple[tuple[str, str], ...]) -> str:
    return "".join(text for text, _ in spans)


async def test_a_panel_that_was_not_measured_has_no_rows_of_it(tmp_path: Path) -> None:
    app = deck(tmp_path, (None, None))
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f4")
        assert "out from the planned lines" not in page(app)


async def test_in_feet_and_inches(tmp_path: Path) -> None:
    text = job_text(8, head=HEAD.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"'))
    app = deck(tmp_path, text=text)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d", "up", "up", "up", "up", "up")
        shown = page(app)
        assert 'to 1/16", drawn 10 times as wide as it is' in shown
        assert '+11/16"' in shown


async def test_hostile_marks_are_only_marks(tmp_path: Path) -> None:
    text = job_text(8, mark=HOSTILE + "{}")
    app = deck(tmp_path, text=text)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d", "up", "f4", "d", "f1")
        assert app.is_running


async def test_with_ascii_alone(tmp_path: Path) -> None:
    app = deck(tmp_path, ascii_only=True)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d")
        assert page(app).isascii()


async def test_what_is_measured_while_it_is_shown_shows(tmp_path: Path) -> None:
    """As an entry of another hand would: the picture is that of the log as it stands, undo and all."""
    app = deck(tmp_path, (*SIX[:2], None))
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "d", "up", "up")
        assert "W03 as cast" not in page(app)
        read = {key: format(value, "g") for key, value in SIX[2].items()}
        data = {"panel": "W03", "values": read}
        app.desk.record(Act(kind="as-cast", by=FOREMAN, data=data, says=""))
        app.refresh_screen()
        await driver.settle(app)
        assert "W03 as cast: width 0 mm, leans 9 mm" in page(app)
        act = app.desk.undo(FOREMAN, "a slip")
        assert isinstance(act, Act)
        app.desk.record(act)
        app.refresh_screen()
        await driver.settle(app)
        assert "W03 as cast" not in page(app)


async def test_stacks_of_one_and_of_forty(tmp_path: Path) -> None:
    for panels in (1, 40):
        folder = tmp_path / str(panels)
        folder.mkdir()
        desk = drift_desk(folder, SIX[:panels], job_text(panels, limits=LIMITS))
        app = DeckApp(desk, None, monotonic=Ticks())
        async with app.run_test(size=(80, 24)):
            await driver.press(app, "d")
            assert "▸ 1 W01" in page(app)
            assert "+3" in page(app)
        desk.close()
