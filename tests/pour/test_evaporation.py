"""Evaporation against the worked example of the nomograph, a second formula, and published thresholds."""

from decimal import Decimal

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.records import EvaporationLimit
from pourdeck.pour.fresh import Weather, evaporation, verdict, warmth

psychrolib.SetUnitSystem(psychrolib.SI)


def weather(concrete: float, air: float, humidity: float, wind: float) -> Weather:
    return Weather(
        concrete=Decimal(str(concrete)),
        air=Decimal(str(air)),
        humidity=Decimal(str(humidity)),
        wind=Decimal(str(wind)),
    )


def test_the_worked_example() -> None:
    """Concrete International, Q&A "Estimating evaporation rates to prevent plastic shrinkage cracking":
    air 27 °C, 50 %, concrete 31 °C, wind 19 km/h: 1.15 kg/m²/h by this formula, about 1.2 off the chart.
    """
    found = evaporation(weather(31, 27, 50, 19))
    assert found == pytest.approx(1.15, abs=0.005)
    assert found == pytest.approx(1.2, abs=0.06)


def test_it_is_not_the_form_for_degrees_fahrenheit() -> None:
    """Give a twelfth for the same day with °C put into (Tc^2.5 − r·Ta^2.5)(1 + 0.4V)·10⁻⁶: a trap found in
    public code.
    """
    trap = (31**2.5 - 0.5 * 27**2.5) * (1 + 0.4 * 12) * 1e-6
    assert trap == pytest.approx(0.02, abs=0.001)
    assert evaporation(weather(31, 27, 50, 19)) > 10 * trap


@pytest.mark.parametrize(
    ("concrete", "air", "humidity", "wind"),
    [(25, 25, 50, 20), (28, 30, 40, 20), (30, 32, 30, 25), (20, 20, 60, 10), (25, 15, 50, 20),
     (21, 21, 70, 16), (32, 32, 10, 40)],
)  # fmt: skip
def test_beside_the_form_for_degrees_fahrenheit(
    concrete: float, air: float, humidity: float, wind: float
) -> None:
    """Compare with its form in °F and mph, converted: the metric one is rounded and gives up to 5 % less.

    1 lb/ft²/h = 4.8824 kg/m²/h, 1 mph = 1.609344 km/h (NIST SP 811, B.8).
    """
    tc, ta = (1.8 * one + 32 for one in (concrete, air))
    pounds = (tc**2.5 - humidity / 100 * ta**2.5) * (1 + 0.4 * wind / 1.609344) * 1e-6
    assert evaporation(weather(concrete, air, humidity, wind)) == pytest.approx(
        4.8824 * pounds, rel=0.06
    )


def pressure(celsius: float) -> float:
    """Saturation pressure of water vapour, kPa: ASHRAE Fundamentals 2017, chapter 1, by PsychroLib."""
    return float(psychrolib.GetSatVapPres(celsius)) / 1000


@pytest.mark.parametrize(
    ("concrete", "air", "humidity", "wind"),
    [(31, 27, 50, 19), (21.1, 21.1, 70, 16.1), (26.7, 4.4, 100, 16.1), (32.2, 32.2, 10, 16.1)],
)
def test_beside_menzel(concrete: float, air: float, humidity: float, wind: float) -> None:
    """Menzel 1954, W = 0.315(e₀ − r·eₐ)(0.253 + 0.060V), SI form from memory. Uno fitted his to it: within
    20 %.
    """
    menzel = 0.315 * (pressure(concrete) - humidity / 100 * pressure(air)) * (0.253 + 0.060 * wind)
    assert evaporation(weather(concrete, air, humidity, wind)) == pytest.approx(menzel, rel=0.2)


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [(0, 0.6113), (5, 0.8726), (10, 1.2281), (15, 1.7056), (20, 2.3388), (25, 3.1690), (30, 4.2455),
     (35, 5.6267), (40, 7.3814)],
)  # fmt: skip
def test_that_pressure_beside_a_steam_table(celsius: float, printed: float) -> None:
    """Vapour pressure of water, CRC Handbook of Chemistry and Physics, kPa, from memory."""
    assert pressure(celsius) == pytest.approx(printed, rel=1e-3)


@pytest.mark.parametrize(
    ("concrete", "humidities"),
    [(100, (80, 95, 100)), (95, (75, 90, 100)), (90, (60, 85, 100)),
     (85, (55, 80, 95)), (80, (35, 60, 85)), (75, (20, 55, 80))],
)  # fmt: skip
def test_the_humidity_at_which_the_surface_dries_too_fast(
    concrete: int, humidities: tuple[int, ...]
) -> None:
    """ACI 305R-99, table 2.1.5, from memory: air 10 °F cooler than the concrete, wind 10 mph, the relative
    humidity at 0.20, 0.15 and 0.10 lb/ft²/h, printed in fives.
    """
    for humidity, pounds in zip(humidities, (0.20, 0.15, 0.10), strict=True):
        warm, cool = ((one - 32) / 1.8 for one in (concrete, concrete - 10))
        found = evaporation(weather(warm, cool, humidity, 16.09344)) / 4.8824
        assert found == pytest.approx(pounds, abs=0.025)


LIMIT = EvaporationLimit(caution=Decimal("0.5"), act=Decimal("1.0"))
"""FHWA-HRT-05-038 (2006), chapter 5, after ACI 308: 0.5 caution, 1.0 act, kg/m²/h."""


@pytest.mark.parametrize(
    ("rate", "says"),
    [(0.0, "ok"), (0.4999, "ok"), (0.5, "caution"), (0.9999, "caution"), (1.0, "act")],
)
def test_each_limit_counts_from_itself_on(rate: float, says: str) -> None:
    assert verdict(rate, LIMIT) == says


def test_without_a_limit_nothing_is_judged() -> None:
    assert verdict(9.9, EvaporationLimit()) is None
    assert verdict(0.7, EvaporationLimit(act=Decimal(1))) == "ok"
    assert verdict(0.7, EvaporationLimit(caution=Decimal("0.5"))) == "caution"


@pytest.mark.parametrize(
    ("concrete", "says"), [("4.9", "cold"), ("5", "ok"), ("35", "ok"), ("35.1", "hot")]
)
def test_the_band_of_the_concrete(concrete: str, says: str) -> None:
    """35 °C: AS 1379 as quoted in CCAA, Hot-weather concreting (2004)."""
    assert warmth(Decimal(concrete), (Decimal(5), Decimal(35))) == says
    assert warmth(Decimal(concrete), None) is None


@given(
    st.floats(-40, 60), st.floats(-40, 60), st.floats(0, 100), st.floats(0, 150), st.floats(0.1, 20)
)
def test_never_below_nothing_and_more_in_more_wind(
    concrete: float, air: float, humidity: float, wind: float, more: float
) -> None:
    here = evaporation(weather(concrete, air, humidity, wind))
    assert here >= 0
    assert evaporation(weather(concrete, air, humidity, wind + more)) >= here
