"""Amounts in both systems: beside published factors, and there and back for whatever is typed."""

from decimal import Decimal, localcontext

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pourdeck.plan.amounts import (
    LETTERS,
    PAIRS,
    as_meant,
    as_read,
    bare_amount,
    entry_text,
    format_amount,
    in_other_unit,
    number_read,
    parse_amount,
    value_of,
)
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import MOST_FIGURES, NotALength, plain
from pourdeck.plan.records import Units

UNITS: tuple[Units, ...] = ("metric", "imperial")

# NIST SP 811 (2008), appendix B.8, figures as printed there, exact ones whole: one of the unit in SI.
PUBLISHED = (
    ("m³", "7.645549E-01"),  # cubic yard
    ("m²", "9.290304E-02"),  # square foot, exact
    ("kg", "4.535924E-01"),  # pound (avoirdupois)
    ("kg/m³", "1.601846E+01"),  # pound per cubic foot
    ("MPa", "6.894757E-03"),  # pound-force per square inch, there in kPa and Pa
    ("km/h", "1.609344"),  # mile per hour, exact
)

# The same, worked out of 1 yd = 0.9144 m and 1 lb = 0.453 592 37 kg, exact since the agreement of
# 1959 (NIST SP 811, 2008, B.6), by hand and with all their decimals.
EXACT = (
    ("m³", "1", "0.764554857984"),
    ("m²", "1", "0.09290304"),
    ("kg", "1", "0.45359237"),
)


@pytest.mark.parametrize(("unit", "published"), PUBLISHED)
def test_factors_are_the_published_ones(unit: str, published: str) -> None:
    figures = Decimal(published)
    with localcontext(prec=len(figures.as_tuple().digits)):
        assert +value_of(Decimal(1), unit, "imperial") == figures


@pytest.mark.parametrize(("unit", "number", "value"), EXACT)
def test_exact_factors(unit: str, number: str, value: str) -> None:
    assert value_of(Decimal(number), unit, "imperial") == Decimal(value)


def test_evaporation_is_pounds_on_a_square_foot() -> None:
    # NIST SP 811 (2008), B.8: pound per square foot, 4.882428 kg/m².
    assert round(value_of(Decimal(1), "kg/m²/h", "imperial"), 6) == Decimal("4.882428")


@pytest.mark.parametrize(
    ("typed", "celsius"),
    # °F = 9/5 °C + 32, by definition; ice, 95 °F in hot-weather rules, where both scales meet.
    [("32", "0"), ("95", "35"), ("-40", "-40"), ("212", "100"), ("50", "10")],
)
def test_fahrenheit(typed: str, celsius: str) -> None:
    value = parse_amount(typed, "°C", "imperial", decimals=1, signed=True)
    assert value == Decimal(celsius)
    assert number_read(value, "°C", "imperial") == Decimal(typed)


def test_a_difference_of_temperatures_has_no_zero() -> None:
    assert format_amount(Decimal(5), "°C", "imperial", apart=True) == "9 °F"
    assert format_amount(Decimal(5), "°C", "imperial") == "41 °F"


def test_reinforced_concrete() -> None:
    # 150 lb/ft³ is 2402.8 kg/m³: 150 × 16.01846, NIST SP 811 (2008), B.8.
    assert round(value_of(Decimal(150), "kg/m³", "imperial"), 1) == Decimal("2402.8")
    assert format_amount(Decimal("2402.769511"), "kg/m³", "imperial") == "150.0 lb/ft³"


@pytest.mark.parametrize(
    ("text", "unit", "units", "decimals", "value"),
    [
        ("5.2 m3", "m³", "imperial", 2, "5.2"),
        ("5.2", "m³", "metric", 2, "5.2"),
        ("5 yd", "m³", "imperial", 2, "3.82277428992"),
        ("5 YD³", "m³", "metric", 2, "3.82277428992"),
        ("5 cu yd", "m³", "metric", 2, "3.82277428992"),
        ("18 C", "°C", "imperial", 1, "18"),
        ("65 °F", "°C", "metric", 1, "18.333333333333"),
        ("65f", "°C", "metric", 1, "18.333333333333"),
        ("3000", "MPa", "imperial", 1, "20.684271879505"),
        ("3000 psi", "MPa", "metric", 1, "20.684271879505"),
        ("20.7 mpa", "MPa", "imperial", 1, "20.7"),
        ("10 mph", "km/h", "metric", 1, "16.09344"),
        ("40", "kg", "imperial", 0, "18.1436948"),
        ("65 %", "%", "imperial", 0, "65"),
        ("7 dockets", "Dockets", "imperial", None, "7"),
    ],
)
def test_what_is_typed_in_either_system(
    text: str, unit: str, units: Units, decimals: int | None, value: str
) -> None:
    assert parse_amount(text, unit, units, decimals=decimals, signed=True) == Decimal(value)


@pytest.mark.parametrize(
    ("text", "unit", "units", "words"),
    [
        ("5 psi", "m³", "imperial", ("psi is a strength", "this is a volume", "yd³ or in m³")),
        ("5 m", "m³", "metric", ("m is a length", "m³ or in yd³")),
        ("5'", "m³", "imperial", ("is a length",)),
        ("5 yd", "°C", "imperial", ("yd is a volume", "a temperature", "°F or in °C")),
        ("65°", "°C", "imperial", ("which scale",)),
        ("3 tons", "kg", "metric", ("not the same everywhere", "kg or in lb")),
        ("90 gal", "m³", "imperial", ("not the same everywhere",)),
        ("5 kips", "MPa", "imperial", ("kips is no unit", "psi or in MPa")),
        ("5 psi", "%", "metric", ("psi is a strength", "this is in %")),
        ("5 psi", "", "metric", ("without a unit",)),
        ("5.25 psi", "MPa", "imperial", ("decimals",)),
        ("-5 yd", "m³", "imperial", ("below zero",)),
        ("1e5", "m³", "metric", ("powers of ten",)),
        ("1.234 yd", "m³", "imperial", ("1234",)),
        ("", "m³", "metric", ("Nothing typed",)),
        ("yd", "m³", "imperial", ("no place",)),
        ("５ yd", "m³", "imperial", ("0 to 9",)),
        ("5 [/x] [A-1] [Foo] [", "m³", "imperial", ()),
        ("5 \u202e\x1b", "m³", "imperial", ()),
    ],
)
def test_what_is_refused_says_why(
    text: str, unit: str, units: Units, words: tuple[str, ...]
) -> None:
    with pytest.raises(NotALength) as caught:
        parse_amount(text, unit, units, decimals=1)
    for word in words:
        assert word in str(caught.value)
    assert str(caught.value).isprintable()


NUMBERS = st.decimals(
    min_value=-(10**6), max_value=10**6, allow_nan=False, allow_infinity=False, places=6
)


@given(
    NUMBERS,
    st.integers(0, 6),
    st.sampled_from([*PAIRS, "%", ""]),
    st.sampled_from(UNITS),
    st.booleans(),
)
def test_what_was_typed_comes_back_exactly(
    number: Decimal, places: int, unit: str, units: Units, other: bool
) -> None:
    typed = plain(round(number, places))
    assume(len(typed.partition(".")[2]) != 3)
    pair = PAIRS.get(unit)
    if other and pair:
        typed += f" {pair.other if units == 'metric' else pair.unit}"
    value = parse_amount(typed, unit, units, signed=True)
    assert len(plain(value).partition(".")[2]) <= 12
    there = entry_text(value, unit, units)
    assert parse_amount(there, unit, units, signed=True) == value
    if not other:
        assert number_read(value, unit, units) == Decimal(typed)
        assert Decimal(there) == Decimal(typed)
    assert in_other_unit(typed, unit, units) is bool(other and pair)


@given(NUMBERS, st.integers(0, 3), st.sampled_from(list(PAIRS)), st.sampled_from(UNITS))
def test_what_was_typed_is_what_is_shown(
    number: Decimal, places: int, unit: str, units: Units
) -> None:
    typed = round(number, places)
    value = parse_amount(f"{typed:f}0" if places == 3 else f"{typed:f}", unit, units, signed=True)
    shown = bare_amount(value, unit, units).replace("\u00a0", "")
    assert Decimal(shown) == typed
    assert format_amount(value, unit, units).replace("\u00a0", "").startswith(shown)


@given(NUMBERS, st.sampled_from(list(PAIRS)), st.integers(0, 3))
def test_a_rounded_value_is_read_as_it_is_shown(value: Decimal, unit: str, decimals: int) -> None:
    found = as_read(value, unit, "imperial", decimals)
    assert entry_text(found, unit, "imperial", decimals).partition(" ")[1] == ""


@pytest.mark.parametrize(
    ("unit", "in_file", "typed"),
    [("°C", "32.222222", "90"), ("MPa", "10.342136", "1500"), ("MPa", "17.236893", "2500"),
     ("°C", "35", "95"), ("m³", "7.645549", "10")],
)  # fmt: skip
def test_a_limit_of_the_file_is_the_round_one_it_was_written_for(
    unit: str, in_file: str, typed: str
) -> None:
    limit = as_meant(Decimal(in_file), unit, "imperial")
    assert limit == parse_amount(typed, unit, "imperial", signed=True)
    assert abs(limit - Decimal(in_file)) <= Decimal("0.0000005")
    assert as_meant(Decimal(in_file), unit, "metric") == Decimal(in_file)


def test_a_limit_that_is_no_round_one_stays() -> None:
    assert as_meant(Decimal("10.3"), "MPa", "imperial") == Decimal("10.3")
    assert format_amount(Decimal("10.3"), "MPa", "imperial", 1) == "1494 psi"


@pytest.mark.parametrize(
    ("value", "unit", "decimals", "metric", "imperial"),
    [
        ("9.0708", "m³", 2, "9.071 m³", "11.86 yd³"),
        ("60.54", "m²", 2, "60.54 m²", "651.6 ft²"),
        ("21768", "kg", 0, "21\u00a0768 kg", "47\u00a0990 lb"),
        ("20.684271879505", "MPa", 1, "20.7 MPa", "3000 psi"),
        ("18.333333333333", "°C", 1, "18.3 °C", "65.0 °F"),
        ("1.0", "kg/m²/h", 2, "1.00 kg/m²/h", "0.205 lb/ft²/h"),
        ("65", "%", 0, "65 %", "65 %"),
    ],
)
def test_as_people_read_it(
    value: str, unit: str, decimals: int, metric: str, imperial: str
) -> None:
    assert format_amount(Decimal(value), unit, "metric", decimals) == metric
    assert format_amount(Decimal(value), unit, "imperial", decimals) == imperial


@given(st.text(max_size=45), st.sampled_from([*PAIRS, "%", "", "[/x]"]), st.sampled_from(UNITS))
def test_any_text_is_read_or_refused(text: str, unit: str, units: Units) -> None:
    for typed in (text, f"5 {text}"):
        try:
            said = str(parse_amount(typed, unit, units, decimals=2))
        except NotALength as refusal:
            said = str(refusal)
        assert said == literal(said)


def test_the_letters_type_every_unit() -> None:
    for pair in PAIRS.values():
        assert set(pair.unit + pair.other) <= set(LETTERS)


def test_no_more_figures_than_anything_is_read_to() -> None:
    with pytest.raises(NotALength):
        parse_amount("1" * (MOST_FIGURES + 1) + " yd", "m³", "imperial")
