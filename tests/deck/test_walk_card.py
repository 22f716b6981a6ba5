"""Keep in sight what must be, of every item at every size: on the example job and on hostile names."""

import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.screens.walk import WalkCard
from pourdeck.deck.views.walk_card import MODES, blind
from pourdeck.deck.views.walk_list import Stop
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.example import example_folder
from pourdeck.walk.desk import Desk
from pourdeck.walk.records import Walk
from pourdeck.walk.words import expected_text
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Keys
from tests.deck.kit import HOSTILE, HOSTILE_JOB, Ticks, lines, make_deck, page
from tests.deck.walk_kit import at_work, card, crew_at, in_lines, squeezed

AT = datetime(2026, 11, 25, 8, 0, tzinfo=ZoneInfo("Australia/Hobart"))


def example(folder: Path) -> DeckApp:
    job = shutil.copytree(example_folder(), folder / "job")
    desk = Desk.open(job, station="shed", clock=lambda: AT, state_folder=folder / "state")
    return DeckApp(desk, None, monotonic=Ticks())


@asynccontextmanager
async def open_walk(
    app: DeckApp, size: tuple[int, int], stack: str, panel: int
) -> AsyncIterator[Any]:
    async with app.run_test(size=size):
        app.keep(by="R. Osei")
        app.go("walk", stack=stack, panel=panel)
        await driver.settle(app)
        yield Keys(app)


def kinds(every: tuple[Stop, ...]) -> list[Stop]:
    """One stop of each series, and of each state in it."""
    seen: dict[tuple[str, str, bool], Stop] = {}
    for stop in every:
        state = stop.item.own_state if stop.item else stop.kind
        seen.setdefault((stop.series or stop.key, state, stop.locked), stop)
    return list(seen.values())


def bottom_of_body(app: DeckApp) -> int:
    return app.screen.query_one("#body").region.bottom


@pytest.mark.parametrize(("stack", "panel"), [("A", 3), ("C", 1), ("D", 1)])
@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(80, 24), (120, 40)]))
async def test_nothing_of_an_item_is_cut_off(
    tmp_path: Path, size: tuple[int, int], stack: str, panel: int
) -> None:
    """Prompt, expected, limits, source, place, found, verdict, why it is locked."""
    async with open_walk(example(tmp_path), size, stack, panel) as hands:
        app, units = hands.app, hands.app.desk.job.units
        for stop in kinds(hands.screen.every):
            hands.screen.stand_at(stop)
            await driver.settle(app)
            item, words = stop.item, squeezed(card(app))
            if item is None:
                continue
            assert squeezed(item.prompt) in words, stop.key
            assert squeezed(f"{stop.section.number} {stop.section.name}") in words
            assert MODES[stop.section.mode] in card(app)
            if item.critical:
                assert "critical" in words
            if item.locked_by:
                assert squeezed(item.locked_by.title) in words
            if not blind(item):
                assert squeezed(expected_text(item, units)) in words, stop.key
                assert squeezed(item.note) in words, stop.key
                if not item.locked_by:
                    assert squeezed(item.source or "") in words, stop.key
            if item.own_state in ("done", "failed"):
                assert item.own_state in words
                assert squeezed(item.by or "") in words
            if item.verdict in ("pass", "fail"):
                assert item.verdict in words
            if not item.locked_by:
                check_field_in_sight(app)


def check_field_in_sight(app: DeckApp) -> None:
    fields = (app.screen.query_one(Field), app.screen.query_one(Choice))
    shown = [field for field in fields if field.display]
    assert len(shown) == 1
    region = shown[0].region
    assert region.height >= 2, region
    assert region.bottom <= bottom_of_body(app), region


async def test_every_item_of_the_example_has_its_source_at_80_by_24(tmp_path: Path) -> None:
    """The document that limits come from is part of what must be in sight, drawing or not."""
    async with open_walk(example(tmp_path), (80, 24), "A", 3) as hands:
        for key in ("forms.offset/right-4", "forms.between/base", "forms.diagonal/bl-hr"):
            hands.app.go("walk", item=key)
            await driver.settle(hands.app)
            item = hands.stop.item
            assert item is not None
            assert squeezed(item.source) in squeezed(card(hands.app)), key


async def test_the_bracket_in_hand_is_marked_in_the_drawing_beside_its_numbers(
    tmp_path: Path,
) -> None:
    async with open_walk(example(tmp_path), (80, 24), "A", 3) as hands:
        hands.app.go("walk", item="forms.offset/right-4")
        await driver.settle(hands.app)
        drawing = in_lines(hands.app, hands.app.screen.query_one("#plan"))
        assert "←R4" in drawing
        assert "MIRRORED" in drawing
        assert "R4, 3500 mm up the right side" in drawing


async def test_the_title_says_which_panel_of_how_many_and_that_it_is_mirrored(
    tmp_path: Path,
) -> None:
    for size in windows(((60, 20), (80, 24), (120, 40))):
        folder = tmp_path / f"{size[0]}"
        folder.mkdir()
        async with open_walk(example(folder), size, "A", 3) as hands:
            first = lines(hands.app)[0]
            assert "W07 · panel 3 of 6 · MIRRORED" in first


async def test_the_sum_stands_beside_the_larger_drawing_where_there_is_room(tmp_path: Path) -> None:
    async with open_walk(example(tmp_path), (120, 40), "A", 3) as hands:
        hands.app.go("walk", item="forms.offset/right-4")
        await driver.settle(hands.app)
        shown = in_lines(hands.app, hands.app.screen.query_one("#sum"))
        assert "Offset at R4 of W07" in shown
        assert "result 301 mm" in shown
        assert hands.app.screen.query_one("#plan").size.height >= 15


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(60, 20), (80, 24), (120, 40), (132, 43), (200, 60)]))
async def test_a_field_for_every_kind_of_item_is_in_sight(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """With the longest words of the example above it."""
    async with open_walk(example(tmp_path), size, "D", 1) as hands:
        app = hands.app
        for stop in kinds(hands.screen.every):
            hands.screen.stand_at(stop)
            await driver.settle(app)
            if stop.item and not stop.locked:
                check_field_in_sight(app)
                assert squeezed(stop.item.prompt) in squeezed(card(app))


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(60, 20), (80, 24), (120, 40)]))
async def test_hostile_names_show_as_they_stand(tmp_path: Path, size: tuple[int, int]) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=size):
        app.go("walk", stack=HOSTILE, panel=1)
        await driver.settle(app)
        hands = Keys(app)
        seen = ""
        for stop in kinds(hands.screen.every):
            hands.screen.stand_at(stop)
            await driver.settle(app)
            seen += squeezed(card(app))
            assert "\x1b" not in page(app)
            assert "\u202e" not in page(app)
        assert squeezed(HOSTILE) in seen


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(60, 20), (80, 24)]))
async def test_a_note_of_two_thousand_characters_leaves_the_field_in_sight(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    from pourdeck.walk import acts

    app = example(tmp_path)
    walk = app.desk.walk("A", 3)
    long = f"{HOSTILE} " * 120
    for _ in range(3):
        act = acts.note(walk, "forms.offset/right-4", long, "R. Osei")
        assert isinstance(act, acts.Act)
        app.desk.record(act)
    async with open_walk(app, size, "A", 3) as hands:
        hands.app.go("walk", item="forms.offset/right-4")
        await driver.settle(hands.app)
        check_field_in_sight(hands.app)
        assert squeezed("301 mm ± 2 mm") in squeezed(card(hands.app))


@pytest.mark.parametrize("size", [(40, 12), (59, 24), (80, 19)])
async def test_below_the_least_size_it_says_so_and_loses_nothing(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with open_walk(example(tmp_path), size, "A", 3) as hands:
        assert squeezed(f"Window too small: now {size[0]}x{size[1]}, needs 60x20") in squeezed(
            page(hands.app)
        )
        hands.app.go("walk", item="forms.offset/right-6")
        await driver.settle(hands.app)
        assert hands.stop.key == "forms.offset/right-6"


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(60, 20), (80, 24), (120, 40)]))
async def test_the_first_card_is_laid_out_at_its_own_width_from_the_start(
    tmp_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    widths: list[int] = []
    show = WalkCard.show

    def watched(card: WalkCard, walk: Walk, stop: Stop) -> None:
        widths.append(card.screen.query_one("#card").content_size.width)
        show(card, walk, stop)

    monkeypatch.setattr(WalkCard, "show", watched)
    one = crew_at(tmp_path, "forms")
    async with at_work(one, size=size, item="forms.from-line/base") as hands:
        final = hands.screen.query_one("#card").content_size.width
        assert {width for width in widths if width} == {final}
