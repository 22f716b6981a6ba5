"""Weather and delays of a pour: from what was typed to an act, or why it cannot be."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.lengths import NotALength
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.plan.typed_amounts import parse_amount
from pourdeck.pour.evaporation import Weather, evaporation, is_fraction, verdict
from pourdeck.walk.allowed import actor, said
from pourdeck.walk.clock_jumps import Jump, set_back
from pourdeck.walk.pour_findings import rate_words
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.times import in_order, moment
from pourdeck.walk.typed import read_time


@frozen(kw_only=True)
class WeatherField:
    """What is read of the weather. Beyond `least` and `most` no reading on a site goes."""

    key: str
    name: str
    unit: str
    least: Decimal
    most: Decimal
    signed: bool = False


WEATHER_FIELDS = {one.key: one for one in (
    WeatherField(key="concrete", name="Concrete", unit="°C",
                 least=Decimal(-10), most=Decimal(70), signed=True),
    WeatherField(key="air", name="Air in the shade", unit="°C",
                 least=Decimal(-40), most=Decimal(60), signed=True),
    WeatherField(key="humidity", name="Humidity", unit="%", least=Decimal(0), most=Decimal(100)),
    # Mean, not gust, about 0.5 m over the slab: Uno 1998, as quoted in the evaporation Q&A.
    WeatherField(key="wind", name="Mean wind, half a metre up", unit="km/h",
                 least=Decimal(0), most=Decimal(200)),
)}  # fmt: skip


def read_weather_value(one: WeatherField, typed: str, units: Units) -> Decimal | Refusal:
    """A reading in the unit of the files, or why it is none."""
    try:
        value = parse_amount(typed, one.unit, units, signed=one.signed)
    except NotALength as fault:
        return Refusal(title=f"{one.name}: {fault.title}", body=fault.body)
    for limit, out, word in (
        (one.least, value < one.least, "below"),
        (one.most, value > one.most, "above"),
    ):
        if out:
            here, there = (format_amount(v, one.unit, units) for v in (value, limit))
            return Refusal(title=f"{one.name}: {here} is {word} {there}.", body="Read it again.")
    if one.unit == "%" and is_fraction(value):
        body = f"Humidity is in per cent: {value * 100:.0f} for {typed.strip()}."
        return Refusal(title=f"{one.name}: {typed.strip()} % cannot be.", body=body)
    return value


@refusable
def read_weather(
    walk: Walk, typed: Mapping[str, str], time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """The weather at the slab at a time: all four readings, by their keys. `why`: of a time that is odd."""
    stop_if(_closed(walk))
    name = must(actor(walk, by))
    values = {
        key: must(read_weather_value(one, typed.get(key, ""), walk.job.units))
        for key, one in WEATHER_FIELDS.items()
    }
    at = must(read_time(time or "now", now))
    rate = evaporation(Weather(**values))
    word = {"act": ": act now", "caution": ": take care", "ok": ": ok"}
    says = f"the face dries at {rate_words(rate, walk.job)}"
    says += word.get(verdict(rate, walk.job.limits.evaporation) or "", "")
    data: dict[str, Any] = {"panel": walk.mark, "time": at.isoformat(timespec="seconds")}
    data |= {key: plain(value) for key, value in values.items()}
    data |= must(in_order(walk, [moment("weather", at)], now, why))
    return Act(kind="weather", by=name, data=data, says=f"weather: {says}")


@refusable
def write_delay(
    walk: Walk,
    text: str,
    begun: str,
    over: str,
    by: str,
    now: datetime,
    why: str = "",
    *,
    jumps: Sequence[Jump] = (),
) -> Act | Refusal:
    """A note to the panel, with the times at which a delay began and was over; "" where there is none."""
    name, words = must(actor(walk, by)), must(said(text, "note"))
    back = set_back(jumps)
    typed = {"from": begun, "to": over}
    times = {key: must(read_time(one, now, back)) for key, one in typed.items() if one.strip()}
    moments = [moment(f"delay-{key}", at, delay="") for key, at in times.items()]
    kept = must(in_order(walk, moments, now, why, jumps))
    shown = " ".join(f"{key} {at:%H:%M}" for key, at in times.items())
    if len(times) == 2:
        shown = shown.removeprefix("from ")
    data: dict[str, Any] = {
        "panel": walk.mark,
        "item": None,
        "text": f"{words}, {shown}" if shown else words,
        **{key: at.isoformat(timespec="seconds") for key, at in times.items()},
        **kept,
    }
    return Act(kind="note", by=name, data=data, says=f"{literal(walk.mark)}: note written")


def _closed(walk: Walk) -> Refusal | None:
    if walk.record.closed:
        return Refusal(
            title=f"{literal(walk.mark)} is closed.", body="Write a note to the panel instead."
        )
    return None
