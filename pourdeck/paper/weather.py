"""Give the weather over fresh concrete as a page and as a JSON document, and what to do at each verdict."""

from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.paper.documents import Document, finding_document, maybe, number
from pourdeck.plan.amounts import as_meant, format_amount, format_computed
from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.records import Job
from pourdeck.pour.fresh import FORMULA, Verdict, Warmth, Weather, evaporation, verdict, warmth

if TYPE_CHECKING:
    from rich.console import Console

NO_LIMIT = "no limit given"

TO_DO: dict[Verdict, str] = {
    "ok": "Nothing special. Look again each hour, and when the wind gets up.",
    "caution": "Get ready: wind break, shade, fog spray or evaporation retarder at hand, cure early.",
    "act": "Do it now or wait: wind break, shade, fog spray over the surface, evaporation retarder "
    "after each pass, cure at once behind the finishers.",
}
"""Usual practice; common practice, no source."""


def warmth_of(job: Job, weather: Weather) -> Warmth | None:
    """Whether the concrete is within the job's limits as the office meant them."""
    limits = job.limits.concrete_temperature
    if limits is None:
        return None
    low, high = (as_meant(one, "°C", job.units) for one in limits)
    return warmth(weather.concrete, (low, high))


def weather_findings(job: Job, weather: Weather) -> tuple[Finding, ...]:
    """Concrete outside the limits of the job."""
    warm, limits = warmth_of(job, weather), job.limits.concrete_temperature
    if warm is None or warm == "ok" or limits is None:
        return ()
    read, low, high = (
        format_amount(one, "°C", job.units, 0) for one in (weather.concrete, *limits)
    )
    remedy = "heat or wait" if warm == "cold" else "cool the mix or wait"
    return (
        Finding(
            code="concrete-temperature",
            severity="error",
            message=f"Concrete at {read} is too {warm}: the limits are {low} to {high}; {remedy}.",
        ),
    )


def weather_document(job: Job, weather: Weather) -> Document:
    """`evaporation` kg/m²/h, not rounded; verdicts None where the job gives no limit."""
    rate, limit = evaporation(weather), job.limits.evaporation
    said = verdict(rate, limit)
    return {
        "evaporation": rate,
        "verdict": said,
        "limits": {"caution": maybe(limit.caution), "act": maybe(limit.act)},
        "temperature": warmth_of(job, weather),
        "findings": [finding_document(one) for one in weather_findings(job, weather)],
        "job": job.name,
        "concrete": number(weather.concrete),
        "air": number(weather.air),
        "humidity": number(weather.humidity),
        "wind": number(weather.wind),
        "to_do": TO_DO[said] if said else None,
    }


def weather_page(console: "Console", job: Job, weather: Weather) -> None:
    """Print what was read, how fast the surface dries out, and what to do about it."""
    from pourdeck.paper.console import say, table

    rate, limit, units = evaporation(weather), job.limits.evaporation, job.units
    said = verdict(rate, limit)
    shown = format_computed(Decimal(repr(rate)), "kg/m²/h", units, 2)
    say(console, f"{job.name}: evaporation {shown}, {said or NO_LIMIT}", "bold")
    rows = [
        ("concrete", format_amount(weather.concrete, "°C", units), _warmth(job, weather)),
        ("air", format_amount(weather.air, "°C", units), ""),
        ("humidity", format_amount(weather.humidity, "%", units), ""),
        ("wind", format_amount(weather.wind, "km/h", units), "mean, half a metre above the slab"),
        ("caution from", _limit(job, limit.caution), ""),
        ("act from", _limit(job, limit.act), ""),
    ]
    table(console, ("at the slab", ">reading", ""), rows)
    for finding in weather_findings(job, weather):
        say(console, f"ERROR: {finding.message}")
    if said:
        say(console, TO_DO[said])
    say(console, f"Evaporation by {FORMULA}.")
    if source := job.limits.sources.get("evaporation"):
        say(console, f"Limits: {literal(source)}.")


def _limit(job: Job, value: Decimal | None) -> str:
    return NO_LIMIT if value is None else format_amount(value, "kg/m²/h", job.units, 2)


def _warmth(job: Job, weather: Weather) -> str:
    warm = warmth_of(job, weather)
    return NO_LIMIT if warm is None else {"ok": "within its limits"}.get(warm, f"too {warm}")
