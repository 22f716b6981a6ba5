"""Findings of a pour, readings of its weather, and the four before its first truck.

An error is what is in the form against a limit of the job: another mix than the one ordered (`wrong-mix`), a
load that was out of its truck too late (`discharge-late`), concrete too cold or too hot
(`concrete-temperature`), and a gap in which the load before it may have set (`load-gap`). Somebody has to
decide on it before the panel is relied on, and no later entry makes it undone.

A warning is what can still be acted on, or what one reading alone does not prove: the same of a load that
is not in the form yet, a slump out of its band (a second test on the same sample decides: ASTM C94), water
that nobody answers for (`water-unsigned`), a load that was placed without its volume (`load-volume`), and a
surface that dries too fast now (`evaporation`), and a pour that ended with less on its dockets than the
forms hold (`short-pour`). What the job gives no limit for is not judged. What a limit judges and nobody
measured has not passed: it is a finding of the same code as a value out of that limit.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import evolve, field, frozen

from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.lengths import format_read
from pourdeck.plan.messages import Finding, Refusal, Spot, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Limits
from pourdeck.pour.fresh import WEATHER, Verdict, Weather, evaporation, verdict
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import Jump, Stamp, apart, clock_now, even, pour_over, stamp
from pourdeck.walk.loads import FIELDS, Load, LoadLine, entry_of, load_lines, loads_of
from pourdeck.walk.records import HoldView, ItemView, Walk
from pourdeck.walk.words import number_of, unmeasured_text

# Readings of the weather, and what each says of the surface, by the formula and verdicts of `pour/fresh.py`.

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


# What is wrong with a pour.

CODES = frozenset({
    "wrong-mix", "discharge-late", "concrete-temperature", "load-gap", "slump", "water-unsigned",
    "load-volume", "evaporation", "short-pour",
})  # fmt: skip

DECIDE = "Turn it away, or somebody in charge lets it in."

TO_DECIDE = frozenset({"discharge-late", "concrete-temperature", "slump"})
"""List what of a load somebody has to decide on before it goes in."""


def of_panel(
    spot: Spot, job: Job, record: PanelState, jumps: Sequence[Jump]
) -> tuple[Finding, ...]:
    """Find what is wrong with the loads of a panel, whatever time it is."""
    lines = load_lines(loads_of(record), job, None, jumps, pour_over(record, jumps))
    return tuple(load_findings(spot, job, lines))


def minutes(gone: timedelta) -> int:
    """Whole minutes that are over."""
    return int(gone.total_seconds() // 60)


def over_words(gone: timedelta) -> str:
    """`92 min`; with its seconds where whole minutes would hide that a limit is past."""
    seconds = int(gone.total_seconds())
    whole, rest = divmod(seconds, 60)
    return f"{whole} min {rest} s" if rest else f"{whole} min"


def load_findings(spot: Spot, job: Job, lines: Iterable[LoadLine]) -> Iterator[Finding]:
    """Load by load, what matters most first."""
    for line in lines:
        yield from of_load(spot, job, line)


def of_load(spot: Spot, job: Job, line: LoadLine) -> Iterator[Finding]:
    """Find what is wrong with one load, and say who let it in all the same."""
    if line.state == "turned away":
        return
    by = line.load.let_in
    for found in _of_load(spot, job, line):
        said = by is not None and not _changed_since(line.load, found.code)
        words = f"{found.message} Let in by {literal(by or '')}."
        yield evolve(found, message=words) if said else found


def _changed_since(load: Load, code: str) -> bool:
    """Whether what is judged was written down anew after somebody let the load in: no word is on that."""
    let_in = entry_of(load, "let_in")
    keys = [key for key, one in _UNMEASURED.items() if one == code]
    return let_in is not None and any(
        let_in.order < entry.order
        for entry in load.entries
        if any(key in entry.data["values"] for key in keys)
    )


def _of_load(spot: Spot, job: Job, line: LoadLine) -> Iterator[Finding]:
    load, name = line.load, _name(line)
    if line.wrong:
        said = f"{literal(load.mix or '')} on the docket, {literal(job.mix.name or '')} ordered"
        if line.taken:
            yield spot.error(
                "wrong-mix",
                f"{name}: wrong mix in the form: {said}. Stop, mark where it lies, ask the engineer.",
            )
        else:
            yield spot.warning("wrong-mix", f"{name}: {said}. Turn it away.")
    yield from _late(spot, job, line, name)
    yield from _warmth(spot, job, line, name)
    if line.over_gap and line.gap is not None:
        limit = _limit(job.limits.gap_minutes)
        yield spot.error(
            "load-gap",
            f"{name}: begun {over_words(line.gap)} after the load before it, {limit} min allowed"
            f"{_source(job, 'gap_minutes')}. Look for a cold joint, ask the engineer.",
        )
    yield from _slump(spot, job, line, name)
    yield from _unmeasured(spot, job, line, name)
    if load.water and load.water_by is None:
        yield spot.warning(
            "water-unsigned",
            f"{name}: {plain(load.water)} L of water added, and nobody named. Write who added it.",
        )
    if line.taken and load.volume is None:
        why = load.not_measured.get("volume")
        lacks = unmeasured_text(why) if why else "not written down"
        yield spot.warning(
            "load-volume", f"{name}: placed, and its volume is {lacks}. Read its docket."
        )


def _name(line: LoadLine) -> str:
    docket = line.load.docket
    return f"load {line.number}" + (f" (docket {literal(docket)})" if docket else "")


def _late(spot: Spot, job: Job, line: LoadLine, name: str) -> Iterator[Finding]:
    if not line.over_age or line.age is None:
        return
    limit = _limit(job.mix.discharge_minutes)
    gone = over_words(line.age)
    if line.unended:
        yield spot.error(
            "discharge-late",
            f"{name}: the end of its discharge is not written down; the pour ended {gone} after batching, "
            f"{limit} min allowed. Write when it ended, or ask the engineer.",
        )
    elif line.taken:
        yield spot.error(
            "discharge-late",
            f"{name}: in the form {gone} after batching, {limit} min allowed. Ask the engineer.",
        )
    else:
        yield spot.warning(
            "discharge-late",
            f"{name}: batched {gone} ago, {limit} min allowed. {DECIDE}",
        )


def _warmth(spot: Spot, job: Job, line: LoadLine, name: str) -> Iterator[Finding]:
    limits, temperature = job.limits.concrete_temperature, line.load.temperature
    if line.warmth not in ("cold", "hot") or limits is None or temperature is None:
        return
    read, low, high = (format_amount(one, "°C", job.units) for one in (temperature, *limits))
    said = f"{name}: concrete at {read}, {low} to {high} allowed"
    said += _source(job, "concrete_temperature")
    if line.taken:
        yield spot.error("concrete-temperature", f"{said}. Ask the engineer.")
    else:
        yield spot.warning("concrete-temperature", f"{said}. {DECIDE}")


def _slump(spot: Spot, job: Job, line: LoadLine, name: str) -> Iterator[Finding]:
    band, slump = job.mix.slump, line.load.slump
    if line.slump_off is None or band is None or slump is None:
        return
    edges = (band.target - band.minus, band.target + band.plus)
    read, low, high = (format_read(one, job.units) for one in (slump, *edges))
    then = "A second test decides." if not line.taken else "Note what a second test gave."
    yield spot.warning("slump", f"{name}: slump {read}, {low} to {high} ordered. {then}")


_UNMEASURED = {
    "batched": "discharge-late",
    "temperature": "concrete-temperature",
    "slump": "slump",
}
"""The codes of values that no limit can pass, because nobody measured them."""


def _unmeasured(spot: Spot, job: Job, line: LoadLine, name: str) -> Iterator[Finding]:
    for key in line.unmeasured:
        what, why = FIELDS[key].name, unmeasured_text(line.load.not_measured[key])
        said = f"{name}: {what} {why}. Nothing shows that it is within its limit"
        if not line.taken:
            yield spot.warning(_UNMEASURED[key], f"{said}. Measure it, or ask the engineer.")
        elif key == "slump":
            yield spot.warning(_UNMEASURED[key], f"{said}. Ask the engineer.")
        else:
            yield spot.error(_UNMEASURED[key], f"{said}. Ask the engineer.")


def _limit(value: Decimal | None) -> str:
    return "" if value is None else plain(value)


def _source(job: Job, key: str) -> str:
    source = job.limits.sources.get(key)
    return f" ({literal(source)})" if source else ""


def drying(spot: Spot, job: Job, last: WeatherReading | None) -> Iterator[Finding]:
    """The face dries too fast, by the last reading."""
    if last is None or last.verdict not in ("caution", "act"):
        return
    limit = job.limits.evaporation
    given = limit.act if last.verdict == "act" else limit.caution
    rate = rate_words(last.rate, job)
    word = "act now" if last.verdict == "act" else "take care"
    from_ = format_amount(given, "kg/m²/h", job.units, 2) if given is not None else ""
    yield spot.warning(
        "evaporation",
        f"the face dries at {rate} at {last.at:%H:%M}: {word}, from {from_}"
        f"{_source(job, 'evaporation')}. {last.advice[0]}",
    )


def short_pour(spot: Spot, job: Job, placed: Decimal, volume: Decimal) -> Iterator[Finding]:
    """Of a pour that is over: what came is less than what the forms hold, by more than an order's step."""
    if placed <= 0 or volume - placed <= job.mix.order_step:
        return
    came, holds = (format_computed(one, "m³", job.units, 2) for one in (placed, volume))
    yield spot.warning(
        "short-pour",
        f"the pour is ended with {came} on its dockets, the forms hold {holds}. "
        "Look for a docket that is not written down, or a form that is not full.",
    )


def rate_words(rate: float, job: Job) -> str:
    """A rate of evaporation as people of the job read it."""
    return format_computed(Decimal(repr(rate)), "kg/m²/h", job.units, 2)


# The weather before the truck: the four readings of "ready to pour", judged together.

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
