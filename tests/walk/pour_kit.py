"""A job with a mix and limits for its pour, and a crew whose panel is ready for the first truck."""

from datetime import datetime
from pathlib import Path
from typing import Any

from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.pour_acts import write_load
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Act
from tests.walk.kit import ALONE, FOREMAN, Clock, Crew, crew, open_desk

MIX = """
[mix]
name = "N40/20"
strength = 40
cement = "N"
density = 2400
slump = { target = 80, plus = 15, minus = 15 }
truck = 6.0
waste = 0.04
discharge_minutes = 90
"""

POUR_JOB = (
    ALONE.replace("[[stack]]", f"{MIX}[[stack]]", 1)
    .replace(
        "climb = { hours = 18 }",
        "climb = { hours = 18 }\nconcrete_temperature = [5, 35]\n"
        "evaporation = { caution = 0.5, act = 1.0 }\ngap_minutes = 45",
    )
    .replace("width = 3000\nheight = 3000", "width = 7200\nheight = 8400")
)
"""7.2 × 8.4 × 0.15 m: 9.072 m³ less its chamfers."""

START = "pour.start"

_LOGS: dict[str, tuple[bytes, datetime]] = {}


def at_the_pour(folder: Path, text: str = POUR_JOB, **more: Any) -> Crew:
    """All before the pour is done and released. Each such log is made once in a run and copied."""
    if text not in _LOGS:
        made = folder / "made-for-the-pour"
        made.mkdir()
        one = crew(made, text)
        one.go_to("pour")
        one.desk.close()
        _LOGS[text] = ((made / "job" / "log" / "shed.jsonl").read_bytes(), one.clock.at)
    log, at = _LOGS[text]
    (folder / "job" / "log").mkdir(parents=True)
    (folder / "job" / "log" / "shed.jsonl").write_bytes(log)
    clock = more.pop("clock", None) or Clock(at)
    return Crew(open_desk(folder, text, clock, **more), clock)


def begun(folder: Path, text: str = POUR_JOB, **more: Any) -> Crew:
    """Bring a crew to the pour, and record its start."""
    one = at_the_pour(folder, text, **more)
    one.answer(START, "now")
    return one


def load(
    one: Crew, number: int, *, why: str = "", by: str = FOREMAN, **typed: str
) -> Act | Refusal:
    return write_load(one.walk, number, typed, by, one.clock.at, why)


def do(one: Crew, number: int, *, why: str = "", **typed: str) -> Entry:
    """Write it down, and let no time pass."""
    act = load(one, number, why=why, **typed)
    assert isinstance(act, Act), act
    return one.desk.record(act)


def page(one: Crew) -> PourPage:
    return one.desk.pour(one.stack, one.number)


def whole(one: Crew, number: int, volume: str = "6.0", minutes: int = 20, **more: str) -> None:
    """A load from its docket to the end of its discharge, some minutes later."""
    do(one, number, docket=f"D-{number}", mix="N40/20", batched="now", volume=volume, **more)
    one.clock.later(minutes=minutes)
    do(one, number, arrived="now", slump="80", temperature="21")
    do(one, number, begun="now")
    one.clock.later(minutes=minutes)
    do(one, number, ended="now")
