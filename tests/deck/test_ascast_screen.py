"""The as-cast screen: each measurement typed where it is, live, by keys and by clicks, and after a kill."""

import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.screens.ascast import ORDER, AsCastScreen
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import Keypad
from pourdeck.deck.widgets.prose import CastView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk import acts
from pourdeck.walk.ascast import cast_sheet
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE, SIZES, MemoryStore, lines, page, store
from tests.deck.walk_kit import at_work, crew_at, in_lines, squeezed
from tests.walk.kit import FOREMAN, JOB, Crew, open_desk
from tests.walk.kit import crew as made_crew

TWICE = JOB.replace("[tolerance]", '[tolerance]\ntwice = ["width"]')
IMPERIAL = JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')
WIDE = (120, 40)


@asynccontextmanager
async def on_screen(
    crew: Crew,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    panel: int = 1,
    drafts: MemoryStore | None = None,
) -> AsyncIterator[Any]:
    """Hands on the as-cast screen of a panel, in the name of the foreman."""
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "ascast", "stack": "A", "panel": panel, "item": None, "by": FOREMAN}
        drafts.draft = {"here": here, "texts": {}}
    async with at_work(crew, hands, size=size, drafts=drafts) as found:
        yield found


def ready(folder: Path, text: str) -> Crew:
    """A crew whose panel was poured by a job in mm, and is measured by this one."""
    crew = crew_at(folder, "close", JOB)
    crew.desk.close()
    return Crew(open_desk(folder, text, crew.clock), crew.clock)


def screen(hands: Any) -> AsCastScreen:
    found = hands.app.screen
    assert isinstance(found, AsCastScreen), found
    return found


def part(hands: Any, name: str) -> str:
    """Give what a part of the screen shows, its lines joined and the bar of its list left out."""
    found = in_lines(hands.app, hands.app.screen.query_one(name))
    return " ".join(found.translate({ord(sign): " " for sign in "█│"}).split())


def field(hands: Any) -> Field:
    return screen(hands).query_one("#measure", Field)


def last(crew: Crew) -> Any:
    return crew.desk.state.entries[-1]


async def click_on(hands: Any, key: str) -> None:
    """Click in the drawing on what stands for a measurement."""
    view = screen(hands).query_one(CastView)
    drawing = view.drawing
    assert drawing is not None
    for y in range(drawing.canvas.height):
        for x in range(drawing.canvas.width):
            if drawing.hits.at(x, y) == key:
                await driver.click(hands.app, view, x, y)
                return
    raise AssertionError(f"no place to click for {key}")


async def take_in_hand(hands: Any, key: str) -> None:
    """By arrows, or by a click on the drawing."""
    if isinstance(hands, Clicks):
        await click_on(hands, key)
        return
    for _ in ORDER:
        if screen(hands).hand == key:
            return
        step = "down" if ORDER.index(key) > ORDER.index(screen(hands).hand) else "up"
        await driver.press(hands.app, step)
    assert screen(hands).hand == key


async def type_in(hands: Any, text: str) -> None:
    if isinstance(hands, Keys):
        await driver.press(hands.app, *text, "enter")
        return
    app = hands.app
    if not screen(hands).query_one(Keypad).display:
        await driver.click(app, field(hands), 4, 0)
    for key in (*text, "enter"):
        await hands.pad(key)


# What it shows.


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES), ids=str)
async def test_before_the_pour_it_says_what_would_show_and_refuses_entry(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """The panel is 3 m square: 8.5 mm in a side, 6 in a diagonal (worked out in test_what_shows)."""
    crew = made_crew(tmp_path)
    async with on_screen(crew, size=size) as hands:
        assert "(3000)" in page(hands.app)
        await driver.press(hands.app, "w")
        assert isinstance(hands.app.screen, TellDialog)
        words = squeezed(page(hands.app))
        assert squeezed("P1 is not poured.") in words
        await driver.press(hands.app, "escape", "3")
        assert not field(hands).display
        assert "P1 is not poured" in hands.app.said.title
        assert crew.desk.state.entries == [] or last(crew).kind != "as-cast"
        if size == WIDE:
            foot = squeezed(part(hands, "#state"))
            assert squeezed("8.5 mm in a width, 8.5 mm in a height or 6 mm in a diagonal") in foot


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES), ids=str)
@pytest.mark.parametrize("text", [JOB, IMPERIAL, TWICE], ids=["metric", "imperial", "twice"])
async def test_the_whole_screen_fits(tmp_path: Path, size: tuple[int, int], text: str) -> None:
    crew = ready(tmp_path, text)
    async with on_screen(crew, size=size) as hands:
        rows = lines(hands.app)
        assert len(rows) == size[1]
        assert "width base" in page(hands.app)
        assert re.search(r"\[(c )?As-cast ?\]", page(hands.app))
        assert part(hands, "#lines").count("assumed") >= 1
        plan = part(hands, "#plan")
        assert "base [(" in plan
        assert "base side" in plan
        for key in ORDER:
            await take_in_hand(hands, key)
            shown = part(hands, "#lines")
            assert "› " in shown or "▸ " in shown, key
            assert field(hands).has_focus


async def test_a_mark_that_looks_like_markup_is_only_text(tmp_path: Path) -> None:
    text = JOB.replace('"P1"', f'"{HOSTILE}"').replace("Trial yard", HOSTILE)
    crew = crew_at(tmp_path, "close", text)
    async with on_screen(crew) as hands:
        await driver.press(hands.app, *"3001", "enter")
        assert HOSTILE[:8] in page(hands.app)
        assert last(crew).data["values"] == {"width_base": "3001"}


async def test_every_row_says_expected_found_off_verdict_and_residual(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    for key in ("width/base", "width/head", "height/left", "height/right"):
        crew.answer(f"close.{key}", "3000")
    crew.answer("close.diagonal/bl-hr", "4242.6")
    async with on_screen(crew, size=WIDE) as hands:
        await take_in_hand(hands, "diagonal_br_hl")
        await driver.press(hands.app, *"4250.6")
        rows = part(hands, "#lines")
        assert "diagonal br-hl 4250.6 mm*" in rows
        assert "+8 mm ✓ pass" in rows
        assert "expected 4242.6 mm, residual −2 mm" in rows
        assert "now 8 mm apart; the two at most 8 mm apart, trial spec, table 1" in rows
        assert "2995 mm to 3005 mm, trial spec, table 1" in rows
        await take_in_hand_after_escape(hands, "thickness_bl")
        assert "assumed as planned" in part(hands, "#lines")


async def take_in_hand_after_escape(hands: Any, key: str) -> None:
    await driver.press(hands.app, "escape")
    await take_in_hand(hands, key)


# Live.


async def test_the_misclosure_is_shown_before_enter(tmp_path: Path) -> None:
    """Five sides and diagonals fit; the sixth 20 mm out of them shows at once and records nothing."""
    crew = crew_at(tmp_path, "close")
    for key, typed in (
        ("width/head", "3000"), ("height/left", "3000"), ("height/right", "3000"),
        ("diagonal/bl-hr", "4242.6"), ("diagonal/br-hl", "4242.6"),
    ):  # fmt: skip
        crew.answer(f"close.{key}", typed)
    before = len(crew.desk.state.entries)
    async with on_screen(crew, size=WIDE) as hands:
        assert screen(hands).hand == "width_base"
        assert "No measurement checks another yet" in part(hands, "#state")
        await driver.press(hands.app, *"3020")
        told = squeezed(part(hands, "#told"))
        assert squeezed("width base is 20.1 mm longer than the others make it") in told
        assert squeezed("a slip shows above 8.5 mm") in told
        foot = squeezed(part(hands, "#state"))
        assert squeezed("They do not fit together") in foot
        assert squeezed("width base 20.1 mm too long; or width head 20 mm too long") in foot
        assert "[3020]" in part(hands, "#plan")
        await driver.press(hands.app, "escape")
        assert "They do not fit" not in part(hands, "#state")
        assert len(crew.desk.state.entries) == before


async def test_lengths_no_panel_has_are_refused_by_the_adjustment(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    crew.answer("close.diagonal/bl-hr", "4700")
    crew.answer("close.height/right", "3000")
    crew.answer("close.width/base", "1600")
    async with on_screen(crew, size=WIDE) as hands:
        assert squeezed("diagonal_bl_hr cannot be 4700 mm") in squeezed(part(hands, "#state"))


async def test_what_is_still_being_typed_is_not_judged(tmp_path: Path) -> None:
    """`30` of 3020 is no width of 30 mm: it is neither off nor a slip."""
    crew = crew_at(tmp_path, "close")
    async with on_screen(crew, size=WIDE) as hands:
        await driver.press(hands.app, *"30")
        assert "FAIL" not in page(hands.app)
        assert "[30]" in part(hands, "#plan")
        await driver.press(hands.app, *"20")
        assert "+20 mm ✗ FAIL" in part(hands, "#lines")


# Recording.


@pytest.mark.parametrize("hands", [Keys, Clicks])
@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES), ids=str)
@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [("height_right", "3001", "3001"), ("out_left_bl", "-2", "-2"), ("thickness_hr", "151", "151")],
)
async def test_keys_and_clicks_end_in_the_same_entry(
    tmp_path: Path, hands: type[Hands], size: tuple[int, int], key: str, typed: str, value: str
) -> None:
    crew = crew_at(tmp_path, "close")
    async with on_screen(crew, hands, size=size) as at:
        if hands is Clicks and size != WIDE and key == "thickness_hr":
            await click_on(at, key)
        else:
            await take_in_hand(at, key)
        await type_in(at, typed)
        assert last(crew).kind == "as-cast"
        assert last(crew).by == FOREMAN
        assert last(crew).data == {"panel": "P1", "values": {key: value}}
        assert screen(at).hand != key


async def test_a_correction_asks_why_and_is_a_new_entry(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    crew.answer("close.width/base", "3001")
    first = last(crew)
    async with on_screen(crew) as hands:
        await take_in_hand(hands, "width_base")
        await driver.press(hands.app, "enter", *(["backspace"] * 4), *"3002", "enter")
        await driver.press(hands.app, *"read wrong", "enter", "enter")
        await driver.settle(hands.app)
        assert last(crew).data == {
            "panel": "P1", "values": {"width_base": "3002"}, "replaces": first.n,
            "replaces_station": "shed", "why": "read wrong",
        }  # fmt: skip


async def test_an_offset_mark_is_corrected_by_a_new_entry_too(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    async with on_screen(crew) as hands:
        await take_in_hand(hands, "out_base_bl")
        await driver.press(hands.app, *"2", "enter")
        await take_in_hand(hands, "out_base_bl")
        await driver.press(hands.app, "enter", "backspace", "3", "enter")
        await driver.press(hands.app, *"read wrong", "enter", "enter")
        assert last(crew).data["values"] == {"out_base_bl": "3"}
        assert last(crew).data["why"] == "read wrong"


async def test_the_same_value_again_records_nothing(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    crew.answer("close.width/base", "3001")
    before = len(crew.desk.state.entries)
    async with on_screen(crew) as hands:
        await take_in_hand(hands, "width_base")
        await driver.press(hands.app, "enter", "backspace", "1", "enter")
        assert len(crew.desk.state.entries) == before
        assert "Unchanged" in hands.app.said.title


async def test_what_is_out_of_its_limits_stays_in_hand(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    async with on_screen(crew) as hands:
        await driver.press(hands.app, *"3009", "enter")
        assert screen(hands).hand == "width_base"
        assert "FAIL" in part(hands, "#lines")
        assert "3009✗" in part(hands, "#plan") or "[3009]" in part(hands, "#plan")
        await driver.press(hands.app, "u")
        assert crew.walk.record.measured == {}


async def test_a_length_in_place_of_an_offset_is_refused(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    before = len(crew.desk.state.entries)
    async with on_screen(crew) as hands:
        await take_in_hand(hands, "out_right_br")
        await driver.press(hands.app, *"3000", "enter")
        assert len(crew.desk.state.entries) == before
        assert "above 1000 mm" in field(hands).reason


async def test_a_slip_of_the_decimal_point_is_asked_about_as_in_the_walk(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    before = len(crew.desk.state.entries)
    async with on_screen(crew) as hands:
        await driver.press(hands.app, *"300", "enter")
        assert "Did you mean" in field(hands).reason
        assert len(crew.desk.state.entries) == before


async def test_feet_and_inches(tmp_path: Path) -> None:
    """9' 10-1/8" is 3000.375 mm: 1 in = 25.4 mm exactly, NIST SP 811 (2008), B.8."""
    crew = ready(tmp_path, IMPERIAL)
    async with on_screen(crew) as hands:
        await driver.press(hands.app, *"9' 10-1/8\"".replace(" ", "~").split("~")[0])
        await driver.press(hands.app, "space", *'10-1/8"', "enter")
        assert last(crew).data["values"] == {"width_base": "3000.375"}
        assert "9' 10-1/8\"" in part(hands, "#lines")


# Between the walk and here.


async def test_c_and_f3_go_between_the_item_and_its_measurement(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    async with at_work(crew, item="close.thickness/hr") as hands:
        assert "On the panel" in page(hands.app)
        await driver.press(hands.app, *"15", "c")
        assert hands.app.deck_screen.ID == "walk", "a letter goes into a field that is open"
        await driver.press(hands.app, "escape", "c")
        assert screen(hands).hand == "thickness_hr"
        await driver.press(hands.app, "down")
        assert screen(hands).hand == "thickness_hl"
        await driver.press(hands.app, "f3")
        assert hands.stop.key == "close.thickness/hl"


async def test_half_typed_in_the_walk_is_half_typed_here(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    async with at_work(crew, item="close.width/head") as hands:
        await driver.press(hands.app, *"29")
        hands.app.go("ascast")
        await driver.settle(hands.app)
        assert (screen(hands).hand, field(hands).text) == ("width_head", "29")


async def test_the_half_typed_measurement_comes_back_after_a_kill(tmp_path: Path) -> None:
    crew, drafts = crew_at(tmp_path, "close"), store()
    async with on_screen(crew, drafts=drafts) as hands:
        await take_in_hand(hands, "out_head_hr")
        await driver.press(hands.app, *"-1.")
        hands.app.kept.flush()
    crew.desk.close()
    again = Crew(open_desk(tmp_path, JOB, crew.clock), crew.clock)
    async with on_screen(again, drafts=drafts) as hands:
        assert screen(hands).hand == "out_head_hr"
        assert (field(hands).text, field(hands).dirty) == ("-1.", True)
        await driver.press(hands.app, "5", "enter")
        assert last(again).data["values"] == {"out_head_hr": "-1.5"}


# Twice.


@pytest.mark.parametrize("where", ["ascast", "walk"])
async def test_a_width_is_typed_twice_without_seeing_the_first(tmp_path: Path, where: str) -> None:
    crew = crew_at(tmp_path, "close", TWICE)
    before = len(crew.desk.state.entries)
    opened = (
        on_screen(crew, size=WIDE)
        if where == "ascast"
        else at_work(crew, item="close.width/base", size=WIDE)
    )
    async with opened as hands:
        limit = "at most 4.2 mm, three times √2 times the 1 mm of a tape"
        assert squeezed(limit) in squeezed(part(hands, "#told"))
        await driver.press(hands.app, *"3001.5", "enter")
        assert len(crew.desk.state.entries) == before
        assert "3001.5" not in page(hands.app)
        assert "econd reading" in page(hands.app)
        await driver.press(hands.app, *"3002.5", "enter")
        assert last(crew).data == {
            "panel": "P1", "values": {"width_base": "3002"},
            "readings": {"width_base": ["3001.5", "3002.5"]},
        }  # fmt: skip
        await driver.press(hands.app, "f6")
        assert "readings    width, base side 3001.5 mm and" in page(hands.app)
        assert "            3002.5 mm" in page(hands.app)


@pytest.mark.parametrize("where", ["ascast", "walk"])
async def test_two_that_do_not_agree_are_shown_and_measured_again(
    tmp_path: Path, where: str
) -> None:
    crew = crew_at(tmp_path, "close", TWICE)
    before = len(crew.desk.state.entries)
    opened = on_screen(crew) if where == "ascast" else at_work(crew, item="close.width/base")
    async with opened as hands:
        await driver.press(hands.app, *"3001", "enter", *"3006", "enter")
        assert "3001 mm and 3006 mm do not agree" in hands.app.said.title
        assert len(crew.desk.state.entries) == before
        await driver.press(hands.app, *"3001", "enter")
        await driver.press(hands.app, "escape")
        assert "first reading is dropped" in hands.app.said.title
        await driver.press(hands.app, *"3000", "enter", *"3000", "enter")
        assert last(crew).data["readings"] == {"width_base": ["3000", "3000"]}


async def test_the_first_reading_is_kept_over_a_kill(tmp_path: Path) -> None:
    crew, drafts = crew_at(tmp_path, "close", TWICE), store()
    async with on_screen(crew, drafts=drafts) as hands:
        await driver.press(hands.app, *"3001", "enter", *"30")
        hands.app.kept.flush()
    crew.desk.close()
    again = Crew(open_desk(tmp_path, TWICE, crew.clock), crew.clock)
    async with on_screen(again, drafts=drafts) as hands:
        assert field(hands).text == "30"
        await driver.press(hands.app, *"03", "enter")
        assert last(again).data["readings"] == {"width_base": ["3001", "3003"]}


# The rows.


async def test_a_click_on_a_row_takes_it_in_hand(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    async with on_screen(crew, Clicks, size=WIDE) as hands:
        rows = screen(hands).query_one("#lines", RowList)
        y = next(y for y, one in enumerate(rows.lines) if rows.rows[one.row].key == "height_left")
        await driver.click(hands.app, rows, 4, y)
        assert screen(hands).hand == "height_left"
        assert "║" in part(hands, "#plan")


def test_the_sheet_tries_what_is_typed_and_keeps_nothing(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    tried = cast_sheet(crew.walk, ("width_base", Decimal(3006)))
    assert tried.line("width_base").verdict == "fail"
    assert tried.line("width_base").tried
    assert cast_sheet(crew.walk).line("width_base").found is None


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES), ids=str)
async def test_verdict_and_misclosure_are_in_sight_while_typing_whatever_the_window(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    crew = crew_at(tmp_path, "close")
    for key in ("width/head", "height/left", "height/right"):
        crew.answer(f"close.{key}", "3000")
    for key in ("diagonal/bl-hr", "diagonal/br-hl"):
        crew.answer(f"close.{key}", "4242.6")
    async with on_screen(crew, size=size) as hands:
        await driver.press(hands.app, *"3020")
        told = squeezed(part(hands, "#told"))
        for words in ("+20 mm", "FAIL", "isclosure", "20.1 mm", "above 8.5 mm"):
            assert squeezed(words) in told, (words, told)
        assert "3020" in part(hands, "#lines")
        assert "3020" in part(hands, "#plan")


async def test_what_was_put_off_says_so_in_its_row(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    crew.do(acts.defer(crew.walk, "close.width/base", "no tape", FOREMAN, "lift", FOREMAN))
    crew.do(acts.not_applicable(crew.walk, "close.rl/bl", "no level", FOREMAN))
    async with on_screen(crew, size=WIDE) as hands:
        rows = part(hands, "#lines")
        assert "width base 3000 mm deferred, assumed" in rows
        assert "RL bl 101.000 m not applicable, assumed" in rows
        await take_in_hand(hands, "width_base")
        await driver.press(hands.app, *"3001", "enter")
        assert last(crew).data == {"panel": "P1", "values": {"width_base": "3001"}}


async def test_all_of_it_can_be_read(tmp_path: Path) -> None:
    crew = crew_at(tmp_path, "close")
    crew.answer("close.width/base", "3009")
    async with on_screen(crew, size=(80, 24)) as hands:
        await driver.press(hands.app, "w")
        words = " ".join(page(hands.app).split())
        assert "width base: cannot tell: no other measurement checks it." in words
        await driver.press(hands.app, "escape")
        assert "F3 goes to its item in the Walk" not in page(hands.app)
        await take_in_hand(hands, "width_base")
        assert squeezed("F3 goes to its item in the Walk") in squeezed(part(hands, "#told"))
        await driver.press(hands.app, "f3")
        assert hands.stop.key == "close.width/base"
