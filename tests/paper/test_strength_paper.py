"""Temperatures, specimens and results in the diary, in the Log and in the record of a panel."""

import tomllib
from datetime import timedelta
from pathlib import Path

from pourdeck.deck.views.log import entry_words
from pourdeck.paper.diary import diary_line
from pourdeck.paper.record import record_bytes
from pourdeck.walk.logger_file import Temperatures, read_temperatures
from pourdeck.walk.strength_acts import result, specimen, temperature
from pourdeck.walk.strength_import import import_of, temperatures_read
from tests.walk.kit import FOREMAN, Crew
from tests.walk.strength_kit import entry, poured_crew


def told(one: Crew) -> None:
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.do(temperature(one.walk, "21.5", "now", FOREMAN, one.clock.at))
    one.clock.later(days=3)
    zone = one.clock.at.tzinfo
    assert zone is not None
    rows = "".join(
        f"{one.clock.at - timedelta(hours=40 - n):%Y-%m-%d %H:%M},{20 + n / 2}\n" for n in range(20)
    )
    read = read_temperatures(rows, "metric", zone, one.clock.at)
    assert isinstance(read, Temperatures), read
    taken = import_of(one.walk, read, one.clock.at)
    assert not hasattr(taken, "body"), taken
    one.do(temperatures_read(one.walk, taken, "probe.csv", FOREMAN, one.clock.at))  # type: ignore[arg-type]
    one.do(result(one.walk, "C1", "26", "now", FOREMAN, one.clock.at))
    one.do(result(one.walk, "C1", "25.5", "now", FOREMAN, one.clock.at, "sheet misread"))


def test_the_diary_says_them_in_words(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    told(one)
    kinds = ("specimen", "temperatures", "test")
    lines = [diary_line(e) for e in one.walk.record.entries if e.kind in kinds]
    assert lines[0].startswith("C1, field-cured, taken ")
    assert lines[1].startswith("21.5 °C at ")
    assert lines[2] == "20 temperatures, 20 °C to 29.5 °C, from probe.csv"
    assert lines[3].startswith("C1, field-cured, 26 MPa, tested ")
    assert lines[4].endswith("(sheet misread)")


def test_units_of_the_job_in_the_diary() -> None:
    """20 °C = 68 °F; 10 MPa = 1450 psi (NIST SP 811, B.8)."""
    warm = entry("temperatures", 1, readings=[["2026-03-02T12:00:00+00:00", "20"]])
    assert diary_line(warm, "imperial").startswith("68 °F at ")
    test = entry(
        "test", 2, specimen="C1", cured="field", strength="10", time="2026-03-02T12:00:00+00:00"
    )
    assert "1450 psi" in diary_line(test, "imperial")


def test_what_cannot_be_read_is_no_traceback() -> None:
    for broken in (
        entry("temperatures", 1, readings=[]),
        entry("temperatures", 1, readings=[["x", "y"], ["z", "w"]]),
        entry("test", 1, specimen="C1"),
        entry("specimen", 1, specimen="C1"),
    ):
        assert isinstance(diary_line(broken), str)
        assert entry_words(broken, lambda _: None, "metric")


def test_the_log_writes_out_few_temperatures_and_counts_many(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    told(one)
    first, many = (e for e in one.walk.record.temperatures)
    words = dict(entry_words(first, lambda _: None, "metric"))
    assert words["readings"].endswith("21.5 °C")
    assert words["from"] == "typed"
    assert dict(entry_words(many, lambda _: None, "metric"))["readings"].startswith("20: ")


def test_the_record_keeps_specimens_results_and_how_warm_it_was(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    told(one)
    for view in one.walk.sections:
        if view.state != "done":
            one.end_section(view.id)
    kept = tomllib.loads(record_bytes(one.walk).decode())["strength"]
    assert kept["temperatures"]["readings"] == 21
    assert (kept["temperatures"]["lowest"], kept["temperatures"]["highest"]) == (20, 29.5)
    assert [(x["name"], x["cured"]) for x in kept["specimen"]] == [("C1", "field")]
    assert [(x["specimen"], x["strength"], x["why"]) for x in kept["result"]] == [
        ("C1", 25.5, "sheet misread")
    ]
    assert kept["result"][0]["by"] == FOREMAN


def test_a_panel_without_any_has_no_such_part(tmp_path: Path) -> None:
    one = poured_crew(tmp_path)
    assert "strength" not in tomllib.loads(record_bytes(one.walk).decode())
