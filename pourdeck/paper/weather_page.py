"""The weather over fresh concrete as a page for people."""

from decimal import Decimal

from rich.console import Console

from pourdeck.paper.console import say, table
from pourdeck.paper.weather import TO_DO, warmth_of, weather_findings
from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Job
from pourdeck.pour.fresh import FORMULA, Weather, evaporation, verdict

NO_LIMIT = "no limit given"


def weather_page(console: Console, job: Job, weather: Weather) -> None:
    """Print what was read, how fast the surface dries out, and what to do about it."""
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
