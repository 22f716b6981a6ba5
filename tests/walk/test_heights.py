"""The level book: readings from a height of instrument, and what a moved instrument takes with it."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.plan.lengths import format_rl
from pourdeck.walk import acts
from pourdeck.walk.ascast import as_cast
from tests.walk.kit import FOREMAN, JOB, Crew, crew, on_second, refused

CORNERS = ("bl", "br", "hr", "hl")


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    """At the level book. Benchmark 100.000; the form top must stand at 100.850 + 0.150 = 101.000."""
    found = crew(tmp_path)
    found.go_to("height")
    return found


def test_the_reading_that_sets_a_height(one: Crew) -> None:
    """BM 100.000, backsight 2.200, HI 102.200; to set 101.000 read 1.200.

    A levelling exercise published whole on askfilo.com (an exam question with its height-of-instrument
    book); the reading to set is worked out from its first setup.
    """
    one.answer("height.backsight", "2.200")
    for corner in CORNERS:
        item = one.item(f"height.staff/{corner}")
        assert item.expected == Decimal("1.200")
        assert (item.low, item.high) == (Decimal("1.198"), Decimal("1.202"))
        assert "height of instrument 102.200 m" in item.note
    opened = one.item("height.staff/bl").sum
    assert opened is not None
    assert opened.result == Decimal("1.200")
    assert {one.value for one in opened.inputs} == {Decimal("102.200"), Decimal("101.000")}


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [("1.202", "pass"), ("1.2021", "fail"), ("1.198", "pass"), ("1.1979", "fail")],
)
def test_a_reading_at_and_just_past_its_limits(one: Crew, typed: str, verdict: str) -> None:
    one.answer("height.backsight", "2.200")
    assert one.answer("height.staff/bl", typed).data["verdict"] == verdict


def test_readings_wait_for_the_benchmark(one: Crew) -> None:
    assert one.item("height.staff/bl").expected is None
    act = acts.answer(one.walk, "height.staff/bl", "1.200", FOREMAN, one.clock.at)
    assert "Read the staff on the benchmark" in refused(act).body


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [("2.203", "pass"), ("2.2031", "fail"), ("2.197", "pass"), ("2.1969", "fail")],
)
def test_the_closing_reading_is_judged_by_the_misclose(one: Crew, typed: str, verdict: str) -> None:
    """limits.level_misclose is 3 mm where the job gives none."""
    assert one.item("height.closing").source == "limits of the job: level misclose"
    one.answer("height.backsight", "2.200")
    for corner in CORNERS:
        one.answer(f"height.staff/{corner}", "1.200")
    assert one.item("height.closing").expected == Decimal("2.200")
    assert one.answer("height.closing", typed).data["verdict"] == verdict


def test_another_backsight_makes_the_readings_void(one: Crew) -> None:
    one.answer("height.backsight", "2.200")
    for corner in CORNERS:
        one.answer(f"height.staff/{corner}", "1.200")
    one.answer("height.backsight", "2.210", why="instrument knocked")
    for corner in CORNERS:
        item = one.item(f"height.staff/{corner}")
        assert item.own_state == "void"
        assert item.expected == Decimal("1.210")
        assert item.lapse == "1.200 m was expected when it was answered, now 1.210 m is"
    assert sum(item.own_state == "void" for item in one.walk.items()) == 4
    one.answer("height.staff/bl", "1.210")
    assert one.item("height.staff/bl").state == "done"


def test_the_top_follows_the_surface_that_was_measured(tmp_path: Path) -> None:
    """Rule 10: measured surface + form depth; the planned reading stands beside it."""
    two = on_second(tmp_path, JOB.replace("level = [ { plus = 2, minus = 2 } ]", ""))
    first = Crew(two.desk, two.clock)
    for corner in CORNERS:
        first.answer(f"close.rl/{corner}", "101.004", why="read again")
    two.go_to("height")
    two.answer("height.backsight", "2.200")
    item = two.item("height.staff/bl")
    # 101.004 + 0.150 = 101.154; 102.200 − 101.154 = 1.046. Planned 101.150: 1.050.
    assert item.expected == Decimal("1.046")
    assert "planned top 1.050 m" in item.note


def test_without_a_benchmark_there_is_no_level_book(tmp_path: Path) -> None:
    walk = crew(tmp_path, JOB.replace('benchmark = { name = "TBM", rl = 100.000 }', "")).walk
    height = walk.section("height")
    assert height is not None
    assert {item.key.partition("/")[0] for item in height.items} == {"height.depth", "height.plumb"}


def test_plumb_is_recorded_where_the_job_gives_no_band(one: Crew) -> None:
    for key in one.open_items("height"):
        if key == "height.plumb/base":
            break
        one.pass_item(key)
    entry = one.answer("height.plumb/base", "-4")
    assert entry.data["verdict"] == "recorded"
    assert one.item("height.plumb/base").state == "done"


def test_what_is_aimed_at_is_the_height_its_sum_gives(tmp_path: Path) -> None:
    """A quarter of a tenth over: the mean of 101.001, 101, 101, 101 and 0.150 is 101.15025 m."""
    one = on_second(tmp_path)
    below = one.desk.walk("A", 1)
    read = {f"rl_{corner}": Decimal(101) for corner in CORNERS} | {"rl_bl": Decimal("101.001")}
    one.do(as_cast(below, read, FOREMAN, "read again"))
    item = one.item("close.rl/bl")
    assert item.expected == Decimal("101.1503")
    assert item.sum is not None
    assert item.sum.result == Decimal("101.15025")
    assert format_rl(item.sum.result, "metric") == format_rl(item.expected, "metric")
