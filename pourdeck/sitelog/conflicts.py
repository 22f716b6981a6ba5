"""Find what two stations said differently of the same thing while neither had seen the other say it.

Both stay in the log, and neither counts: the thing is open until somebody decides, in an entry that names
both under `settles`. Of what one had seen the later one stands, whatever the clocks say.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from pourdeck.sitelog.entries import Entry, settled_by

Thing = tuple[str, str]
"""Kind and key of a thing: `item` and its key, `as-cast` and its key, `disposition` and its item, `size`,
`load` and number with field, `pour-start`, `pour-end`, `specimen` and `test` with the name of the specimen.
"""

Conflicts = dict[Thing, tuple[Entry, ...]]


def things(entry: Entry) -> Iterator[tuple[Thing, Any]]:
    """Give each thing that an entry says something of, with what it says, in JSON values."""
    data = entry.data
    match entry.kind:
        case "answer":
            reason = data.get("not_measured")
            said = data["value"] if data.get("value") is not None else f"not measured: {reason}"
            yield ("item", data["item"]), said
        case "defer" | "not-applicable":
            yield ("item", data["item"]), (entry.kind,)
        case "as-cast":
            for key, value in data["values"].items():
                yield ("as-cast", key), value
        case "disposition":
            yield ("disposition", data["item"]), (data["disposition"], data["found"])
        case "revise":
            # It says all of the size: who changed the width had not seen that the height was changed.
            yield ("size", ""), data["after"]
        case "load":
            for key, value in data["values"].items():
                yield ("load", f"{data['load']} {key}"), value
        case "pour-start" | "pour-end":
            yield (entry.kind, ""), data.get("time")
        case "specimen":
            said = (data["cured"], data.get("load"), data.get("time"))
            yield ("specimen", data["specimen"]), said
        case "test":
            yield ("test", data["specimen"]), data["strength"]


def said_of(entry: Entry, thing: Thing) -> Any:
    """Give what an entry says of a thing."""
    return next((value for each, value in things(entry) if each == thing), None)


def conflicts_among(entries: Iterable[Entry]) -> Conflicts:
    """Find what is in conflict among the entries of one panel that stand, in their order."""
    fronts: dict[Thing, list[tuple[Entry, Any]]] = {}
    for entry in entries:
        names = set(settled_by(entry))
        for thing, value in things(entry):
            front = fronts.get(thing, [])
            seen = [one for one in front if entry.had_seen(one[0])]
            unseen = [one for one in front if not entry.had_seen(one[0])]
            if _differ(seen) and not all(one.key in names for one, _ in seen):
                unseen = front
            fronts[thing] = [*unseen, (entry, value)]
    return {
        thing: tuple(entry for entry, _ in front)
        for thing, front in fronts.items()
        if _differ(front)
    }


def _differ(front: Sequence[tuple[Entry, Any]]) -> bool:
    return any(value != front[0][1] for _, value in front)
