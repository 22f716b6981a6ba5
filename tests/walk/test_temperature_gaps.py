"""Tell what was not measured of a panel's concrete where it is more than two hours; never paper it over."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.walk.strength import strength
from pourdeck.walk.strength_findings import LONG, gap_words, gaps_of, unmeasured_words
from pourdeck.walk.strength_import import Import, import_of, known_of, read_text
from tests.walk.kit import Crew
from tests.walk.strength_kit import job, later, panel, poured_crew, warm


def told(at: float, *readings: tuple[float, float]) -> list[tuple[str, float]]:
    found = strength(job(), panel(warm(*readings)) if readings else panel(), later(at))
    return [(one.kind, one.length / timedelta(hours=1)) for one in gaps_of(found)]


@pytest.mark.parametrize(
    ("at", "readings", "gaps"),
    [
        (2, ((0, 20), (1, 21), (2, 22)), []),
        (4, ((2, 20), (4, 21)), []),
        (4.1, ((2.1, 20), (4, 21)), [("begin", 2.1)]),
        (9, ((0, 20), (6.8, 21), (8, 21)), [("hole", 6.8)]),
        (30, ((-1, 20), (0.5, 21)), [("end", 29.5)]),
        (30, ((-9, 20),), [("end", 30)]),
        (30, ((29, 20),), [("begin", 29)]),
        (30, ((40, 20),), [("begin", 30)]),
        (50, ((5, 20), (20, 21), (30, 22)), [("begin", 5), ("hole", 15), ("hole", 10), ("end", 20)]),
        (10, ((-6, 20), (6, 30), (8, 30)), [("hole", 6)]),
        (8, ((0, 20), (2, 30), (30, 30)), [("hole", 6)]),
        (30, (), []),
    ],
)  # fmt: skip
def test_what_is_more_than_two_hours_is_a_gap(
    at: float, readings: tuple[tuple[float, float], ...], gaps: list[tuple[str, float]]
) -> None:
    """Only between the end of the pour and now: nothing else enters the adjusted age."""
    assert timedelta(hours=2) == LONG
    assert told(at, *readings) == [(kind, pytest.approx(hours)) for kind, hours in gaps]


def test_words_say_how_long_and_what_is_taken() -> None:
    found = strength(job(), panel(warm((5, 20), (20, 21), (30, 22))), later(50))
    said = gap_words(gaps_of(found), found.at.tzinfo)
    assert said == (
        "First reading 02 Mar 17:00, 5.0 h after the pour ended: the same is taken for the time before it.",
        "2 times more than 2 h without a reading, longest 15.0 h from 02 Mar 17:00: taken straight across.",
        "Last reading 03 Mar 18:00, 20.0 h before 04 Mar 14:00: it is taken to have stayed so.",
    )


def test_what_is_missing_in_all_is_told_beside_the_age() -> None:
    found = strength(job(), panel(warm((5, 20), (20, 21), (30, 22))), later(52))
    assert unmeasured_words(gaps_of(found), found.hours) == "2 d 4 h of 2 d 4 h not measured"
    one = strength(job(), panel(warm((0, 20), (6, 21), (8, 22))), later(9))
    assert unmeasured_words(gaps_of(one), one.hours) == "6.0 h of 9.0 h not measured"
    assert unmeasured_words((), 9) == ""


def test_before_the_pour_has_ended_there_is_nothing_to_miss() -> None:
    assert gaps_of(strength(job(), panel(warm((0, 20)), poured=False), later(9))) == ()


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    return poured_crew(tmp_path)


def imported(one: Crew, *values: tuple[float, str]) -> Import:
    """Hours before now and °C."""
    lines = [
        f"{one.clock.at - timedelta(hours=hours):%Y-%m-%d %H:%M},{value}" for hours, value in values
    ]
    found = read_text(one.walk, "Time,Temp °C\n" + "\n".join(lines), one.clock.at)
    assert not isinstance(found, Refusal), found
    taken = import_of(one.walk, found, one.clock.at)
    assert isinstance(taken, Import), taken
    return taken


def test_an_import_says_what_it_does_not_hold(one: Crew) -> None:
    one.clock.later(hours=30)
    said = " ".join(imported(one, (20, "20"), (19, "21"), (12, "25"), (5, "24")).gaps)
    assert "First reading" in said
    assert "2 times more than 2 h without a reading, longest 7.0 h" in said
    assert "5.0 h before" in said


def test_an_import_says_a_shorter_gap_than_the_screen_does(one: Crew) -> None:
    """An hour and a half among readings every ten minutes."""
    one.clock.later(hours=4)
    rows = [(4 - n / 6, "20") for n in range(6)] + [(1.5 - n / 6, "21") for n in range(9)]
    assert "1.6 h without a reading" in " ".join(imported(one, *rows).gaps)
    assert "without a reading" not in " ".join(
        imported(one, *((4 - n, "20") for n in range(5))).gaps
    )


def test_what_the_trucks_brought_is_known_to_who_reads_a_file() -> None:
    loads = (
        ("load", {"load": 1, "values": {"temperature": "16", "volume": "6"}}),
        ("load", {"load": 2, "values": {"temperature": "31", "rejected": "too warm"}}),
        ("load", {"load": 3, "values": {"volume": "2"}}),
    )
    walk = SimpleNamespace(record=panel(*loads))
    known = known_of(walk)  # type: ignore[arg-type]
    assert known.warm == (Decimal(16),)
    assert (known.began, known.ended) == (later(-1), later(0))
