"""Concrete to order and its loads, what is placed and what is in the form against a limit of the job."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from math import ceil
from typing import Any

from .concrete_log import Concrete, Load
from .features import quantities
from .plan import Job, Panel


@dataclass(frozen=True)
class Mix:
    name: str | None
    truck: Fraction | None
    waste: Fraction
    order_step: Fraction
    least_load: Fraction
    discharge: Fraction | None
    strength: Fraction | None
    cement: str | None


def _maybe(raw: dict[str, Any], key: str) -> Fraction | None:
    return Fraction(raw[key]) if key in raw else None


def mix_of(raw: dict[str, Any]) -> Mix:
    return Mix(
        name=raw.get("name"),
        truck=_maybe(raw, "truck"),
        waste=Fraction(raw.get("waste", 0)),
        order_step=Fraction(raw.get("order_step", Fraction("0.2"))),
        least_load=Fraction(raw.get("least_load", 1)),
        discharge=_maybe(raw, "discharge_minutes"),
        strength=_maybe(raw, "strength"),
        cement=raw.get("cement"),
    )


def up(value: Fraction, step: Fraction) -> Fraction:
    return ceil(value / step) * step


def loads(order: Fraction, mix: Mix) -> list[Fraction]:
    """Full trucks, the remainder last; a small remainder shared with the one before it. No truck takes more
    than it holds, however large the step.
    """
    if mix.truck is None or order <= 0:
        return []
    full, rest = divmod(order, mix.truck)
    found = [mix.truck] * int(full)
    if rest == 0:
        return found
    if found and rest < mix.least_load:
        both = found.pop() + rest
        larger = min(up(both / 2, mix.order_step), mix.truck)
        return [*found, larger, both - larger]
    return [*found, rest]


def volume(job: Job, panel: Panel, concrete: Concrete) -> Fraction:
    """Rule 11 with the sizes between the forms where those were measured."""
    sizes = {key: concrete.between_forms(key) or size for key, size in concrete.size.items()}
    found: Fraction = quantities(job, replace(panel, **sizes))["volume"]
    return found


def pour(job: Job, mix: Mix, panel: Panel, concrete: Concrete) -> dict[str, Any]:
    """The promised keys."""
    full = volume(job, panel, concrete)
    order = up(full * (1 + mix.waste), mix.order_step)
    all_loads = concrete.loads.values()
    placed = sum((one.volume for one in all_loads if one.in_form), Fraction(0))
    return {
        "volume": full,
        "order": order,
        "loads": loads(order, mix),
        "placed": placed,
        "left": max(full - placed, Fraction(0)),
        "rejected": sum((one.volume for one in all_loads if one.rejected), Fraction(0)),
    }


def against_limits(mix: Mix, limits: dict[str, Any], concrete: Concrete, now: datetime) -> set[str]:
    """Find what is in the form and should not be: too late, too hot or cold, after a gap, of another mix.

    A slump out of its band is none of these: one test does not prove it.
    """
    found: set[str] = set()
    inside = [one for one in concrete.loads.values() if one.in_form]
    over = concrete.ended or now
    for load in inside:
        found |= set(_of_load(load, mix, limits, over))
    gap = limits.get("gap_minutes")
    if gap is not None:
        found |= {f"gap {n}" for n in _gaps(inside, Fraction(gap))}
    return found


def _of_load(load: Load, mix: Mix, limits: dict[str, Any], over: datetime) -> list[str]:
    """`over`: when the last of it was in the form at the latest."""
    found = []
    batched, last = load.time("batched"), load.time("ended") or over
    if mix.discharge is not None and batched and minutes(last - batched) > mix.discharge:
        found.append(f"late {load.number}")
    band = limits.get("concrete_temperature")
    if band and "temperature" in load.values:
        celsius = Fraction(load.values["temperature"])
        if not Fraction(band[0]) <= celsius <= Fraction(band[1]):
            found.append(f"temperature {load.number}")
    named = load.values.get("mix")
    if mix.name and named and named.casefold() != mix.name.casefold():
        found.append(f"mix {load.number}")
    return found


def _gaps(inside: list[Load], most: Fraction) -> list[int]:
    """Loads that began too long after the last concrete before them was in."""
    found: list[int] = []
    spans = [(one, one.time("begun"), one.time("ended")) for one in inside]
    latest: datetime | None = None
    for one, begun, ended in sorted(spans, key=lambda span: (span[1] or span[2], span[0].number)):
        if latest is not None and begun is not None and minutes(begun - latest) > most:
            found.append(one.number)
        last = ended or begun
        assert last is not None
        latest = last if latest is None else max(latest, last)
    return found


def minutes(span: timedelta) -> Fraction:
    return Fraction(span // timedelta(microseconds=1), 60_000_000)
