"""Whatever is written down: no estimate shows a lift, and no text of a logger is half read or a traceback."""

from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.messages import Refusal
from pourdeck.walk.logger_file import Temperatures, read_temperatures
from pourdeck.walk.quantities import COLDEST, HOTTEST
from pourdeck.walk.strength import strength
from pourdeck.walk.strength_words import climb_missing, doubts, estimate_words, lift_missing
from tests.walk.strength_kit import ESTIMATE, NOON, job, later, panel, taken, warm, was_tested

HOBART = ZoneInfo("Australia/Hobart")
NOW = datetime(2026, 12, 1, 7, 0, tzinfo=HOBART)
JOB = job()
BY_ESTIMATE = job(climb=ESTIMATE)

hours = st.floats(0, 2000).map(lambda x: round(x, 2))
cured = st.sampled_from(["field", "standard"])
tests = st.lists(st.tuples(st.sampled_from("ABC"), st.integers(1, 60), hours, cured), max_size=5)
readings = st.lists(st.tuples(hours, st.integers(-10, 70)), max_size=6)


@given(tests, readings, hours)
def test_a_lift_is_shown_by_a_field_cured_test_and_by_nothing_else(
    done: list[tuple[str, int, float, str]], read: list[tuple[float, int]], at: float
) -> None:
    acts = [warm(*read)] if read else []
    for name, value, when, where in done:
        acts += [taken(name, where), was_tested(name, str(value), when, where)]
    found = strength(JOB, panel(*acts), later(at))
    last = {name: (value, when, where) for name, value, when, where in done}
    field = [(when, v) for v, when, where in last.values() if when <= at and where == "field"]

    def showing(needed: int) -> bool:
        """The last one, of two at the same time the lower one."""
        return bool(field) and min(v for when, v in field if when == max(field)[0]) >= needed

    shown = showing(25)
    assert found.lift.met is shown
    assert found.lift.by == ("test" if shown else None)
    assert found.estimate is not None
    assert found.climb.met is (at >= 18 and showing(10))
    by_estimate = strength(BY_ESTIMATE, panel(*acts), later(at))
    assert by_estimate.measured is not None
    assert by_estimate.measured <= found.estimate + 1e-9
    opened = not field and not found.frost and by_estimate.measured >= 10
    assert by_estimate.climb.met is (at >= 18 and (showing(10) or opened))
    assert bool(lift_missing(JOB, found, NOON.tzinfo)) is not shown
    assert bool(climb_missing(JOB, found, NOON.tzinfo)) is not found.climb.met
    assert "never releases a lift" in estimate_words(JOB, found)
    assert all("do not plan by the estimate" in said for said in doubts(JOB, found))


@given(readings, hours)
def test_when_it_is_expected_it_is_there(read: list[tuple[float, int]], at: float) -> None:
    acts = [warm(*read)] if read else []
    expected = strength(JOB, panel(*acts), later(at)).climb.expected
    if expected is not None and expected < NOON + timedelta(days=36_500):
        there = strength(JOB, panel(*acts), expected).estimate
        assert there is not None
        assert there >= 10 - 1e-4
    opens = strength(BY_ESTIMATE, panel(*acts), later(at)).climb.opens
    if opens is not None:
        assert strength(BY_ESTIMATE, panel(*acts), opens).climb.met is True


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused(text: str) -> None:
    found = read_temperatures(text, "metric", HOBART, NOW)
    assert isinstance(found, Temperatures | Refusal)


cells = st.sampled_from(
    [
        "21.5",
        "21,5",
        "70 F",
        "-30",
        "",
        "x",
        "2026-11-25",
        "14:00",
        "03/04/2026",
        "25/11/2026 14:10",
        '"',
        "1e5",
    ]
)
lines = st.lists(
    st.one_of(
        st.tuples(st.integers(0, 5000), st.integers(-25, 99)).map(
            lambda one: f"{datetime(2026, 11, 25) + timedelta(minutes=one[0]):%Y-%m-%d %H:%M},{one[1]}"
        ),
        st.lists(cells, max_size=4).map(",".join),
    ),
    max_size=8,
)  # fmt: skip


@given(lines, st.sampled_from(["", "Time,Temp °C\n", "Time,Temp °F\n", "Date,Time,Temp\n"]))
def test_nothing_is_left_out_in_silence(rows: list[str], head: str) -> None:
    """As many readings as lines that hold anything, less those that are told by their numbers."""
    found = read_temperatures(head + "\n".join(rows), "metric", HOBART, NOW)
    if isinstance(found, Refusal):
        assert found.title
        assert found.body
        return
    times = [at for at, _ in found.readings]
    assert times == sorted(set(times))
    assert all(COLDEST <= value <= HOTTEST for _, value in found.readings)
    assert all(isinstance(value, Decimal) for _, value in found.readings)
    held = [row for row in rows if row.replace(",", "").strip()]
    left = (*found.over, *found.repeated, *found.headings)
    assert len(set(left)) == len(left)
    assert len(found.readings) + len(left) == len(held) + bool(head)
