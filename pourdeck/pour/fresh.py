"""Fresh concrete: how much to order, and how fast its surface dries."""

from decimal import ROUND_CEILING, Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.records import EvaporationLimit, Mix

# Concrete to order: volume with waste, rounded up to what is sold, in loads. m³, exact.


def rounded_up(volume: Decimal, step: Decimal) -> Decimal:
    """The least whole number of steps that is not below the volume."""
    return (volume / step).to_integral_value(ROUND_CEILING) * step


def to_order(volume: Decimal, mix: Mix) -> Decimal:
    """volume × (1 + waste), rounded up to `order_step`: a short order cannot be put right."""
    return rounded_up(volume * (1 + (mix.waste or Decimal(0))), mix.order_step)


def loads(order: Decimal, mix: Mix) -> tuple[Decimal, ...]:
    """Full trucks, what is left last; () where no truck is given.

    What is left under `least_load` is shared with the truck before it, equally, in order steps, the larger
    first.
    """
    if mix.truck is None or order <= 0:
        return ()
    full, rest = divmod(order, mix.truck)
    whole = [mix.truck] * int(full)
    if rest <= 0:
        return tuple(whole)
    if rest >= mix.least_load or not whole:
        return (*whole, rest)
    both = mix.truck + rest
    larger = min(rounded_up(both / 2, mix.order_step), mix.truck)
    return (*whole[:-1], larger, both - larger)


# Evaporation from the surface of fresh concrete, and what the job says of it.
#
# Uno, Plastic shrinkage cracking and evaporation formulas, ACI Materials Journal 95-M34 (1998), SI form as
# printed in CCAA, Hot-weather concreting (2004). Temperatures °C; the form for °F has other numbers.

Verdict = Literal["ok", "caution", "act"]
Warmth = Literal["ok", "cold", "hot"]

FORMULA = "Uno 1998"
"""The formula as pages and screens name it."""

OFFSET = 18.0
"""°C: below minus this nothing evaporates by the formula."""


@frozen(kw_only=True, eq=False, repr=False)
class Weather:
    """`concrete` and `air` °C, `humidity` %, `wind` km/h: the mean half a metre above the slab."""

    concrete: Decimal
    air: Decimal
    humidity: Decimal
    wind: Decimal


WEATHER = ("concrete", "air", "humidity", "wind")
"""The four readings of the weather, in the order in which they are taken."""


def is_fraction(humidity: Decimal) -> bool:
    """Whether a humidity in per cent was more likely written as a part of one: no site is that dry."""
    return 0 < humidity < 1


def evaporation(weather: Weather) -> float:
    """5([Tc + 18]^2.5 − r[Ta + 18]^2.5)(V + 4) · 10⁻⁶ kg/m²/h, not below 0; r = humidity / 100."""
    drop = _raised(weather.concrete) - float(weather.humidity) / 100 * _raised(weather.air)
    return max(0.0, 5 * drop * (float(weather.wind) + 4) * 1e-6)


def _raised(celsius: Decimal) -> float:
    raised: float = max(0.0, float(celsius) + OFFSET) ** 2.5
    return raised


def verdict(rate: float, limit: EvaporationLimit) -> Verdict | None:
    """`act` and `caution` from their limits on; None where the job gives none."""
    if limit.act is not None and rate >= float(limit.act):
        return "act"
    if limit.caution is not None and rate >= float(limit.caution):
        return "caution"
    return None if limit.act is None and limit.caution is None else "ok"


def warmth(concrete: Decimal, limits: tuple[Decimal, Decimal] | None) -> Warmth | None:
    """Whether the concrete is within its band, limits included; None where the job gives none."""
    if limits is None:
        return None
    low, high = limits
    return "cold" if concrete < low else "hot" if concrete > high else "ok"
