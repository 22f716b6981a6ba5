"""The set-out on screen: every number, its sum, and its place in the drawing."""

import re
from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.paint import cells, plain
from pourdeck.deck.screens.setout import SetOutScreen, same_place
from pourdeck.deck.views.setout_rows import setout_rows
from pourdeck.deck.views.values import sum_lines
from pourdeck.deck.widgets.prose import PlanView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.example import example_folder
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Job
from pourdeck.setout.panel import set_out_stack
from pourdeck.walk.records import Place
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import HOSTILE, HOSTILE_JOB, SIZES, make_deck, page
from tests.deck.walk_kit import in_lines, squeezed
from tests.walk.kit import job_of

JOBS = {
    "metric": lambda: read_job(example_folder()),
    "imperial": lambda: read_job(example_folder().parent / "mill-yard"),
    "hostile": lambda: job_of(HOSTILE_JOB),
}


@pytest.fixture(params=JOBS)
def job(request: pytest.FixtureRequest) -> Job:
    made: Job = JOBS[request.param]()
    return made


def test_every_number_opens_to_its_sum(job: Job) -> None:
    """On every panel, and the sum has the number in its result."""
    for stack in job.stacks:
        for setout in set_out_stack(job, stack, {}):
            for row in setout_rows(setout, job, stack, 37):
                words = plain(row.spans)
                if not any(char.isdigit() for char in words):
                    continue
                if row.opens is None:
                    # A heading, a finding, or the second line of a row that is open already.
                    continue
                opened = row.opens()
                assert opened is not None, words
                assert opened.title
                assert opened.formula
                assert sum_lines(opened, job.units, 60)


def test_the_rows_that_are_not_open_are_words_and_second_lines(job: Job) -> None:
    """A row with a name and a number in it is one that can be marked."""
    for stack in job.stacks:
        for setout in set_out_stack(job, stack, {}):
            for row in setout_rows(setout, job, stack, 90):
                words = plain(row.spans).rstrip()
                if row.opens is None and words.startswith(" ") and not words.startswith("   "):
                    assert words.strip().startswith(("no.", "none", "+", "forms", "mass")), words


@pytest.mark.parametrize("width", [24, 37, 50, 90])
def test_no_row_is_wider_than_the_list(job: Job, width: int) -> None:
    for stack in job.stacks:
        for setout in set_out_stack(job, stack, {}):
            for row in setout_rows(setout, job, stack, width):
                assert cells(row.spans) <= width


def test_a_mirrored_panel_says_so_first() -> None:
    job = read_job(example_folder())
    stack = job.stacks[0]
    setout = set_out_stack(job, stack, {})[2]
    assert setout.mirrored
    assert "MIRRORED" in plain(setout_rows(setout, job, stack, 60)[0].spans)


def test_an_imperial_sum_shows_no_millimetres_but_where_it_says_so() -> None:
    job = read_job(example_folder().parent / "mill-yard")
    stack = job.stacks[0]
    for setout in set_out_stack(job, stack, {}):
        for row in setout_rows(setout, job, stack, 40):
            opened = row.opens() if row.opens else None
            lines = [plain(one) for one in sum_lines(opened, job.units, 200)] if opened else []
            behind = opened is not None and isinstance(opened.result, Decimal)
            assert behind == any(map(_behind, lines)), lines
            for words in lines:
                assert _behind(words) or not re.search(r" (mm|m|m²|m³|kg|kg/m³)\b", words), words


def _behind(words: str) -> bool:
    return words.startswith((" exactly ", " about "))


async def test_f8_opens_the_sum_of_the_marked_number(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        app.go("setout", stack="A", panel=2)
        await driver.settle(app)
        await driver.press(app, "f8")
        assert isinstance(app.screen, TellDialog)
        assert "Width of W04" in page(app)
        await driver.press(app, "escape")
        assert isinstance(app.screen, SetOutScreen)


async def test_where_there_is_room_the_sum_goes_along(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        app.go("setout", stack="A", panel=2)
        await driver.settle(app)
        pane = app.screen.query_one("#sum")
        assert "Width of W04" in in_lines(app, pane)
        await driver.press(app, "down")
        assert "Height of W04" in in_lines(app, pane)


async def test_a_click_in_the_drawing_marks_its_number(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        app.go("setout", stack="A", panel=2)
        await driver.settle(app)
        plan = app.screen.query_one(PlanView)
        drawing = plan.drawing
        assert drawing is not None
        for name in ("R2", "B3"):
            at = next(
                (x, y)
                for y in range(plan.content_size.height)
                for x in range(plan.content_size.width)
                if (place := drawing.hits.at(x, y)) and place.bracket == name
            )
            await driver.click(app, plan, *at)
            assert plan.place is not None
            assert plan.place.bracket == name


async def test_arrows_and_clicks_go_up_and_down_the_stack(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        app.go("setout", stack="A", panel=2)
        await driver.settle(app)
        assert "W04 · panel 2 of 3 · MIRRORED" in page(app)
        await driver.press(app, "right")
        assert "W07 · panel 3 of 3" in page(app)
        await driver.press(app, "a")
        assert "This is the top panel" in app.said.title
        await driver.press(app, "left", "b")
        assert "W02 · panel 1 of 3" in page(app)
        await driver.press(app, "b")
        assert "This is on the bed" in app.said.title


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_hostile_names_show_as_they_stand(tmp_path: Path, size: tuple[int, int]) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=size):
        app.go("setout", stack=HOSTILE, panel=1)
        await driver.settle(app)
        seen = ""
        numbers = app.screen.query_one("#numbers", RowList)
        for _ in range(len(numbers.rows)):
            seen += squeezed(in_lines(app, numbers))
            await driver.press(app, "pagedown")
        assert squeezed(HOSTILE) in seen
        assert "\x1b" not in page(app)


def test_places_match_by_what_was_clicked() -> None:
    bracket = Place(side="right", bracket="R2")
    assert same_place(bracket, Place(side="right", bracket="R2"))
    assert not same_place(bracket, Place(side="right"))
    assert same_place(Place(name="L1"), Place(name="L1"))
    assert same_place(Place(corner="bl"), Place(corner="bl"))
