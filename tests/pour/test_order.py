"""Concrete to order and its loads."""

from decimal import ROUND_CEILING, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.records import Mix
from pourdeck.pour.fresh import loads, to_order


def mix(**more: str) -> Mix:
    return Mix(**{key: Decimal(value) for key, value in more.items()})  # type: ignore[arg-type]


def test_rounded_up_never_down() -> None:
    """NAVEDTRA 14045 rounds 21.49 yd³ down to 21, a short order; common practice is to round up."""
    assert to_order(Decimal("21.49"), mix(order_step="1")) == 22
    assert to_order(Decimal("9.07"), mix(waste="0.04")) == Decimal("9.6")
    assert to_order(Decimal("9.6"), mix()) == Decimal("9.6")
    assert to_order(Decimal("9.6000001"), mix()) == Decimal("9.8")


@pytest.mark.parametrize(
    ("order", "given", "expected"),
    [
        ("9.6", {"truck": "6"}, ["6", "3.6"]),
        ("12", {"truck": "6"}, ["6", "6"]),
        ("6.4", {"truck": "6"}, ["3.2", "3.2"]),
        ("6.6", {"truck": "6"}, ["3.4", "3.2"]),
        ("12.2", {"truck": "6"}, ["6", "3.2", "3.0"]),
        ("13.0", {"truck": "6"}, ["6", "6", "1.0"]),
        ("0.4", {"truck": "6"}, ["0.4"]),
        ("7", {"truck": "6", "order_step": "0.5", "least_load": "2"}, ["3.5", "3.5"]),
        ("9.6", {}, []),
    ],
)
def test_loads(order: str, given: dict[str, str], expected: list[str]) -> None:
    """A small last load is shared with the one before it, the larger first."""
    assert loads(Decimal(order), mix(**given)) == tuple(map(Decimal, expected))


@given(
    st.integers(1, 400),
    st.integers(3, 45),
    st.integers(1, 10),
    st.integers(0, 20),
    st.integers(0, 15),
)
def test_loads_are_the_order_and_no_truck_is_overfull(
    fifths: int, truck: int, step: int, least: int, waste: int
) -> None:
    one = mix(
        truck=str(truck * step / Decimal(5)),
        order_step=str(step / Decimal(5)),
        least_load=str(least / Decimal(5)),
        waste=str(waste / Decimal(100)),
    )
    volume = fifths / Decimal(5)
    order = to_order(volume, one)
    found = loads(order, one)
    assert order >= volume * (1 + (one.waste or 0))
    assert order - volume * (1 + (one.waste or 0)) < one.order_step
    assert sum(found) == order
    assert one.truck is not None
    assert all(0 < load <= one.truck for load in found)
    assert len(found) == (order / one.truck).to_integral_value(ROUND_CEILING)
    # A small load is left only where there is just the one, or where two trucks together have no more.
    if len(found) > 1 and found[-1] < one.least_load:
        assert found[-2] - found[-1] <= one.order_step
