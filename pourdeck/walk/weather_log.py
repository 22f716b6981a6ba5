"""Readings of the weather at a pour, from the log, and what each says of the surface."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Literal

from attrs import field, frozen

from pourdeck.plan.records import Limits
from pourdeck.pour.fresh import Verdict, Weather, evaporation, verdict
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.state import PanelState
from pourdeck.walk.clock import Jump, Stamp, apart, clock_now, even, stamp
from pourdeck.walk.words import number_of

WEATHER = ("concrete", "air", "humidity", "wind")

Advice = Verdict | Literal["none"]

WHAT_TO_DO: dict[Advice, tuple[str, ...]] = {
    "none": ("No limit given: the rate is recorded, not judged.",),
    "ok": ("Nothing needed now. Read again when wind, sun or humidity change.",),
    "caution": (
        "Have wind breaks, shade and fog sprays ready to hand.",
        "Keep the time from screeding to curing short.",
        "Read the weather every half hour.",
    ),
    "act": (
        "Put up wind breaks, and shade if the sun is on it.",
        "Fog the air over the face; do not flood it.",
        "Spray evaporation retarder after screeding, and again after floating.",
        "Float cracks shut early, and start the cure straight after the last trowelling.",
        "Place no more than the finishers can close; slow the next load if they fall behind.",
    ),
}  # fmt: skip
"""Usual precautions against plastic cracking (trade guides; common practice). By verdict."""


@frozen(kw_only=True, eq=False, repr=False)
class WeatherReading:
    """`rate` kg/m²/h by the formula of `pour/fresh.py`; `verdict` None: the job gives no limit.

    `even`: its time by a clock that was never set back. `stamp`: its time, and the clock that it is on.
    """

    at: datetime
    even: datetime
    stamp: Stamp
    weather: Weather
    rate: float
    verdict: Verdict | None
    by: str
    entry: Entry = field(repr=False)

    @property
    def advice(self) -> tuple[str, ...]:
        return WHAT_TO_DO[self.verdict or "none"]

    def age(self, now: datetime, jumps: Iterable[Jump]) -> timedelta:
        """Give how long ago it was read."""
        return apart(self.stamp, clock_now(now, self.stamp), jumps)


def weather_of(
    record: PanelState, limits: Limits, jumps: Iterable[Jump] = ()
) -> tuple[WeatherReading, ...]:
    """In the order in which they were read; what cannot be read is passed over."""
    known = tuple(jumps)
    found: list[WeatherReading] = []
    for entry in record.weather:
        at = moment_of(entry.data["time"])
        values = {key: number_of(entry.data[key]) for key in WEATHER}
        if at is None or None in values.values():
            continue
        weather = Weather(**{key: one for key, one in values.items() if one is not None})
        found.append(reading_of(at, weather, limits, entry, known))
    return tuple(sorted(found, key=lambda one: one.even))


def reading_of(
    at: datetime, weather: Weather, limits: Limits, entry: Entry, jumps: Sequence[Jump] = ()
) -> WeatherReading:
    """The weather at a time with its rate, judged by the limits of the job. `entry` gave it."""
    rate = evaporation(weather)
    on = stamp(at, [entry], jumps)
    return WeatherReading(
        at=at,
        even=even(on, jumps),
        stamp=on,
        weather=weather,
        rate=rate,
        verdict=verdict(rate, limits.evaporation),
        by=entry.by,
        entry=entry,
    )
