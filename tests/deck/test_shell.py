"""The app round the screens: sizes, leaving, coming back, saying what is saved."""

from pathlib import Path
from typing import Any

import pytest
from attrs import define

from pourdeck.deck.app import DeckApp
from pourdeck.deck.widgets.frame import Said
from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.walk.records import Act
from tests.campaign import some, windows
from tests.deck import driver
from tests.deck.kit import HOSTILE, SIZES, TOO_SMALL, lines, make_deck, page, store, worked_deck
from tests.walk.kit import JOB
from tests.walk.kit import crew as crew_of


@define
class Seconds:
    now: float = 0.0

    def __call__(self) -> float:
        return self.now


NOTE = Act(
    kind="note", by="Ada Reed", data={"panel": "W02", "item": None, "text": HOSTILE}, says="note"
)


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_every_screen_fills_its_window_and_no_more(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=size):
        for key in ("f2", "f3", "f4", "f5", "f6"):
            await driver.press(app, key)
            shown = lines(app)
            assert len(shown) == size[1]
            assert all(len(line) == size[0] for line in shown), key
            assert "deferred 1" in page(app), "what is owed is in sight on every screen"
            assert "F1 Help" in page(app)


async def test_a_window_too_small_says_so_and_loses_nothing(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "tab", "down")
        focus, before = app.focused, page(app)
        await driver.resize(app, *TOO_SMALL)
        await driver.settle(app)
        words = " ".join(page(app).split())
        assert "Window too small: now 40x12, needs 60x20." in words
        await driver.press(app, "down", "enter", "f3", "5")
        await driver.resize(app, 80, 24)
        await driver.settle(app)

        assert app.focused is focus
        assert page(app) == before


@pytest.mark.campaign
async def test_any_size_at_all_is_survived(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    sizes = (
        (1, 1),
        (2, 200),
        (200, 2),
        (13, 7),
        (59, 20),
        (60, 19),
        (60, 20),
        (132, 43),
        (200, 60),
    )
    async with app.run_test(size=(80, 24)):
        for key in ("f2", "f4", "f6", "f1"):
            await driver.press(app, key)
            for size in some(sizes):
                await driver.resize(app, *size)
                await driver.settle(app)
                assert len(lines(app)) == size[1]
            await driver.press(app, "escape")


async def test_the_next_start_comes_back_to_the_same_place(tmp_path: Path) -> None:
    drafts = store()
    app = make_deck(tmp_path, JOB, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "up", "f6", "f4", "p", "down", "enter")
        place = app.here
        await driver.press(app, "f10")
    app.desk.close()
    again = make_deck(tmp_path, JOB, drafts=drafts)
    async with again.run_test(size=(80, 24)):
        assert again.current_mode == "setout"
        assert again.here == place
        assert (place.screen, place.stack, place.panel, place.by) == ("setout", "A", 2, "Ada Reed")


@pytest.mark.parametrize(
    "here",
    [
        {"screen": "nowhere", "stack": "gone", "panel": 99},
        {"screen": "walk", "stack": "A", "panel": 99, "item": "no.such"},
        {"screen": "walk", "stack": "A", "panel": 1, "item": "no.such"},
        {"look": "none", "by": HOSTILE},
    ],
)
async def test_a_place_that_is_gone_is_no_reason_to_fail(
    tmp_path: Path, here: dict[str, object]
) -> None:
    drafts = store()
    drafts.draft = {"here": here, "texts": {}}
    app = make_deck(tmp_path, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        assert app.here.stack == "A"
        assert app.here.panel == 1
        assert "W02" in page(app)


async def test_after_a_pause_the_first_key_only_wakes(tmp_path: Path) -> None:
    seconds = Seconds()
    app = worked_deck(tmp_path, monotonic=seconds)
    async with app.run_test(size=(80, 24)):
        for screen, key in (("board", "f2"), ("walk", "f3"), ("log", "f6")):
            await driver.press(app, key)
            seconds.now += 601
            before = lines(app)
            await driver.press(app, "l")
            assert app.look.name == "shed"
            assert app.current_mode == screen
            assert "Awake again" in page(app)
            assert "Last: no. 5 note" in page(app)
            assert lines(app)[2:8] == before[2:8]


async def test_the_start_says_what_was_last_done_and_what_is_next(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        assert "Last: no. 5 note" in page(app)
        assert "Next: P1" in page(app)


async def test_saved_is_said_with_time_and_number_and_the_head_shows(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        entry = app.record(NOTE)
        await driver.settle(app)
        assert entry is not None
        assert f"✓ Saved 06:00:00, no. {entry.n}" in page(app)
        assert f"log {entry.n} {entry.seal[:12]}" in page(app), "enough to look for it again"


async def test_what_is_not_saved_is_said_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_deck(tmp_path)

    def full(act: Act) -> None:
        raise NotSaved("The disk is full", "Make room and do it again")

    monkeypatch.setattr(app.desk, "record", full)
    async with app.run_test(size=(80, 24)):
        assert app.record(NOTE) is None
        await driver.settle(app)
        assert "✗ NOT SAVED: The disk is full. Make room and do it again" in page(app)
        assert "Saved" not in page(app)


async def test_a_refusal_says_why_and_what_would_allow_it(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        assert app.record(Refusal(title=f"{HOSTILE} is locked", body="word " * 40)) is None
        await driver.settle(app)
        shown = lines(app)

        assert any(f"✗ {HOSTILE} is locked" in line for line in shown)
        assert sum("word" in line for line in shown) >= 3
        app.say(Said("note", "short"))
        await driver.settle(app)
        assert "word" not in page(app)


async def test_a_second_station_that_only_reads_says_so(tmp_path: Path) -> None:
    first = make_deck(tmp_path)
    first.record(NOTE)
    second = make_deck(tmp_path)
    async with second.run_test(size=(80, 24)):
        assert "read only" in page(second)
    first.desk.close()


@pytest.mark.parametrize("key", ["f10", "ctrl+q"])
async def test_leaving_asks_nothing_and_says_what_is_owed(tmp_path: Path, key: str) -> None:
    app = worked_deck(tmp_path)
    said: list[str] = []
    leave = app.exit

    def note(*args: Any, message: object = None, **more: Any) -> None:
        said.append(str(message))
        leave(*args, message=message, **more)

    app.exit = note  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "p", key)

    assert app.return_code == 0
    assert "deferred 1, failed 1, unreleased 0" in said[0]


async def test_there_is_nothing_that_repaints_while_nobody_types(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f3")
        timers = [timer for node in (app, *app.screen.walk_children()) for timer in node._timers]

        # Only to look at the log is more often, and what has not changed paints nothing.
        often = [one for one in timers if one._repeat is None and one._interval < 60]
        assert [one.name for one in often] == ["follow"]
        refreshed: list[str] = []
        monkeypatch.setattr(app, "refresh_screen", lambda: refreshed.append("all"))
        monkeypatch.setattr(app, "refresh_frame", lambda: refreshed.append("frame"))
        app.follow()
        assert refreshed == []


async def test_what_waited_for_hours_is_free_when_they_have_passed(tmp_path: Path) -> None:
    crew = crew_of(tmp_path)
    crew.cast()
    app = DeckApp(crew.desk, monotonic=Seconds())
    async with app.run_test(size=(80, 24)):
        assert "1 · waiting" in page(app)
        crew.clock.later(hours=18)
        app.tick()
        await driver.settle(app)

        assert "1 ○ ready" in page(app)
