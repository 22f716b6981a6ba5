"""Slips of the decimal mark and of the unit."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.lengths import implausible

D = Decimal


@pytest.mark.parametrize("factor", ["10", "0.1", "25.4", "12", "1000", "0.001"])
@given(expected=st.integers(min_value=1, max_value=10**5))
def test_every_slip_is_asked_about(factor: str, expected: int) -> None:
    assert implausible(expected * D(factor), D(expected), D(0), D(0)) == expected


@given(expected=st.integers(min_value=1, max_value=10**5), part=st.sampled_from(["25.4", "12"]))
def test_the_parts_too(expected: int, part: str) -> None:
    assert implausible(expected / D(part), D(expected), None, None) == expected


@pytest.mark.parametrize(
    ("value", "asked"),
    [
        ("1200", True), ("1176", True), ("1224", True), ("1175", False), ("1225", False),
        ("12", True), ("12.24", True), ("12.25", False), ("11.76", True), ("11.75", False),
        ("120", False), ("121", False), ("150", False), ("0", False), ("-1200", False),
    ],
)  # fmt: skip
def test_within_two_in_a_hundred(value: str, asked: bool) -> None:
    assert implausible(D(value), D(120), D(2), D(2)) == (D(120) if asked else None)


def test_what_the_tolerance_allows_is_not_asked_about() -> None:
    assert implausible(D(10), D(1), D(10), D(0)) is None
    assert implausible(D(10), D(1), D(5), D(0)) == 1
    assert implausible(D(1), D(10), D(0), D(9)) is None


@pytest.mark.parametrize("value", ["0", "10", "-3", "0.1"])
def test_nothing_to_compare_with(value: str) -> None:
    assert implausible(D(value), D(0), D(1), D(1)) is None
    assert implausible(D(value), None, None, None) is None


def test_a_negative_target() -> None:
    assert implausible(D(-30), D(-3), D(1), D(1)) == -3
    assert implausible(D(30), D(-3), D(1), D(1)) is None
