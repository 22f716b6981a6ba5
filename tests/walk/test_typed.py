"""Times as they are typed."""

from datetime import UTC, datetime, timedelta

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.walk.clock import day_taken, read_time

NOW = datetime(2026, 3, 2, 7, 45, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "when"),
    [
        ("07:40", "2026-03-02T07:40:00+00:00"),
        (" 7.40 ", "2026-03-02T07:40:00+00:00"),
        ("07:46", "2026-03-02T07:46:00+00:00"),
        # Past midnight what was typed is of the evening before.
        ("23:50", "2026-03-01T23:50:00+00:00"),
        ("now", "2026-03-02T07:45:30+00:00"),
        ("NOW", "2026-03-02T07:45:30+00:00"),
        # As an imperial crew writes it.
        ("7:40am", "2026-03-02T07:40:00+00:00"),
        ("7 a.m.", "2026-03-02T07:00:00+00:00"),
        ("11:05 pm", "2026-03-01T23:05:00+00:00"),
        ("0740 AM", "2026-03-02T07:40:00+00:00"),
        ("12:30 am", "2026-03-02T00:30:00+00:00"),
        ("2026-03-01 18:05", "2026-03-01T18:05:00+00:00"),
        ("2026-03-02T09:40+02:00", "2026-03-02T09:40:00+02:00"),
    ],
)
def test_a_time(typed: str, when: str) -> None:
    found = read_time(typed, NOW)
    assert isinstance(found, datetime)
    assert found.isoformat() == when


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "24:00",
        "7:5",
        "seven",
        "07:40pm",
        "13:05 pm",
        "0 am",
        "2026-03-02 08:40",
        "٠٧:٤٠",
        "12:60",
        "7,40",
    ],
)
def test_no_time(typed: str) -> None:
    found = read_time(typed, NOW)
    assert isinstance(found, Refusal)
    assert found.title
    assert found.body


def test_a_time_read_off_a_clock_that_was_then_set_back() -> None:
    """It is still to come by that clock now, and was not when it was read."""
    found = read_time("08:30", NOW, timedelta(hours=1))
    assert isinstance(found, datetime)
    assert found.isoformat() == "2026-03-02T08:30:00+00:00"
    assert isinstance(read_time("08:30", NOW), Refusal)
    assert isinstance(read_time("08:50", NOW, timedelta(hours=1)), Refusal)
    now = read_time("now", NOW, timedelta(hours=1))
    assert now == NOW


def test_a_time_of_another_day_says_its_day_before_it_is_taken() -> None:
    assert day_taken("23:50", NOW) == "23:50 is taken as Sun 01 Mar"
    assert day_taken("11:05 pm", NOW) == "11:05 pm is taken as Sun 01 Mar"
    for plain in ("07:40", "now", "2026-03-01 23:50", "18:00", "seven", ""):
        assert day_taken(plain, NOW) == ""
