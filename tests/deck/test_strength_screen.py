"""The Strength screen: the curve, what is missing in words, acts by keys and by clicks, nothing half read.

The curve is that of EN 1992-1-1:2004, 3.1.2: class N at 28 days is all of the mean strength.
"""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual import events

from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog, TellDialog
from pourdeck.deck.drawing.gain_chart import gain_chart
from pourdeck.deck.form import Form
from pourdeck.deck.screens.strength import StrengthScreen
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.walk.strength import results, specimens, strength, temperatures
from pourdeck.walk.strength_acts import result, specimen, temperature
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE, SIZES, MemoryStore, Ticks, lines, page, store
from tests.deck.test_walk_bytes import Line
from tests.deck.walk_kit import crew_at, in_lines
from tests.walk.kit import FOREMAN, Crew, crew
from tests.walk.strength_kit import NO_CURVE, TEXT, job, later, panel, taken, warm, was_tested
from tests.walk.test_imperial_walk import imperial_crew


@asynccontextmanager
async def at_strength(
    one: Crew,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    by: str | None = FOREMAN,
    drafts: MemoryStore | None = None,
    ascii_only: bool = False,
) -> AsyncIterator[Any]:
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "strength", "stack": one.stack, "panel": one.number, "by": by}
        here["by_at"] = one.clock.at.isoformat()
        drafts.draft = {"here": here, "texts": {}}
    app = DeckApp(one.desk, drafts, monotonic=Ticks(), ascii_only=ascii_only)
    async with app.run_test(size=size):
        await driver.settle(app)
        yield hands(app)


@pytest.fixture
def poured(tmp_path: Path) -> Crew:
    return crew_at(tmp_path, "finish", TEXT)


def known(hands: Hands) -> str:
    return in_lines(hands.app, hands.app.screen.query_one("#known"))


async def fill(hands: Hands, **values: str) -> None:
    """Write into the lines of the dialog that is open, and record it."""
    dialog = hands.app.screen
    assert isinstance(dialog, Form)
    for name, value in values.items():
        field = dialog.query_one(f"#ask-{name}", Field)
        await hands.to_field(field)
        field.value = ""
        await hands.write(value)
    await hands.press_button("do")


@pytest.mark.parametrize("hands", [Keys, Clicks])
async def test_all_of_it_by_keys_and_by_clicks(poured: Crew, hands: type[Hands]) -> None:
    size = (80, 24) if hands is Keys else (120, 40)
    async with at_strength(poured, hands, size=size) as at_work:
        await at_work.act("add-temperature")
        await fill(at_work, value="23.5")
        assert [x.temperature for x in temperatures(poured.walk.record)] == [23.5]
        await at_work.act("add-specimen")
        await fill(at_work, name="c1")
        assert "Kept: nothing picked yet." in page(at_work.app)
        assert not specimens(poured.walk.record)
        at_work.app.screen.query_one("#ask-cured").focus()
        await driver.press(at_work.app, "right")
        await at_work.press_button("do")
        assert [(x.name, x.cured) for x in specimens(poured.walk.record)] == [("c1", "field")]
        poured.clock.later(days=7)
        at_work.app.keep(by=FOREMAN)
        await at_work.act("add-result")
        await fill(at_work, value="31.5")
        assert "Tested at: nothing written yet." in page(at_work.app)
        await fill(at_work, time="now")
        assert [(x.name, str(x.strength)) for x in results(poured.walk.record)] == [("c1", "31.5")]
        assert strength(poured.desk.job, poured.walk.record, poured.clock.at).lift.met is True
        assert "met by test" in page(at_work.app)


async def test_a_row_of_the_list_does_what_it_says(poured: Crew) -> None:
    async with at_strength(poured, Clicks, size=(120, 40)) as hands:
        rows = hands.app.screen.query_one("#known")
        for key in ("add-temperature", "read-logger", "add-specimen"):
            assert rows.select(key, tell=True)
            await hands.settle()
            rows.focus()
            rows.action_row_take()
            await hands.settle()
            assert isinstance(hands.app.screen, Form | Form)
            await hands.press_button("cancel")


async def test_words_of_estimate_climb_and_lift(poured: Crew) -> None:
    async with at_strength(poured, size=(120, 40)) as hands:
        said = known(hands)
        assert "rough: under 3 days the standard asks for tests" in said
        assert "an estimate for planning; it never releases a lift" in said
        assert "Climb 10 MPa and 18 h" in said
        assert "A test of a field-cured specimen of this panel at 25 MPa." in said
        assert "by note 14" in said
        assert "met by the estimate" not in said
        poured.clock.later(days=60)
        hands.app.refresh_screen()
        await hands.settle()
        assert "0.0 MPa of it measured" in known(hands)
        assert known(hands).count("✗ not met") == 2


async def test_what_cannot_be_is_said_in_the_dialog_and_kept(poured: Crew) -> None:
    async with at_strength(poured) as hands:
        before = hands.entries
        await hands.press("a", *"250", "enter", "enter", "enter")
        assert isinstance(hands.app.screen, Form)
        assert "250 °C is above 95 °C" in page(hands.app)
        assert hands.entries == before
        await hands.press("escape")
        await hands.press("n")
        assert "No specimen of this panel yet." in page(hands.app)
        assert hands.entries == before


async def test_a_correction_asks_why(poured: Crew) -> None:
    poured.do(specimen(poured.walk, "C1", "field", "", "now", FOREMAN, poured.clock.at))
    poured.clock.later(days=2)
    poured.do(result(poured.walk, "C1", "26", "now", FOREMAN, poured.clock.at))
    async with at_strength(poured) as hands:
        await hands.press("n")
        await fill(hands, value="16", time="now")
        assert isinstance(hands.app.screen, Form)
        assert "It is recorded already: 26 MPa." in page(hands.app)
        await hands.press(*"misread", "enter", "enter")
        assert [str(x.strength) for x in results(poured.walk.record)] == ["16"]
        rows = hands.app.screen.query_one("#known")
        rows.select("specimen/C1", tell=True)
        await hands.settle()
        await hands.press("d")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        picker = dialog.query_one("#ask-cured", Choice)
        await hands.focus(picker)
        await hands.press("right")
        await hands.press_button("do")
        await hands.press(*"laboratory", "enter", "enter")
        assert [x.cured for x in specimens(poured.walk.record)] == ["standard"]
        assert (
            strength(poured.desk.job, poured.walk.record, poured.clock.at).results[0].cured
            == "standard"
        )


async def test_before_the_pour_nothing_is_written_down(tmp_path: Path) -> None:
    one = crew(tmp_path, TEXT)
    async with at_strength(one) as hands:
        for key in "afsn":
            await hands.press(key)
            assert isinstance(hands.app.screen, StrengthScreen)
            assert "P1 is not poured yet." in page(hands.app)
        hands.app.screen.post_message(events.Paste("a,b\nc,d\n"))
        await hands.settle()
        assert isinstance(hands.app.screen, StrengthScreen)


def csv(one: Crew, count: int = 520) -> str:
    """Ten-minute readings since the pour, in °F, as a logger writes them."""
    start = one.clock.at.replace(second=0, microsecond=0)
    lines = [
        f"{start + timedelta(minutes=10 * n):%Y-%m-%d;%H:%M};{str(68 + n / 20).replace('.', ',')}"
        for n in range(count)
    ]
    return "Date;Time;Temperature (°F)\n" + "\n".join(lines) + "\n"


async def test_a_file_is_shown_and_then_recorded_in_one_entry(poured: Crew, tmp_path: Path) -> None:
    path = tmp_path / "probe.csv"
    path.write_text(csv(poured), encoding="cp1252")
    poured.clock.later(days=20)
    async with at_strength(poured) as hands:
        before = hands.entries
        await hands.press("f")
        assert isinstance(hands.app.screen, Form)
        await hands.write(str(path))
        await hands.press("enter", "enter")
        assert isinstance(hands.app.screen, Form)
        said = " ".join(page(hands.app).replace("│", " ").split())
        assert "520 readings, written in °F" in said
        assert "lowest 20.0 °C, highest" in said
        assert "Times have no offset: taken in the zone of the site, Etc/UTC." in said
        assert "Temperatures are in °F." in said
        for _ in range(3):
            await hands.press("enter")
        assert hands.entries == before, "Enter pressed again and again records nothing"


@pytest.mark.parametrize("where", ["screen", "dialog"])
async def test_pasted_lines_are_a_file_too(poured: Crew, where: str) -> None:
    text = csv(poured)
    poured.clock.later(days=20)
    async with at_strength(poured) as hands:
        before = hands.entries
        if where == "dialog":
            await hands.press("f")
        target = hands.app.screen.focused
        assert target is not None
        target.post_message(events.Paste(text))
        await hands.settle()
        assert isinstance(hands.app.screen, Form)
        await hands.press_button("do")
        assert hands.entries == before + 1
        assert len(temperatures(poured.walk.record)) == 520
        assert "520 readings from 02 Mar" in page(hands.app)
        await hands.press("u")
        assert "Say why" in page(hands.app)
        await hands.fill(hands.app.screen, why="of another panel")
        await hands.press_button("do")
        assert len(temperatures(poured.walk.record)) == 0


async def test_a_bad_line_is_named_and_nothing_is_recorded(poured: Crew) -> None:
    text = csv(poured).replace("68,1;", "x").replace(";68,1\n", ";n/a\n")
    poured.clock.later(days=20)
    async with at_strength(poured) as hands:
        before = hands.entries
        hands.app.screen.focused.post_message(events.Paste(text))
        await hands.settle()
        assert "Line 4: n/a is not a temperature" in page(hands.app)
        assert hands.entries == before


async def test_what_a_file_does_not_say_is_asked_and_then_shown(poured: Crew) -> None:
    """68 °F = 20 °C by definition; the second column is asked for, then the unit."""
    text = csv(poured).replace("Temperature (°F)", "Ch 1;Ch 2")
    text = "\n".join(f"{row};12,5" if row[0].isdigit() else row for row in text.splitlines())
    poured.clock.later(days=4)
    async with at_strength(poured) as hands:
        before = hands.entries
        hands.app.screen.focused.post_message(events.Paste(text))
        await hands.settle()
        assert isinstance(hands.app.screen, ChoiceDialog)
        assert "Which column was in the concrete?" in page(hands.app)
        await hands.press("escape")
        assert isinstance(hands.app.screen, StrengthScreen)
        hands.app.screen.focused.post_message(events.Paste(text))
        await hands.settle()
        await hands.press("enter")
        assert "In which unit are the temperatures?" in page(hands.app)
        assert "that is 20 °C to" in page(hands.app)
        await hands.press("enter")
        assert isinstance(hands.app.screen, Form)
        said = " ".join(page(hands.app).replace("│", " ").split())
        assert "520 readings, written in °F" in said
        assert "lowest 20.0 °C, highest 34.4 °C" in said
        assert "as was said" in said
        assert hands.entries == before
        await hands.press("right", "enter")
        assert hands.entries == before + 1


async def test_a_start_that_is_not_written_is_asked(poured: Crew) -> None:
    poured.clock.later(days=4)
    text = "Elapsed (min);Temp °C\n" + "".join(f"{n * 10};2{n}\n" for n in range(9))
    async with at_strength(poured) as hands:
        hands.app.screen.focused.post_message(events.Paste(text))
        await hands.settle()
        assert "When do the readings begin?" in page(hands.app)
        await hands.press(*"later", "enter", "enter")
        assert "later is not a time" in page(hands.app)
        for _ in range(5):
            await hands.press("backspace")
        await hands.press(*"2026-03-03 07:00", "enter", "enter")
        assert isinstance(hands.app.screen, Form)
        assert "Times count from 03 Mar 2026 07:00, as was said." in page(hands.app)


async def test_a_file_that_is_not_there(poured: Crew) -> None:
    async with at_strength(poured) as hands:
        await hands.press("f", "enter", "enter")
        assert "Type a few words. Tab goes on" in page(hands.app)
        await hands.write("no.csv")
        await hands.press("enter")
        assert "There is no file no.csv." in page(hands.app)


async def test_what_is_half_typed_comes_back_after_a_kill(poured: Crew) -> None:
    drafts = store()
    async with at_strength(poured, drafts=drafts) as hands:
        await hands.press("a", *"23")
        hands.app.kept.flush()
    async with at_strength(poured, drafts=drafts) as hands:
        assert isinstance(hands.app.screen, StrengthScreen)
        await hands.press("a")
        assert hands.app.screen.query_one("#ask-value", Field).value == "23"
        await hands.press(*".5", "enter", "enter", "enter")
        await hands.settle()
        assert [x.temperature for x in temperatures(poured.walk.record)] == [23.5]


async def test_what_was_typed_waits_for_who_is_on_deck(poured: Crew) -> None:
    async with at_strength(poured, by=None) as hands:
        before = hands.entries
        await hands.press("a", *"23.5", "enter", "enter", "enter", "escape")
        assert hands.entries == before
        await hands.press("a")
        assert hands.app.screen.query_one("#ask-value", Field).value == "23.5"
        await hands.press("enter", "enter", "enter")
        await hands.press("enter")
        assert hands.entries == before, "nobody is marked at first"
        await hands.press("down", "enter")
        assert hands.entries == before + 1
        await hands.press("a")
        assert hands.app.screen.query_one("#ask-value", Field).value == ""


async def test_a_dialog_is_left_once(poured: Crew) -> None:
    """A click on its way behind another one neither records twice nor takes the screen below along."""
    async with at_strength(poured) as hands:
        before = hands.entries
        await hands.press("a", *"23", "enter", "enter")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        for _ in range(3):
            dialog.submit()
        await hands.settle()
        assert hands.entries == before + 1
        assert isinstance(hands.app.screen, StrengthScreen)


async def test_wrong_keys_are_said_to_do_nothing(poured: Crew) -> None:
    async with at_strength(poured) as hands:
        before = hands.entries
        await hands.press("z")
        assert "z does nothing here" in page(hands.app)
        await hands.press("5", "escape", "x")
        assert hands.entries == before
        await hands.press("enter")
        assert isinstance(hands.app.screen, TellDialog)
        assert (
            "EN 1992-1-1, 3.1.2" in " ".join(page(hands.app).split()) or hands.app.size.height < 30
        )


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
@pytest.mark.parametrize("ascii_only", [False, True])
async def test_what_matters_is_in_sight_at_every_size(
    poured: Crew, size: tuple[int, int], ascii_only: bool
) -> None:
    poured.do(temperature(poured.walk, "30", "now", FOREMAN, poured.clock.at))
    poured.clock.later(hours=31)
    async with at_strength(poured, size=size, ascii_only=ascii_only) as hands:
        words = page(hands.app)
        for said in ("MPa", "now", "lift 25", "Estimate", "P1", "F1"):
            assert said in words, said
        assert all(len(row) <= size[0] for row in lines(hands.app))
        if ascii_only:
            assert all(ord(char) < 128 for char in words)


async def test_what_was_not_measured_stands_on_the_screen(poured: Crew) -> None:
    poured.do(temperature(poured.walk, "30", "now", FOREMAN, poured.clock.at))
    poured.clock.later(hours=31)
    async with at_strength(poured, size=(120, 40)) as hands:
        assert "! 31.0 h of 31.0 h not measured." in known(hands)
        assert (
            "! Last reading 02 Mar 06:10, 31.0 h before 03 Mar 13:10: it is taken to have"
            in known(hands)
        )


async def test_names_are_shown_as_they_are(poured: Crew) -> None:
    poured.do(specimen(poured.walk, HOSTILE, "field", "", "now", FOREMAN, poured.clock.at))
    poured.clock.later(days=2)
    poured.do(result(poured.walk, HOSTILE, "26", "now", FOREMAN, poured.clock.at))
    async with at_strength(poured, size=(120, 40)) as hands:
        assert HOSTILE in page(hands.app)
        await hands.press("n")
        assert HOSTILE in page(hands.app)


async def test_an_imperial_job_reads_psi_and_fahrenheit(tmp_path: Path) -> None:
    """68 °F = 20 °C by definition."""
    one = imperial_crew(tmp_path)
    one.go_to("finish")
    async with at_strength(one, by=one.foreman, size=(120, 40)) as hands:
        assert "psi" in page(hands.app)
        assert "on an assumed 68 °F: nothing measured" in known(hands)
        await hands.press("a", *"68", "enter", "enter", "enter")
        await hands.settle()
        assert temperatures(one.walk.record)[0].temperature == 20
        assert "68 °F" in page(hands.app) or "68.0 °F" in page(hands.app)


async def test_a_job_without_a_curve_says_so(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "finish", NO_CURVE)
    async with at_strength(one, size=(120, 40)) as hands:
        assert "no estimate: the mix gives no strength or no cement class" in known(hands)


# The chart by itself.


def rows_of(chart: Any) -> list[str]:
    return list(chart.lines())


def test_the_curve_stands_where_the_sums_put_it() -> None:
    """At 20 °C, 28 days are 28.05 days of the clock; the mean strength is 48 MPa, the estimate 40."""
    found = strength(job(), panel(), later(24 * 28))
    chart = rows_of(gain_chart(found, job(), 70, 22))
    top = float(
        next(row for row in chart if row.strip() and row.strip()[0].isdigit()).split("│")[0]
    )
    assert top == 40
    row = next(n for n, text in enumerate(chart) if text.strip().startswith("40│"))
    right = chart[row].rstrip("· ")
    assert right.endswith("*") or "*" in chart[row - 1]
    assert chart[0].split()[-1] == "now"
    assert "days" in chart[-1]


def test_past_and_expected_are_told_apart_without_colour() -> None:
    found = strength(job(), panel(warm((0, 25), (20, 35))), later(24))
    chart = "\n".join(rows_of(gain_chart(found, job(), 60, 18)))
    assert "*" in chart
    assert "·" in chart
    assert " lift 25" in chart
    assert " climb 10" in chart
    assert "°C" in chart
    assert "35" in chart


def test_tests_stand_on_the_chart_by_where_they_were_cured() -> None:
    acts = (
        taken("C1"), was_tested("C1", "15", 30),
        taken("C2", "standard"), was_tested("C2", "22", 40, "standard"),
    )  # fmt: skip
    found = strength(job(), panel(*acts), later(50))
    chart = "\n".join(rows_of(gain_chart(found, job(), 60, 18)))
    assert "F" in chart
    assert "S" in chart


@pytest.mark.parametrize("hours", [0, 0.5, 30, 700, 9000])
@pytest.mark.parametrize("size", [(24, 6), (30, 8), (43, 19), (70, 33), (10, 3), (0, 0)])
def test_a_chart_of_any_size_and_age(hours: float, size: tuple[int, int]) -> None:
    for record in (panel(), panel(warm((0, 21), (3, 21))), panel(warm((-1, 10), (500, 40)))):
        found = strength(job(), record, later(hours))
        chart = gain_chart(found, job(), *size)
        assert [len(row) for row in chart.lines()] == [size[0]] * size[1]


def test_no_pour_is_a_blank() -> None:
    found = strength(job(), panel(poured=False), later(0))
    assert not "".join(gain_chart(found, job(), 60, 18).lines()).strip()


@pytest.mark.painted
async def test_the_age_goes_on_by_the_minute_and_in_one_paint(poured: Crew) -> None:
    async with at_strength(poured) as hands:
        before = known(hands)
        wire = Line(hands.app)
        poured.clock.later(minutes=6)
        hands.app.tick()
        await driver.settle(hands.app)
        assert known(hands) != before
        assert "0.0 h old" in before
        assert wire.paints == 1
        wire.paints = wire.bytes = 0
        for _ in range(5):
            hands.app.tick()
            await driver.settle(hands.app)
        assert (wire.paints, wire.bytes) == (0, 0)
