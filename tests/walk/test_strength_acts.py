"""Temperatures, specimens and results: what is taken, what is refused and why, what a correction says."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.paint import plain
from pourdeck.deck.views.strength_rows import strength_rows
from pourdeck.plan.messages import Refusal
from pourdeck.walk.logger_file import Temperatures, read_temperatures
from pourdeck.walk.records import Act
from pourdeck.walk.strength import results, specimens, strength, temperatures
from pourdeck.walk.strength_acts import result, specimen, temperature
from pourdeck.walk.strength_import import import_of, temperatures_read
from pourdeck.walk.times import Doubt
from tests.walk.kit import FOREMAN, HAND, Crew, crew, refused
from tests.walk.strength_kit import TEXT, poured_crew
from tests.walk.test_imperial_walk import imperial_crew


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    return poured_crew(tmp_path)


def warm(one: Crew, typed: str, time: str = "now", why: str = "") -> Act | Refusal:
    return temperature(one.walk, typed, time, FOREMAN, one.clock.at, why)


def take(
    one: Crew, name: str, cured: str = "field", load: str = "", time: str = "now", why: str = ""
) -> Act | Refusal:
    return specimen(one.walk, name, cured, load, time, FOREMAN, one.clock.at, why)


def crush(one: Crew, name: str, typed: str, time: str = "now", why: str = "") -> Act | Refusal:
    return result(one.walk, name, typed, time, HAND, one.clock.at, why)


def test_a_temperature_is_kept_as_it_was_typed(one: Crew) -> None:
    entry = one.do(warm(one, "21.5"))
    assert entry.kind == "temperatures"
    assert entry.data["readings"] == [
        [one.clock.at.replace(microsecond=0).isoformat(), "21.5"]
    ] or (entry.data["readings"][0][1] == "21.5")
    one.clock.later(hours=1)
    one.do(warm(one, "77 F"))
    assert [x.temperature for x in temperatures(one.walk.record)] == [21.5, 25]


@pytest.mark.parametrize(
    ("typed", "time", "says"),
    [
        ("250", "now", "That is no temperature of concrete"),
        ("-30", "now", "is no temperature of concrete"),
        ("warm", "now", "warm"),
        ("20 MPa", "now", "a strength"),
        ("20", "2031-01-01 07:00", "still to come"),
        ("20", "2020-01-01 07:00", "2020 Wed 01 Jan 07:00 is before the start of the pour, 06:0"),
        ("20", "half past", "is not a time"),
    ],
)
def test_a_temperature_that_cannot_be(one: Crew, typed: str, time: str, says: str) -> None:
    found = refused(warm(one, typed, time))
    assert says in f"{found.title} {found.body}"


def test_nothing_is_warm_before_the_pour(tmp_path: Path) -> None:
    one = crew(tmp_path, TEXT)
    for act in (warm(one, "20"), take(one, "C1"), crush(one, "C1", "20")):
        assert "not poured yet" in refused(act).title
    found = read_temperatures("2026-03-02 05:00,20\n", "metric", one.clock.at.tzinfo, one.clock.at)  # type: ignore[arg-type]
    assert isinstance(found, Temperatures)
    assert isinstance(import_of(one.walk, found, one.clock.at), Refusal)


def test_a_temperature_is_put_right_with_a_reason(one: Crew) -> None:
    one.do(warm(one, "32"))
    time = (one.clock.at - timedelta(seconds=7)).isoformat()
    assert "Say why" in refused(warm(one, "23", time)).body
    assert "already" in refused(warm(one, "32", time)).title
    entry = one.do(warm(one, "23", time, "figures swapped"))
    assert (entry.data["why"], entry.data["replaces"]) == ("figures swapped", entry.n - 1)
    assert [x.temperature for x in temperatures(one.walk.record)] == [23]


def test_a_result_has_a_specimen_of_this_panel(one: Crew) -> None:
    assert "has no specimen C1" in refused(crush(one, "C1", "20")).title
    one.do(take(one, "C1", "field"))
    one.do(take(one, "C2", "standard"))
    one.clock.later(days=7)
    one.do(crush(one, "c1", "26"))
    one.do(crush(one, "C2", "31.5"))
    assert [(x.name, x.cured, str(x.strength), x.by) for x in results(one.walk.record)] == [
        ("C1", "field", "26", HAND),
        ("C2", "standard", "31.5", HAND),
    ]
    assert strength(one.desk.job, one.walk.record, one.clock.at).lift.met is True
    assert (
        "has no specimen C1"
        in refused(result(one.desk.walk("A", 2), "C1", "20", "now", HAND, one.clock.at)).title
        or "not poured"
        in refused(result(one.desk.walk("A", 2), "C1", "20", "now", HAND, one.clock.at)).title
    )


@pytest.mark.parametrize(
    ("typed", "time", "says"),
    [
        ("400", "now", "400 MPa is above 150 MPa"),
        ("0", "now", "0 MPa is below 0.5 MPa"),
        ("26 psi", "now", "That is no strength of this concrete"),
        ("101", "now", "is that right?"),
        ("-5", "now", "below zero"),
        ("strong", "now", "strong"),
        ("20 °C", "now", "a temperature"),
        ("20", "before", "before specimen C1 taken, 06:4"),
        ("20", "2031-01-01 07:00", "still to come"),
    ],
)
def test_a_result_that_cannot_be(one: Crew, typed: str, time: str, says: str) -> None:
    one.clock.later(minutes=30)
    one.do(take(one, "C1"))
    when = (one.clock.at - timedelta(minutes=20)).isoformat() if time == "before" else time
    found = refused(crush(one, "C1", typed, when))
    assert says in f"{found.title} {found.body}"


def test_what_is_unlikely_is_taken_with_a_reason(one: Crew) -> None:
    one.do(take(one, "C1"))
    assert one.do(crush(one, "C1", "101", why="heat-cured")).data["why"] == "heat-cured"


def test_a_specimen_taken_days_later_is_a_core_or_a_slip(one: Crew) -> None:
    one.clock.later(days=3)
    doubt = refused(take(one, "C1"))
    assert isinstance(doubt, Doubt)
    assert "is 72 h 1 min after the end of the pour" in doubt.title
    kept = one.do(take(one, "C1", why="cored")).data
    assert (kept["why"], kept["doubted"]) == ("cored", True)


def test_a_specimen_is_taken_at_the_truck(one: Crew) -> None:
    """Up to two hours before the first concrete is in the form; common practice, no source."""
    start = one.walk.record.pour_start
    assert start is not None
    early, before = (start.at - timedelta(minutes=n) for n in (90, 150))
    found = refused(take(one, "C1", time=before.isoformat()))
    assert "is more than 2 h before the start of the pour" in found.title
    one.do(take(one, "C1", time=early.isoformat()))


def test_corrections_say_why_and_name_what_they_replace(one: Crew) -> None:
    one.do(take(one, "C1", "field"))
    assert "Say why" in refused(take(one, "C1", "standard")).body
    one.do(take(one, "c1", "standard", why="went to the laboratory"))
    (kept,) = specimens(one.walk.record)
    assert kept.cured == "standard"
    one.clock.later(days=2)
    one.do(crush(one, "C1", "26"))
    assert "Say why" in refused(crush(one, "C1", "16")).body
    entry = one.do(crush(one, "C1", "16", why="read wrong"))
    assert entry.data["replaces"] == entry.n - 1
    assert [str(x.strength) for x in results(one.walk.record)] == ["16"]
    one.clock.later(minutes=5)
    moved = take(one, "C1", "standard", time="now", why="late")
    assert "is after specimen c1 tested" in refused(moved).title


def test_a_result_bears_the_name_of_its_specimen_as_it_was_put_right(one: Crew) -> None:
    """Else the screen says that the specimen has no result, and that of a result no specimen was taken."""
    one.do(take(one, "C1", "field"))
    one.clock.later(days=2)
    one.do(crush(one, "C1", "26"))
    one.do(take(one, "c1", "standard", time="2026-03-02 06:10", why="went to the laboratory"))
    (only,) = results(one.walk.record)
    assert (only.name, only.cured, str(only.strength)) == ("c1", "standard", "26")
    found = strength(one.desk.job, one.walk.record, one.clock.at)
    words = [plain((*row.left, *row.right)) for row in strength_rows(
        one.desk.job, one.walk.record, found, None)]  # fmt: skip
    assert not any("no result" in text or "not taken here" in text for text in words)


@pytest.mark.parametrize(
    ("name", "cured", "load", "says"),
    [
        ("", "field", "", "name of the specimen: Nothing written"),
        ("x" * 41, "field", "", "too many"),
        ("C1", "sun", "", "where was it cured"),
        ("C1", "field", "0", "no load 0"),
        ("C1", "field", "two", "two"),
        ("C1", "field", "1.5", "Load"),
    ],
)
def test_a_specimen_that_cannot_be(one: Crew, name: str, cured: str, load: str, says: str) -> None:
    found = refused(take(one, name, cured, load))
    assert says in f"{found.title} {found.body}"


def test_a_stranger_records_nothing(one: Crew) -> None:
    found = temperature(one.walk, "20", "now", "Nobody", one.clock.at)
    assert "not among the people" in refused(found).title


def test_psi_and_fahrenheit_in_an_imperial_job(tmp_path: Path) -> None:
    """4000 psi = 27.579… MPa, 1 lbf/in² = 6.894757 kPa (NIST SP 811, B.8); 68 °F = 20 °C."""
    one = imperial_crew(tmp_path)
    one.go_to("finish")
    one.do(temperature(one.walk, "68", "now", one.foreman, one.clock.at))
    one.do(specimen(one.walk, "C1", "field", "", "now", one.foreman, one.clock.at))
    one.clock.later(days=3)
    entry = one.do(result(one.walk, "C1", "4000", "now", one.foreman, one.clock.at))
    assert temperatures(one.walk.record)[0].temperature == 20
    assert Decimal(entry.data["strength"]) == pytest.approx(
        Decimal("27.57902917"), abs=Decimal("1e-7")
    )


def rows(one: Crew, *values: tuple[int, str]) -> str:
    """Minutes from now and °C, as a logger writes them."""
    return "Time,Temp °C\n" + "".join(
        f"{one.clock.at + timedelta(minutes=minutes):%Y-%m-%d %H:%M},{value}\n"
        for minutes, value in values
    )


def read_into(one: Crew, text: str, why: str = "") -> Act | Refusal:
    zone = one.clock.at.tzinfo
    assert zone is not None
    found = read_temperatures(text, "metric", zone, one.clock.at)
    assert isinstance(found, Temperatures), found
    taken = import_of(one.walk, found, one.clock.at)
    if isinstance(taken, Refusal):
        return taken
    return temperatures_read(one.walk, taken, "logger.csv", FOREMAN, one.clock.at, why)


def test_a_file_is_one_entry_of_what_is_new(one: Crew) -> None:
    one.clock.later(hours=5)
    first = rows(one, (-60 * 24, "12"), (-120, "21"), (-60, "25"))
    entry = one.do(read_into(one, first))
    assert [value for _, value in entry.data["readings"]] == ["21", "25"]
    assert entry.data["from"] == "logger.csv"
    assert "All of it is recorded already." in refused(read_into(one, first)).title
    one.clock.later(hours=1, seconds=-7)
    more = rows(one, (-180, "21"), (-120, "25"), (-60, "28"))
    assert [value for _, value in one.do(read_into(one, more)).data["readings"]] == ["28"]
    one.clock.later(seconds=-7)
    changed = rows(one, (-180, "21"), (-120, "26"))
    assert "would change" in refused(read_into(one, changed)).title
    assert one.do(read_into(one, changed, "wrong probe")).data["why"] == "wrong probe"
    assert [x.temperature for x in temperatures(one.walk.record)] == [21, 26, 28]


def test_the_file_of_another_day_is_refused(one: Crew) -> None:
    found = refused(read_into(one, rows(one, (-6000, "12"), (-5000, "14"))))
    assert "before the pour" in found.title
