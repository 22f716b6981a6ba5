"""`weather`: how fast the surface of fresh concrete dries, whether the concrete is too cold or too hot."""

from argparse import Namespace
from decimal import Decimal

from attrs import evolve

from pourdeck.commands.jobs import job_folder
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.paper.weather import weather_document, weather_findings, weather_page
from pourdeck.plan.messages import Refusal
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Units
from pourdeck.pour.fresh import Weather

ASKED = {"concrete": "concrete", "air": "air", "rh": "humidity", "wind": "wind"}
"""Each option with the quantity it is."""


def run(arguments: Namespace) -> int:
    """Exit 1 where the concrete is outside the job's limits; drying out is a verdict and no fault."""
    job = read_job(job_folder(arguments))
    values = {name: read(name, getattr(arguments, name), job.units) for name in ASKED}
    weather = Weather(
        concrete=values["concrete"],
        air=values["air"],
        humidity=values["rh"],
        wind=values["wind"],
    )

    show(
        arguments,
        lambda: weather_document(job, weather),
        lambda console: weather_page(console, job, weather),
    )
    return FAULTY if weather_findings(job, weather) else DONE


def read(name: str, typed: str, units: Units) -> Decimal:
    """The value of an option, in the unit of the files. Raises CannotDoError."""
    from pourdeck.walk.quantities import QUANTITIES, number_read

    found = number_read(evolve(QUANTITIES[ASKED[name]], name="", units=units), typed)
    if isinstance(found, Refusal):
        raise CannotDoError(f"--{name}: {found.title.removesuffix('.')}.", found.body)
    return found
