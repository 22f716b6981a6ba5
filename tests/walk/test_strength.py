"""Say how strong a panel is, and what its climb and its lift wait for.

Gain and adjusted age by EN 1992-1-1:2004, 3.1.2 and B.10, recomputed here from the printed equations.
"""

from datetime import date, timedelta
from decimal import Decimal
from math import exp, sqrt

import pytest

from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.strength import (
    FIRST_TAKEN,
    LAST_TAKEN,
    RECORDED,
    UNRECORDED,
    strength,
)
from pourdeck.walk.strength_findings import troubles
from pourdeck.walk.strength_words import (
    celsius,
    climb_missing,
    doubts,
    estimate_words,
    lift_missing,
    met_words,
    mpa,
    strip_missing,
    verdict_word,
    when,
)
from tests.walk.kit import job_of
from tests.walk.strength_kit import (
    CLIMB,
    ESTIMATE,
    NOON,
    TEXT,
    job,
    later,
    panel,
    taken,
    warm,
    was_tested,
)

AT_20 = exp(13.65 - 4000 / 293)
"""Adjusted days in a day at 20 °C: 0.998125, not quite 1."""


def printed(days: float, s: float = 0.25, mean: float = 48) -> float:
    """f_cm(t) − 8 by equations 3.1 and 3.2."""
    return exp(s * (1 - sqrt(28 / days))) * mean - 8


def test_the_estimate_and_where_it_is_from() -> None:
    """31.5 h at 20 °C: 1.310 days, 11.4 MPa by the equations."""
    found = strength(job(), panel(), later(31.5))
    assert (found.hours, found.basis) == (31.5, UNRECORDED)
    assert found.days == pytest.approx(31.5 / 24 * AT_20)
    assert found.estimate == pytest.approx(printed(31.5 / 24 * AT_20))
    warmer = strength(job(), panel(warm((0, 30), (40, 30))), later(31.5))
    assert warmer.basis == RECORDED
    assert warmer.days == pytest.approx(31.5 / 24 * exp(13.65 - 4000 / 303))
    assert warmer.estimate is not None
    assert found.estimate is not None
    assert warmer.estimate > found.estimate


@pytest.mark.parametrize(("cement", "s"), [("R", 0.20), ("N", 0.25), ("S", 0.38)])
def test_each_class_of_cement(cement: str, s: float) -> None:
    """s by 3.1.2 (6)."""
    mix = f'\n[mix]\nstrength = 40\ncement = "{cement}"\n'
    found = strength(job(mix=mix), panel(), later(24 * 7 / AT_20))
    assert found.estimate == pytest.approx(printed(7, s))


@pytest.mark.parametrize(
    ("celsius", "hours", "rough"),
    [(20, 71.9, True), (20, 72.0, True), (20, 72.3, False), (50, 71.9, True), (50, 72, False),
     (5, 100, True), (5, 151, False)],
)  # fmt: skip
def test_it_is_rough_under_three_days_of_either_age(
    celsius: float, hours: float, rough: bool
) -> None:
    """3.1.2 (4); three adjusted days are 72.1 h at 20 °C and 150.6 h at 5 °C, 16 h at 50 °C."""
    found = strength(job(), panel(warm((0, celsius))), later(hours))
    assert found.rough is rough
    assert ("rough" in estimate_words(job(), found)) is rough


@pytest.mark.parametrize(
    ("result", "climb", "lift"),
    [("9.9", None, False), ("10", "test", False), ("10.1", "test", False),
     ("24.9", "test", False), ("25", "test", True), ("25.1", "test", True)],
)  # fmt: skip
def test_a_test_at_a_limit_just_under_and_over(result: str, climb: str | None, lift: bool) -> None:
    at = later(19)
    found = strength(job(), panel(taken("C1"), was_tested("C1", result, 19)), at)
    assert (found.climb.by, found.lift.met, found.lift.by) == (
        climb,
        lift,
        "test" if lift else None,
    )


def test_a_result_from_before_the_end_of_the_pour_shows_nothing() -> None:
    """The end was put right to a later time, or was never written: no concrete is that strong in its form."""
    early = panel(taken("F1"), was_tested("F1", "30", -0.5))
    found = strength(job(), early, later(20))
    assert [one.name for one in found.results] == ["F1"]
    assert (found.climb.met, found.climb.by) == (False, None)
    assert (found.lift.met, found.lift.by) == (False, None)
    at_the_end = strength(job(), panel(taken("F1"), was_tested("F1", "30", 0)), later(20))
    assert (at_the_end.climb.by, at_the_end.lift.met) == ("test", True)
    (only,) = found.results
    assert (found.shows(only, found.needed_climb), found.shows(only, found.needed_lift)) == (
        False,
        False,
    )
    assert verdict_word(found, "lift", only, False) == "before pour end"


def test_without_the_end_of_the_pour_no_result_shows_the_strength_for_the_lift() -> None:
    never = panel(taken("F1"), was_tested("F1", "30", 20), poured=False)
    found = strength(job(), never, later(30))
    assert (found.climb.met, found.climb.by, found.lift.met) == (False, None, False)
    said = lift_missing(job(), found, None)
    assert "The end of its pour is not recorded: no result counts before." in said


def test_the_estimate_at_the_limit_and_a_second_before() -> None:
    by_estimate, record = job(climb=ESTIMATE), panel(warm(*((hour, 20) for hour in range(40))))
    found = strength(by_estimate, record, later(1))
    reached = found.climb.expected
    assert reached is not None
    assert found.climb.opens == reached
    at_it, before = (
        strength(by_estimate, record, at) for at in (reached, reached - timedelta(seconds=3))
    )
    assert (at_it.climb.met, at_it.climb.by) == (True, "estimate")
    assert (before.climb.met, before.climb.by) == (False, None)
    assert found.estimate_at(reached) == pytest.approx(10, abs=1e-3)


@pytest.mark.parametrize(("hours", "met"), [(17.999, False), (18, True), (18.001, True)])
def test_hours_at_their_limit(hours: float, met: bool) -> None:
    """Hours alone, and with a test that shows the strength long before."""
    alone = job(climb="climb = { hours = 18 }")
    assert strength(alone, panel(), later(hours)).climb.met is met
    assert strength(alone, panel(), later(hours)).climb.expected == later(18)
    both = strength(job(), panel(taken("C1"), was_tested("C1", "12", 10)), later(hours))
    assert (both.climb.met, both.climb.by) == (met, "test")
    assert both.climb.expected == later(18)


def test_strength_alone() -> None:
    alone = job(climb="climb = { strength = 10 }")
    early = strength(alone, panel(taken("C1"), was_tested("C1", "12", 8)), later(8))
    assert (early.climb.met, early.climb.by, early.climb.expected) == (True, "test", later(8))
    assert strength(alone, panel(), later(8)).climb.met is False


def test_no_limit_is_not_judged() -> None:
    found = strength(job(climb="", lift=""), panel(), later(100))
    assert (found.climb.met, found.lift.met) == (None, None)
    assert climb_missing(job(climb="", lift=""), found, NOON.tzinfo) == ("no limit given.",)


def test_no_pour_has_no_age() -> None:
    found = strength(job(), panel(poured=False), NOON)
    assert (found.hours, found.days, found.estimate) == (None, None, None)
    assert (found.climb.met, found.climb.expected, found.lift.met) == (False, None, False)
    assert "not recorded" in " ".join(climb_missing(job(), found, NOON.tzinfo))


@pytest.mark.parametrize("mix", ["", "\n[mix]\nstrength = 40\n", '\n[mix]\ncement = "N"\n'])
def test_a_mix_without_a_curve_gives_no_estimate(mix: str) -> None:
    found = strength(job(mix=mix), panel(taken("C1"), was_tested("C1", "26", 30)), later(40))
    assert (found.estimate, found.climb.by, found.lift.met) == (None, "test", True)
    assert found.days is not None
    alone = strength(job(mix=mix), panel(), later(40))
    assert (alone.climb.met, alone.climb.expected, alone.lift.expected) == (False, None, None)
    assert "no estimate" in estimate_words(job(mix=mix), alone)


def test_a_result_counts_from_its_own_time_on() -> None:
    record = panel(taken("C1"), was_tested("C1", "26", 30))
    before, at_it = strength(job(), record, later(29.9)), strength(job(), record, later(30))
    assert (before.results, before.lift.met) == ((), False)
    assert (len(at_it.results), at_it.lift.met) == (1, True)
    assert strength(job(), record, later(-5)).hours == 0


def test_a_result_of_another_panel_shows_nothing_here() -> None:
    other = PanelState(mark="P2")
    assert strength(job(), other, later(100)).lift.met is False
    assert strength(job(), panel(), later(2000)).lift.met is False


def test_no_estimate_however_high_releases_a_lift() -> None:
    """A year at 20 °C: 40 MPa, what the curve ends at."""
    found = strength(job(), panel(), later(24 * 365))
    assert found.estimate == 40
    assert (found.lift.met, found.lift.by) == (False, None)
    missing = " ".join(lift_missing(job(), found, NOON.tzinfo))
    assert "test of a field-cured specimen of this panel at 25 MPa" in missing


def test_a_standard_cured_specimen_shows_nothing_of_the_panel() -> None:
    record = panel(taken("C1", "standard"), was_tested("C1", "40", 30, "standard"))
    found = strength(job(), record, later(31))
    assert (found.climb.by, found.climb.met, found.lift.met) == (None, False, False)
    for missing in (climb_missing, lift_missing):
        assert "C1: standard-cured" in " ".join(missing(job(), found, NOON.tzinfo))


def test_a_specimen_put_right_takes_its_result_with_it() -> None:
    put_right = taken("C1", "standard")
    record = panel(taken("C1"), was_tested("c1 ", "40", 30), put_right)
    assert strength(job(), record, later(31)).lift.met is False


def test_the_last_word_on_a_specimen_counts() -> None:
    record = panel(taken("C1"), was_tested("C1", "26", 30), was_tested("C1", "24", 30))
    assert strength(job(), record, later(31)).lift.met is False


def test_a_limit_the_curve_never_comes_to() -> None:
    """The curve ends at 28 days, at 40 MPa."""
    hard = job(climb="climb = { strength = 40.5 }")
    found = strength(hard, panel(), later(1000))
    assert (found.climb.met, found.climb.expected) == (False, None)
    assert "by a test only" in " ".join(climb_missing(hard, found, NOON.tzinfo))


def test_a_test_below_what_was_estimated_is_said() -> None:
    record = panel(taken("C1"), was_tested("C1", "8", 48))
    (said,) = doubts(job(), strength(job(), record, later(50)))
    assert printed(2 * AT_20) == pytest.approx(16.1, abs=0.1)
    assert said.startswith("C1 has 8 MPa where the estimate was 16.1 MPa")
    assert (
        doubts(job(), strength(job(), panel(taken("C1"), was_tested("C1", "30", 48)), later(50)))
        == ()
    )


def test_a_limit_in_psi_is_met_by_the_psi_the_office_meant() -> None:
    """1500 psi are 10.342135… MPa (1 psi = 0.006894757 MPa, NIST SP 811, B.8); a file may hold 10.342136."""
    text = TEXT.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')
    imperial = job_of(text.replace("strength = 10,", "strength = 10.342136,"))
    typed = "10.342135939754"
    found = strength(imperial, panel(taken("C1"), was_tested("C1", typed, 20)), later(20))
    assert found.climb.met is True


def test_what_is_short_is_not_shown_as_the_limit() -> None:
    assert mpa(job(), 9.99) == "9.9 MPa"
    assert mpa(job(), Decimal("10")) == "10 MPa"


def test_the_age_of_many_readings_is_that_of_few() -> None:
    """A straight rise cut into 5,000 pieces is the same rise."""
    few, many = (
        panel(warm((0, 10), (100, 60))),
        panel(warm(*((hours / 50, 10 + hours / 100) for hours in range(5001)))),
    )
    one, other = (strength(job(), record, later(90)) for record in (few, many))
    assert one.days == pytest.approx(other.days, rel=1e-6)
    assert one.lift.expected is not None
    assert other.lift.expected is not None
    assert abs(one.lift.expected - other.lift.expected) < timedelta(seconds=30)


def test_words_say_what_meets_a_limit() -> None:
    by_estimate = job(climb=ESTIMATE)
    found = strength(by_estimate, panel(), later(72))
    assert met_words(found.climb) == "not met"
    assert "on an assumed 20 °C: nothing measured" in estimate_words(job(), found)
    read = strength(by_estimate, panel(warm(*((hour, 20) for hour in range(72)))), later(72))
    assert met_words(read.climb) == "met by the estimate, as measured"
    assert "assumed" not in estimate_words(job(), read)
    tested = strength(job(), panel(taken("C1"), was_tested("C1", "26", 30)), later(72))
    assert met_words(tested.climb) == "met by test"
    assert met_words(strength(job(climb=""), panel(), later(72)).climb) == "no limit given"


# What opens a climb.


def climb_by(climb: str, record: PanelState, hours: float) -> tuple[bool | None, str | None]:
    found = strength(job(climb=climb), record, later(hours)).climb
    return found.met, found.by


EVERY_HOUR = warm(*((hour, 20) for hour in range(60)))


def test_an_estimate_opens_a_climb_only_where_the_job_says_so() -> None:
    """10 MPa after 27.8 h at 20 °C."""
    assert climb_by(CLIMB, panel(EVERY_HOUR), 60) == (False, None)
    assert climb_by(ESTIMATE, panel(EVERY_HOUR), 60) == (True, "estimate")
    assert climb_by(ESTIMATE, panel(EVERY_HOUR), 27) == (False, None)


def test_what_was_not_measured_opens_nothing() -> None:
    assert climb_by(ESTIMATE, panel(), 500) == (False, None)
    assert climb_by(ESTIMATE, panel(warm((0, 20), (2, 20))), 500) == (False, None)
    hole = warm(*((hour, 20) for hour in (*range(10), *range(20, 40))))
    assert climb_by(ESTIMATE, panel(hole), 30) == (False, None)
    assert climb_by(ESTIMATE, panel(hole), 39) == (True, "estimate")
    wider = ESTIMATE + "\ntemperature_gap = 11"
    assert climb_by(wider, panel(hole), 30) == (True, "estimate")


def test_the_measured_estimate_goes_on_for_the_gap_after_the_last_reading() -> None:
    record = panel(warm(*((hour, 20) for hour in range(27))))
    found = strength(job(climb=ESTIMATE), record, later(26.5))
    assert found.climb.met is False
    assert found.climb.opens is not None
    assert later(27) < found.climb.opens < later(28)
    assert strength(job(climb=ESTIMATE), record, found.climb.opens).climb.met is True
    # Without another reading the clock alone opens nothing.
    short = strength(job(climb=ESTIMATE), panel(warm((0, 20), (1, 20))), later(2))
    assert short.climb.opens is None
    assert "MPa by what was measured" in " ".join(
        climb_missing(job(climb=ESTIMATE), short, NOON.tzinfo)
    )


@pytest.mark.parametrize("climb", [CLIMB, ESTIMATE])
def test_the_last_field_result_counts(climb: str) -> None:
    high, low = was_tested("F1", "30", 30), was_tested("F2", "9.9", 40)
    took = (EVERY_HOUR, taken("F1"), taken("F2"))
    both = panel(*took, high, low)
    assert climb_by(climb, both, 39) == (True, "test")
    assert climb_by(climb, both, 50) == (False, None)
    found = strength(job(climb=climb), both, later(50))
    assert (found.climb.low and found.climb.low.name) == "F2"
    assert (found.lift.met, found.lift.low and found.lift.low.name) == (False, "F2")
    assert verdict_word(found, "climb", found.results[0], False) == "later one below"
    assert "F2, tested 04 Mar 04:00, has 9.9 MPa: below 10 MPa" in " ".join(
        climb_missing(job(climb=climb), found, NOON.tzinfo)
    )
    again = panel(*took, taken("F3"), high, low, was_tested("F3", "26", 45))
    better = strength(job(climb=climb), again, later(50))
    assert (better.climb.met, better.lift.met) == (True, True)
    assert better.lift.expected == later(45)


def test_of_two_results_at_the_same_time_the_lower_one_counts() -> None:
    took = (taken("F1"), taken("F2"))
    for first, second in (("30", "9"), ("9", "30")):
        record = panel(*took, was_tested("F1", first, 30), was_tested("F2", second, 30))
        found = strength(job(), record, later(31))
        assert (found.climb.met, found.lift.met) == (False, False)
        assert found.climb.low is not None
        assert found.climb.low.strength == 9


def test_a_low_standard_cured_result_shuts_nothing() -> None:
    record = panel(
        taken("F1"), taken("S1", "standard"), was_tested("F1", "26", 30),
        was_tested("S1", "9", 40, "standard"),
    )  # fmt: skip
    found = strength(job(), record, later(50))
    assert (found.climb.met, found.lift.met) == (True, True)


# Cold, frost, and what is out of range.


def codes(record: PanelState, hours: float, climb: str = ESTIMATE) -> list[tuple[str, str]]:
    trial = job(climb=climb)
    found = strength(trial, record, later(hours))
    return [(one.code, one.severity) for one in troubles(trial, found, NOON.tzinfo)]


def measured(*odd: tuple[float, float], hours: int = 60) -> PanelState:
    """Read every hour at 20 °C but for these."""
    values = dict.fromkeys(map(float, range(hours)), 20.0) | dict(odd)
    return panel(warm(*sorted(values.items())))


@pytest.mark.parametrize(
    ("celsius", "said"),
    [(5, []), (4.9, [("cold", "warning")]), (0.1, [("cold", "warning")]), (0, [("frost", "error")]),
     (-0.1, [("frost", "error"), ("temperature-range", "error")]), (80, []),
     (80.1, [("temperature-range", "error")])],
)  # fmt: skip
def test_a_reading_of_fresh_concrete(celsius: float, said: list[tuple[str, str]]) -> None:
    assert codes(measured((10, celsius)), 50) == said


@pytest.mark.parametrize(("hour", "fresh"), [(23, True), (24, False), (30, False)])
def test_how_long_concrete_is_fresh(hour: float, fresh: bool) -> None:
    """5 MPa are measured after 17.4 h at 20 °C: then 24 h are the longer of the two."""
    assert bool(codes(measured((hour, 4)), 50)) is fresh


def test_concrete_that_was_not_measured_stays_fresh() -> None:
    assert codes(panel(warm((40, -1))), 50)[0] == ("frost", "error")


def test_frost_shuts_the_estimate_off_until_a_test() -> None:
    hours = {float(hour): 20.0 for hour in range(60)} | {10.0: -1.0}
    read = warm(*sorted(hours.items()))
    assert climb_by(ESTIMATE, panel(read), 59) == (False, None)
    found = strength(job(climb=ESTIMATE), panel(read), later(59))
    assert found.climb.opens is None
    assert "no estimate counts after frost" in " ".join(
        climb_missing(job(climb=ESTIMATE), found, NOON.tzinfo)
    )
    shown = panel(read, taken("F1"), was_tested("F1", "10", 30))
    assert climb_by(ESTIMATE, shown, 59) == (True, "test")


def test_time_out_of_range_gains_no_age_in_either_figure() -> None:
    """Six hours at 85 °C in a day at 20 °C; a second on each side of them goes straight across."""
    second = 1 / 3600
    values = [(n / 2, 20.0) for n in range(49) if not 12 <= n <= 24]
    values += [(6 - second, 20.0), (6.0, 85.0), (7.5, 85.0), (9.0, 85.0), (10.5, 85.0)]
    values += [(12.0, 85.0), (12 + second, 20.0)]
    found = strength(job(), panel(warm(*sorted(values))), later(24))
    assert found.days == pytest.approx(0.75 * AT_20, rel=1e-3)
    assert found.measured == pytest.approx(found.estimate, rel=1e-3)
    (one,) = (one for one in troubles(job(), found, NOON.tzinfo) if one.code == "temperature-range")
    assert "The engineer decides" in one.words


def test_a_result_below_the_limit_is_an_error_that_names_it() -> None:
    record = panel(taken("F1"), taken("F2"), was_tested("F1", "12", 20), was_tested("F2", "9", 20))
    (below,) = (
        one for one in troubles(job(), strength(job(), record, later(22)), None)
        if one.code == "test-below"
    )  # fmt: skip
    assert below.severity == "error"
    assert below.words.startswith("F2, tested ")


def test_the_basis_says_what_is_taken_where_nothing_was_read() -> None:
    def basis(*read: tuple[float, float]) -> str:
        return strength(job(), panel(warm(*read)) if read else panel(), later(10)).basis

    assert basis() == "no temperature recorded: 20 °C assumed"
    assert basis((1, 20), (9, 20)) == "temperatures recorded"
    assert basis((3, 20), (9, 20)) == f"temperatures recorded; {FIRST_TAKEN}"
    assert basis((1, 20), (7, 20)) == f"temperatures recorded; {LAST_TAKEN}"


# Strip.


def test_a_strip_is_judged_like_a_climb() -> None:
    strip = 'strip = { hours = 12, strength = 5, by = "estimate" }\n'
    trial = job_of(TEXT.replace(CLIMB, CLIMB + "\n" + strip).replace(
        "sources = {", 'sources = { strip = "spec 7",'))  # fmt: skip
    found = strength(trial, measured(), later(18))
    assert (found.strip.met, found.strip.by, found.strip.source) == (True, "estimate", "spec 7")
    assert found.climb.met is False
    early = strength(trial, measured(), later(11))
    assert early.strip.met is False
    assert any("12 h since the pour" in one for one in strip_missing(trial, early, NOON.tzinfo))
    assert strength(job(), panel(), later(1)).strip.met is None


def test_a_day_is_always_named_by_its_date() -> None:
    """At noon of any day: who reads it later, or asks for another time, has another today."""
    found = strength(job(), panel(), later(24))
    said = " ".join(
        (*lift_missing(job(), found, NOON.tzinfo), *climb_missing(job(), found, NOON.tzinfo))
    )
    there = found.lift.expected
    assert there is not None
    assert f"Worth testing from {there:%a %d %b %H:%M}" in said
    same = strength(job(), panel(), there.replace(hour=0, minute=1))
    assert (
        f"Worth testing from {there:%a %d %b %H:%M}" in lift_missing(job(), same, NOON.tzinfo)[-1]
    )
    assert when(found.lift, date(2025, 12, 31), NOON.tzinfo) == f"{there:%a %d %b %Y %H:%M}"


def test_what_was_read_in_fahrenheit_is_shown_to_a_tenth() -> None:
    """70 °F = 21.111… °C."""
    assert celsius(job(), (70 - 32) / 1.8) == "21.1 °C"
    assert celsius(job(), 21.5) == "21.5 °C"
