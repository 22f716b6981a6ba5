"""Say in words what stations said differently of the same thing, and name it in the act that decides.

Which things are in conflict is found in `sitelog/panel_state.py`. While anything of a panel is, nothing of it
is released, closed or lifted, and nothing is formed on it.
"""

from collections.abc import Iterable
from datetime import date
from typing import Any

from attrs import frozen

from pourdeck.plan.ascast import is_height
from pourdeck.plan.messages import Finding, Refusal, Spot, literal
from pourdeck.plan.records import Job, Units
from pourdeck.sitelog.entries import Entry, moment_of, station_words
from pourdeck.sitelog.panel_state import PanelState, Thing, said_of
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.loads import FIELDS
from pourdeck.walk.steps import template
from pourdeck.walk.words import clock_text, item_words, logged_text, measured_name

_NAMES = {
    "item": "",
    "as-cast": "as cast ",
    "disposition": "what is done about ",
    "size": "size",
    "load": "load ",
    "pour-start": "start of the pour",
    "pour-end": "end of the pour",
    "specimen": "specimen ",
    "test": "result of ",
}


@frozen(kw_only=True, repr=False)
class Conflict:
    """One thing of a panel that stations said differently; somebody decides between the `entries`."""

    stack: str
    number: int
    mark: str
    thing: Thing
    entries: tuple[Entry, ...]


def conflicts_of(job: Job, state: SiteState) -> tuple[Conflict, ...]:
    """List all that is in conflict, from the bed up."""
    return tuple(
        Conflict(stack=stack.id, number=number, mark=panel.mark, thing=thing, entries=entries)
        for stack in job.stacks
        for number, panel in enumerate(stack.panels, 1)
        if (record := state.panels.get(panel.mark)) is not None
        for thing, entries in record.conflicts.items()
    )


def settling(entries: Iterable[Entry]) -> dict[str, Any]:
    """Name these in the act that decides between them; nothing where there are none."""
    named = [[entry.station, entry.n] for entry in entries]
    return {"settles": named} if named else {}


def settling_of(record: PanelState, *things: Thing) -> dict[str, Any]:
    """Name what is in conflict of these things of a panel."""
    return settling(entry for thing in things for entry in record.conflicts.get(thing, ()))


def thing_words(thing: Thing) -> str:
    """Name a thing: `offsets, right side R1`, `load 2 slump`, `size`."""
    kind, key = thing
    if kind in ("item", "disposition"):
        key = item_words(key, template())
    elif kind == "as-cast":
        key = measured_name(key)
    elif kind == "load":
        number, _, field = key.partition(" ")
        key = f"{number} {FIELDS[field].name if field in FIELDS else field}"
    return f"{_NAMES[kind]}{literal(key)}".strip()


def both_words(thing: Thing, entries: Iterable[Entry], units: Units) -> str:
    """`in conflict: 300 mm by Kim (shed, no. 5, 10:02) or 301 mm by Sam (office, no. 4, 10:05)`."""
    return "in conflict: " + " or ".join(one_words(thing, entry, units) for entry in entries)


def one_words(thing: Thing, entry: Entry, units: Units) -> str:
    """`300 mm by Kim (shed, no. 5, 02 Mar 10:02)`: what one of them said of it."""
    unit = entry.data.get("unit") or _unit_of(thing)
    station = literal(station_words(entry.station))
    where = f"{station}, no. {entry.n}, {entry.at:%d %b %H:%M}"
    said = _value(said_of(entry, thing), unit, units, entry.at.date())
    return f"{said} by {literal(entry.by)} ({where})"


def _unit_of(thing: Thing) -> str:
    """The unit in which the log has what was said, "" where it has none."""
    kind, key = thing
    if kind == "load":
        field = FIELDS.get(key.partition(" ")[2])
        return field.unit if field else ""
    if kind == "as-cast":
        return "m" if is_height(key) else "mm"
    return "MPa" if kind == "test" else ""


def _value(value: object, unit: object, units: Units, day: date) -> str:
    if isinstance(value, dict):
        sizes = [_value(one, "mm", units, day) for name, one in value.items() if name != "align"]
        return ", ".join(
            [" × ".join(sizes), *([literal(value["align"])] if "align" in value else [])]
        )
    if isinstance(value, tuple):
        return ", ".join(_value(one, unit, units, day) for one in value if one is not None)
    moment = moment_of(value)
    if moment is not None:
        return clock_text(moment, day)
    return logged_text(value, unit, units)


def conflict_needs(record: PanelState, units: Units) -> tuple[str, ...]:
    """List in words what must be decided before anything of the panel is released."""
    return tuple(
        f"{literal(record.mark)} {thing_words(thing)}: {both_words(thing, entries, units)}"
        for thing, entries in record.conflicts.items()
    )


def conflict_findings(spot: Spot, record: PanelState, units: Units) -> list[Finding]:
    """`in-conflict`, an error for each thing."""
    return [
        spot.error(
            "in-conflict",
            f"{thing_words(thing)} is {both_words(thing, entries, units)}. They had not seen each other: "
            "look, and say which it is.",
        )
        for thing, entries in record.conflicts.items()
    ]


def undecided(record: PanelState, units: Units) -> Refusal | None:
    """Why nothing may rest on a panel of which something is in conflict."""
    needs = conflict_needs(record, units)
    if not needs:
        return None
    return Refusal(
        title=f"{literal(record.mark)}: {len(needs)} in conflict.",
        body=f"Somebody must look, and say which it is: {'; '.join(needs)}.",
    )
