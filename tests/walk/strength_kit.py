"""A panel whose pour ended at noon, and what was written down of its concrete."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from pourdeck.plan.records import Job
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState, fold
from tests.walk.kit import JOB, Crew, crew, job_of

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)

MIX = """
[mix]
name = "N40/20"
strength = 40
cement = "N"
"""

CLIMB = "climb = { strength = 10, hours = 18 }"
ESTIMATE = 'climb = { strength = 10, hours = 18, by = "estimate" }'
LIFT = "lift = { strength = 25 }"
SOURCES = """sources = { climb = "note 14", lift = "LD-02" }"""

TEXT = JOB.replace("climb = { hours = 18 }", f"{CLIMB}\n{LIFT}\n{SOURCES}") + MIX
NO_CURVE = TEXT.replace(MIX, "")


def job(climb: str = CLIMB, lift: str = LIFT, mix: str = MIX) -> Job:
    """The trial yard with other limits or another mix; "" leaves one out."""
    text = TEXT.replace(CLIMB, climb).replace(LIFT, lift).replace(MIX, mix)
    return job_of(text)


def entry(kind: str, n: int, **data: Any) -> Entry:
    return Entry(
        station="shed", n=n, at=NOON, by="Ada Reed", kind=kind, data={"panel": "P1", **data},
        prev="", seal="", order=n,
    )  # fmt: skip


def panel(*acts: tuple[str, dict[str, Any]], poured: bool = True) -> PanelState:
    """Give what the log has of P1: its pour, then these acts in their order."""
    record = PanelState(mark="P1")
    pour = [
        ("pour-start", {"time": (NOON - timedelta(hours=1)).isoformat()}),
        ("pour-end", {"time": NOON.isoformat(), "volume": "1.3"}),
    ]
    for n, (kind, data) in enumerate([*(pour if poured else []), *acts], 1):
        fold(record, entry(kind, n, **data))
    return record


def later(hours: float) -> datetime:
    """So many hours after the end of the pour."""
    return NOON + timedelta(hours=hours)


def warm(*readings: tuple[float, float]) -> tuple[str, dict[str, Any]]:
    """Hours after the pour and °C."""
    listed = [[later(hours).isoformat(), str(value)] for hours, value in readings]
    return "temperatures", {"readings": listed, "from": "typed"}


def taken(name: str, cured: str = "field", hours: float = 0) -> tuple[str, dict[str, Any]]:
    return "specimen", {
        "specimen": name,
        "cured": cured,
        "load": 1,
        "time": later(hours).isoformat(),
    }


def was_tested(
    name: str, strength: str, hours: float, cured: str = "field"
) -> tuple[str, dict[str, Any]]:
    data = {"specimen": name, "cured": cured, "strength": strength}
    return "test", {**data, "time": later(hours).isoformat()}


def poured_crew(folder: Path, text: str = TEXT) -> Crew:
    """A crew whose first panel was just poured; its pour ended a few minutes ago."""
    one = crew(folder, text)
    one.go_to("finish")
    return one
