"""Bare numbers: readings that are no lengths."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.numbers import NotALength, parse_number, plain, tidy


@pytest.mark.parametrize(
    ("text", "decimals", "value"),
    [
        ("12", None, "12"),
        (" 12,5 ", None, "12.5"),
        ("12.55", None, "12.55"),
        ("007", None, "7"),
        ("1.234", None, None),
        ("1,234", 2, None),
        ("1.234", 3, "1.234"),
        ("42,955", 3, "42.955"),
        ("42.9555", 3, None),
        ("12.5", 1, "12.5"),
        ("12.55", 1, None),
        ("12", 0, "12"),
        ("12.0", 0, None),
        ("1.234", 0, None),
        ("12 MPa", 1, None),
        ("12mm", None, None),
        ("1 2", None, None),
        ("1/2", None, None),
        (".5", None, None),
        ("5.", None, None),
        ("1..2", None, None),
        ("1e5", None, None),
        ("1_000", None, None),
        ("１２", None, None),
        ("nan", None, None),
        ("-5", None, None),
        ("", None, None),
        ("123456789012345", None, "123456789012345"),
        ("1234567890123456", None, None),
        ("12345678.90123456", None, None),
        ("0.000000000000001", None, "0.000000000000001"),
    ],
)
def test_what_is_read_and_what_is_refused(
    text: str, decimals: int | None, value: str | None
) -> None:
    if value is None:
        with pytest.raises(NotALength):
            parse_number(text, decimals=decimals)
    else:
        assert parse_number(text, decimals=decimals) == Decimal(value)


@pytest.mark.parametrize(("text", "value"), [("-5", "-5"), ("+5,5", "5.5"), ("-0", "0")])
def test_signs_where_they_are_wanted(text: str, value: str) -> None:
    assert str(parse_number(text, signed=True)) == value


@given(st.text(max_size=50), st.none() | st.integers(min_value=0, max_value=6), st.booleans())
def test_any_text_is_read_or_refused(text: str, decimals: int | None, signed: bool) -> None:
    try:
        value = parse_number(text, decimals=decimals, signed=signed)
    except NotALength:
        return
    assert value.is_finite()


@given(st.integers(min_value=-(10**9), max_value=10**9), st.integers(min_value=0, max_value=6))
def test_there_and_back(figures: int, places: int) -> None:
    value = Decimal(figures).scaleb(-places)
    assert parse_number(plain(value), decimals=6, signed=True) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [("7.2E+3", "7200"), ("7200.500", "7200.5"), ("-0", "0"), ("0.00", "0"), ("100", "100")],
)
def test_one_value_has_one_text(value: str, text: str) -> None:
    assert plain(Decimal(value)) == text
    assert str(tidy(Decimal(value))) == text
