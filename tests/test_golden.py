"""Logs and records of jobs that were worked with an older program: they read as they did.

`tests/golden` holds three: the example with a day in hand, a yard with lifts, a pour with a load turned away.
Beside each is `state.json`, what its log came to when it was written. None of these files changes.
"""

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from pourdeck.paper.record_files import build_records
from pourdeck.sitelog.verify import verify
from pourdeck.walk.desk import Desk

GOLDEN = Path(__file__).parent / "golden"
JOBS = sorted(one.name for one in GOLDEN.iterdir())
BY_ESTIMATE = (
    "climb = { strength = 10, hours = 18 }",
    'temperature_gap = 168\nclimb = { strength = 10, hours = 18, by = "estimate" }',
)
"""Any estimate opened the climb when these were written; since then a job must say so."""

AT = datetime(2027, 1, 1, tzinfo=UTC)


@pytest.fixture(params=JOBS)
def desk(request: pytest.FixtureRequest, tmp_path: Path) -> Desk:
    folder = tmp_path / request.param
    shutil.copytree(GOLDEN / request.param, folder)
    plan = folder / "job.toml"
    plan.write_text(plan.read_text(encoding="utf-8").replace(*BY_ESTIMATE), encoding="utf-8")
    return Desk.open(
        folder, station="shed", clock=lambda: AT, state_folder=tmp_path / "state", read_only=True
    )


def state(desk: Desk) -> dict[str, Any]:
    """Give how every panel of a job stands, and each of its items that has an answer."""
    found: dict[str, Any] = {}
    for stack in desk.job.stacks:
        for number in range(1, len(stack.panels) + 1):
            walk = desk.walk(stack.id, number)
            found[f"{stack.id} {number}"] = {
                "state": walk.panel_state,
                "holds": {hold.id: hold.state for hold in walk.holds},
                "items": {
                    item.key: [item.own_state, item.verdict, str(item.found), item.by]
                    for item in walk.items()
                    if item.entry is not None
                },
            }
    return found


def test_the_log_comes_to_the_same(desk: Desk) -> None:
    pinned = json.loads((desk.plan.folder / "state.json").read_text(encoding="utf-8"))
    assert state(desk) == pinned
    assert desk.state.unknown == []
    assert verify(desk.plan.folder).whole


def test_the_records_come_out_as_they_were(desk: Desk) -> None:
    folder = desk.plan.folder / "record"
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    shutil.rmtree(folder)
    build_records(desk)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
