"""The adjusted age of a log of 500 readings against a sum of its own, minute by minute.

t_T = Σ exp(13.65 − 4000 / (273 + T)) Δt, EN 1992-1-1:2004, B.10, with T straight between readings, the first
before it and the last after it; °C = (°F − 32) · 5/9 by definition.
"""

from datetime import timedelta
from math import exp, sin

import pytest

from pourdeck.pour.maturity import Reading, adjusted_days
from pourdeck.walk.logger_file import Temperatures
from tests.walk.logger_kit import NOW, START, read, refused

STEP = 15
FIRST, GAP, GONE = 40, 230, 30
"""Minutes after the pour; the reading after which so many are missing."""


def fahrenheit(minute: int) -> float:
    """A panel that warms by its own heat and swings with the day."""
    hours = minute / 60
    warm = 18 + 22 * exp(-(((hours - 14) / 9) ** 2)) + 4 * sin(hours / 24 * 6.283)
    return round(warm * 9 / 5 + 32, 1)


MINUTES = [FIRST + STEP * (n + (GONE if n > GAP else 0)) for n in range(500)]
ROWS = [
    (
        f"{START + timedelta(minutes=minute):%d.%m.%Y %H:%M}",
        f"{fahrenheit(minute)}".replace(".", ","),
    )
    for minute in MINUTES
]


def text(rows: list[tuple[str, str]]) -> str:
    """Two columns of temperature, a line of units, a preamble and what loggers write below."""
    lines = ["Logger X7", "Kanal 2;in Beton", "Zeit;Luft;Beton", ";°F;°F"]
    lines += [f"{at};55,0;{value}" for at, value in rows]
    return "\r\n".join([*lines, "", "End of data", "Checksum: 9f3c", ""])


def by_minutes(total: int) -> float:
    """Adjusted days by the middle of every minute, with the temperatures as they were written."""
    known = [(minute, (fahrenheit(minute) - 32) * 5 / 9) for minute in MINUTES]
    days, place = 0.0, 0
    for minute in range(total):
        middle = minute + 0.5
        while place + 1 < len(known) and known[place + 1][0] <= middle:
            place += 1
        (a, low), (b, high) = known[place], known[min(place + 1, len(known) - 1)]
        if middle <= a or a == b:
            warm = low
        else:
            warm = low + (high - low) * (middle - a) / (b - a)
        days += exp(13.65 - 4000 / (273 + warm)) / 1440
    return days


def age(found: Temperatures) -> float:
    readings = [Reading(at=at, temperature=float(value)) for at, value in found.readings]
    return adjusted_days(readings, START, NOW)


@pytest.mark.parametrize("again", [(), (77, 300, 499)])
def test_five_hundred_readings_with_a_gap_and_times_repeated(again: tuple[int, ...]) -> None:
    rows = [row for n, row in enumerate(ROWS) for _ in range(2 if n in again else 1)]
    found = read(text(rows))
    assert len(found.readings) == 500
    assert len(found.repeated) == len(again)
    assert found.unit == "°F"
    assert age(found) == pytest.approx(
        by_minutes(int((NOW - START) / timedelta(minutes=1))), rel=1e-5
    )


@pytest.mark.parametrize("place", [0, 250, 499])
def test_the_same_time_with_another_temperature_names_both_lines(place: int) -> None:
    at, _ = ROWS[place]
    rows = [*ROWS[: place + 1], (at, "61,7"), *ROWS[place + 1 :]]
    said = refused(text(rows))
    assert said.startswith(f"Line {place + 6}: {at} stands twice")
    assert f"on line {place + 5}." in said
    assert "61.7 °F" in said


@pytest.mark.parametrize("place", [0, 250, 499])
@pytest.mark.parametrize("value", ["ERR", "", "-999,0", "21,5 °C", "6 8,1"])
def test_one_bad_line_is_named_and_none_is_taken(place: int, value: str) -> None:
    rows = [(at, value if n == place else old) for n, (at, old) in enumerate(ROWS)]
    said = refused(text(rows))
    assert said.startswith(f"Line {place + 5}: ")
    assert ROWS[place][0] in said
    assert "Nothing of the file was taken." in said
