"""Show what others write by itself, and take nothing from whoever types."""

from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from tests.deck import driver
from tests.deck.kit import Ticks, page
from tests.deck.walk_kit import crew_at
from tests.walk.kit import FOREMAN, Clock, Crew, open_desk

ITEM, OTHER = "forms.from-line/base", "forms.from-line/left"


def office_of(folder: Path, one: Crew) -> Crew:
    text = (folder / "job/job.toml").read_text()
    return Crew(open_desk(folder, text, Clock(one.clock.at), station="office"), one.clock)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_it_comes_in_and_the_typed_text_stays(tmp_path: Path, size: tuple[int, int]) -> None:
    one = crew_at(tmp_path, "forms")
    office = office_of(tmp_path, one)
    app = DeckApp(one.desk, None, monotonic=Ticks())
    async with app.run_test(size=size):
        app.keep(by=FOREMAN)
        app.go("walk", stack="A", panel=1, item=ITEM)
        await driver.settle(app)
        await driver.write(app, "12")
        office.answer(OTHER, "1")
        app.follow()
        await driver.settle(app)
        shown = page(app)
        assert "Came in: 2 from office" in shown
        assert app.here.item == ITEM
        await driver.press(app, "3")
        assert app.focused.value == "123"
        assert one.desk.walk("A", 1).find(OTHER).found == 1


async def test_an_answer_that_somebody_else_gave_meanwhile_is_refused_and_what_was_typed_stays(
    tmp_path: Path,
) -> None:
    one = crew_at(tmp_path, "forms")
    office = office_of(tmp_path, one)
    app = DeckApp(one.desk, None, monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        app.keep(by=FOREMAN)
        app.go("walk", stack="A", panel=1, item=ITEM)
        await driver.settle(app)
        await driver.write(app, "0")
        office.answer(ITEM, "1")
        await driver.press(app, "enter")
        shown = " ".join(page(app).split())
        assert "NOT SAVED" in shown
        assert "has just recorded" in shown
        assert "answer of P1, no. 2" in shown
        assert app.here.item == ITEM
        assert app.focused.value == "0", "what was typed is not gone"
        assert one.desk.walk("A", 1).find(ITEM).found == 1


async def test_a_log_that_was_taken_away_is_told_and_written_out_by_a_key(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    app = DeckApp(one.desk, None, monotonic=Ticks())
    path = tmp_path / "job/log/shed.jsonl"
    async with app.run_test(size=(80, 24)):
        app.keep(by=FOREMAN)
        app.go("log", stack="A", panel=1)
        await driver.settle(app)
        before = path.read_bytes()
        path.unlink()
        app.follow()
        await driver.settle(app)
        assert "not in its folder any more" in " ".join(page(app).split())
        await driver.press(app, "w")
        assert path.read_bytes() == before
        assert "is in log/shed.jsonl" in " ".join(page(app).split())


async def test_the_second_deck_shows_what_the_first_writes(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    text = (tmp_path / "job/job.toml").read_text()
    second = open_desk(tmp_path, text, Clock(one.clock.at))
    app = DeckApp(second, None, monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        assert "read only" in page(app)
        one.answer(ITEM, "0")
        app.follow()
        await driver.settle(app)
        assert "Came in: 1 from shed" in page(app)
        one.desk.close()
        app.follow()
        await driver.settle(app)
        assert "This deck writes now" in page(app)
        assert "read only" not in page(app)
    second.close()
