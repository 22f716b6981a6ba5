"""The weather over fresh concrete as a JSON document, and what is to be done at each verdict."""

from pourdeck.paper.documents import Document, finding_document, maybe, number
from pourdeck.plan.amounts import as_meant, format_amount
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Job
from pourdeck.pour.fresh import Verdict, Warmth, Weather, evaporation, verdict, warmth

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
