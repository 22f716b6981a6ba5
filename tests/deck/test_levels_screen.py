"""The level book on screen: readings typed where they are, the instrument moved, corrections, resume.

EXAM is an exam problem published with its whole level book (askfilo.com, question 3334313135393430).
"""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form
from pourdeck.deck.screens.levels import LevelsScreen
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.level_page import LevelPage, Line
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE, SIZES, MemoryStore, Ticks, lines, page, store
from tests.deck.walk_kit import crew_at
from tests.walk.kit import ALONE, FOREMAN, JOB, Crew, crew
from tests.walk.test_imperial_walk import imperial_crew

Step = tuple[str, str, str]

EXAM: list[Step] = [
    ("back", "", "2.200"), ("inter", "a", "1.620"), ("fore", "b", "0.980"),
    ("back", "b", "2.250"), ("inter", "c", "2.840"), ("fore", "d", "1.280"),
    ("back", "d", "0.600"), ("inter", "e", "1.960"), ("fore", "f", "1.450"),
]  # fmt: skip
HEIGHTS = ["100.580", "101.220", "100.630", "102.190", "100.830", "101.340"]


@asynccontextmanager
async def at_levels(
    one: Crew,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    by: str | None = FOREMAN,
    drafts: MemoryStore | None = None,
) -> AsyncIterator[Any]:
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "levels", "stack": one.stack, "panel": one.number, "by": by}
        here["by_at"] = one.clock.at.isoformat()
        drafts.draft = {"here": here, "texts": {}}
    app = DeckApp(one.desk, drafts, monotonic=Ticks())
    async with app.run_test(size=size):
        await driver.settle(app)
        yield hands(app)


def screen(hands: Hands) -> LevelsScreen:
    found = hands.app.deck_screen
    assert isinstance(found, LevelsScreen)
    return found


def book(hands: Hands) -> LevelPage:
    found = screen(hands).page
    assert found is not None
    return found


def in_hand(hands: Hands) -> Line:
    found = screen(hands).line_in_hand(book(hands))
    assert found is not None
    return found


async def ask_for(hands: Hands, name: str, kind: str) -> None:
    await hands.act("another-point")
    dialog = hands.app.screen
    assert isinstance(dialog, Form)
    await hands.fill(dialog, name=name)
    if kind == "fore":
        picker = dialog.query_one("#ask-kind", Choice)
        if isinstance(hands, Keys):
            await hands.focus(picker)
            await hands.press("right")
        else:
            await driver.click(hands.app, picker, picker.size.width - 1, 0)
        assert picker.value == "fore"
    await hands.press_button("do")


async def read(hands: Hands, kind: str, name: str, reading: str) -> None:
    """Read the staff as a crew does: a new set-up, a point of one's own, then the figures."""
    if kind == "back" and name:
        await hands.act("move-instrument")
        assert isinstance(hands.app.screen, ChoiceDialog)
        await hands.pick(f"point/{name}")
    elif name:
        await ask_for(hands, name, kind)
    await hands.settle()
    assert (in_hand(hands).kind, in_hand(hands).reading) == (kind, None)
    await hands.write(reading)
    await hands.enter()
    await hands.settle()


@pytest.mark.parametrize("hands", [Keys, Clicks])
async def test_a_published_book_by_keys_and_by_clicks(tmp_path: Path, hands: type[Hands]) -> None:
    one = crew_at(tmp_path, "height")
    size = (80, 24) if hands is Keys else (120, 40)
    async with at_levels(one, hands, size=size) as at_work:
        for kind, name, reading in EXAM:
            await read(at_work, kind, name, reading)
        got = [x for x in book(at_work).lines if x.kind != "back" and x.reading is not None]
        assert [f"{x.rl:.3f}" for x in got] == HEIGHTS
        (run,) = book(at_work).runs
        assert (run.backsights, run.foresights) == (Decimal("5.050"), Decimal("3.710"))
        assert run.rise == Decimal("1.340")
        assert one.item("height.backsight").own_state == "done"
        assert "HI" not in page(at_work.app)
        assert "height of instrument 102.790 m" in page(at_work.app)


async def test_the_benchmark_first_then_what_every_point_should_read(tmp_path: Path) -> None:
    """HI 102.200, to set 101.000 read 1.200: worked out from the first set-up of EXAM."""
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        assert "Set-up 1: read the staff on TBM first" in page(hands.app)
        await hands.press(*"2.200", "enter")
        assert (in_hand(hands).point, str(in_hand(hands).should)) == ("form-top/bl", "1.200")
        assert "form top, base left: should read 1.200 m, for RL 101.000 m" in page(hands.app)
        await hands.press(*"1.201", "enter")
        assert one.item("height.staff/bl").own_state == "done"
        assert in_hand(hands).point == "form-top/br"


async def test_a_reading_out_of_its_limits_stays_in_hand_and_says_so(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        await hands.press(*"2.200", "enter", *"1.190", "enter")
        assert in_hand(hands).point == "form-top/bl"
        assert "+10 mm FAIL" in page(hands.app)
        await hands.press("enter", *["backspace"] * 4, *"1.200", "enter")
        assert isinstance(hands.app.screen, Form)
        assert "What was done about it?" in page(hands.app)
        await hands.press(*"raised", "enter", "enter")
        assert one.item("height.staff/bl").own_state == "done"
        assert one.desk.state.last is not None
        assert one.desk.state.last.data["why"] == "raised"


async def test_a_correction_asks_why_and_esc_leaves_the_old_reading(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        await read(hands, "back", "", "2.200")
        await read(hands, "inter", "kerb", "1.000")
        before = hands.entries
        rows = hands.app.screen.query_one("#lines", RowList)
        assert rows.select("1.inter.point/kerb", tell=True)
        await hands.settle()
        await hands.press("enter", "backspace", "5", "enter")
        assert isinstance(hands.app.screen, Form)
        await hands.press("escape")
        assert hands.entries == before
        assert hands.app.screen.query_one("#reading", Field).text == "1"
        await hands.press("enter", "backspace", *"1.005", "enter", *"misread", "enter", "enter")
        assert str(in_hand(hands).key) != ""
        found = book(hands).find("1.inter.point/kerb")
        assert found is not None
        assert str(found.reading) == "1.005"


async def test_what_is_half_typed_and_asked_for_comes_back_after_a_kill(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    drafts = store()
    async with at_levels(one, drafts=drafts) as hands:
        await read(hands, "back", "", "2.200")
        await ask_for(hands, "kerb", "fore")
        await hands.press(*"1.2")
        hands.app.kept.flush()
    async with at_levels(one, drafts=drafts) as hands:
        assert (in_hand(hands).kind, in_hand(hands).point) == ("fore", "point/kerb")
        field = hands.app.screen.query_one("#reading", Field)
        assert (field.text, field.typing) == ("1.2", True)
        await hands.press(*"34", "enter")
        found = book(hands).find("1.fore.point/kerb")
        assert found is not None
        assert str(found.reading) == "1.234"


async def test_a_new_set_up_waits_for_the_backsight_of_this_one(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        await hands.press("s")
        assert not isinstance(hands.app.screen, ChoiceDialog)
        assert "Read the backsight of this set-up first" in page(hands.app)


async def test_a_height_typed_for_a_reading_is_refused_by_name(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        await hands.press(*"2.200", "enter")
        before = hands.entries
        await hands.press(*"101", "enter", "enter")
        assert hands.entries == before
        assert hands.app.screen.query_one("#reading", Field).text == "101"


async def test_a_stray_letter_is_said_to_do_nothing(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        hands.app.screen.query_one("#lines").focus()
        await hands.press("ß")
        assert "ß does nothing here" in page(hands.app)


async def test_undo_of_a_sight_stays_in_the_level_book(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    async with at_levels(one) as hands:
        await read(hands, "back", "", "2.200")
        await read(hands, "inter", "kerb", "1.000")
        await hands.press("u")
        assert hands.app.here.screen == "levels"
        assert book(hands).find("1.inter.point/kerb") is None
        await hands.press("r")
        assert book(hands).find("1.inter.point/kerb") is not None


async def test_from_an_item_of_the_walk_to_its_line(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "height")
    one.answer("height.backsight", "2.200")
    one.answer("height.staff/bl", "1.200")
    async with at_levels(one) as hands:
        hands.app.go("walk", item="height.staff/br")
        await hands.settle()
        await hands.press("i")
        assert in_hand(hands).item == "height.staff/br"


async def test_the_surface_after_the_pour(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "close", ALONE)
    async with at_levels(one) as hands:
        assert "Set-up 2: read the staff on TBM first" in page(hands.app)
        await hands.press(*"1.8", "enter")
        assert in_hand(hands).point == "surface/bl"
        await hands.press(*"0.798", "enter")
        assert str(one.walk.record.measured["rl_bl"]) == "101.002"


async def test_without_a_benchmark_the_screen_says_so(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB.replace('benchmark = { name = "TBM", rl = 100.000 }', ""))
    async with at_levels(one) as hands:
        assert "The job names no benchmark" in page(hands.app)
        await hands.press("s", "a", "1", "enter", "down")
        assert hands.entries <= 1


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_what_matters_is_in_sight_at_every_size(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = crew_at(tmp_path, "height")
    one.answer("height.backsight", "2.200")
    async with at_levels(one, size=size) as hands:
        words = page(hands.app)
        for said in ("Set-up 1 on TBM 100.000 m", "form top, base left", "1.200", "F1"):
            assert said in words, said
        assert all(len(row) <= size[0] for row in lines(hands.app))


async def test_names_are_shown_as_they_are(tmp_path: Path) -> None:
    text = JOB.replace('name = "TBM"', f'name = "{HOSTILE}"')
    one = crew_at(tmp_path, "height", text)
    async with at_levels(one, size=(120, 40)) as hands:
        await read(hands, "back", "", "2.200")
        await ask_for(hands, HOSTILE, "inter")
        await hands.press(*"1.0", "enter")
        assert page(hands.app).count(HOSTILE) >= 2


async def test_an_imperial_job_reads_feet(tmp_path: Path) -> None:
    """A reading of 5 ft is 1.524 m (NIST SP 811, B.8: 1 ft = 0.3048 m exactly)."""
    one = imperial_crew(tmp_path)
    one.go_to("height")
    async with at_levels(one, by=one.foreman) as hands:
        await hands.press(*"5", "enter")
        await hands.settle()
        assert one.desk.state.last is not None
        assert one.desk.state.last.data["value"] == "1.524"
        assert "reads, ft" in page(hands.app)
