"""Make the tests of the screens quick without another outcome: nothing of it holds in a full run.

A screen is painted whole once it has come to rest. What changes on it afterwards is laid out at once and
painted when a test looks: `kit.lines` renders from the same caches as the deck does, so that what was not
marked as changed still shows as it was. Tests of the painting itself say `painted`. The same style sheet is
read once a process.
"""

from typing import Any

import pytest
from textual import screen
from textual._compositor import Compositor
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet

from tests import campaign
from tests.deck import driver

_sheets: dict[tuple[Any, ...], list[RuleSet]] = {}
_parse_rules = Stylesheet._parse_rules


def _read_once(
    sheet: Stylesheet, css: str, read_from: Any, *rest: Any, **more: Any
) -> list[RuleSet]:
    key = (css, read_from, rest, *more.items(), *sheet._variables.items())
    found = _sheets.get(key)
    if found is None:
        found = _sheets[key] = _parse_rules(sheet, css, read_from, *rest, **more)
    return found


@pytest.fixture(autouse=True)
def _quick(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    # The driver lays out and paints when all is said: a tick in between would make it a matter of speed.
    monkeypatch.setattr(screen, "UPDATE_PERIOD", 3600.0)
    if not campaign.in_full():
        monkeypatch.setattr(Stylesheet, "_parse_rules", _read_once)
        if request.node.get_closest_marker("painted") is None:
            monkeypatch.setattr(Compositor, "render_partial_update", driver.leave_unpainted)
            monkeypatch.setattr(Compositor, "render_full_update", driver.paint_at_rest)
