"""A logger's readings of a panel: read with what the log knows of its pour, then recorded in one act."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from attrs import frozen

from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable
from pourdeck.plan.numbers import plain
from pourdeck.pour.maturity import Reading
from pourdeck.walk.authority import actor, said
from pourdeck.walk.clock import pour_began, pour_ended
from pourdeck.walk.loads import loads_of
from pourdeck.walk.logger_cells import Degrees, Given, Pour
from pourdeck.walk.logger_file import Temperatures, read_logger, read_temperatures
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength import temperatures, temperatures_of
from pourdeck.walk.strength_acts import poured
from pourdeck.walk.strength_findings import gap_words, gaps, longest_usual
from pourdeck.walk.strength_words import celsius
from pourdeck.walk.times import in_order, moment
from pourdeck.walk.words import count_of


@frozen(kw_only=True)
class Import:
    """Hold what of a file is to be recorded: `readings` that are new or change one. `said` in sentences.

    `gaps`: what is not measured once they are recorded. `unit`: in which they were written.
    """

    readings: tuple[tuple[datetime, Decimal], ...]
    changed: int
    said: tuple[str, ...]
    gaps: tuple[str, ...]
    unit: Degrees


def known_of(walk: Walk) -> Pour:
    """Give what the log says of the concrete that a file is to be of."""
    warm = [
        one.temperature
        for one in loads_of(walk.record)
        if one.temperature is not None and one.rejected is None
    ]
    return Pour(began=pour_began(walk.record), ended=pour_ended(walk.record), warm=tuple(warm))


def read_text(
    walk: Walk, text: str, now: datetime, given: Given | None = None
) -> Temperatures | Refusal:
    """The readings of lines that were pasted; times without an offset in the zone of `now`, the site's."""
    assert now.tzinfo is not None
    return read_temperatures(text, walk.job.units, now.tzinfo, now, known_of(walk), given)


def read_file(
    walk: Walk, path: Path, now: datetime, given: Given | None = None
) -> Temperatures | Refusal:
    """The readings of a file on disk."""
    return read_logger(path, walk.job.units, now, known_of(walk), given)


def import_of(walk: Walk, found: Temperatures, now: datetime) -> Import | Refusal:
    """Of a file's readings those since the pour began that are not in the log yet.

    What was read before there was concrete is of the air or of the day before, and is left out aloud.
    """
    began = poured(walk)
    if isinstance(began, Refusal):
        return began
    since = began.replace(second=0, microsecond=0)
    later = [one for one in found.readings if one[0] >= since]
    said = list(found.said)
    early = len(found.readings) - len(later)
    if not later:
        there = began.astimezone(found.readings[0][0].tzinfo)
        return Refusal(
            title=f"All {len(found.readings)} readings are from before the pour.",
            body=f"The pour of {literal(walk.mark)} began {there:%Y-%m-%d %H:%M}. "
            "Is it the file of another panel?",
        )
    if early:
        said.append(f"{count_of(early, 'reading')} from before the pour left out.")
    stands = temperatures_of(walk.record)
    fresh = [one for one in later if one[0] not in stands]
    changed = [one for one in later if one[0] in stands and stands[one[0]][0] != one[1]]
    same = len(later) - len(fresh) - len(changed)
    if same:
        said.append(f"{count_of(same, 'reading')} recorded already.")
    if not fresh and not changed:
        return Refusal(title="All of it is recorded already.", body="Nothing changes by this file.")
    if changed:
        said.append(f"{count_of(len(changed), 'reading')} of the log would change.")
    taken = tuple(sorted([*fresh, *changed]))
    return Import(
        readings=taken,
        changed=len(changed),
        said=tuple(said),
        gaps=_gaps_said(walk, found, taken, now),
        unit=found.unit,
    )


def _gaps_said(
    walk: Walk, found: Temperatures, taken: Sequence[tuple[datetime, Decimal]], now: datetime
) -> tuple[str, ...]:
    """Say what is not measured once these are recorded, up to now."""
    ended = pour_ended(walk.record)
    if ended is None:
        return ()
    at = {one.at: one for one in temperatures(walk.record)}
    at |= {moment: Reading(at=moment, temperature=float(value)) for moment, value in taken}
    longest = timedelta(hours=float(walk.job.limits.temperature_gap))
    usual = longest_usual([one for one, _ in found.readings], longest)
    missed = gaps([at[one] for one in sorted(at)], ended, now, longest, usual)
    return gap_words(missed, now.tzinfo, longest)


def import_words(walk: Walk, found: Import) -> str:
    """`512 readings from 25 Nov 14:00 to 28 Nov 07:50, 14.5 °C to 41.0 °C`."""
    first, last = found.readings[0][0], found.readings[-1][0]
    values = [value for _, value in found.readings]
    low, high = celsius(walk.job, min(values)), celsius(walk.job, max(values))
    count = count_of(len(found.readings), "reading")
    if len(found.readings) == 1:
        return f"{count}, {first:%d %b %H:%M}, {low}"
    return f"{count} from {first:%d %b %H:%M} to {last:%d %b %H:%M}, {low} to {high}"


@refusable
def temperatures_read(
    walk: Walk, found: Import, name: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """All readings of a file in one entry. `name`: of the file, or that it was pasted."""
    doer = must(actor(walk, by))
    first, last = found.readings[0][0], found.readings[-1][0]
    must(in_order(walk, [moment("reading", first), moment("reading", last)], now))
    data: dict[str, Any] = {
        "panel": walk.mark,
        "readings": [[at.isoformat(), plain(value)] for at, value in found.readings],
        "from": must(said(name, "name of the file"))[:200],
    }
    if found.changed:
        if not why.strip():
            return WhyNeeded(
                title=f"{count_of(found.changed, 'reading')} of the log would change.",
                body="The old ones stay in the record. Say why they change.",
            )
        data["why"] = why.strip()
    says = f"{literal(walk.mark)}: {import_words(walk, found)}"
    return Act(kind="temperatures", by=doer, data=data, says=says)
