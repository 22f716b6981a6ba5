"""The pour on screen: loads typed where they are, what is next offered first, resume after a kill."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.form import Form
from pourdeck.deck.screens.pour import PourScreen
from pourdeck.deck.screens.pour_place import LoadTable
from pourdeck.deck.views.pour import Cell
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.pour.fresh import WEATHER
from pourdeck.walk.pour_acts import read_weather, turn_away
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Act
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE, SIZES, MemoryStore, Ticks, lines, page, store
from tests.deck.test_walk_bytes import Line
from tests.deck.walk_kit import in_lines, squeezed
from tests.walk.kit import FOREMAN, HAND, Crew, crew
from tests.walk.pour_kit import POUR_JOB, at_the_pour, begun, do, whole
from tests.walk.pour_kit import page as pour_of


@asynccontextmanager
async def at_pour(
    one: Crew,
    hands: type[Hands] = Keys,
    *,
    size: tuple[int, int] = (80, 24),
    by: str | None = FOREMAN,
    drafts: MemoryStore | None = None,
    **more: Any,
) -> AsyncIterator[Any]:
    drafts = drafts or store()
    if not drafts.draft:
        here = {"screen": "pour", "stack": one.stack, "panel": one.number, "by": by}
        here["by_at"] = one.clock.at.isoformat()
        drafts.draft = {"here": here, "texts": {}}
    app = DeckApp(one.desk, drafts, monotonic=Ticks(), **more)
    async with app.run_test(size=size):
        await driver.settle(app)
        yield hands(app)


def screen(hands: Hands) -> PourScreen:
    found = hands.app.deck_screen
    assert isinstance(found, PourScreen)
    return found


def standing(hands: Hands) -> PourPage:
    found = screen(hands).page
    assert found is not None
    return found


def in_hand(hands: Hands) -> tuple[int, str]:
    return screen(hands).hand(standing(hands))


def field(hands: Hands) -> Field:
    return hands.app.screen.query_one("#value", Field)


def squeezed_words(hands: Hands) -> str:
    return " ".join(page(hands.app).split())


async def pick_mix(hands: Hands, dialog: Form, steps: int) -> None:
    picker = dialog.query_one("#ask-mix", Choice)
    for _ in range(steps):
        if isinstance(hands, Keys):
            await hands.focus(picker)
            await hands.press("right")
        else:
            await driver.click(hands.app, picker, picker.size.width - 1, picker.size.height // 2)


async def docket(hands: Hands, *, mix: int = 1, **typed: str) -> None:
    """Read a docket: `mix` 1 is the one ordered, 2 another."""
    await hands.act("new-load")
    dialog = hands.app.screen
    assert isinstance(dialog, Form)
    await hands.fill(dialog, docket=typed.pop("docket"))
    await pick_mix(hands, dialog, mix)
    await hands.fill(dialog, **typed)
    await hands.press_button("do")
    await hands.settle()


async def cell(hands: Hands, number: int, key: str) -> None:
    """Take a cell in hand, by arrows or by a click."""
    table = hands.app.screen.query_one(LoadTable)
    for _ in range(40):
        if in_hand(hands) == (number, key):
            return
        if isinstance(hands, Keys):
            keys = ["docket", "mix", "batched", "arrived", "volume", "slump", "temperature", "begun",
                    "ended", "water", "rejected"]  # fmt: skip
            here, at = in_hand(hands)
            if here != number:
                await hands.press("down" if here < number else "up")
            else:
                await hands.press("right" if keys.index(at) < keys.index(key) else "left")
        else:
            row, spot = next(
                (row, one)
                for row, line in enumerate(table.in_sight)
                for one in line.cells
                if (one.number, one.key) == (number, key)
            )
            await driver.click(hands.app, table, spot.start + 1, row)
        await hands.settle()
    raise AssertionError((number, key, in_hand(hands)))


async def typed(hands: Hands, text: str) -> None:
    """Type into the field in hand, and take it; an empty text takes what is offered."""
    if isinstance(hands, Keys):
        await hands.press(*text, "enter") if text else await hands.press("enter", "enter")
    else:
        for char in text:
            await hands.pad(char)  # type: ignore[attr-defined]
        if not text:
            await hands.pad("now")  # type: ignore[attr-defined]
        await hands.pad("enter")  # type: ignore[attr-defined]
    await hands.settle()


@pytest.mark.parametrize("hands", [Keys, Clicks])
async def test_a_load_from_its_docket_to_its_end_by_keys_and_by_clicks(
    tmp_path: Path, hands: type[Hands]
) -> None:
    one = at_the_pour(tmp_path)
    size = (80, 24) if hands is Keys else (120, 40)
    async with at_pour(one, hands, size=size) as at_work:
        await docket(at_work, docket="41", batched=f"{one.clock.at:%H.%M}", volume="6")
        assert in_hand(at_work) == (1, "arrived")
        one.clock.later(minutes=12)
        await typed(at_work, "")
        assert in_hand(at_work) == (1, "slump")
        await typed(at_work, "85")
        await typed(at_work, "21.5")
        assert in_hand(at_work) == (1, "begun")
        await typed(at_work, "")
        assert isinstance(at_work.app.screen, Form)
        assert "Start the pour" in page(at_work.app)
        await at_work.press_button("do")
        await at_work.settle()
        assert one.walk.record.pour_start is not None
        assert in_hand(at_work) == (1, "ended")
        one.clock.later(minutes=15)
        await typed(at_work, "")
        assert in_hand(at_work) == (2, "new")
    (line,) = pour_of(one).lines
    load = line.load
    assert (load.docket, load.mix, str(load.volume)) == ("41", "N40/20", "6")
    assert (str(load.slump), str(load.temperature), line.state) == ("85", "21.5", "placed")
    kinds = [entry.kind for entry in one.walk.record.entries[-8:]]
    assert kinds.count("load") == 6
    assert kinds.count("pour-start") == 1


async def test_twenty_presses_of_enter_do_not_start_a_pour(tmp_path: Path) -> None:
    one = at_the_pour(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", arrived="now", volume="6", slump="80")
    do(one, 1, temperature="20")
    async with at_pour(one) as hands:
        assert in_hand(hands) == (1, "begun")
        for _ in range(20):
            await hands.press("enter")
        assert one.walk.record.pour_start is None


@pytest.mark.parametrize("hands", [Keys, Clicks])
async def test_a_wrong_mix_stops_and_is_turned_away(tmp_path: Path, hands: type[Hands]) -> None:
    one = begun(tmp_path)
    size = (80, 24) if hands is Keys else (120, 40)
    async with at_pour(one, hands, size=size) as at_work:
        await docket(at_work, mix=2, docket="41", other="n32", volume="6")
        assert in_hand(at_work) == (1, "rejected")
        assert "STOP: load 1 is n32, ordered is N40/20" in page(at_work.app)
        assert "WRONG MIX" in page(at_work.app)
        await cell(at_work, 1, "begun")
        if hands is Keys:
            await typed(at_work, "")
            assert pour_of(one).lines[0].load.begun is None
            assert "may not be begun" in page(at_work.app)
        await at_work.act("turn-away")
        assert "Turn away load 1, docket 41" in page(at_work.app)
        await at_work.press_button("do")
        await at_work.settle()
    assert (pour_of(one).placed, str(pour_of(one).rejected)) == (0, "6")


async def test_a_correction_asks_why_and_esc_leaves_what_stood(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one) as hands:
        await cell(hands, 1, "slump")
        await hands.press("enter", *["backspace"] * 2, *"90", "enter")
        assert isinstance(hands.app.screen, Form)
        before = hands.entries
        await hands.press("escape")
        assert hands.entries == before
        assert field(hands).text == "80"
        await hands.press("enter", *["backspace"] * 2, *"90", "enter", *"misread", "enter", "enter")
        assert str(pour_of(one).lines[0].load.slump) == "90"
        assert one.desk.state.last is not None
        assert one.desk.state.last.data["why"] == "misread"


async def test_a_time_out_of_order_is_refused_and_an_odd_one_asks_why(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", volume="6", batched="now", arrived="now")
    one.clock.later(hours=3)
    async with at_pour(one) as hands:
        await cell(hands, 1, "begun")
        await hands.press("enter", *["backspace"] * 5, *"0501", "enter")
        assert "is before load 1 arrived, 06:0" in hands.app.said.title
        await cell(hands, 1, "begun")
        await hands.press("enter", *["backspace"] * 5, *f"{one.clock.at:%H%M}", "enter")
        assert isinstance(hands.app.screen, Form)
        await hands.press(*"ar", "enter", "enter", *"stiff but fit", "enter", "enter")
        assert "3 h after load 1 arrived" in in_lines(hands.app, hands.app.screen)
        await hands.press(*"breakdown", "enter", "enter")
        last = one.desk.state.last
        assert last is not None
        assert (last.data["doubted"], last.data["why"]) == (True, "breakdown")


async def test_water_asks_who_added_it(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one) as hands:
        await cell(hands, 1, "water")
        await hands.press(*"20", "enter")
        assert "Who added the water?" in page(hands.app)
        await hands.press(*"driver", "enter", "enter")
        load = pour_of(one).lines[0].load
        assert (str(load.water), load.water_by) == ("20", "driver")


async def test_what_is_half_typed_comes_back_after_a_kill(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20")
    drafts = store()
    async with at_pour(one, drafts=drafts) as hands:
        await cell(hands, 1, "temperature")
        await hands.press(*"21.")
        hands.app.kept.flush()
    async with at_pour(one, drafts=drafts) as hands:
        assert in_hand(hands) == (1, "temperature")
        assert (field(hands).text, field(hands).typing) == ("21.", True)
        await hands.press("5", "enter")
        assert str(pour_of(one).lines[0].load.temperature) == "21.5"


async def test_a_half_read_docket_comes_back_after_a_kill(tmp_path: Path) -> None:
    one = begun(tmp_path)
    drafts = store()
    async with at_pour(one, drafts=drafts) as hands:
        await hands.press("n", *"D-41")
        hands.app.kept.flush()
    async with at_pour(one, drafts=drafts) as hands:
        await hands.press("n")
        assert "D-41" in page(hands.app)


async def test_a_refused_docket_is_there_again(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20")
    async with at_pour(one) as hands:
        await cell(hands, 1, "docket")
        await hands.press("enter", "2")
        await hands.press_button("do")
        assert "whyitchanges" in squeezed(page(hands.app))
        await hands.press("enter")
        assert "412" in page(hands.app)


async def test_an_odd_docket_asks_why(tmp_path: Path) -> None:
    one = begun(tmp_path)
    times = {"batched": f"{one.clock.at - timedelta(hours=5):%H:%M}", "arrived": "now"}
    async with at_pour(one) as hands:
        await docket(hands, docket="41", volume="6", **times)
        assert isinstance(hands.app.screen, Form)
        assert not one.walk.record.loads
        await hands.press(*"breakdown", "enter", "enter")
    (entry,) = one.walk.record.loads
    assert (entry.data["doubted"], entry.data["why"]) == (True, "breakdown")


async def test_what_was_read_before_the_pour_is_beside_the_weather_and_not_in_it(
    tmp_path: Path,
) -> None:
    one = begun(tmp_path)
    async with at_pour(one) as hands:
        await hands.press("w")
        dialog = hands.app.screen
        assert "half a metre" in page(hands.app)
        assert squeezed("Before the pour: Concrete 18 °C") in squeezed(page(hands.app))
        assert [dialog.query_one(f"#ask-{key}").value for key in WEATHER] == [""] * 4
        for _ in range(8):
            await hands.press("enter")
        assert pour_of(one).weather == ()
        await hands.fill(dialog, concrete="18", air="18", humidity="55", wind="9")
        await hands.press_button("do")
        (reading,) = pour_of(one).weather
        assert (str(reading.weather.air), str(reading.weather.humidity)) == ("18", "55")


async def test_what_somebody_wrote_is_changed_when_it_is_come_back_to(tmp_path: Path) -> None:
    one = begun(tmp_path)
    async with at_pour(one) as hands:
        await hands.press("w", *"24", "enter", *"30", "enter", *"55", "enter")
        dialog = hands.app.screen
        shown = [dialog.query_one(f"#ask-{key}").value for key in ("concrete", "air", "humidity")]
        assert shown == ["24", "30", "55"]
        dialog.query_one("#ask-air").focus()
        await hands.press("backspace", "2")
        assert dialog.query_one("#ask-air").value == "32"


async def test_once_it_is_full_it_leads_on_to_the_walk(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one) as hands:
        assert "Full." not in page(hands.app)
        whole(one, 2)
        hands.app.refresh_screen()
        await hands.settle()
        assert in_hand(hands) == (0, "on")
        await hands.press("up")
        assert in_hand(hands) == (3, "new")
        await hands.press("down")
        assert "[ Full. Next: 9 Pour, Write the names of the specimens taken ]" in page(hands.app)
        await hands.press("enter")
        assert (hands.app.here.screen, hands.app.here.item) == ("walk", "pour.samples")
        one.pass_section("pour")
        hands.app.go("pour")
        await hands.settle()
        assert "Poured. Next: " in page(hands.app)


@pytest.mark.parametrize("hands", [Keys, Clicks])
async def test_what_is_next_is_offered_once_it_is_full(tmp_path: Path, hands: type[Hands]) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    whole(one, 2)
    async with at_pour(one, hands, size=(120, 40)) as at_work:
        assert in_hand(at_work) == (0, "on")
        if isinstance(at_work, Keys):
            await at_work.press("enter")
        else:
            table = at_work.app.screen.query_one(LoadTable)
            row = next(n for n, line in enumerate(table.in_sight) if line.number == 0)
            await driver.click(at_work.app, table, 5, row)
        await at_work.settle()
        assert at_work.app.here.screen == "walk"


async def test_a_specimen_and_a_note(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one) as hands:
        await hands.press("s")
        await hands.press_button("do")
        assert not pour_of(one).specimens, "nobody said where it is kept"
        await hands.focus(hands.app.screen.query_one("#ask-cured"))
        await hands.press("right")
        await hands.press_button("do")
        (specimen,) = pour_of(one).specimens
        assert (specimen.name, specimen.cured, specimen.load) == ("P1-1", "field", 1)
        await hands.press("m", *"pump blocked", "enter")
        await hands.press_button("do")
        assert one.walk.record.notes[-1].data["text"] == "pump blocked"
        assert "1 specimen · 1 note" in page(hands.app)


async def test_a_delay_has_its_times(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    end = one.clock.at
    async with at_pour(one) as hands:
        await hands.press("m")
        begin = f"{end - timedelta(minutes=10):%H:%M}"
        await hands.fill(hands.app.screen, text="pump blocked", **{"from": begin, "to": "25:00"})
        await hands.press_button("do")
        assert not one.walk.record.notes
        hands.app.screen.query_one("#ask-to").value = f"{end:%H:%M}"
        await hands.press_button("do")
        text = f"pump blocked, {begin} to {end:%H:%M}"
        assert one.walk.record.notes[-1].data["text"] == text
        await hands.press("v")
        assert text in page(hands.app)


async def test_a_docket_names_one_mix(tmp_path: Path) -> None:
    """As ordered is picked, and another one written below: the one that was written is not thrown away."""
    one = begun(tmp_path)
    async with at_pour(one) as hands:
        await hands.press("n")
        dialog = hands.app.screen
        await hands.fill(dialog, docket="41", other="N32/20")
        await pick_mix(hands, dialog, 1)
        await hands.press_button("do")
        assert "Two mixes" in page(hands.app)
        assert not pour_of(one).lines
        await pick_mix(hands, dialog, 1)
        await hands.press_button("do")
        (line,) = pour_of(one).lines
        assert (line.load.mix, line.wrong) == ("N32/20", True)


async def test_a_docket_that_is_too_long_is_refused_in_its_dialog(tmp_path: Path) -> None:
    one = begun(tmp_path)
    async with at_pour(one) as hands:
        await hands.press("n")
        dialog = hands.app.screen
        await pick_mix(hands, dialog, 1)
        dialog.query_one("#ask-docket").value = "4" * 61
        await hands.press_button("do")
        assert hands.app.screen is dialog
        assert dialog.query_one("#ask-mix", Choice).value == "ordered"


async def test_the_mix_that_was_picked_comes_back_after_a_kill(tmp_path: Path) -> None:
    one = begun(tmp_path)
    drafts = store()
    async with at_pour(one, drafts=drafts) as hands:
        await hands.press("n", *"D-41")
        await pick_mix(hands, hands.app.screen, 1)
        hands.app.kept.flush()
    async with at_pour(one, drafts=drafts) as hands:
        await hands.press("n")
        assert hands.app.screen.query_one("#ask-mix", Choice).value == "ordered"


async def test_a_load_out_of_its_limits_goes_in_by_somebodys_word(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", volume="6", slump="120")
    async with at_pour(one) as hands:
        await cell(hands, 1, "begun")
        assert "120 mm, 65 mm to 95 mm ordered. A second test decides." in squeezed_words(hands)
        await typed(hands, "")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        assert "Does load 1 go in all the same?" in page(hands.app)
        await hands.press("escape")
        assert pour_of(one).lines[0].load.begun is None
        await typed(hands, "")
        await hands.fill(hands.app.screen, by="bc", seen="second test 90")
        await hands.press_button("do")
        assert f"{HAND} may not let" in page(hands.app)
        assert pour_of(one).lines[0].load.begun is None
        await hands.fill(hands.app.screen, by="ar", seen="second test 90")
        await hands.press_button("do")
        (line,) = pour_of(one).lines
        assert line.state == "placing"
        assert "second test 90" in (line.load.let_in or "")
        word = one.desk.state.last.data["word"]  # type: ignore[union-attr]
        assert word == {"of": FOREMAN, "role": "foreman", "way": "here"}


async def test_a_load_within_its_limits_goes_in_without_a_word(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", volume="6", slump="95")
    async with at_pour(one) as hands:
        await cell(hands, 1, "begun")
        await typed(hands, "")
        assert pour_of(one).lines[0].state == "placing"
        assert "Placed 6.0 of 9.06 m³, 6.0 going in [▓▓▓" in page(hands.app)


async def test_old_weather_is_read_again(tmp_path: Path) -> None:
    one = begun(tmp_path)
    calm = {"concrete": "20", "air": "20", "humidity": "80", "wind": "5"}
    dry = {"concrete": "24", "air": "24", "humidity": "40", "wind": "12"}
    for words, minutes in ((calm, 60), (dry, 30)):
        act = read_weather(one.walk, words, "now", FOREMAN, one.clock.at)
        assert isinstance(act, Act)
        one.desk.record(act)
        one.clock.later(minutes=minutes)
        assert not pour_of(one).weather_due
        one.clock.later(minutes=1)
        assert pour_of(one).weather_due
    async with at_pour(one, size=(120, 40)) as hands:
        assert "Read 31 min ago, read it again: w." in page(hands.app)


async def test_before_the_release_it_says_what_is_missing(tmp_path: Path) -> None:
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    do(one, 1, docket="41", mix="N40/20")
    async with at_pour(one) as hands:
        await cell(hands, 1, "begun")
        await typed(hands, "")
        words = " ".join(page(hands.app).split())
        assert "“Release to pour” is not" in words
        assert pour_of(one).lines[0].load.begun is None


async def test_undo_stays_at_the_pour(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one) as hands:
        await hands.press("u")
        assert hands.app.here.screen == "pour"
        assert pour_of(one).lines[0].state == "placing"


async def test_the_letter_takes_the_pour_from_everywhere(tmp_path: Path) -> None:
    one = begun(tmp_path)
    async with at_pour(one) as hands:
        await hands.press("f2", "t")
        assert hands.app.here.screen == "pour"


async def test_a_stray_letter_is_said_to_do_nothing(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20")
    async with at_pour(one) as hands:
        await cell(hands, 1, "begun")
        before = hands.entries
        await hands.press("ß")
        assert "does nothing here" in page(hands.app)
        assert hands.entries == before


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_what_matters_is_in_sight_at_every_size(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    do(one, 2, docket="D-2", mix="N40/20", volume="2.0", batched="now")
    one.clock.later(minutes=11)
    act = read_weather(
        one.walk, {"concrete": "31", "air": "27", "humidity": "50", "wind": "19"}, "now", FOREMAN,
        one.clock.at,
    )  # fmt: skip
    assert isinstance(act, Act)
    one.desk.record(act)
    async with at_pour(one, size=size) as hands:
        # What was said at the start folds with the first key.
        await hands.press("right", "left")
        words = " ".join(page(hands.app).split())
        for said in (
            "Placed 6.0 of 9.06 m³", "3.06 m³ left", "order the last one", "load 2: 11 of 90 min",
            "11 of 45 min since the last load", "D-1", "D-2", "Load 2, arrived", "1.15 kg/m²/h", "ACT",
            "F1",
        ):  # fmt: skip
            assert said in words, said
        assert all(len(row) <= size[0] for row in lines(hands.app))
        if size != SIZES[0]:
            assert "act 1.00" in words
            assert "caution 0.50" in words
            assert "by Uno 1998" in words


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_in_ascii_all_of_it_is_ascii(tmp_path: Path, size: tuple[int, int]) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    async with at_pour(one, size=size, ascii_only=True) as hands:
        assert page(hands.app).isascii(), {c for c in page(hands.app) if not c.isascii()}


async def test_names_are_shown_as_they_are(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket=HOSTILE, mix=HOSTILE)
    one.do(turn_away(one.walk, 1, HOSTILE, FOREMAN, one.clock.at))
    async with at_pour(one, size=(120, 40)) as hands:
        await hands.press("v")
        assert HOSTILE in page(hands.app)


async def test_many_loads_scroll_with_the_one_in_hand(tmp_path: Path) -> None:
    one = begun(tmp_path)
    for number in range(1, 16):
        do(one, number, docket=f"D-{number}", mix="N40/20", volume="0.6")
    async with at_pour(one, size=(60, 20)) as hands:
        for number in (15, 1, 9):
            await cell(hands, number, "docket")
            assert f"[D-{number}"[:5] in page(hands.app), number
        assert " no " in page(hands.app)


# What counts, and how much of the line it takes.


@pytest.mark.painted
async def test_minutes_count_once_a_minute_and_nothing_else_is_painted(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", volume="6")
    async with at_pour(one) as hands:
        app = hands.app
        assert "load 1: 0 of 90 min" in page(app)
        wire = Line(app)
        one.clock.later(seconds=60)
        app.tick()
        await driver.settle(app)
        assert "load 1: 1 of 90 min" in page(app)
        assert wire.paints == 1
        assert 0 < wire.bytes <= 900
        wire.bytes = wire.paints = 0
        for _ in range(5):
            app.tick()
            await driver.settle(app)
        assert (wire.paints, wire.bytes) == (0, 0)


async def test_the_focus_and_what_is_typed_stay_while_it_counts(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", arrived="now", volume="6")
    async with at_pour(one) as hands:
        await hands.press(*"8")
        one.clock.later(minutes=3)
        hands.app.tick()
        await driver.settle(hands.app)
        assert (field(hands).text, field(hands).has_focus) == ("8", True)
        assert "load 1: 3 of 90 min" in page(hands.app)


@pytest.mark.painted
async def test_a_key_in_the_field_is_few_bytes(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="41", mix="N40/20", batched="now", arrived="now", volume="6")
    async with at_pour(one) as hands:
        wire = Line(hands.app)
        await hands.press("8")
        wire.bytes = wire.paints = 0
        await hands.press("0")
        assert 0 < wire.bytes <= 1500
        assert wire.paints == 1


def test_a_click_beside_the_cells_takes_the_nearest() -> None:
    from pourdeck.deck.paint import line
    from pourdeck.deck.views.pour import TableLine, cell_at

    one = TableLine(
        spans=line("x"), number=1,
        cells=(Cell(number=1, key="docket", start=4, end=9), Cell(number=1, key="mix", start=9, end=14)),
    )  # fmt: skip
    assert [cell_at([one], 0, x).key for x in (0, 4, 8, 9, 40)] == [  # type: ignore[union-attr]
        "docket", "docket", "docket", "mix", "mix",
    ]  # fmt: skip
    assert cell_at([one], 3, 0) is None
