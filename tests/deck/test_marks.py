"""Damage and conflicts stay in sight on every screen, and a key leads from each to where it is decided."""

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from pourdeck.deck.actions import SCREENS
from pourdeck.deck.app import DeckApp
from pourdeck.deck.drawing.pile import PilePanel, PileStack, pile
from pourdeck.deck.widgets.frame import MarkBar, Said
from pourdeck.plan.messages import Finding
from pourdeck.walk import strength_acts
from pourdeck.walk.records import Act
from tests.deck import driver
from tests.deck.kit import Ticks, lines, make_deck, page
from tests.deck.walk_kit import crew_at
from tests.walk import pour_kit, strength_kit
from tests.walk.kit import ENGINEER, FOREMAN, WITH_ENGINEER, Clock, Crew, crew, open_desk
from tests.walk.test_two_stations import ITEM, Two, at_forms, cast, measured, resized

BOTH = [(80, 24), (120, 40)]


def deck(one: Crew) -> DeckApp:
    app = DeckApp(one.desk, None, monotonic=Ticks())
    app.kept.go(by=FOREMAN, by_at=one.clock.at.isoformat())
    return app


def damaged_and_in_conflict(root: Path) -> DeckApp:
    two = at_forms(root)
    two.shed.answer(ITEM, "0")
    two.office.answer(ITEM, "1")
    two.meet()
    two.shed.desk.close()
    (root / "job/log/stray.jsonl").write_text("nothing of a log\n", encoding="utf-8")
    text = (root / "job/job.toml").read_text()
    return deck(Crew(open_desk(root, text, Clock(two.clocks["shed"].at)), two.clocks["shed"]))


def frame(app: DeckApp) -> list[str]:
    """First line, tabs and action bar."""
    shown = lines(app)
    return [*shown[:2], *shown[-3 if len(shown) >= 36 else -1 :]]


@pytest.mark.parametrize("size", BOTH)
async def test_every_screen_has_the_marks_and_loses_nothing_by_them(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = damaged_and_in_conflict(tmp_path)
    async with app.run_test(size=size):
        for screen in SCREENS:
            app.go(screen, stack="A", panel=1)
            await driver.settle(app)
            assert app.current_mode == screen
            shown = lines(app)
            assert shown[2].strip() == ("✗ Log damaged: 1 · In conflict: 1  F7 lists them"), screen
            with_marks = frame(app)
            app.screen.query_one(MarkBar).show(())
            await driver.settle(app)
            assert "Log damaged" not in lines(app)[2]
            assert frame(app) == with_marks, "nothing is pushed out of the frame"
            app.refresh_frame()


async def test_a_mark_outlasts_what_is_said(tmp_path: Path) -> None:
    app = damaged_and_in_conflict(tmp_path)
    async with app.run_test(size=(80, 24)):
        for said in ("something long " * 30, "short", ""):
            app.say(Said("note", said, ""))
            await driver.settle(app)
            assert "Log damaged: 1 · In conflict: 1" in lines(app)[2]
        await driver.press(app, "f3", "down", "f2")
        assert "Log damaged: 1 · In conflict: 1" in lines(app)[2]


@pytest.mark.parametrize("width", range(60, 140))
def test_the_key_is_there_at_any_width(width: int) -> None:
    bar = MarkBar()
    bar.marks = ("Log damaged: 12", "In conflict: 3", "Clock jumped: 2")
    laid = bar.laid(width)
    assert [one.chip.action for one in laid] == ["owed", "owed"]
    assert laid[-1].end <= width


async def test_where_nothing_is_wrong_there_is_no_line_of_marks(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        assert app.marks() == ()
        assert app.screen.query_one(MarkBar).region.height == 0


async def test_marks_come_and_go_as_the_deck_follows(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    app = deck(one)
    log = tmp_path / "job/log"
    async with app.run_test(size=(80, 24)):
        stray = log / "stray.jsonl"
        stray.write_text("nothing of a log\n", encoding="utf-8")
        app.follow()
        await driver.settle(app)
        assert "Log damaged: 1" in lines(app)[2]
        await driver.press(app, "f7")
        assert "log/stray.jsonl, line 1: the line is not JSON" in page(app)
        await driver.press(app, "enter")
        assert app.current_mode == "log"
        stray.unlink()
        app.follow()
        await driver.settle(app)
        assert "Log damaged" not in page(app)

        own = log / "shed.jsonl"
        whole = own.read_bytes()
        own.unlink()
        app.follow()
        await driver.settle(app)
        assert "Log damaged: 1" in lines(app)[2]
        await driver.press(app, "f7")
        assert "of the log are not in its folder any more" in " ".join(page(app).split())
        await driver.press(app, "escape")
        own.write_bytes(whole)
        app.follow()
        await driver.settle(app)
        assert "Log damaged" not in page(app)


async def test_a_finding_that_a_clock_jumped_has_a_mark_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_deck(tmp_path)
    found = Finding(code="clock", severity="error", message="the clock jumped")
    monkeypatch.setattr(app.desk, "log_findings", lambda *_: (found,))
    async with app.run_test(size=(80, 24)):
        assert lines(app)[2].strip() == "✗ Clock jumped: 1  F7 lists them"


# From each place to the decision.


def in_forms(root: Path) -> Two:
    two = at_forms(root)
    two.shed.answer(ITEM, "0")
    two.office.answer(ITEM, "1")
    return two


def as_cast(root: Path) -> Two:
    two = cast(root)
    key = measured(two.shed)
    two.shed.answer(key, "3000")
    two.office.answer(key, "3002")
    return two


def sizes(root: Path) -> Two:
    two = Two(root, crew(root, WITH_ENGINEER))
    resized(two.shed, 2950)
    resized(two.office, 2900)
    return two


def of_a_load(root: Path) -> Two:
    begun = pour_kit.begun(root)
    pour_kit.do(begun, 1, docket="D-1", mix="N40/20", batched="now", volume="6", arrived="now")
    two = Two(root, begun)
    pour_kit.do(two.shed, 1, slump="80")
    pour_kit.do(two.office, 1, slump="95", temperature="20")
    return two


def starts(root: Path) -> Two:
    two = Two(root, pour_kit.at_the_pour(root))
    for one, minutes in ((two.shed, 3), (two.office, 8)):
        one.clock.later(minutes=minutes)
        one.answer(pour_kit.START, "now")
    return two


def results(root: Path) -> Two:
    begun = strength_kit.poured_crew(root)
    at = begun.clock.at
    begun.do(strength_acts.specimen(begun.walk, "F1", "field", "", "now", FOREMAN, at))
    two = Two(root, begun)
    for one, strength in ((two.shed, "12"), (two.office, "14")):
        one.clock.later(hours=20)
        one.do(strength_acts.result(one.walk, "F1", strength, "now", FOREMAN, one.clock.at))
    return two


PLACES: dict[str, tuple[Callable[[Path], Two], str, str | None, str, str]] = {
    "answer": (in_forms, "walk", ITEM, "from the bed line, base side", "1 mm by Ada Reed (office, no. 2"),
    "as cast": (as_cast, "walk", "close.width/base", "as cast width, base side", "3002 mm by Ada Reed"),
    "size": (sizes, "resize", None, "size", "2900 mm × 3000 mm × 150 mm, base-left by Eve Lund (office"),
    "load": (of_a_load, "pour", None, "load 1 slump", "95 mm by Ada Reed (office, no. 2"),
    "start": (starts, "walk", "pour.start", "start of the pour", "by Ada Reed (office, no. 2"),
    "result": (results, "strength", None, "result of F1", "14 MPa by Ada Reed (office, no. 2"),
}  # fmt: skip


@pytest.mark.parametrize("what", PLACES)
async def test_what_is_in_conflict_leads_to_where_it_is_decided(tmp_path: Path, what: str) -> None:
    make, screen, item, name, said = PLACES[what]
    two = make(tmp_path)
    two.meet()
    app = deck(two.shed)
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        shown = " ".join(page(app).split())
        assert "In conflict: 1" in shown
        assert "✗ conflict" in shown, "in its row of the pile"
        assert "IN CONFLICT: 1" in shown, "in the line of the marked panel"
        await driver.press(app, "f7")
        listed = " ".join(page(app).replace("│", " ").split())
        assert f"Conflict A P1 {name} is in conflict: " in listed
        assert said in listed
        await driver.press(app, "enter")
        assert (app.current_mode, app.here.item or None) == (screen, item)
        assert not re.search(r"\d-\d\dT\d\d:", page(app)), "no times of machines"
        there = "".join(page(app).replace("█", " ").replace("│", " ").split())
        assert "".join(said.split()[:2]) in there, "both are shown there"


async def test_the_row_of_the_board_leads_on_as_well_and_says_it_once(tmp_path: Path) -> None:
    two = sizes(tmp_path)
    two.meet()
    app = deck(two.shed)
    async with app.run_test(size=(120, 40)):
        await driver.settle(app)
        assert page(app).count("size is in conflict") == 1
        await driver.press(app, "tab", "home", "down")
        assert app.focused is not None
        assert app.focused.key == "conflict:0"
        await driver.press(app, "enter")
        assert app.current_mode == "resize"


async def test_both_sizes_are_shown_and_one_is_decided(tmp_path: Path) -> None:
    two = sizes(tmp_path)
    two.meet()
    app = deck(two.shed)
    async with app.run_test(size=(120, 40)):
        await driver.press(app, "f5")
        shown = " ".join(page(app).split())
        assert "In conflict: neither had seen the other's size change" in shown
        for text in (
            "2950 mm × 3000 mm",
            "(shed, no. 2, ",
            "2900 mm × 3000 mm",
            "(office, no. 2, ",
        ):
            assert text in shown
        assert "F8 alone decides for 3000 × 3000 × 150 mm" in shown
        await driver.write(app, "2950")
        await driver.press(app, "f8")
        assert "Record the new size of P1" in page(app)
        change: Any = two.shed.desk.resize("A", 1, width=2950)
        act = two.shed.desk.revise(change, by=ENGINEER, reason="the drawing says so")
        assert len(act.data["settles"]) == 2
        await driver.press(app, "escape")
        app.record(act)
        await driver.settle(app)
        assert "In conflict" not in page(app)


async def test_a_poured_panel_is_decided_for_the_size_that_was_cast(tmp_path: Path) -> None:
    two = sizes(tmp_path)
    two.meet()
    desk = two.shed.desk
    start = {
        "panel": "P1", "time": two.shed.clock.at.isoformat(), "width": "2950", "height": "3000",
        "thickness": "150", "align": "base-left", "anchors": {}, "extra_anchors": {},
    }  # fmt: skip
    desk.record(Act(kind="pour-start", by=FOREMAN, data=start, says=""))
    app = deck(two.shed)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f5")
        shown = " ".join(page(app).split())
        assert "F8 alone decides for 2950 × 3000 × 150 mm" in shown
        await driver.press(app, "f8")
        assert "Record the new size of P1" in page(app)
        await driver.press(app, "escape")
        await driver.write(app, "2900")
        assert "is poured and cannot change size" in " ".join(page(app).split())
        change: Any = desk.resize("A", 1)
        app.record(desk.revise(change, by=ENGINEER, reason="as it was cast"))
        await driver.settle(app)
        assert app.marks() == ()


def test_on_the_pile_a_rejected_panel_keeps_its_word() -> None:
    panel = PilePanel(
        number=1, mark="P1", x=Decimal(0), width=Decimal(3000), state="cast", lift=1, conflict=True
    )
    for one, word in ((panel, "✗ conflict"), (evolve(panel, rejected=True), "✗ rejected")):
        drawn = pile((PileStack(id="A", bed="0 m", panels=(one,)),), 40, 9)
        assert word in "\n".join(drawn.canvas.lines())
