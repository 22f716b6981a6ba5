"""Weather and delays of a pour: from what was typed to an act, or why it cannot be."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.pour.evaporation import Weather, evaporation, verdict
from pourdeck.walk.allowed import actor, said
from pourdeck.walk.clock_jumps import Jump, set_back
from pourdeck.walk.pour_findings import rate_words
from pourdeck.walk.quantities import QUANTITIES, number_read
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.times import in_order, moment
from pourdeck.walk.typed import read_time
from pourdeck.walk.weather_log import WEATHER


@refusable
def read_weather(
    walk: Walk, typed: Mapping[str, str], time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """The weather at the slab at a time: all four readings, by their keys. `why`: of a time that is odd."""
    stop_if(_closed(walk))
    name = must(actor(walk, by))
    values = {
        key: must(number_read(QUANTITIES[key].in_job(walk.job.units), typed.get(key, "")))
        for key in WEATHER
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
