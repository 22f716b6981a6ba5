"""A pour on 25 November 2026 in Hobart, and texts as loggers write them for it."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from pourdeck.plan.messages import Refusal
from pourdeck.walk.logger_cells import Given, Pour, Question
from pourdeck.walk.logger_file import Temperatures, read_temperatures

HOBART = ZoneInfo("Australia/Hobart")
NOW = datetime(2026, 12, 1, 7, 0, tzinfo=HOBART)
BEGAN = datetime(2026, 11, 25, 13, 0, tzinfo=HOBART)
START = datetime(2026, 11, 25, 14, 0, tzinfo=HOBART)
"""When the pour ended."""

POUR = Pour(began=BEGAN, ended=START)


def asked(
    text: str,
    units: str = "metric",
    *,
    zone: object = HOBART,
    now: datetime = NOW,
    pour: Pour = POUR,
    given: Given | None = None,
) -> Temperatures | Refusal:
    return read_temperatures(text, units, zone, now, pour, given or Given())  # type: ignore[arg-type]


def read(text: str, units: str = "metric", **more: object) -> Temperatures:
    found = asked(text, units, **more)  # type: ignore[arg-type]
    assert isinstance(found, Temperatures), found
    return found


def refused(text: str, units: str = "metric", **more: object) -> str:
    found = asked(text, units, **more)  # type: ignore[arg-type]
    assert isinstance(found, Refusal), found
    return f"{found.title} {found.body}"


def question(text: str, units: str = "metric", **more: object) -> Question:
    found = asked(text, units, **more)  # type: ignore[arg-type]
    assert isinstance(found, Question), found
    return found


def values(found: Temperatures) -> list[Decimal]:
    return [value for _, value in found.readings]


def minutes(found: Temperatures, since: datetime = START) -> list[float]:
    """When each was read, since the end of the pour."""
    return [(at - since) / timedelta(minutes=1) for at, _ in found.readings]


def utc(found: Temperatures) -> list[str]:
    return [at.astimezone(UTC).strftime("%Y-%m-%d %H:%M") for at, _ in found.readings]
