"""The foot: what is said stands over the work and moves none of it, and is not said on elsewhere."""

from pathlib import Path

import pytest
from textual.geometry import Region
from textual.widget import Widget

from pourdeck.deck.actions import BARS, SCREENS
from pourdeck.deck.paint import plain
from pourdeck.deck.widgets.bar import ActionBar
from pourdeck.deck.widgets.frame import Banner, Said
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import lines, make_deck, page, worked_deck
from tests.deck.walk_kit import at_work, crew_at
from tests.walk.kit import crew

LONG = Said("refused", "This cannot be done.", "It is refused with many words. " * 8)


def places(screen: Widget) -> dict[int, Region]:
    return {id(one): one.region for one in screen.walk_children() if not isinstance(one, Banner)}


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(60, 20), (80, 24), (120, 40)]))
@pytest.mark.parametrize("screen", SCREENS)
async def test_nothing_moves_when_something_long_is_said(
    tmp_path: Path, screen: str, size: tuple[int, int]
) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=size):
        app.go(screen)
        await driver.settle(app)
        before = places(app.screen)
        app.say(LONG)
        await driver.settle(app)
        assert "with many words" in page(app)
        assert app.screen.query_one(Banner).size.height > 1
        assert places(app.screen) == before


async def test_what_was_said_folds_with_the_next_key_and_unfolds_with_a_click(
    tmp_path: Path,
) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        app.say(LONG)
        await driver.settle(app)
        banner = app.screen.query_one(Banner)
        await driver.press(app, "pagedown")
        assert banner.size.height == 1
        assert "…" in plain(banner.lines(80)[0])
        await driver.click(app, banner, 4, 0)
        assert banner.size.height > 1
        await driver.click(app, banner, 4, 0)
        assert banner.size.height == 1


async def test_what_was_refused_is_not_said_on_at_another_item_or_screen(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.mark") as hands:
        for key in ("down", "f2"):
            hands.app.say(LONG)
            await hands.settle()
            await hands.press("escape", key)
            assert "This cannot be done" not in page(hands.app)


async def test_what_was_saved_is_said_on_at_the_next_item(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.answer()
        assert hands.stop.key != "drawing.face-up"
        assert "Saved " in page(hands.app)


async def test_every_button_keeps_its_place_from_item_to_item(tmp_path: Path) -> None:
    """Leave a gap for what has no meaning at a stop: the next one does not come under the finger."""
    one = crew_at(tmp_path, "forms", number=2)
    async with at_work(one, size=(120, 40), item="forms.run/base") as hands:
        bar = hands.app.screen.query_one(ActionBar)
        seen: dict[str, set[int]] = {}
        for key in ("forms.run/base", "hold:set-out", "forms.offset/right-1", "complete:close"):
            hands.app.go("walk", item=key)
            await hands.settle()
            for laid in bar.laid(bar.content_size.width):
                seen.setdefault(laid.chip.action or "", set()).add(laid.start)
        assert all(len(starts) == 1 for starts in seen.values()), seen
        assert {"defer", "undo", "person", "help"} <= set(seen)


@pytest.mark.parametrize("screen", SCREENS)
async def test_undo_and_who_is_on_deck_have_a_button_on_every_screen(
    tmp_path: Path, screen: str
) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        app.keep(by="Ada Reed")
        app.go(screen)
        await driver.settle(app)
        bar = app.screen.query_one(ActionBar)
        at = {one.chip.action: one.start for one in bar.laid(bar.content_size.width)}
        before = len(app.desk.state.entries)
        await driver.click(app, bar, at["person"] + 2, 1)
        assert "Who is signed in?" in page(app)
        await driver.press(app, "escape")
        await driver.click(app, bar, at["undo"] + 2, 1)
        assert len(app.desk.state.entries) == before + 1
        assert app.current_mode == "walk"
        assert "Saved " in page(app)


async def test_names_and_counts_of_the_header_are_places_to_click(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        for row, words, opens in (
            (0, "nobody signed in", "Who is signed in?"),
            (1, "deferred 1", "Owed on this job"),
            (1, "failed 1", "Owed on this job"),
        ):
            await driver.click_at(app, lines(app)[row].index(words) + 1, row)
            assert opens in page(app)
            await driver.press(app, "escape")


async def test_in_a_narrow_window_the_initials_stay(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(60, 20)):
        app.keep(by="Ann Archer")
        app.go("walk", stack="A", panel=2)
        await driver.settle(app)
        assert lines(app)[0].rstrip().endswith("AA")


def test_every_bar_has_help() -> None:
    assert all("help" in bar for bar in BARS.values())
