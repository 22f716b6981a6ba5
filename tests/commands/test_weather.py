"""`weather`: evaporation and the temperature of the concrete against the limits of the job.

The worked example: Concrete International's questions and answers on estimating evaporation rates (air 27 °C,
50 %, concrete 31 °C, wind 19 km/h: 1.15 kg/m²/h by the formula), in °F and mph 80, 87 and 12.
"""

from pathlib import Path

import pytest

from pourdeck.example import IMPERIAL, METRIC, example_folder
from tests.commands.conftest import Job
from tests.commands.kit import Command, misses
from tests.walk.kit import JOB

LIMITED = JOB.replace(
    "[limits]",
    "[limits]\nconcrete_temperature = [5, 35]\nevaporation = { caution = 0.5, act = 1.0 }",
)
WEATHER = {
    "evaporation": float, "verdict": str, "limits": {"caution": float, "act": float},
    "temperature": str, "findings": list,
}  # fmt: skip


def words(concrete: str = "31", air: str = "27", rh: str = "50", wind: str = "19") -> list[str]:
    return ["--concrete", concrete, "--air", air, "--rh", rh, "--wind", wind]


def test_the_worked_example(job: Job, command: Command):
    done = command("weather", job(LIMITED), *words(), "--json")
    assert (done.code, done.err) == (0, "")
    assert misses(done.document, WEATHER) == []
    assert done.document["evaporation"] == pytest.approx(1.15, abs=0.005)
    assert (done.document["verdict"], done.document["temperature"]) == ("act", "ok")
    assert done.document["findings"] == []


def test_the_page_names_its_formula(job: Job, command: Command):
    assert "Evaporation by Uno 1998." in command("weather", job(LIMITED), *words()).out


@pytest.mark.parametrize("folder", [METRIC, IMPERIAL])
def test_any_unit_may_be_typed(folder: str, command: Command):
    typed = words("87 F", "80°F", "50 %", "12 mph")
    found = command("weather", example_folder(folder), *typed, "--json").document
    assert found["evaporation"] == pytest.approx(1.138, abs=0.001)


def test_bare_numbers_are_in_the_units_of_the_job(command: Command):
    """87 °F are 30.6 °C, 12 mph are 19.3 km/h."""
    done = command("weather", example_folder(IMPERIAL), *words("87", "80", "50", "12"), "--json")
    assert done.document["evaporation"] == pytest.approx(1.138, abs=0.001)
    assert (
        "lb/ft²/h"
        in command("weather", example_folder(IMPERIAL), *words("87", "80", "50", "12")).out
    )


@pytest.mark.parametrize(
    ("caution", "verdict"),
    [("2.0", "ok"), ("1.0", "caution"), ("0.5", "act")],
)
def test_verdicts(job: Job, command: Command, caution: str, verdict: str):
    limits = f"caution = {caution}, act = {2 * float(caution)}"
    text = LIMITED.replace("caution = 0.5, act = 1.0", limits)
    assert command("weather", job(text), *words(), "--json").document["verdict"] == verdict


@pytest.mark.parametrize(
    ("concrete", "word", "code"),
    [("4.9", "cold", 1), ("5", "ok", 0), ("35", "ok", 0), ("35.1", "hot", 1)],
)
def test_the_temperature_of_the_concrete(
    job: Job, command: Command, concrete: str, word: str, code: int
):
    done = command("weather", job(LIMITED), *words(concrete), "--json")
    assert (done.code, done.document["temperature"]) == (code, word)
    assert len(done.document["findings"]) == code
    assert command("weather", job(LIMITED), *words(concrete)).code == code


def test_no_limit_is_said(job: Job, command: Command):
    found = command("weather", job(JOB), *words(), "--json").document
    assert (found["verdict"], found["temperature"]) == (None, None)
    assert command("weather", job(JOB), *words()).out.count("no limit given") == 4


def test_frost(job: Job, command: Command):
    """Hot concrete on a cold day: (25, −5, 0.5, 20) by the formula, 5(43^2.5 − 0.5 · 13^2.5) · 24 · 10⁻⁶."""
    for cold in (["--air", "-5"], ["--air", "-5C"], ["--air=-5"]):
        done = command(
            "weather",
            job(LIMITED),
            "--concrete",
            "25",
            *cold,
            "--rh",
            "50",
            "--wind",
            "20",
            "--json",
        )
        expected = 5 * (43**2.5 - 0.5 * 13**2.5) * 24e-6
        assert done.document["evaporation"] == pytest.approx(expected)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (words(rh="101"), "--rh: 101 % is above 100 %."),
        (words(rh="0.4"), "Humidity is in per cent: 40 for 0.4."),
        (words(wind="-3"), "--wind"),
        (words(wind="400"), "--wind: 400 km/h is above 300 km/h."),
        (words(concrete="250"), "--concrete: 250 °C is above 80 °C."),
        (words(air="warm"), "--air"),
        (words(air="20 MPa"), "a strength"),
        (["--concrete", "20"], "--air"),
    ],
)
def test_bad_input(job: Job, command: Command, typed: list[str], says: str):
    done = command("weather", job(LIMITED), *typed)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert len(done.err.splitlines()) >= 2


def test_no_job(command: Command, tmp_path: Path):
    assert command("weather", tmp_path / "none", *words()).code == 2
