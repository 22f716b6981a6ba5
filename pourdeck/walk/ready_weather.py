"""The weather before the truck: the four readings of "ready to pour", judged together.

The formula and its verdicts are those of `pour/evaporation.py`, by way of `weather_log`.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.records import Job, Limits
from pourdeck.plan.refusal import Refusal
from pourdeck.pour.evaporation import Weather
from pourdeck.walk.clock_jumps import Jump
from pourdeck.walk.pour_findings import minutes, rate_words
from pourdeck.walk.records import HoldView, ItemView, Walk
from pourdeck.walk.weather_log import WEATHER, WeatherReading, reading_of

READY = {f"ready.{key}": key for key in WEATHER}
"""The items of the walk that are a reading of the weather, and what each reads."""

OLD = timedelta(hours=2)
"""From this age on readings are said to be old; common practice, no source."""


def ready_reading(items: Iterable[ItemView], limits: Limits) -> WeatherReading | None:
    """The rate by the four readings, as old as the oldest of them. None until all four are in."""
    read = {
        READY[item.key]: (item.found, item.entry)
        for item in items
        if item.key in READY and item.own_state in ("done", "failed")
    }
    values = {key: found for key, (found, _) in read.items() if isinstance(found, Decimal)}
    if len(values) < len(WEATHER):
        return None
    oldest = min((entry for _, entry in read.values() if entry), key=lambda entry: entry.order)
    return reading_of(oldest.at, Weather(**values), limits, oldest)


def weather_words(walk: Walk, now: datetime, jumps: Sequence[Jump] = ()) -> str:
    """`evaporation 0.62 kg/m²/h: caution from 0.5; readings 25 min old`; "" until the first reading is in."""
    items = [item for key in READY if (item := walk.find(key))]
    reading = ready_reading(items, walk.job.limits)
    if reading is None:
        unmeasured = [item.name for item in items if item.not_measured]
        return (
            f"evaporation not judged: {' and '.join(unmeasured)} not measured" if unmeasured else ""
        )
    words = f"evaporation {rate_words(reading.rate, walk.job)}: {verdict_words(reading, walk.job)}"
    if walk.record.pour_start is not None:
        return words
    age = reading.age(now, jumps)
    old = ", over 2 h: read them again" if age > OLD else ""
    return f"{words}; readings {_age(age)} old{old}"


def verdict_words(reading: WeatherReading, job: Job) -> str:
    """`act from 1.0 kg/m²/h`, `ok`, or that the job gives no limit."""
    if reading.verdict is None:
        return "no limit given"
    limit = job.limits.evaporation
    given = {"act": limit.act, "caution": limit.caution}.get(reading.verdict)
    if given is None:
        return "ok"
    return f"{reading.verdict} from {format_amount(given, 'kg/m²/h', job.units, 2)}"


def _age(age: timedelta) -> str:
    hours, rest = divmod(max(0, minutes(age)), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def needs_measures(hold: HoldView) -> bool:
    """Whether a hold is released with the measures taken: the weather is at `act`."""
    return hold.weather is not None and hold.weather.verdict == "act"


def measures_missing(hold: HoldView, job: Job, measures: str) -> Refusal | None:
    """Why a hold cannot be released without the measures against drying."""
    if hold.weather is None or not needs_measures(hold) or measures.strip():
        return None
    rate, limit = rate_words(hold.weather.rate, job), verdict_words(hold.weather, job)
    return Refusal(
        title=f"The face will dry at {rate}: {limit}.",
        body=f"Name the measures taken, such as: {' '.join(hold.weather.advice)}",
    )
