"""`weather`: how fast the surface of fresh concrete dries, whether the concrete is too cold or too hot."""

from argparse import Namespace
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import job_folder
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.plan.lengths import NotALength
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Units
from pourdeck.pour.evaporation import Weather, is_fraction

if TYPE_CHECKING:
    from rich.console import Console

ASKED = {
    "concrete": ("°C", Decimal(-20), Decimal(80)),
    "air": ("°C", Decimal(-60), Decimal(60)),
    "rh": ("%", Decimal(0), Decimal(100)),
    "wind": ("km/h", Decimal(0), Decimal(300)),
}
"""Each option with the unit of the files, and between what its value can be."""

SIGNED = "°C"


def run(arguments: Namespace) -> int:
    """Exit 1 where the concrete is outside the job's limits; drying out is a verdict and no fault."""
    from pourdeck.paper.weather import weather_document, weather_findings

    job = read_job(job_folder(arguments))
    values = {name: read(name, getattr(arguments, name), job.units) for name in ASKED}
    weather = Weather(
        concrete=values["concrete"],
        air=values["air"],
        humidity=values["rh"],
        wind=values["wind"],
    )

    def print_page(console: "Console") -> None:
        from pourdeck.paper.weather_page import weather_page

        weather_page(console, job, weather)

    show(arguments, lambda: weather_document(job, weather), print_page)
    return FAULTY if weather_findings(job, weather) else DONE


def read(name: str, typed: str, units: Units) -> Decimal:
    """The value of an option, in the unit of the files. Raises CannotDoError."""
    from pourdeck.plan.amounts import format_amount
    from pourdeck.plan.typed_amounts import parse_amount

    unit, low, high = ASKED[name]
    try:
        value = parse_amount(typed, unit, units, signed=unit == SIGNED)
    except NotALength as error:
        raise CannotDoError(f"--{name}: {error.title}.", error.body) from error
    if not low <= value <= high:
        least, most = (format_amount(one, unit, units) for one in (low, high))
        raise CannotDoError(
            f"--{name}: {typed} cannot be.", f"It is from {least} to {most}. Read it again."
        )
    if name == "rh" and is_fraction(value):
        raise CannotDoError(
            f"--rh: {typed} % cannot be.",
            f"Humidity is in per cent: {value * 100:.0f} for {typed}.",
        )
    return value
