"""Backing up from the deck: asked, beside the work, said when verified, offered when the day ends."""

import threading
from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.backing_up import LeaveDialog
from pourdeck.deck.widgets.field import Field
from pourdeck.sitelog.backups import Backups, LastBackup
from pourdeck.sitelog.disk import Disk
from pourdeck.sitelog.union import read_union
from tests.deck import driver
from tests.deck.kit import Ticks, page
from tests.deck.walk_kit import crew_at
from tests.walk.kit import FOREMAN, Clock, Crew, open_desk

ITEM = "forms.from-line/base"


class Slow(Disk):
    """Waits before it writes until it is told to go on."""

    def __init__(self) -> None:
        self.go = threading.Event()

    def open_new(self, path: Path) -> int:
        if path.name.endswith(".part"):
            assert self.go.wait(20)
        return super().open_new(path)


def deck_of(folder: Path, one: Crew, disk: Disk | None = None) -> DeckApp:
    backups = Backups(
        folder / "state", folder / "job", clock=one.desk.now, new_id=lambda: "0123456789abcdef",
        disk=disk or Disk(),
    )  # fmt: skip
    (folder / "stick").mkdir(exist_ok=True)
    app = DeckApp(one.desk, None, monotonic=Ticks(), backups=backups)
    app.kept.go(by=FOREMAN, by_at=one.desk.now().isoformat())
    return app


async def copied(app: DeckApp) -> None:
    """Until the copy is made and said."""
    while app.copying.is_running:
        await driver.settle(app)
    await driver.settle(app)


def copies(folder: Path) -> list[Path]:
    return sorted((folder / "stick").iterdir())


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_key_asks_for_the_folder_and_says_when_it_is_verified(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = crew_at(tmp_path, "forms")
    app = deck_of(tmp_path, one)
    async with app.run_test(size=size):
        await driver.press(app, "f6")
        assert "Never backed up" in page(app)
        await driver.press(app, "b")
        await driver.write(app, str(tmp_path / "none/there"))
        await driver.press(app, "enter")
        assert "There is no folder" in page(app)
        await driver.write(app, str(tmp_path / "stick"))
        await driver.press(app, "enter", "enter")
        await copied(app)
        assert "Backed up" in app.said.title
        assert "verified" in app.said.title
        assert "Backed up just now, nothing since" in page(app)
        one.answer(ITEM, "0")
        app.follow()
        app.refresh_screen()
        await driver.settle(app)
        assert "1 entry since" in page(app)
        await driver.press(app, "f2", "b")
        offered = app.screen.query_one("#ask-folder", Field).value
        assert offered == str(tmp_path / "stick"), "the last one is offered"
    [into] = copies(tmp_path)
    assert len(read_union(into).entries) == len(one.desk.state.entries) - 1


async def test_the_deck_goes_on_while_it_copies(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    disk = Slow()
    app = deck_of(tmp_path, one, disk)
    async with app.run_test(size=(80, 24)):
        app.copying.start(app.backups, str(tmp_path / "stick"))
        app.go("walk", stack="A", panel=1, item=ITEM)
        await driver.settle(app)
        await driver.press(app, "0", "enter")
        assert "Saved" in app.said.title
        assert "not verified" not in page(app)
        await driver.press(app, "f10")
        assert "not finished" in app.said.title
        assert app.is_running
        disk.go.set()
        await copied(app)
        assert "verified" in app.said.title
    assert one.desk.walk("A", 1).find(ITEM).found == 0


async def test_what_went_wrong_is_said_and_the_deck_goes_on(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    app = deck_of(tmp_path, one)
    async with app.run_test(size=(80, 24)):
        left = []
        app.copying.start(app.backups, str(tmp_path / "pulled out/there"), lambda: left.append(1))
        await copied(app)
        assert app.said.kind == "refused"
        assert "There is no folder" in app.said.title
        assert not left
        app.backups.make = lambda *_: 1 / 0
        app.copying.start(app.backups, str(tmp_path / "stick"), lambda: left.append(1))
        await copied(app)
        assert app.said.title == "Not backed up"
        assert not left


async def at_the_end_of_the_day(tmp_path: Path, hours: float = 9) -> tuple[Crew, DeckApp]:
    one = crew_at(tmp_path, "forms")
    one.answer(ITEM, "0")
    app = deck_of(tmp_path, one)
    one.clock.at = one.desk.state.entries[-1].at + timedelta(hours=hours)
    return one, app


async def test_at_the_end_of_a_day_it_is_offered_once(tmp_path: Path) -> None:
    _, app = await at_the_end_of_the_day(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10")
        assert isinstance(app.screen, LeaveDialog)
        assert "Back up before you go?" in page(app)
        await driver.press(app, "escape")
        assert app.is_running
        assert not isinstance(app.screen, LeaveDialog)
        await driver.press(app, "f10")
        assert not app.is_running, "once a day"


async def test_enter_backs_up_and_leaves(tmp_path: Path) -> None:
    _, app = await at_the_end_of_the_day(tmp_path)
    app.backups.last = LastBackup(folder=str(tmp_path / "stick"))
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10", "enter")
        while app.copying.is_running and app.is_running:
            await driver.settle(app)
        await driver.settle(app)
        assert not app.is_running
    assert len(copies(tmp_path)) == 1


@pytest.mark.parametrize("key", ["n", "f10"])
async def test_a_key_leaves_without(tmp_path: Path, key: str) -> None:
    _, app = await at_the_end_of_the_day(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10", key)
        assert not app.is_running
    assert copies(tmp_path) == []


async def test_the_first_time_the_folder_is_asked_for(tmp_path: Path) -> None:
    _, app = await at_the_end_of_the_day(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10", "enter")
        await driver.write(app, str(tmp_path / "stick"))
        await driver.press(app, "enter", "enter")
        while app.copying.is_running and app.is_running:
            await driver.settle(app)
        await driver.settle(app)
        assert not app.is_running
    assert len(copies(tmp_path)) == 1


async def test_in_the_morning_and_from_a_deck_that_only_reads_nothing_is_asked(
    tmp_path: Path,
) -> None:
    one, app = await at_the_end_of_the_day(tmp_path, hours=1)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10")
        assert not app.is_running
    one.clock.at += timedelta(hours=8)
    text = (tmp_path / "job/job.toml").read_text()
    second = open_desk(tmp_path, text, Clock(one.clock.at))
    assert second.read_only
    app = deck_of(tmp_path, Crew(second, one.clock))
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f10")
        assert not app.is_running
    second.close()


async def test_a_signal_asks_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("end_now", "within_grace"):
        monkeypatch.setattr(f"pourdeck.deck.shell.{name}", lambda *_: None)
    _, app = await at_the_end_of_the_day(tmp_path)
    async with app.run_test(size=(80, 24)):
        app._stopped(15)
        await driver.settle(app)
        assert not app.is_running
        assert app.return_code == 143
