"""A clock that was set: marked on every screen, and the way to confirm the time."""

from pathlib import Path

from tests.deck import driver
from tests.deck.kit import Ticks, page
from tests.walk.kit import FOREMAN
from tests.walk.test_clock import Computer, gate


async def test_the_mark_leads_to_the_question(tmp_path: Path) -> None:
    from pourdeck.deck.app import DeckApp

    computer = Computer(tmp_path)
    one = computer.open()
    one.go_to("finish")
    one.desk.close()
    computer.put(hours=19)
    one = computer.open()
    app = DeckApp(one.desk, None, monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        app.keep(by=FOREMAN)
        await driver.settle(app)
        assert "Clock jumped: 1" in page(app)
        await driver.press(app, "f7")
        assert "went forward 19 h 0 min" in " ".join(page(app).split())
        await driver.press(app, "enter")
        assert f"Is it {one.clock.at:%a %d %b %Y %H:%M}?" in page(app)
        await driver.press(app, "enter")
        assert gate(one.desk), "Enter alone leaves it as it is"
        await driver.press(app, "q", "tab", "enter")
        assert gate(one.desk) == ""
        assert "Clock jumped" not in page(app)
    last = one.desk.state.last
    assert last is not None
    assert (last.kind, last.by) == ("clock", FOREMAN)
