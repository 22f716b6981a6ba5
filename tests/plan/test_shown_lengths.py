"""Lengths, heights and quantities as they are shown."""

import re
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourdeck.plan.lengths import (
    format_bare,
    format_exact,
    format_length,
    format_quantity,
    format_read,
    format_rl,
    format_together,
    parse_length,
    parse_rl,
)
from tests.campaign import share

_ANY = st.decimals(
    min_value=-(10**7), max_value=10**7, allow_nan=False, allow_infinity=False, places=4
)


@pytest.mark.parametrize(
    ("mm", "metric", "imperial", "exact"),
    [
        ("7200", "7200 mm", "~23' 7-7/16\"", "7200 mm"),
        ("7200.9", "7200.9 mm", "23' 7-1/2\"", "23' 7-1/2\""),
        ("7200.50", "7200.5 mm", "~23' 7-1/2\"", "7200.5 mm"),
        ("0.5", "0.5 mm", '~0"', "0.5 mm"),
        ("0", "0 mm", '0"', '0"'),
        ("-0", "0 mm", '0"', '0"'),
        ("304.8", "304.8 mm", "1' 0\"", "1' 0\""),
        ("304.79", "304.79 mm", "~1' 0\"", "304.79 mm"),
        ("-50.8", "-50.8 mm", '-2"', '-2"'),
        ("-317.5", "-317.5 mm", "-1' 0-1/2\"", "-1' 0-1/2\""),
        ("12.7", "12.7 mm", '1/2"', '1/2"'),
        ("190.5", "190.5 mm", '7-1/2"', '7-1/2"'),
        ("0.396875", "0.396875 mm", '~0"', '1/64"'),
        ("3.175", "3.1750 mm", '1/8"', '1/8"'),
        ("7.2E+3", "7200 mm", "~23' 7-7/16\"", "7200 mm"),
    ],
)
def test_a_length(mm: str, metric: str, imperial: str, exact: str) -> None:
    assert format_length(Decimal(mm), "metric") == metric
    assert format_bare(Decimal(mm), "metric") + " mm" == metric
    assert format_length(Decimal(mm), "imperial") == imperial
    assert format_bare(Decimal(mm), "imperial") == imperial
    assert format_exact(Decimal(mm), "imperial") == exact


def test_a_computed_length_is_rounded_for_the_eye() -> None:
    diagonal = Decimal("11292.918149")
    assert format_length(diagonal, "metric", decimals=1) == "11292.9 mm"
    assert format_length(Decimal("5000.04"), "metric", decimals=1) == "5000 mm"
    assert format_bare(Decimal("0.25"), "metric", decimals=1) == "0.3"
    assert format_bare(Decimal("-0.04"), "metric", decimals=1) == "0"


@given(_ANY)
@settings(max_examples=share(1000))
def test_number_space_unit(mm: Decimal) -> None:
    assert re.fullmatch(r"-?(0|[1-9]\d*)(\.\d*[1-9]|\.\d{3}0)? mm", format_length(mm, "metric"))


@given(_ANY)
def test_feet_and_inches_are_the_nearest_sixteenth(mm: Decimal) -> None:
    shown = format_length(mm, "imperial")
    match = re.fullmatch(r"(~?)(-?)(?:(\d+)' )?(?:(\d+)(?:-|(?=\")))?(?:(\d+)/(\d+))?\"", shown)
    assert match is not None
    approx, minus, feet, whole, top, bottom = match.groups()
    inches = 12 * int(feet or 0) + int(whole or 0) + Fraction(int(top or 0), int(bottom or 1))
    off = abs(abs(Fraction(mm)) - inches * Fraction(127, 5))
    assert off <= Fraction(127, 5) / 32
    assert (off == 0) == (approx == "")
    assert bottom in (None, "2", "4", "8", "16")
    assert (mm < 0 and inches > 0) == (minus == "-")


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        ("42.955", "42.955 m", "140.928 ft"),
        ("42.9", "42.900 m", "140.748 ft"),
        ("42.9555", "42.9555 m", "140.930 ft"),
        ("42.95566666667", "42.9557 m", "140.931 ft"),
        ("42.95500001", "42.955 m", "140.928 ft"),
        ("-1.5", "-1.500 m", "-4.921 ft"),
        ("-0.00001", "0.000 m", "0.000 ft"),
        ("30.48", "30.480 m", "100.000 ft"),
        ("0", "0.000 m", "0.000 ft"),
    ],
)
def test_a_height(metres: str, metric: str, imperial: str) -> None:
    assert format_rl(Decimal(metres), "metric") == metric
    assert format_rl(Decimal(metres), "imperial") == imperial


@given(st.integers(min_value=-(10**7), max_value=10**7))
def test_heights_there_and_back(figures: int) -> None:
    metres = Decimal(figures).scaleb(-4)
    assert parse_rl(format_rl(metres, "metric"), "metric") == metres
    feet = Decimal(figures).scaleb(-3) * Decimal("0.3048")
    assert parse_rl(format_rl(feet, "imperial"), "imperial") == feet


@pytest.mark.parametrize(
    ("value", "unit", "decimals", "text"),
    [
        ("60.54", "m²", 2, "60.54 m²"),
        ("0.5", "m³", 2, "0.50 m³"),
        ("9.0725", "m³", 2, "9.07 m³"),
        ("9.075", "m³", 2, "9.08 m³"),
        ("1200", "kg", 0, "1200 kg"),
        ("21768", "kg", 0, "21\u00a0768 kg"),
        ("-0.001", "°C", 1, "0.0 °C"),
        ("-12.34", "°C", 1, "-12.3 °C"),
        ("12", "", 0, "12"),
    ],
)
def test_a_quantity(value: str, unit: str, decimals: int, text: str) -> None:
    assert format_quantity(Decimal(value), unit, decimals) == text


def test_the_precision_set_by_others_does_not_matter() -> None:
    mm = Decimal("7200.75")
    with localcontext() as context:
        context.prec = 2
        assert format_length(mm, "metric") == "7200.75 mm"
        assert format_length(mm, "imperial") == "~23' 7-1/2\""
        assert format_rl(Decimal("42.9555"), "metric") == "42.9555 m"


@pytest.mark.parametrize(
    ("mm", "metric", "imperial"),
    [
        ("7200.9", "7200.9 mm", "23' 7-1/2\""),
        ("7200.10625", "7200.1 mm", "23' 7-15/32\""),
        ("180.578125", "180.6 mm", '7-7/64"'),
        ("7200", "7200 mm", "~23' 7-7/16\""),
        ("0", "0 mm", '0"'),
    ],
)
def test_a_length_that_was_read_keeps_its_64ths(mm: str, metric: str, imperial: str) -> None:
    assert format_read(Decimal(mm), "metric") == metric
    assert format_read(Decimal(mm), "imperial") == imperial


@pytest.mark.parametrize(
    ("nominal", "margin", "texts"),
    [
        ("7200.9", "0.79375", ("23' 7-15/32\"", "23' 7-1/2\"", "23' 7-17/32\"")),
        ("7200.9", "6.35", ("23' 7-1/4\"", "23' 7-1/2\"", "23' 7-3/4\"")),
        ("7200.9", "0.396875", ("23' 7-31/64\"", "23' 7-1/2\"", "23' 7-33/64\"")),
        # 7200 mm are 283.465 inches: nothing on a tape, so the nearest parts that differ.
        ("7200", "2", ("~23' 7-3/8\"", "~23' 7-7/16\"", "~23' 7-9/16\"")),
        ("7200", "0.79375", ("~23' 7-7/16\"", "~23' 7-15/32\"", "~23' 7-1/2\"")),
        ("304.8", "0.1", ('~11.996"', "1' 0.000\"", "~1' 0.004\"")),
        ("0", "3.175", ('-1/8"', '0"', '1/8"')),
    ],
)
def test_limits_are_told_apart_from_what_they_are_limits_of(
    nominal: str, margin: str, texts: tuple[str, ...]
) -> None:
    middle, apart = Decimal(nominal), Decimal(margin)
    assert format_together((middle - apart, middle, middle + apart), "imperial") == texts


@given(st.integers(min_value=-(10**6), max_value=10**6), st.integers(min_value=1, max_value=10**4))
def test_a_limit_on_a_64th_is_shown_exactly(parts: int, apart: int) -> None:
    low, middle, high = (
        Decimal(n) * Decimal("0.396875") for n in (parts - apart, parts, parts + apart)
    )
    texts = format_together((low, middle, high), "imperial")
    assert [parse_length(text, "imperial", signed=True) for text in texts] == [low, middle, high]


@given(_ANY, st.decimals(min_value="0.1", max_value=50, places=3))
def test_no_two_limits_look_alike(middle: Decimal, apart: Decimal) -> None:
    texts = format_together((middle - apart, middle, middle + apart), "imperial")
    assert len({text.lstrip("~") for text in texts}) == 3


def test_the_same_length_twice_looks_the_same() -> None:
    assert format_together((Decimal(7200), Decimal(7200)), "imperial") == ("~23' 7-7/16\"",) * 2
    assert format_together((Decimal("7200.04"), Decimal("7200.1")), "metric") == (
        "7200 mm",
        "7200.1 mm",
    )
