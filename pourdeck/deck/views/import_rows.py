"""Say what was understood of a logger's file, in lines: how many, when, how warm, what is missing."""

from pourdeck.deck.paint import Spans, line
from pourdeck.plan.records import Job
from pourdeck.walk.strength_import import Import
from pourdeck.walk.strength_words import celsius
from pourdeck.walk.words import count_of


def import_rows(job: Job, found: Import) -> tuple[Spans, ...]:
    """Figures first, then how the file was read, then what it leaves unmeasured."""
    first, last = found.readings[0][0], found.readings[-1][0]
    values = [value for _, value in found.readings]
    low, high = celsius(job, min(values)), celsius(job, max(values))
    return (
        line((count_of(len(found.readings), "reading"), "strong"), f", written in {found.unit}"),
        line(f"from {first:%a %d %b %Y %H:%M}"),
        line(f"to   {last:%a %d %b %Y %H:%M}"),
        line(f"lowest {low}, highest {high}"),
        *(line((said, "quiet")) for said in found.said),
        *(line(("! ", "warning"), said) for said in found.gaps),
    )
