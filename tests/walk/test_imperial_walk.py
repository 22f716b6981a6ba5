"""A crew that reads and types feet, yards, psi and degrees Fahrenheit; the log holds what files hold."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.example import example_folder
from pourdeck.plan.lengths import format_exact
from pourdeck.walk import acts
from pourdeck.walk.records import ItemView
from pourdeck.walk.strength_acts import result, specimen
from pourdeck.walk.words import expected_text, found_text, limit_texts
from tests.walk.kit import Clock, Crew, good_answer, open_desk, refused

MILL_YARD = (example_folder().parent / "mill-yard" / "job.toml").read_text(encoding="utf-8")
HOT = MILL_YARD.replace("[limits]", "[limits]\nconcrete_temperature = [10, 32.222222]")
"""50 °F to 90 °F, the upper one with the six decimals that the file can hold."""

FOREMAN, HAND, CHECKER = "B. Carter", "T. Nolan", "C. Stone"


def in_feet(item: ItemView) -> str:
    """A good answer; heights, which feet seldom hold exactly, in m."""
    typed = good_answer(item)
    if item.kind != "measure" or item.unit not in ("mm", "mm/form", "m"):
        return typed
    if item.unit == "m":
        return f"{typed} m"
    if not isinstance(item.expected, Decimal) or item.pair:
        return f"{typed} mm"
    return format_exact(item.expected, "imperial")


def imperial_crew(folder: Path, text: str = MILL_YARD) -> Crew:
    clock = Clock()
    return Crew(
        open_desk(folder, text, clock), clock, stack="1",
        foreman=FOREMAN, hand=HAND, checker=CHECKER, good=in_feet,
    )  # fmt: skip


@pytest.fixture(scope="module")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Crew:
    """About to pour the first panel; each test answers items of its own."""
    one = imperial_crew(tmp_path_factory.mktemp("yard"), HOT)
    one.go_to("ready")
    return one


@pytest.mark.parametrize(
    ("key", "typed", "value", "found", "verdict"),
    [
        # 65 °F = 18.333… °C, 18 °C = 64.4 °F: °F = 9/5 °C + 32 by definition.
        ("ready.air", "65", "18.333333333333", "65.0 °F", "recorded"),
        ("ready.humidity", "55 %", "55", "55 %", "recorded"),
        # 1 mi = 1.609344 km, exact: NIST SP 811 (2008), B.8.
        ("ready.wind", "10", "16.09344", "10.0 mph", "recorded"),
        ("ready.concrete", "90", "32.222222222222", "90.0 °F", "pass"),
        # 1 yd³ = 0.764554857984 m³, from 1 yd = 0.9144 m.
        ("ready.ordered", "10.5", "8.027826008832", "10.50 yd³", "recorded"),
    ],
)
def test_what_is_typed_is_kept_in_the_units_of_files_and_shown_as_typed(
    ready: Crew, key: str, typed: str, value: str, found: str, verdict: str
) -> None:
    entry = ready.answer(key, typed)
    assert entry.data["value"] == value
    assert entry.data["typed"] == typed
    assert entry.data["verdict"] == verdict
    item = ready.item(key)
    assert entry.data["unit"] == item.unit
    assert found_text(item, "imperial") == found


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [("90.1", "fail"), ("50", "pass"), ("49.9", "fail"), ("32 C", "pass"), ("33 °C", "fail")],
)
def test_limits_of_temperature_in_either_scale(ready: Crew, typed: str, verdict: str) -> None:
    entry = ready.answer("ready.concrete", typed, why="read again")
    assert entry.data["verdict"] == verdict


def test_what_is_expected_is_in_the_units_of_the_job(ready: Crew) -> None:
    assert expected_text(ready.item("ready.concrete"), "imperial") == "50.0 to 90.0 °F"
    assert expected_text(ready.item("ready.ordered"), "imperial") == "10.02 yd³"


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("ready.ordered", "10 psi", ("psi is a strength", "yd³")),
        ("ready.ordered", "10 m", ("m is a length",)),
        ("ready.ordered", "2000", ("2000.00 yd³ is above 1307.95 yd³",)),
        ("ready.air", "250", ("250.0 °F is above 140.0 °F",)),
        ("ready.air", "65°", ("which scale",)),
    ],
)
def test_what_cannot_be_is_said_in_the_units_of_the_job(
    ready: Crew, key: str, typed: str, words: tuple[str, ...]
) -> None:
    refusal = refused(acts.answer(ready.walk, key, typed, FOREMAN, ready.clock.at, "again"))
    for word in words:
        assert word in f"{refusal.title} {refusal.body}"


def test_a_size_read_to_a_32nd_has_limits_that_look_different(tmp_path: Path) -> None:
    one = imperial_crew(tmp_path)
    width = one.item("drawing.width")
    assert expected_text(width, "imperial") == '23\' 7-1/2" ± 1/32"'
    assert limit_texts(width, "imperial") == ("23' 7-15/32\"", "23' 7-1/2\"", "23' 7-17/32\"")
    thickness = one.item("drawing.thickness")
    assert limit_texts(thickness, "imperial") == ('7-7/32"', '7-1/4"', '7-9/32"')
    one.pass_item("drawing.mark")
    entry = one.answer("drawing.thickness", "7.25", by=HAND)
    assert (entry.data["value"], entry.data["verdict"]) == ("184.15", "pass")
    entry = one.answer("drawing.thickness", "7.125", by=HAND, why="read again")
    assert (entry.data["value"], entry.data["verdict"]) == ("180.975", "fail")
    assert found_text(one.item("drawing.thickness"), "imperial") == '7-1/8"'


def test_a_strength_meets_the_limit_it_is_shown(tmp_path: Path) -> None:
    one = imperial_crew(tmp_path)
    one.go_to("finish")
    one.do(specimen(one.walk, "C1", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=40)
    one.do(result(one.walk, "C1", "1500 psi", "now", FOREMAN, one.clock.at))
    for view in one.walk.sections:
        if view.state != "done":
            one.end_section(view.id)
    one.number = 2
    one.go_to("brackets")
    item = one.item("brackets.strength")
    assert expected_text(item, "imperial") == "at least 1500 psi"
    entry = one.answer("brackets.strength", "1500")
    # 1500 psi = 10.34214 MPa: 1 psi = 6.894757E+03 Pa, NIST SP 811 (2008), B.8.
    assert entry.data["value"] == "10.342135939753"
    assert entry.data["verdict"] == "pass"
    entry = one.answer("brackets.strength", "1499", why="read again")
    assert entry.data["verdict"] == "fail"


def test_a_metric_job_takes_the_other_units_too(tmp_path: Path) -> None:
    one = imperial_crew(tmp_path, MILL_YARD.replace('units = "imperial"', 'units = "metric"'))
    one.go_to("ready")
    one.answer("ready.air", "65 °F")
    assert found_text(one.item("ready.air"), "metric") == "18.3 °C"
    one.answer("ready.ordered", "10 yd")
    assert found_text(one.item("ready.ordered"), "metric") == "7.65 m³"


def test_what_failed_is_on_the_board_as_it_is_read(tmp_path: Path) -> None:
    one = imperial_crew(tmp_path)
    one.answer("drawing.width", "23' 7-3/4\"", by=HAND)
    (failed,) = one.desk.board().failed
    assert failed.reason == "23' 7-3/4\""
