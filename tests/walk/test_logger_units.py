"""The unit of a logger's temperatures: named by whatever the file holds, or asked for, never guessed.

°F = 9/5 °C + 32 and K = °C + 273.15 by definition. How headings are written is common practice, no source.
"""

from decimal import Decimal

import pytest

from pourdeck.walk.logger_cells import Given, Pour
from tests.walk.logger_kit import BEGAN, START, question, read, refused, values

WARM = [Decimal("21.5"), Decimal("21.75")]


def two(heading: str, one: str = "70.7", other: str = "71.15", sign: str = ";") -> str:
    return f"{heading}\n2026-11-25 14:00{sign}{one}\n2026-11-25 14:10{sign}{other}\n"


FAHRENHEIT = (
    "Datum;Temperatur °F", "Time;TempF", "Time;Temp_F", "Time;Temp F", "Time;Temperature ℉",
    "Time;T(F)", "Time;Temp [F]", "Time;degF", "Time;deg F", "Time;F", "Time;Temp., °F", "Time;temp_f",
    "Time;Temperature (Fahrenheit)", "Time;Temp (Deg. F)", "Time;T_degF", "Time;Temp / °F", "Time;Â°F",
    "Time;Temp\n;°F", "Time;Temp\nyyyy-mm-dd hh:mm;degF", "Time;Temp\n(local);(F)",
    "Units: Fahrenheit\nTime;Temp", "Temperature unit;F\nTime;Temp", "# unit = °F\nTime;Temp",
    "Logger 7\nScale: F\n\nTime;Value", "Unit (C/F): F\nTime;Temp", "Temperatures in degrees F\nTime;Temp",
)  # fmt: skip


@pytest.mark.parametrize("heading", FAHRENHEIT)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_fahrenheit_however_it_is_named(heading: str, units: str) -> None:
    found = read(two(heading), units)
    assert values(found) == WARM
    assert found.unit == "°F"
    assert "Temperatures are in °F" in " ".join(found.said)


CELSIUS = (
    "Zeit;Temperatur °C", "Time;TempC", "Time;temp_c", "Time;T(C)", "Time;degC", "Time;℃", "Time;Temp, C",
    "Time;Temp\n;°C", "Units: Celsius\nTime;Temp", "Unit;C\nTime;Temp", "Time;Temp ºC", "Time;Temp (øC)",
)  # fmt: skip


@pytest.mark.parametrize("heading", CELSIUS)
def test_celsius_in_an_imperial_job(heading: str) -> None:
    assert values(read(two(heading, "21.5", "21.75"), "imperial")) == WARM


@pytest.mark.parametrize(
    "heading", ["Time;Temp (K)", "Time;K", "Time;Kelvin", "Units: Kelvin\nTime;T"]
)
def test_kelvin(heading: str) -> None:
    assert values(read(two(heading, "294.65", "294.9"))) == WARM


@pytest.mark.parametrize(
    ("one", "other"),
    [("70.7 °F", "71.15 °F"), ("70,7°F", "71,15 °F"), ("21.5 °C", "21,75°C"), ("294.65 K", "294.9 K"),
     ("70.7F", "71.15F"), ("70.7 ℉", "71.15 ℉"), ("21.5 deg C", "21.75 degC")],
)  # fmt: skip
def test_cells_that_name_their_unit(one: str, other: str) -> None:
    for units in ("metric", "imperial"):
        assert values(read(two("Time;Temp", one, other), units)) == WARM


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (2, two("Time;Temp °C", "70.7 °F", "71.15 °F")),
        (3, two("Time;Temp", "70.7 °F", "21.75 °C")),
        (3, two("Time;Temp", "70.7 °F", "71.15")),
        (1, two("Time;Temp °C / °F")),
        (2, two("Time;Temp °C\n;°F")),
        (1, two("Units: Celsius\nTime;Temp °F")),
        (2, two("Units: Celsius\nScale: °F\nTime;Temp")),
        (4, two("Time;Temp °F") + "Unit: Celsius\n"),
    ],
)
def test_units_that_contradict_each_other_are_refused_by_line(line: int, text: str) -> None:
    said = refused(text)
    assert said.startswith(f"Line {line}: ")
    assert "Nothing of the file was taken." in said


def test_a_unit_in_a_column_of_its_own() -> None:
    text = "Date/Time;Unit;Value\n2026-11-25 14:00;F;70.7\n2026-11-25 14:10;F;71.15\n"
    assert values(read(text)) == WARM
    assert refused(text.replace("10;F", "10;C")).startswith("Line 3: ")
    beside = "Time;CH1;CH1 UNIT\n2026-11-25 14:00;70.7;degF\n2026-11-25 14:10;71.15;degF\n"
    assert values(read(beside)) == WARM


def test_a_unit_beyond_the_heading_is_one_column_too_many() -> None:
    said = refused("Time;Temp\n2026-11-25 14:00;21\n2026-11-25 14:10;21;F\n")
    assert said.startswith("Line 3: more columns than the 2")


def test_a_line_below_the_readings_names_the_unit_too() -> None:
    assert values(read(two("Time;Temp") + "Unit: Fahrenheit\n")) == WARM


@pytest.mark.parametrize("heading", ["Time;Temp", "Time;Probe C", "Time;TC1"])
def test_without_a_unit_what_cannot_be_celsius_is_asked(heading: str) -> None:
    found = question(two(heading, "70.7", "71.15"))
    assert found.about == "unit"
    assert found.choices == (("F", "°F: that is 21.5 °C to 21.8 °C"), ("C", "°C"))
    line = heading.count("\n") + 2
    assert found.title.startswith(f"Line {line}: 70.7")
    assert values(read(two(heading), given=Given(unit="°F"))) == WARM


def test_a_probe_that_is_called_by_a_letter_names_no_unit() -> None:
    text = "time,probe_a,concrete_probe_c\n2026-11-25 14:00,20,70.7\n"
    assert question(text).about == "unit"


def test_without_a_unit_what_can_be_either_is_asked() -> None:
    """43 can be 43 °C and 6 °C, 58 can be 58 °C and 14 °C: both is concrete on some day."""
    assert question(two("Time;Temp", "43", "58")).about == "unit"
    assert question(two("Time;Temp", "43", "58"), "imperial").about == "unit"


def test_what_the_truck_brought_tells_it() -> None:
    """Concrete that came at 16 °C is not 52 °C an hour later; at 50 °F = 10 °C it is near."""
    cold = Pour(began=BEGAN, ended=START, warm=(Decimal(10), Decimal(12)))
    assert question(two("Time;Temp", "52", "55"), pour=cold).about == "unit"
    assert values(read(two("Time;Temp", "50", "59"), "imperial", pour=cold)) == [10, 15]
    hot = Pour(began=BEGAN, ended=START, warm=(Decimal(31),))
    assert values(read(two("Time;Temp", "43", "58"), pour=hot)) == [43, 58]
    assert question(two("Time;Temp", "23", "30"), "imperial", pour=hot).about == "unit"


def test_the_unit_of_the_job_is_taken_where_only_it_can_be() -> None:
    found = read(two("Time;Temp", "21.5", "41"))
    assert found.unit == "°C"
    assert "names no unit: taken as °C, the unit of the job" in " ".join(found.said)
    assert values(read(two("Time;Temp"), "imperial")) == WARM


def test_what_no_unit_makes_concrete_of_is_a_bad_line() -> None:
    assert refused(two("Time;Temp", "21.5", "-999")).startswith("Line 3: -999")


def test_an_answer_against_the_file_is_refused() -> None:
    said = refused(two("Time;Temp °C", "21.5", "21.75"), given=Given(unit="°F"))
    assert said.startswith("Line 1: ")
    assert "°C" in said
