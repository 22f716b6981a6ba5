"""Times of a logger's file: zones in headings, days that are not written, orders of dates.

Clocks of Hobart: UTC+11 in summer, UTC+10 in winter, back at 03:00 on 5 April 2026 (tz database).
"""

from datetime import datetime, timedelta

import pytest

from pourdeck.walk.logger_cells import Given, Pour
from tests.walk.logger_kit import HOBART, START, minutes, question, read, refused, utc, values


@pytest.mark.parametrize(
    ("heading", "shift"),
    [
        ("Time (UTC);Temp °C", 0), ("UTC;Temp °C", 0), ("GMT+10;Temp °C", 10),
        ("Date Time, GMT+10:00;Temp °C", 10), ("Zeit (UTC+1);Temp °C", 1), ("Time UTC−05:00;Temp °C", -5),
        ("Timestamp [UTC+05:30];Temp °C", 5.5), ("Date/Time GMT-0500;Temp °C", -5),
        ("Time zone: UTC+10\nTime;Temp °C", 10), ("Time;Temp\n(UTC);°C", 0), ("Time (AEST);Temp °C", 10),
        ("Time AEDT;Temp °C", 11), ("Time;Temp °C", 11), ("All times are UTC\nTime;Temp °C", 0),
        ("Local time;Temp °C", 11), ("Exported 2026-12-01 05:00 UTC\nTime;Temp °C", 11),
    ],
)  # fmt: skip
def test_the_offset_that_a_heading_names(heading: str, shift: float) -> None:
    found = read(f"{heading}\n2026-11-25 23:00;20\n")
    there = datetime(2026, 11, 25, 23) - timedelta(hours=shift)
    assert utc(found) == [there.strftime("%Y-%m-%d %H:%M")]
    assert any("offset" in one for one in found.said)


def test_times_are_told_by_the_clocks_of_the_site() -> None:
    found = read("Time (UTC);Temp °C\n2026-11-25 03:00;20\n")
    assert found.readings[0][0].isoformat() == "2026-11-25T14:00:00+11:00"


def test_offsets_that_contradict_each_other_are_refused() -> None:
    assert refused("Time zone: UTC+9\nTime (UTC);Temp °C\n2026-11-25 23:00;20\n").startswith(
        "Line 1: "
    )


def test_a_zone_that_is_not_of_the_site_is_refused() -> None:
    said = refused("Time (PST);Temp °C\n2026-11-25 23:00;20\n")
    assert said.startswith("Line 1: ")
    assert "PST" in said


def test_times_without_a_date_count_from_the_day_of_the_pour() -> None:
    rows = "14:30,21\n18:00,25\n23:50,30\n00:10,31\n12:00,40\n23:00,35\n01:00,33\n"
    found = read("Time,Temp °C\n" + rows)
    assert minutes(found) == [30, 240, 590, 610, 1320, 1980, 2100]
    assert any("no date" in one and "25 Nov 2026" in one for one in found.said)


def test_times_without_a_date_that_may_be_of_the_next_day_are_asked() -> None:
    """07:00 is before the pour of that day, or on the day after it."""
    text = "Time,Temp °C\n07:00,21\n18:00,25\n"
    found = question(text)
    assert found.about == "start"
    given = Given(start=datetime(2026, 11, 26, tzinfo=HOBART))
    assert minutes(read(text, given=given)) == [1020, 1680]
    soon = datetime(2026, 11, 25, 20, 0, tzinfo=HOBART)
    assert minutes(read(text, now=soon))[1] == 240, "on the next day it would be still to come"


def test_a_date_above_the_readings_is_their_day() -> None:
    found = read("Date: 2026-11-26\nTime,Temp °C\n07:00,21\n18:00,25\n")
    assert minutes(found) == [1020, 1680]
    assert any("line 1" in one for one in found.said)


def test_times_without_a_date_that_go_back_a_little_are_refused() -> None:
    said = refused("Time,Temp °C\n14:00,21\n14:20,22\n14:10,22\n14:30,23\n")
    assert said.startswith("Line 4: ")
    assert "out of order" in said


def test_times_without_a_date_newest_first() -> None:
    assert minutes(read("Time,Temp °C\n00:30,23\n14:20,22\n14:10,21\n")) == [10, 20, 630]


@pytest.mark.parametrize(
    ("heading", "rows", "after"),
    [
        ("Elapsed (min)", ["0", "10", "20.5"], [0, 10, 20.5]), ("sec", ["0", "600", "1230"], [0, 10, 20.5]),
        ("Time (s)", ["0", "600", "1230"], [0, 10, 20.5]), ("Elapsed hours", ["0", "0,5", "1"], [0, 30, 60]),
        ("Elapsed time", ["00:00:00", "00:10:00", "30:00:00"], [0, 10, 1800]),
        ("Minutes since start", ["0", "10", "20"], [0, 10, 20]), ("t [h]", ["0", "1", "30"], [0, 60, 1800]),
    ],
)  # fmt: skip
def test_time_since_the_start_asks_when_that_was(
    heading: str, rows: list[str], after: list[float]
) -> None:
    text = f"{heading};Temp °C\n" + "".join(f"{row};2{n}\n" for n, row in enumerate(rows))
    found = question(text)
    assert found.about == "start"
    assert minutes(read(text, given=Given(start=START))) == after
    named = read("Start time: 2026-11-25 14:30\n" + text)
    assert minutes(named) == [30 + one for one in after]
    assert any("line 1" in one for one in named.said)


def test_elapsed_without_a_unit_is_refused() -> None:
    said = refused("Elapsed;Temp °C\n0;20\n10;21\n", given=Given(start=START))
    assert "Elapsed (min)" in said


def test_elapsed_that_falls_is_refused_by_line() -> None:
    said = refused("Elapsed (min);Temp °C\n0;20\n20;21\n10;22\n30;21\n", given=Given(start=START))
    assert said.startswith("Line 4: ")


# Day first or month first.

APRIL = Pour(
    began=datetime(2026, 4, 2, 13, 0, tzinfo=HOBART),
    ended=datetime(2026, 4, 2, 14, 0, tzinfo=HOBART),
)


def test_an_order_that_lies_before_the_pour_or_is_still_to_come_is_out() -> None:
    """3 April 2026 is after the pour, 4 March before it; 5 December is still to come on 13 May."""
    now = datetime(2026, 4, 10, 7, 0, tzinfo=HOBART)
    early = "Date;Temp °C\n03/04/2026 14:00;21\n03/04/2026 15:00;22\n"
    assert utc(read(early, now=now, pour=APRIL)) == ["2026-04-03 03:00", "2026-04-03 04:00"]
    assert any(
        "day first" in one and "before the pour" in one
        for one in read(early, now=now, pour=APRIL).said
    )
    late = "Date;Temp °C\n04/05/2026 14:00;21\n04/05/2026 15:00;22\n"
    found = read(late, now=now, pour=APRIL)
    assert utc(found) == ["2026-04-05 04:00", "2026-04-05 05:00"]
    assert any("month first" in one and "still to come" in one for one in found.said)


def test_an_order_that_can_be_either_is_asked() -> None:
    now = datetime(2026, 6, 10, 7, 0, tzinfo=HOBART)
    text = "Date;Temp °C\n04/05/2026 14:00;21\n04/05/2026 15:00;22\n"
    found = question(text, now=now, pour=APRIL)
    assert found.about == "dates"
    assert found.title.startswith("Line 2: ")
    assert "05 April 2026" in found.title
    assert "04 May 2026" in found.title
    assert [key for key, _ in found.choices] == ["dmy", "mdy"]
    assert utc(read(text, now=now, pour=APRIL, given=Given(dates="dmy")))[0].startswith(
        "2026-05-04"
    )
    assert utc(read(text, now=now, pour=APRIL, given=Given(dates="mdy")))[0].startswith(
        "2026-04-05"
    )


def test_an_order_in_which_days_jump_is_out() -> None:
    """09/04, 10/04, 11/04 are three days in April, or the 4th of three months."""
    now = datetime(2026, 12, 10, 7, 0, tzinfo=HOBART)
    text = "Date;Temp °C\n" + "".join(
        f"{day:02}/04/2026 14:00;2{day % 10}\n" for day in (9, 10, 11)
    )
    assert question(text, now=now, pour=APRIL).about == "dates"
    falls = "Date;Temp °C\n30/04/2026 14:00;21\n01/05/2026 14:00;22\n"
    assert utc(read(falls, now=now, pour=APRIL))[1] == "2026-05-01 04:00"


def test_an_answer_that_no_date_allows_is_refused() -> None:
    text = "Date;Temp °C\n25/11/2026 14:00;21\n"
    assert refused(text, given=Given(dates="mdy")).startswith("Line 2: ")


@pytest.mark.parametrize(
    ("clock", "hour"), [("12:10 AM", 0), ("12:10 pm", 12), ("1:10 a.m.", 1), ("11:10PM", 23)]
)
def test_the_clock_of_twelve_hours(clock: str, hour: int) -> None:
    found = read(f"Time;Temp °C\n2026-11-25 {clock};21\n", pour=Pour())
    assert found.readings[0][0].hour == hour


@pytest.mark.parametrize("year", ["0001", "1899", "9999"])
def test_a_year_of_no_logger(year: str) -> None:
    said = refused(f"Time;Temp °C\n2026-11-25 14:00;21\n{year}-01-01 00:00;21\n")
    assert said.startswith("Line 3: ")


def test_one_time_twice() -> None:
    same = "Time;Temp °C\n2026-11-25 14:00;21\n2026-11-25 14:10;22\n2026-11-25 14:10;22.0\n"
    found = read(same)
    assert values(found) == [21, 22]
    assert any("line 4" in one and "taken once" in one for one in found.said)
    said = refused(same.replace("22.0", "23"))
    assert said.startswith("Line 4: ")
    assert "line 3" in said
    assert "22 °C" in said
