"""The size change on screen: what it shows at every key, what it cancels, what it records and when."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.form import Form
from pourdeck.deck.screens.resize import ResizeScreen
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.plan.records import ALIGNMENTS
from pourdeck.setout.resize import Resize
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import SIZES, MemoryStore, Ticks, make_deck, page, store
from tests.deck.test_walk_card import example
from tests.deck.walk_kit import crew_at, in_lines, squeezed
from tests.walk.kit import ENGINEER, FOREMAN, WITH_ENGINEER, Crew, crew, on_second

NARROW_ABOVE = WITH_ENGINEER.replace(
    '[[stack.panel]]\nmark = "P2"\nwidth = 3000', '[[stack.panel]]\nmark = "P2"\nwidth = 2900'
)


@asynccontextmanager
async def at_resize(
    app: DeckApp, panel: int, *, size: tuple[int, int] = (80, 24), stack: str = "A"
) -> AsyncIterator[ResizeScreen]:
    async with app.run_test(size=size):
        app.keep(by=FOREMAN)
        app.go("resize", stack=stack, panel=panel)
        await driver.settle(app)
        screen = app.screen
        assert isinstance(screen, ResizeScreen)
        yield screen


def deck(one: Crew, **more: Any) -> DeckApp:
    return DeckApp(one.desk, more.pop("drafts", None), monotonic=Ticks())


def change(screen: ResizeScreen) -> Resize:
    found = screen.work.found
    assert isinstance(found, Resize)
    return found


def moves(app: DeckApp) -> str:
    """All rows of what moves, in sight or not."""
    from pourdeck.deck.paint import plain

    rows = app.screen.query_one("#moves", RowList).rows
    return " ".join(" ".join(plain(row.left) for row in rows).split())


# What it shows.


async def test_every_key_shows_what_the_size_so_far_does(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    async with at_resize(deck(one), 2) as screen:
        for so_far in ("2", "29", "290", "2900"):
            await driver.press(screen.app, so_far[-1])
            found = screen.work.found
            width = found.after.width if isinstance(found, Resize) else None
            assert width is None or width == int(so_far)
        assert "2900 × 3000 × 150 mm, base-left" in page(screen.app)
        assert "right 0 outer → 100 outer" in moves(screen.app)


async def test_what_moves_is_said_of_every_panel_above(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3) as screen:
        await driver.press(app, *"6900")
        words = moves(app)
        for said in (
            "3 W07", "4 W09", "5 W11", "6 W12",
            "right 300 inner ✗ 600 NO BOLT",
            "brackets 32 → 31",
            "9 brackets on the right: bolt inner → none",
            "extra anchors, base 1 → 2: away 4925; new 3200, 4625",
            "forms, base: 3000 + 3000 + 2000 → 3000 + 3000 + 1000",
            "diagonal 11292.9 mm",
            "right 200 inner → 50 outer",
            "600 mm in from the panel below is past the longest reach, 305 mm (bolt inner)",
        ):  # fmt: skip
            assert said in words, said
        assert isinstance(screen.work.found, Resize)


async def test_nothing_is_cancelled_is_said_in_words(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 5):
        await driver.press(app, *"6590")
        assert "cancels nothing" in page(app)
        assert moves(app).startswith("Cancels nothing.")


async def test_the_releases_that_it_cancels_are_named(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3):
        await driver.press(app, *"7190")
        assert "cancels 3 releases" in page(app)
        assert "Cancels of W07: Drawings and plan (S. Marsh)" in moves(app)


async def test_releases_of_the_panel_below_that_lapse_are_named(tmp_path: Path) -> None:
    """Its extra anchors move with the panel above, and the hold that covers them lapses."""
    one = crew(tmp_path, NARROW_ABOVE)
    one.go_to("pour")
    one.number = 2
    held = {hold.id for hold in one.desk.walk("A", 1).holds if hold.state == "released"}
    assert held >= {"set-out", "pour"}
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, *"2640")
        found = change(screen)
        before = one.desk.set_outs("A")[0].extra_anchors
        assert found.below is not None
        assert found.below.extra_anchors != before
        lapsed = {(cancel.mark, cancel.hold) for cancel in screen.work.lapses}
        assert lapsed == {("P1", "pour")}
        assert squeezed("1 below lapses") in squeezed(page(screen.app))
        assert "Lapses of P1: Release to pour (Cy Hart)" in moves(screen.app)
        act = one.desk.revise(found, by=ENGINEER, reason="revised")
        one.do(act)  # type: ignore[arg-type]
        lost = {hold.id for hold in one.desk.walk("A", 1).holds if hold.state == "void"}
        assert lost == {hold for _, hold in lapsed}


async def test_a_poured_panel_says_why_not_and_takes_no_size(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 2) as screen:
        assert squeezed("W04 is poured and cannot change size.") in squeezed(page(app))
        assert not screen.query_one("#sizes").display
        await driver.press(app, *"7000", "f8")
        assert app.said.kind == "refused"
        assert app.screen is screen


async def test_a_size_that_cannot_be_says_why(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, "2")
        assert squeezed("P2 would be all chamfer at 2 mm.") in squeezed(page(screen.app))
        await driver.press(screen.app, "f8")
        assert "all chamfer" in screen.deck.said.title


async def test_what_cannot_be_read_is_not_recorded(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, *"29x", "f8")
        assert screen.deck.said.title == "The width cannot be read."
        assert screen.focused is screen.field("width")


# The nine ways.


async def test_nine_ways_best_first_with_a_reason_where_one_does_not_work(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3) as screen:
        ways = screen.query_one("#ways", RowList)
        keys = [row.key for row in ways.rows if row.key]
        assert sorted(keys) == sorted(ALIGNMENTS)
        assert keys == [option.align for option in change(screen).options]
        await driver.press(app, *"6900")
        shown = in_lines(app, screen.query_one("#right"))
        assert "base-left no right out of reach" in shown
        assert "centre 5 31 300 mm" in shown


async def test_a_way_that_fails_further_up_names_the_panel(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 4) as screen:
        screen.field("height").focus()
        await driver.settle(app)
        await driver.press(app, *"8280")
        shown = in_lines(app, screen.query_one("#right"))
        assert "centre no W11 base overhangs" in shown


async def test_where_none_works_it_says_who_is_in_the_way_and_what_they_take(
    tmp_path: Path,
) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3) as screen:
        await driver.press(app, *"6500")
        shown = in_lines(app, screen.query_one("#right"))
        assert "It can sit nowhere" in shown
        assert "W04 below takes 6890 mm to 7506 mm" in shown
        assert "W09 above takes 6794 mm to 7410 mm" in shown


async def test_where_no_form_is_so_deep_that_is_what_is_said(tmp_path: Path) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3) as screen:
        await driver.press(app, "enter", "enter", *"160")
        app.screen.query_one("#new-width", Field).clear()
        await driver.press(app, "escape", "escape")
        screen.field("thickness").focus()
        await driver.settle(app)
        await driver.press(app, *"163")
        assert "no form is 163 mm deep" in in_lines(app, screen.query_one("#why"))


async def test_enter_on_a_way_shows_it_and_records_nothing(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    before = len(one.desk.state.entries)
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, *"2900", "enter", "enter", "enter")
        screen.query_one("#ways").focus()
        await driver.settle(screen.app)
        ways = screen.query_one("#ways", RowList)
        ways.select("centre")
        await driver.press(screen.app, "enter")
        assert change(screen).after.align == "centre"
        assert "Nothing is recorded" in screen.deck.said.body
        assert len(one.desk.state.entries) == before


async def test_esc_puts_back_the_plan_and_keeps_nothing(tmp_path: Path) -> None:
    one, drafts = on_second(tmp_path), store()
    app = deck(one, drafts=drafts)
    async with at_resize(app, 2) as screen:
        await driver.press(app, *"2900", "enter", "up", "escape")
        screen.work.take_way("centre")
        await driver.press(app, "escape")
        assert not change(screen).changes_anything
        assert all(not screen.field(name).text for name in ("width", "height", "thickness"))
        assert not [key for key in app.kept.texts if key.startswith("resize.")]


# Recording.


async def test_it_is_recorded_with_name_and_reason_and_cancels(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "strip", number=2)
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, *"2900", "f8")
        dialog = screen.app.screen
        assert isinstance(dialog, Form)
        shown = squeezed(page(screen.app).replace("│", ""))
        assert squeezed("Cancels Drawings and plan of P2, released by Cy Hart.") in shown
        await driver.press(screen.app, *["enter"] * 4)
        assert "Tab goes on, Esc leaves." in page(screen.app)
        await driver.press(screen.app, *"ar", "enter", "enter", *"rev D", "enter", "enter")
        last = one.desk.state.last
        assert last is not None
        assert (last.kind, last.by, last.data["reason"]) == ("revise", FOREMAN, "rev D")
        assert last.data["word"] == {"of": FOREMAN, "role": "foreman", "way": "here"}
        assert [item["hold"] for item in last.data["cancels"]] == ["drawing"]
        assert one.desk.job.stacks[0].panels[1].width == 2900
        assert all(not screen.field(name).text for name in ("width", "height", "thickness"))


async def test_leaving_the_dialog_records_nothing(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    before = len(one.desk.state.entries)
    async with at_resize(deck(one), 2) as screen:
        await driver.press(screen.app, *"2900", "f8", *"rev", "escape")
        assert len(one.desk.state.entries) == before
        assert screen.field("width").text == "2900"


async def test_nothing_changed_is_refused(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    async with at_resize(deck(one), 2) as screen:
        screen.action_record_resize()
        await driver.settle(screen.app)
        assert screen.deck.said.title == "Nothing is changed yet."


async def test_by_mouse_alone(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    async with at_resize(deck(one), 2, size=(120, 40)) as screen:
        pad = screen.query_one(Keypad)
        for key in ("2", "9", "0", "0", "enter"):
            button = next(one for one in pad.buttons if one.key == key)
            await driver.click(
                screen.app, pad, button.x + button.width // 2, button.y + button.height // 2
            )
        assert change(screen).after.width == 2900
        bar = screen.query_one("ActionBar")
        record = next(
            chip for chip in bar.laid(bar.content_size.width)  # type: ignore[attr-defined]
            if chip.chip.action == "record-resize"
        )  # fmt: skip
        await driver.click(screen.app, bar, record.start + 2, 1)
        assert isinstance(screen.app.screen, Form)


async def test_what_was_typed_comes_back_after_a_kill(tmp_path: Path) -> None:
    one, drafts = on_second(tmp_path), store()
    app = deck(one, drafts=drafts)
    async with at_resize(app, 2) as screen:
        await driver.press(app, *"2900")
        screen.work.take_way("centre")
        app.kept.flush()
        saved = MemoryStore({key: dict(value) for key, value in drafts.draft.items()})
    app = DeckApp(one.desk, saved, monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        screen = app.screen
        assert isinstance(screen, ResizeScreen)
        assert change(screen).after.width == 2900
        assert change(screen).after.align == "centre"


# Room.


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_sizes_outcome_moves_and_ways_are_all_in_sight(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = example(tmp_path)
    async with at_resize(app, 3, size=size) as screen:
        await driver.press(app, *"6900")
        body = screen.query_one("#body").region
        for name in ("#sizes", "#outcome", "#moves", "#ways"):
            region = screen.query_one(name).region
            assert region.height >= (1 if name == "#outcome" else 2), (name, region)
            assert region.bottom <= body.bottom, (name, region)
        assert "1 error, 3 ways work; cancels 3 releases" in " ".join(page(app).split())


async def test_another_panel_starts_with_its_own_size(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with at_resize(app, 2) as screen:
        await driver.press(app, *"5700")
        app.go("resize", stack="A", panel=3)
        await driver.settle(app)
        assert screen.field("width").text == ""
        app.go("resize", stack="A", panel=2)
        await driver.settle(app)
        assert screen.field("width").text == "5700"
