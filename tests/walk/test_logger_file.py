"""A logger's file in the layouts that loggers write: the right age, or a refusal that names the line.

Equation B.10 of EN 1992-1-1:2004 for the ages; the layouts are common practice, no source.
"""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from math import exp
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.pour.maturity import Reading, adjusted_days
from pourdeck.walk.logger_file import Temperatures, read_logger, read_temperatures

HOBART = ZoneInfo("Australia/Hobart")
NOW = datetime(2026, 12, 1, 7, 0, tzinfo=HOBART)
START = datetime(2026, 11, 25, 14, 0, tzinfo=HOBART)


def read(
    text: str, units: str = "metric", zone: object = HOBART, now: datetime = NOW
) -> Temperatures:
    found = read_temperatures(text, units, zone, now)  # type: ignore[arg-type]
    assert isinstance(found, Temperatures), found
    return found


def refused(text: str, units: str = "metric", zone: object = HOBART, now: datetime = NOW) -> str:
    found = read_temperatures(text, units, zone, now)  # type: ignore[arg-type]
    assert isinstance(found, Refusal), found
    return f"{found.title} {found.body}"


def days(found: Temperatures, end: datetime = NOW) -> float:
    readings = [Reading(at=at, temperature=float(value)) for at, value in found.readings]
    return adjusted_days(readings, START, end)


def two(text: str) -> list[tuple[str, str]]:
    """Read what every layout below holds: 14:00 21.5 °C, 14:10 21.75 °C."""
    found = read(text)
    return [(at.isoformat(), str(value)) for at, value in found.readings]


LAYOUTS = {
    "iso": "Time,Temperature (°C)\n2026-11-25T14:00:00,21.5\n2026-11-25T14:10:00,21.75\n",
    "space": "time,temp_C\n2026-11-25 14:00,21.5\n2026-11-25 14:10,21.75\n",
    "no heading": "2026-11-25 14:00,21.5\n2026-11-25 14:10,21.75\n",
    "offset": "Time,Temp\n2026-11-25T03:00:00Z,21.5\n2026-11-25T14:10:00+11:00,21.75\n",
    "heading with zone": 'No.,"Date Time, GMT+11:00","Temp, °C"\n'
    '1,25/11/2026 14:00,21.5\n2,25/11/2026 14:10,21.75\n',
    "day first": "Date,Time,Temp\n25/11/2026,14:00:00,21.5\n25/11/2026,14:10:00,21.75\n",
    "month first": "Date,Time,Temp\n11/25/2026,2:00:00 PM,21.5\n11/25/2026,2:10:00 PM,21.75\n",
    "short year": "Date Time,Temp\n11/25/26 02:00:00 PM,21.5\n11/25/26 02:10:00 PM,21.75\n",
    "dots": "Zeit;Temperatur °C\n".replace("Zeit", "Datum/time")
    + "25.11.2026 14:00;21,5\n25.11.2026 14:10;21,75\n",
    "decimal comma": "Date;Time;Temp °C\n25.11.2026;14:00;21,5\n25.11.2026;14:10;21,75\n",
    "tabs": "Timestamp\tTemperature\n2026/11/25 14:00\t21,5\n2026/11/25 14:10\t21.75\n",
    "quotes": '"Time","Temp (C)"\r\n"2026-11-25 14:00","21,5"\r\n"2026-11-25 14:10","21,75"\r\n',
    "fahrenheit": "Time,Temp (°F)\n2026-11-25 14:00,70.7\n2026-11-25 14:10,71.15\n",
    "unit in each": "Time,Temp\n2026-11-25 14:00,70.7 °F\n2026-11-25 14:10,71.15 F\n",
    "preamble": "Logger 7\nSerial: 2211\n\nDate,Temp °C\n25-Nov-2026 14:00,21.5\n25-Nov-2026 14:10,21.75\n\n",
    "newest first": "Time,Temp °C\n2026-11-25 14:10,21.75\n2026-11-25 14:00,21.5\n",
    "byte order mark": "\ufeffTime,Temp °C\n2026-11-25 14:00,21.5\n2026-11-25 14:10,21.75\n",
    "numbered": "1,2026-11-25 14:00,21.5\n2,2026-11-25 14:10,21.75\n",
    "battery too": "Time,Temp °C,Battery V\n2026-11-25 14:00,21.5,3.6\n2026-11-25 14:10,21.75,3.6\n",
}  # fmt: skip


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_same_two_readings_in_every_layout(layout: str) -> None:
    """70.7 °F = 21.5 °C and 71.15 °F = 21.75 °C: °F = 9/5 °C + 32 by definition."""
    found = read(LAYOUTS[layout])
    moments = [(at.astimezone(UTC).isoformat(), value) for at, value in found.readings]
    assert moments == [
        ("2026-11-25T03:00:00+00:00", Decimal("21.5")),
        ("2026-11-25T03:10:00+00:00", Decimal("21.75")),
    ]


def test_what_the_file_does_not_say_is_said() -> None:
    said = " ".join(read(LAYOUTS["no heading"]).said)
    assert "Times have no offset: taken in the zone of the site, Australia/Hobart." in said
    assert "The file names no unit: taken as °C" in said
    assert read(LAYOUTS["offset"].replace("Temp", "Temp °C")).said == ()
    assert "Dates are day first." in read(LAYOUTS["day first"]).said
    assert "Temperatures are in °F." in read(LAYOUTS["fahrenheit"]).said


def test_lines_above_the_readings_are_said() -> None:
    assert "Lines 1, 2 passed over, no readings." in read(LAYOUTS["preamble"]).said
    headless = "Logger 7\n2026-11-25 14:00,21\n"
    assert "Line 1 passed over, no readings." in read(headless).said


def test_a_bare_column_is_in_the_unit_of_the_job() -> None:
    found = read("Time,Temp\n2026-11-25 14:00,70.7\n", "imperial")
    assert found.readings[0][1] == Decimal("21.5")
    assert "taken as °F" in " ".join(found.said)


def sensible(count: int = 600) -> list[tuple[datetime, float]]:
    """Ten-minute readings that rise and fall."""
    return [
        (START + timedelta(minutes=10 * n), round(20 + 18 * exp(-(((n - 90) / 60) ** 2)), 2))
        for n in range(count)
    ]


def written(rows: list[tuple[datetime, float]], sign: str = ",", mark: str = ".") -> str:
    lines = [f"Time{sign}Temp °C"]
    lines += [f"{at:%Y-%m-%d %H:%M}{sign}{str(value).replace('.', mark)}" for at, value in rows]
    return "\n".join(lines) + "\n"


def test_six_hundred_readings_with_a_gap_and_a_repeated_time() -> None:
    """The integral by the trapezium of the rate over one-second steps, by another route than the code's."""
    rows = sensible()
    holed = rows[:200] + rows[240:300] + [rows[299]] + rows[300:]
    found = read(written(holed, ";", ","))
    assert len(found.readings) == 560
    assert any("Repeated with the same temperature" in one for one in found.said)
    kept = rows[:200] + rows[240:]
    total = 0.0
    for (a, low), (b, high) in pairwise(kept):
        steps = int((b - a).total_seconds() // 10)
        rates = [
            exp(13.65 - 4000 / (273 + low + (high - low) * k / steps)) for k in range(steps + 1)
        ]
        total += (sum(rates) - (rates[0] + rates[-1]) / 2) * 10 / 86_400
    assert days(found, kept[-1][0]) == pytest.approx(total, rel=1e-5)


def test_fahrenheit_ends_in_the_same_age() -> None:
    rows = sensible(100)
    hot = [(at, round(value * 1.8 + 32, 3)) for at, value in rows]
    as_f = written(hot).replace("Temp °C", "Temperature (deg F)")
    assert days(read(as_f)) == pytest.approx(days(read(written(rows))), rel=1e-9)


@pytest.mark.parametrize(
    ("line", "text", "says"),
    [
        (3, "Time,Temp °C\n2026-11-25 14:00,21.5\n2026-11-25 14:10,ERR\n", "ERR is not a temperature"),
        (3, "Time,Temp °C\n2026-11-25 14:00,21.5\n2026-11-25 14:10,\n", "no temperature"),
        (4, "Time,Temp °C\n2026-11-25 14:00,21.5\n\nyesterday,21.5\n", "yesterday is not a time"),
        (3, "Time,Temp °C\n2026-11-25 14:00,21.5\n2026-11-25 25:10,21\n", "is not a time"),
        (3, "Time,Temp °C\n2026-11-25 14:00,21.5\n2026-02-30 14:10,21\n", "is not a time"),
        (2, "Time,Temp °C\n2026-11-25 14:00,250\n", "250 °C is no temperature of concrete"),
        (2, "Time,Temp °F\n2026-11-25 14:00,250\n", "250 °F is no temperature of concrete"),
        (2, "Time,Temp °C\n2026-11-25 14:00,1e1\n", "1e1 is not a temperature"),
        (2, "Time,Temp °C\n2026-11-25 14:00,21 F\n", "°F in a column of °C"),
        (3, "Time,Temp °C\n2026-11-25 14:00,21.5\n2026-11-25 14:00,22\n", "stands twice"),
        (4, "Time,Temp °C\n2026-11-25 14:00,21\n2026-11-25 14:20,21\n2026-11-25 14:10,21\n"
         "2026-11-25 14:30,22\n", "out of order"),
        (2, "Time,Temp °C\n2027-11-25 14:00,21\n", "still to come"),
        (2, "Date,Temp °C\n03/04/2026 14:00,21\n", "is 03 April 2026 or 04 March 2026"),
        (3, "Date,Temp °C\n25/11/2026 14:00,21\n11/25/2026 14:10,21\n", "is no date as those above"),
        (2, "Date,Temp °C\n10/11/12 14:00,21\n", "is 12 November 2010 or 10 November 2012"),
        (2, "Time,Temp °C\n2026-11-25 14:00,21,5\n", "more columns than the 2"),
        (1, "2026-11-25 14:00,21,5\n", "2 numbers after the time"),
        (1, "Time,Temp 1 °C,Temp 2 °C\n2026-11-25 14:00,21,22\n", "more than one column of temperature"),
        (1, "2026-11-25 14:00,ERR\n2026-11-25 14:10,21\n", "ERR is not a temperature"),
        (2, "Logger 7\n25/11/2026,14:00,x\n25/11/2026,14:10,21\n", "x is not a temperature"),
        (1, "a,b\nx,y\n", "no columns of time and temperature"),
        (3, 'Time,Temp °C\n2026-11-25 14:00,21\n"2026-11-25 14:10,21\n', "not to be read as CSV"),
        (3, "Time,Temp °C\n2026-11-25 14:00+11:00,21\n2026-11-25 14:10,21\n", "without an offset"),
        (2, "Time;Temp °C\n2026-11-25 14:00\n", "no temperature"),
    ],
)  # fmt: skip
def test_a_bad_line_is_named_and_nothing_is_taken(line: int, text: str, says: str) -> None:
    said = refused(text)
    assert said.startswith(f"Line {line}: ")
    assert says in said
    assert "Nothing of the file was taken." in said


def test_a_date_whose_day_is_its_month_is_read_either_way() -> None:
    assert two("Date,Temp °C\n11/11/2026 14:00,21\n11/11/2026 15:00,22\n")[0][0].startswith(
        "2026-11-11"
    )


@pytest.mark.parametrize("text", ["", "\n\n", "Time,Temp °C\n", "\x00\x01", "x" * 2_100_000])
def test_what_holds_no_readings(text: str) -> None:
    assert refused(text)


NIGHT = datetime(2026, 4, 5, 12, 0, tzinfo=HOBART)
"""At 03:00 of that morning the clocks of Hobart go back to 02:00."""


def test_the_hour_that_is_twice_is_told_by_its_order() -> None:
    """Every half hour from 01:00 on: 02:00 and 02:30 stand twice, five hours are six."""
    walls = ["01:00", "01:30", "02:00", "02:30", "02:00", "02:30", "03:00", "05:00"]
    text = "Time,Temp °C\n" + "".join(f"2026-04-05 {wall},20\n" for wall in walls)
    found = read(text, now=NIGHT)
    steps = [(b[0] - a[0]) / timedelta(minutes=1) for a, b in pairwise(found.readings)]
    assert steps == [30, 30, 30, 30, 30, 30, 120]
    assert [at.isoformat()[-6:] for at, _ in found.readings][3:5] == ["+11:00", "+10:00"]


def test_hourly_readings_may_stand_still() -> None:
    text = "Time,Temp °C\n" + "".join(
        f"2026-04-05 {h},20\n" for h in ("01:00", "02:00", "02:00", "03:00")
    )
    found = read(text, now=NIGHT)
    assert found.readings[-1][0] - found.readings[0][0] == timedelta(hours=3)


@pytest.mark.parametrize("walls", [["01:30", "02:00", "02:30", "03:00"], ["02:10", "02:20"]])
def test_an_hour_that_cannot_be_told_is_refused(walls: list[str]) -> None:
    text = "Time,Temp °C\n" + "".join(f"2026-04-05 {wall},20\n" for wall in walls)
    said = refused(text, now=NIGHT)
    assert "this time was twice" in said
    assert "+10:00" in said


def test_a_time_that_never_was() -> None:
    """On 4 October 2026 the clocks of Hobart go from 02:00 to 03:00."""
    said = refused("Time,Temp °C\n2026-10-04 02:30,20\n")
    assert said.startswith("Line 2: ")
    assert "never was" in said


def test_files_on_disk(tmp_path: Path) -> None:
    rows = LAYOUTS["iso"]
    for name, raw in {
        "plain": rows.encode(), "mark": rows.encode("utf-8-sig"),
        "old": rows.encode("cp1252"), "wide": rows.encode("utf-16"),
    }.items():  # fmt: skip
        path = tmp_path / name
        path.write_bytes(raw)
        found = read_logger(path, "metric", NOW)
        assert isinstance(found, Temperatures), found
        assert len(found.readings) == 2
    missing = read_logger(tmp_path / "none.csv", "metric", NOW)
    assert isinstance(missing, Refusal)
    assert "cannot be read" in missing.title
    assert isinstance(read_logger(tmp_path, "metric", NOW), Refusal)
    assert isinstance(read_logger(Path("a\x00b"), "metric", NOW), Refusal)
