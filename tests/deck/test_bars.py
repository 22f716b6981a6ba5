"""Tabs, action bar, banner, help and palette: everything a key does, a click does too."""

from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.deck.actions import ACTIONS, SCREENS, actions_for
from pourdeck.deck.drawing.pile import STATE_SIGNS
from pourdeck.deck.drawing.plan_body import CASTIN_SIGNS
from pourdeck.deck.help import help_rows
from pourdeck.deck.paint import SHED, cells, line, plain, strip
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.views.values import SIGNS
from pourdeck.deck.widgets.bar import TALL_WIDTH, ActionBar
from pourdeck.deck.widgets.frame import MOST_LINES, Banner, Said, TabBar
from tests.deck import driver
from tests.deck.kit import HOSTILE, SIZES, lines, make_deck, page, worked_deck


@pytest.mark.parametrize("width", range(4, 140))
def test_chips_never_overlap_and_never_pass_the_end(width: int) -> None:
    tabs = TabBar("walk")
    tabs.show_counts(deferred=12, failed=3, passed=1)
    for bar in (tabs, ActionBar("walk")):
        at = 0
        for one in bar.laid(width):
            assert one.start >= at
            assert one.end - one.start == cells(one.chip.spans)
            at = one.end
        assert at <= width


@pytest.mark.parametrize("screen", SCREENS)
def test_the_open_screen_is_in_brackets_and_every_tab_that_fits_is_there(screen: str) -> None:
    keys = {action.id: action.key_text for action in ACTIONS}
    bar = TabBar(screen)
    bar.show_counts(deferred=2, failed=1, passed=0)
    chips = [plain(one.chip.spans) for one in bar.laid(80)]

    there = [one.chip.action for one in bar.laid(80)]
    lasting = [f"go-{name}" for name in SCREENS if name == screen or len(keys[f"go-{name}"]) > 1]
    assert [one for one in there if one in lasting] == lasting
    assert [one.chip.action for one in bar.laid(160)][: len(SCREENS)] == [
        f"go-{name}" for name in SCREENS
    ]
    narrow = {one.chip.action for one in bar.laid(60)}
    assert {f"go-{screen}", "help", "owed"} <= narrow
    assert sum("[" in chip for chip in chips) == 1
    assert SCREENS[screen].split()[0] in next(chip for chip in chips if "[" in chip)
    assert [plain(one.chip.spans).strip() for one in bar.laid(80)][-2:] == [
        "deferred 2",
        "failed 1",
    ]


@pytest.mark.parametrize("screen", SCREENS)
def test_help_is_always_in_the_bar(screen: str) -> None:
    for width in (40, 60, 80, 120):
        assert "help" in [one.chip.action for one in ActionBar(screen).laid(width)]


async def test_every_tab_can_be_clicked(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(160, 40)):
        for screen, name in SCREENS.items():
            await driver.click_at(app, lines(app)[1].index(name.split()[0]) + 1, 1)
            assert app.current_mode == screen


async def test_where_there_is_room_what_can_be_done_has_large_places_to_click(
    tmp_path: Path,
) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        bar = app.screen.query_one(ActionBar)
        laid = bar.laid(bar.content_size.width)
        assert bar.size.height == 3
        assert all(one.end - one.start >= TALL_WIDTH for one in laid)
        screen = app.screen
        assert isinstance(screen, DeckScreen)
        offered = {action.id for action in actions_for("board") if screen.can_do(action.id)}
        assert offered <= {one.chip.action for one in laid}
        setout = next(one for one in laid if one.chip.action == "show-setout")
        await driver.click_in(app, ActionBar, (setout.start + 6, 0))
        assert app.current_mode == "setout"


async def test_a_click_in_the_bar_does_what_the_key_does(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f6")
        await driver.settle(app)
        bar = app.screen.query_one(ActionBar)
        faults = next(one for one in bar.laid(80) if one.chip.action == "log-faults")
        await driver.click_in(app, ActionBar, (faults.start, 0))
        await driver.settle(app)
        assert "The files of the log" in page(app)


async def test_what_has_no_meaning_now_is_not_offered(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f6")
        bar = app.screen.query_one(ActionBar)
        assert "filter-none" not in [one.chip.action for one in bar.laid(80)]
        await driver.press(app, "f", "down", "enter")
        assert "filter-none" in [one.chip.action for one in bar.laid(80)]


def test_a_banner_grows_with_its_reason_and_no_further() -> None:
    banner = Banner()
    for body, most in (("", 1), ("word " * 20, 3), ("word " * 400, MOST_LINES)):
        banner.said = Said("refused", HOSTILE, body)
        rows = banner.lines(60)
        assert len(rows) <= most
        assert all(cells(row) <= 60 for row in rows)
        assert HOSTILE in plain(rows[0])


async def test_help_opens_and_closes_with_keys_and_mouse(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=SIZES[0]):
        for keys in ("f1", "question_mark"):
            await driver.press(app, keys)
            assert "The five keys that matter" in page(app)
            await driver.press(app, "escape")
        await driver.press(app, "f1")
        await driver.click_in(app, "#close")
        assert "Stack A" in page(app)


async def test_the_palette_finds_and_does(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f9", *"set-out", "enter")
        assert app.current_mode == "setout"
        await driver.press(app, "ctrl+p", *"dark look", "enter")
        assert app.look.name == "daylight"
        await driver.press(app, "f9", *HOSTILE)
        assert "Nothing of that name." in page(app)
        await driver.press(app, "enter")
        assert app.current_mode == "setout"


async def test_in_ascii_every_character_of_ours_is_ascii(tmp_path: Path) -> None:
    app = worked_deck(tmp_path, ascii_only=True)
    async with app.run_test(size=(120, 40)):
        for keys in (("f2",), ("f4",), ("f6",), ("v",), ("escape", "f1"), ("escape", "f9")):
            await driver.press(app, *keys)
            assert page(app).isascii(), {char for char in page(app) if not char.isascii()}


@pytest.mark.parametrize(
    "signs", [SIGNS, STATE_SIGNS, CASTIN_SIGNS], ids=["items", "panels", "cast-ins"]
)
def test_signs_of_one_kind_differ_from_each_other_in_ascii_too(signs: dict[str, str]) -> None:
    look = evolve(SHED, ascii_only=True)
    shown = [strip(line(sign), look, 1).text for sign in signs.values()]

    assert len(set(shown)) == len(set(signs.values())) == len(signs)
    assert all(char.isascii() for char in shown)


@pytest.mark.parametrize("screen", SCREENS)
def test_nothing_stands_twice_in_the_help_and_no_key_runs_into_its_word(screen: str) -> None:
    rows = [plain(row.left) for row in help_rows(screen)]
    acts = [row for row in rows if any(action.help in row for action in ACTIONS)]
    assert len(acts) == len(set(acts)) == len(ACTIONS)
    for row in acts:
        label = next(a.label for a in ACTIONS if a.help in row and f" {a.label}: " in row)
        assert f" {label}: " in row
