"""The Lift screen: the order of the job, what is missing in words, release and lift by two pairs of hands."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.form import Form
from pourdeck.deck.paint import plain
from pourdeck.deck.screens.lift import LiftScreen
from pourdeck.deck.views.lift_list import card_rows, lift_heading, list_rows, place_of
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.prose import PlanView
from pourdeck.walk import acts
from pourdeck.walk.lift_seals import EXPOSED_CHECKS
from pourdeck.walk.lift_words import lift_rows
from pourdeck.walk.records import Act
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE_JOB, SIZES, MemoryStore, Ticks, lines, make_deck, page, store
from tests.walk.kit import FOREMAN, crew
from tests.walk.lift_kit import BESIDE, ENGINEER, LIFT_JOB, NO_LIMIT_JOB, YARD_JOB, Day, lift_day


@asynccontextmanager
async def at_lift(
    day: Day,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    number: int = 2,
    drafts: MemoryStore | None = None,
) -> AsyncIterator[Any]:
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "lift", "stack": "A", "panel": number, "by": FOREMAN}
        drafts.draft = {"here": here, "texts": {}}
    app = DeckApp(day.crew.desk, drafts, monotonic=Ticks())
    async with app.run_test(size=size):
        await driver.settle(app)
        yield hands(app)


def screen(hands: Hands) -> LiftScreen:
    found = hands.app.deck_screen
    assert isinstance(found, LiftScreen)
    return found


async def settle_pickers(hands: Hands, dialog: Form) -> None:
    """The second word of each choice: the first one says nothing."""
    for key in EXPOSED_CHECKS:
        picker = dialog.query_one(f"#ask-{key}", Choice)
        if isinstance(hands, Keys):
            await hands.focus(picker)
            await hands.press("right")
        else:
            await driver.click(hands.app, picker, picker.size.width - 1, 0)


@pytest.mark.parametrize("kind", [Keys, Clicks])
async def test_release_lift_and_look_by_keys_and_by_clicks(
    tmp_path: Path, kind: type[Hands]
) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    async with at_lift(day, kind, size=(80, 24) if kind is Keys else (120, 40)) as hands:
        await hands.act("lift-release")
        await hands.settle()
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, by="er", seen="ok 1")
        await hands.press_button("do")
        await hands.settle()
        assert day.view(2).fit
        release = day.view(2).release
        assert release is not None
        assert (release.by, release.data["seen"]) == (ENGINEER, "ok 1")
        await hands.act("lift-record")
        await hands.settle()
        assert isinstance(hands.app.screen, Form)
        await hands.press_button("do")
        await hands.settle()
        assert day.view(2).lifted is not None
        looking = hands.app.screen
        assert isinstance(looking, Form), "what was seen of the panel laid bare is asked at once"
        await settle_pickers(hands, looking)
        await hands.press_button("do")
        await hands.settle()
        (note,) = day.view(1).exposed
        assert note.by == FOREMAN
        assert note.data["text"].startswith("Recesses and lifters: open, clean, undamaged")
        assert hands.app.here.panel == 1


async def test_what_is_not_fit_is_not_lifted_and_all_is_said(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    async with at_lift(day, number=1) as hands:
        before = hands.entries
        await hands.press("o")
        await hands.settle()
        said = f"{hands.app.said.title} {hands.app.said.body}"
        assert hands.app.said.kind == "refused"
        for part in ("no field-cured result", "no release to lift", "P2 above"):
            assert part in said
        await hands.press("h")
        await hands.settle()
        assert "cannot be released to lift yet" in hands.app.said.title
        assert hands.entries == before


@pytest.mark.parametrize("key", ["enter", "space", "y", "h", "o"])
async def test_twenty_presses_of_one_key_release_nothing(tmp_path: Path, key: str) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    async with at_lift(day) as hands:
        await hands.press("h")
        await hands.settle()
        await hands.press(*[key] * 20)
        await hands.settle()
        assert day.view(2).release is None


@pytest.mark.parametrize("key", ["enter", "space", "y", "o"])
async def test_twenty_presses_of_one_key_lift_nothing(tmp_path: Path, key: str) -> None:
    day = lift_day(tmp_path)
    day.fit(2)
    async with at_lift(day) as hands:
        await hands.press("o")
        await hands.settle()
        assert isinstance(hands.app.screen, Form)
        await hands.press(*[key] * 20)
        await hands.settle()
        assert day.view(2).lifted is None


async def test_a_foreman_is_told_that_he_cannot_release(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    async with at_lift(day) as hands:
        await hands.press("h")
        await hands.settle()
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, by="ar", seen="all fine")
        await hands.press_button("do")
        await hands.settle()
        assert hands.app.screen is dialog
        assert "foreman, not engineer" in " ".join(page(hands.app).replace("│", " ").split())
        assert day.view(2).release is None


async def test_where_the_job_gives_no_limit_the_engineer_does(tmp_path: Path) -> None:
    day = lift_day(tmp_path, NO_LIMIT_JOB)
    day.result(2)
    async with at_lift(day) as hands:
        assert "no limit given" in " ".join(page(hands.app).split())
        await hands.press("h")
        await hands.settle()
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, by="er", seen="all seen", strength="30", document="LD 2")
        await hands.press_button("do")
        await hands.settle()
        assert "at 30 MPa" in " ".join(page(hands.app).split())
        field = dialog.query_one("#ask-strength")
        field.value = "20"  # type: ignore[attr-defined]
        await hands.press_button("do")
        await hands.settle()
        assert (day.view(2).fit, day.view(2).source) == (True, "LD 2")


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_what_matters_is_in_sight_at_every_size(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    day = lift_day(tmp_path)
    day.fit(2)
    async with at_lift(day, size=size) as hands:
        shown = " ".join(page(hands.app).split())
        assert "P2: fit to lift" in shown
        assert "kg, at 2400" in shown
        assert "from the left" in shown
        assert hands.app.screen.query_one(PlanView).display is (size == (120, 40))
        if size == (120, 40):
            drawn = [row for row in lines(hands.app) if "│" in row]
            assert any("G" in row for row in drawn)
            assert "G centre of gravity" in shown


async def test_the_arrows_go_through_the_job_and_take_the_panel_along(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    async with at_lift(day, size=(120, 40)) as hands:
        assert hands.app.here.panel == 2
        await hands.press("down")
        await hands.settle()
        assert hands.app.here.panel == 1
        assert "P1: not fit" in page(hands.app)
        await hands.press("enter")
        await hands.settle()
        assert "Braces stay until written approval" in " ".join(page(hands.app).split())


async def test_the_board_leads_to_it(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    drafts = store()
    drafts.draft = {
        "here": {"screen": "board", "stack": "A", "panel": 2, "by": FOREMAN},
        "texts": {},
    }
    async with at_lift(day, drafts=drafts) as hands:
        assert "not fit to lift: no field-cured result of P2" in " ".join(page(hands.app).split())
        assert hands.app.here.screen == "board"
        rows = hands.app.screen.query_one("#needs")
        rows.focus()
        rows.select("lift:0")
        await hands.press("enter")
        await hands.settle()
        assert hands.app.here.screen == "lift"


async def test_a_hostile_job_shows(tmp_path: Path) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "k")
        await driver.settle(app)
        assert "[/x]" in page(app)
        await driver.press(app, "o", "h", "b", "enter")
        await driver.settle(app)
        assert app.is_running


async def test_a_stray_key_is_said_to_do_nothing(tmp_path: Path) -> None:
    async with at_lift(lift_day(tmp_path)) as hands:
        await hands.press("ß")
        assert "does nothing here" in hands.app.said.title


# Lines without an app.


def test_rows_say_the_order_and_what_is_next(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.fit(2)
    views = day.crew.desk.lifts()
    first, second = list_rows(views, 40)
    assert "next, fit to lift" in plain(first.right)
    assert "3 missing" in plain(second.right)
    assert place_of(first.key or "") == ("A", 2)
    day.lift(2)
    first, second = list_rows(day.crew.desk.lifts(), 40)
    assert plain(first.right).startswith("✗ next, ")
    assert plain(second.right) == "↑ lifted"


def test_a_panel_that_is_not_cast_says_so(tmp_path: Path) -> None:
    desk = crew(tmp_path, LIFT_JOB).desk
    (row, _) = list_rows(desk.lifts(), 40)
    assert "not cast" in plain(row.right)
    assert "not cast yet" in plain(lift_heading(desk.lift("A", 2)))


def test_the_card_names_all_that_the_crane_crew_asks_for(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    act = acts.release_to_lift(day.view(2), ENGINEER, "", "looked at all")
    day.do(act)
    words = "\n".join(plain(row) for row in card_rows(day.view(2), 200))
    for part in (
        "3234 kg, at 2400 kg/m³",
        "4850 kg, factor 1.5 of lifting design LD-1",
        "1500 mm from the left edge, 1500 mm from the base edge",
        "inside face up",
        "head edge (top of wall), hung from the lifters in its face",
        "25 MPa needed, lifting design LD-1: F1, field-cured, 27.5 MPa",
        "Eva Ross, engineer",
        "looked at all",
        "400 mm towards the head; at most 100 mm either way",
        "The engineer must check the lifting design.",
    ):
        assert part in words, part


# What is half done when the terminal is killed, and what is seen at once.


async def test_the_release_that_was_being_typed_has_its_words_again(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    drafts = store()
    async with at_lift(day, drafts=drafts) as hands:
        await hands.press("h")
        await hands.settle()
        await hands.fill(hands.app.screen, by="er", seen="half a")
        hands.app.kept.flush()
        drafts = MemoryStore(deepcopy(drafts.draft))
    async with at_lift(day, drafts=drafts) as hands:
        await hands.press("h")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        assert dialog.query_one("#ask-by", Field).value == "er"
        assert dialog.query_one("#ask-seen", Field).value == "half a"
        assert day.view(2).release is None
        await hands.press("escape")
        await hands.settle()
        hands.app.kept.flush()
    async with at_lift(day, drafts=drafts) as hands:
        await hands.press("h")
        assert hands.app.screen.query_one("#ask-by", Field).value == "", "what was left is gone"


async def test_what_was_being_seen_of_a_panel_laid_bare_is_there_again(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.fit(2)
    day.lift(2)
    drafts = store()
    async with at_lift(day, number=1, drafts=drafts) as hands:
        await hands.act("look-exposed")
        await hands.settle()
        await hands.focus(hands.app.screen.query_one("#ask-residue", Choice))
        await hands.press("right", "right")
        await hands.settle()
        hands.app.kept.flush()
        drafts = MemoryStore(deepcopy(drafts.draft))
    async with at_lift(day, number=1, drafts=drafts) as hands:
        await hands.act("look-exposed")
        await hands.settle()
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        values = [dialog.query_one(f"#ask-{key}", Choice).value for key in EXPOSED_CHECKS]
        assert values == ["", "cleaned off", ""]
        assert day.view(1).exposed == ()


@pytest.mark.parametrize("key", ["h", "o"])
async def test_what_cannot_be_done_is_refused_before_anybody_is_asked_who(
    tmp_path: Path, key: str
) -> None:
    day = lift_day(tmp_path)
    drafts = store()
    drafts.draft = {"here": {"screen": "lift", "stack": "A", "panel": 2}, "texts": {}}
    async with at_lift(day, drafts=drafts) as hands:
        await hands.press(key)
        await hands.settle()
        assert hands.app.screen is hands.app.deck_screen
        assert hands.app.said.kind == "refused"
        assert "no field-cured result of P2 at 25 MPa" in hands.app.said.body


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(80, 24), (120, 40)]))
async def test_the_engineer_sees_all_of_it_in_the_dialog(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    day = lift_day(tmp_path)
    day.result(2)
    async with at_lift(day, size=size) as hands:
        await hands.press("h")
        await hands.settle()
        shown = " ".join("".join(" " if c in "│█" else c for c in page(hands.app)).split())
        for part in (
            "25 MPa needed, lifting design LD-1: F1, field-cured, 27.5 MPa at 7 d",
            "3234 kg, at 2400 kg/m³; factored 4850 kg, factor 1.5",
            "inside face up; leads: head edge (top of wall)",
            "2 in its face",
            "400 mm towards the head; at most 100 mm either way",
        ):
            assert part in shown, part


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([(80, 24), (120, 40), (140, 50)]))
async def test_the_cautions_stay_in_sight(tmp_path: Path, size: tuple[int, int]) -> None:
    day = lift_day(tmp_path)
    async with at_lift(day, size=size) as hands:
        shown = " ".join(page(hands.app).split())
        for part in ("youngest first", "Nobody under a panel", "Braces stay"):
            assert part in shown, part


async def test_out_of_the_erection_order_is_said_before_the_lift(tmp_path: Path) -> None:
    text = LIFT_JOB.replace("lift = 1\n", "lift = 3\n") + BESIDE.replace("lift = 3", "lift = 1")
    day = lift_day(tmp_path, text)
    day.fit(2)
    async with at_lift(day) as hands:
        await hands.press("o")
        await hands.settle()
        shown = " ".join(page(hands.app).replace("│", " ").split())
        assert (
            "OUT OF THE ERECTION ORDER: P2 is lift 3, and Q1 (stack B, lift 1) goes before it"
            in shown
        )


async def test_in_the_erection_order_nothing_is_said_of_it(tmp_path: Path) -> None:
    day = lift_day(tmp_path, YARD_JOB)
    day.fit(2)
    async with at_lift(day) as hands:
        await hands.press("o")
        await hands.settle()
        assert isinstance(hands.app.screen, Form)
        assert "ORDER" not in page(hands.app)


async def test_a_lift_that_was_not_to_be_made_stands_out(tmp_path: Path) -> None:
    day = lift_day(tmp_path)
    day.do(Act(kind="lifted", by=FOREMAN, data={"panel": "P2"}, says="x"))
    async with at_lift(day) as hands:
        shown = " ".join("".join(" " if c in "│█" else c for c in page(hands.app)).split())
        assert "lifted, see why" in shown
        assert "P2: lifted, and it is not in order" in shown
        assert "no release to lift by the engineer" in " ".join(
            words for _, words in lift_rows(day.view(2))
        )
        assert "not fit to lift" in shown
