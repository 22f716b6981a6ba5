"""A panel from its first item to its close: with keys alone at 80×24, and with a mouse alone at 120×40."""

import tomllib
from pathlib import Path
from typing import Any

from attrs import frozen

from pourdeck.deck.app import DeckApp
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import Ticks
from tests.walk.kit import JOB, Clock, open_desk

WAYS: dict[str, tuple[type[Hands], tuple[int, int]]] = {
    "keys": (Keys, (80, 24)),
    "clicks": (Clicks, (120, 40)),
}


@frozen(kw_only=True)
class Day:
    acts: list[tuple[object, ...]]
    state: str
    record: dict[str, Any]


def _act(kind: str, data: dict[str, Any]) -> tuple[object, ...]:
    about = [data.get(name) for name in ("item", "hold", "section", "value", "values", "verdict")]
    return (kind, *(str(one) for one in about))


async def _work(folder: Path, way: str) -> Day:
    hands, size = WAYS[way]
    folder.mkdir()
    clock = Clock()
    desk = open_desk(folder, JOB, clock)
    app = DeckApp(desk, None, monotonic=Ticks())
    save = desk.record

    def record(act: Any) -> Any:
        clock.later(seconds=7)
        if act.kind == "complete" and act.data["section"] == "finish":
            # The forms come off the next morning.
            clock.later(hours=13)
        return save(act)

    desk.record = record  # type: ignore[method-assign]
    async with app.run_test(size=size):
        one = hands(app)
        app.go("board", stack="A", panel=1)
        await one.settle()
        await one.open_panel()
        await one.work()
        acts = [_act(entry.kind, dict(entry.data)) for entry in desk.state.entries]
        state = one.walk.panel_state
    written = (folder / "job" / "record" / "A-1-P1.toml").read_text(encoding="utf-8")
    return Day(acts=acts, state=state, record=tomllib.loads(written))


async def test_keys_and_clicks_cast_the_panel_and_leave_the_same_acts(tmp_path: Path) -> None:
    """Each act by key and by click ends in the same entry."""
    days = {way: await _work(tmp_path / way, way) for way in WAYS}
    for day in days.values():
        assert day.state == "cast"
        assert day.record["panel"]["mark"] == "P1"
        assert day.record["panel"]["state"] == "cast"
        assert day.record["summary"]["answered"] == day.record["summary"]["items"]
    pour = ("pour-start", "pour-end")
    by_keys, by_clicks = (
        [act for act in days[way].acts if act[0] not in pour] for way in ("keys", "clicks")
    )
    assert by_keys == by_clicks
    kinds = {str(act[0]) for act in days["keys"].acts}
    assert {"answer", "release", "complete", "pour-start", "pour-end", "as-cast", "close"} <= kinds
