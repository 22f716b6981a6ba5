"""The points of a level book in words."""

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job
from pourdeck.plan.sides import CORNERS
from pourdeck.walk.level_readings import BELOW, BENCHMARK, FORM_TOP, NAMED, SURFACE
from pourdeck.walk.words import CORNER_NAMES

KINDS = {FORM_TOP: "form top", BELOW: "surface below", SURFACE: "surface"}


def point_name(job: Job, point: str) -> str:
    """`form top, base left`, `form top at R4`, the benchmark by its name, any other as it was named."""
    if point == BENCHMARK:
        return literal(job.site.benchmark.name) if job.site.benchmark else "the benchmark"
    return point_words(point)


def point_words(point: str) -> str:
    """The same without the plan: the benchmark is no more than that."""
    for start, words in KINDS.items():
        if point.startswith(start):
            place = point.removeprefix(start)
            if place in CORNERS:
                return f"{words}, {CORNER_NAMES[place]}"
            side, dash, number = place.rpartition("-")
            return f"{words} at {side[:1].upper()}{number}" if dash else f"{words} {literal(place)}"
    if point == BENCHMARK:
        return "the benchmark"
    return literal(point.removeprefix(NAMED))
