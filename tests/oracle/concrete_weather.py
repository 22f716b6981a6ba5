"""Evaporation by Uno's formula, and its verdict; units that a crew may type, by their definitions."""

from fractions import Fraction
from typing import Any

MPH = Fraction("1.609344")
"""km/h; NIST SP 811 (2008), B.8, exact."""


def celsius(value: Fraction, unit: str) -> Fraction:
    return (value - 32) * 5 / 9 if unit == "F" else value


def kmh(value: Fraction, unit: str) -> Fraction:
    return value * MPH if unit == "mph" else value


def evaporation(concrete: float, air: float, humidity: float, wind: float) -> float:
    """kg/m²/h. Below −18 °C the root has no value: such a surface gives off nothing there."""
    warm, damp = max(concrete + 18, 0.0) ** 2.5, max(air + 18, 0.0) ** 2.5
    return max(0.0, 5 * (warm - humidity / 100 * damp) * (wind + 4) * 1e-6)


def verdict(rate: float, limits: dict[str, Any]) -> str | None:
    caution, act = limits.get("caution"), limits.get("act")
    if caution is None and act is None:
        return None
    if act is not None and rate >= act:
        return "act"
    return "caution" if caution is not None and rate >= caution else "ok"


def temperature(concrete: Fraction, band: list[Any] | None) -> str | None:
    if band is None:
        return None
    low, high = (Fraction(one) for one in band)
    return "cold" if concrete < low else "hot" if concrete > high else "ok"
