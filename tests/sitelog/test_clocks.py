"""A clock that jumps is noticed, one that is set right is not."""

from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from pourdeck.sitelog.clocks import Watch, jump
from tests.sitelog.kit import MORNING

HOUR = timedelta(hours=1)


@pytest.mark.parametrize(
    ("gone", "told"),
    [
        (timedelta(0), ""),
        (-timedelta(seconds=2), ""),
        (-timedelta(seconds=3), "back 3 s"),
        (-HOUR, "back 3600 s"),
        (12 * HOUR, ""),
        (12 * HOUR + timedelta(seconds=1), "ahead 43201 s"),
        (72 * HOUR, "ahead 259200 s"),
    ],
)
def test_against_the_last_entry(gone: timedelta, told: str) -> None:
    assert jump(MORNING, MORNING + gone) == told


@pytest.mark.parametrize(
    ("gone", "elapsed", "told"),
    [
        (14 * HOUR, 14 * HOUR, ""),
        (HOUR, HOUR + timedelta(seconds=1), ""),
        (HOUR, 2 * HOUR, "back 3600 s"),
        (13 * HOUR, HOUR / 60, "forward 46740 s"),
        (11 * HOUR, HOUR, "forward 36000 s"),
        (8 * HOUR + timedelta(minutes=2), 8 * HOUR, ""),
        (8 * HOUR + timedelta(seconds=121), 8 * HOUR, "forward 121 s"),
    ],
)
def test_against_a_clock_nobody_sets(gone: timedelta, elapsed: timedelta, told: str) -> None:
    assert jump(MORNING, MORNING + gone, elapsed) == told


def test_a_change_of_zone_or_of_summer_time_is_no_jump() -> None:
    """The same instants under other offsets. The night of 5 October 2025 in Hobart, by tzdata."""
    hobart = ZoneInfo("Australia/Hobart")
    before = datetime(2025, 10, 5, 1, 59, 30, tzinfo=hobart)
    after = (before.astimezone(timezone.utc) + timedelta(minutes=1)).astimezone(hobart)  # noqa: UP017
    assert (before.hour, after.hour) == (1, 3)
    assert jump(before, after) == ""
    assert jump(MORNING, MORNING.astimezone(timezone(-14 * HOUR))) == ""


def test_a_watch_uses_the_second_clock_only_within_a_run() -> None:
    watch = Watch()
    assert watch.jump(MORNING, 5.0) == ""
    watch.note(MORNING, None)
    assert watch.jump(MORNING + 20 * HOUR, 6.0) == "ahead 72000 s"
    watch.note(MORNING, 10.0)
    assert watch.jump(MORNING + 20 * HOUR, 10.0 + 72_000) == ""


def test_the_end_of_summer_time_is_no_jump() -> None:
    """IANA: in Hobart the clocks go back from 03:00 to 02:00 on 5 April 2026."""
    zone = ZoneInfo("Australia/Hobart")
    before = datetime(2026, 4, 5, 2, 45, tzinfo=zone)
    after = datetime(2026, 4, 5, 2, 10, tzinfo=zone, fold=1)
    assert jump(before, after) == ""
    assert jump(before, after, timedelta(minutes=25)) == ""
