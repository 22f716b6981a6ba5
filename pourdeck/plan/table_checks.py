"""Checks of keys of job.toml against each other, and records that need more than their own table.

Each check looks at what was read of one table. What is missing or faulty there has been noted
already and is passed over here.
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.plan.kinds import Fault, Path, Wrong
from pourdeck.plan.records import Band, CastIn, Panel, Stack

# A time zone by its IANA name, looked up only where a job names one.


@frozen(eq=False, repr=False)
class Zone:
    right: str = 'the IANA name of a time zone in quotes, such as "Australia/Hobart"'

    def take(self, value: Any, path: Path, faults: list[Fault]) -> str:
        if type(value) is not str:
            raise Wrong("wrong-type")
        if not is_zone(value):
            raise Wrong("bad-value", _nearest_zone(value))
        return value


def is_zone(name: str) -> bool:
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (ValueError, KeyError, OSError):
        # Besides an unknown name: one that leaves the folder of zones, or is a folder in it.
        return False
    return True


def _nearest_zone(name: str) -> str:
    from difflib import get_close_matches
    from zoneinfo import available_timezones

    by_city: dict[str, str] = {}
    for zone in sorted(available_timezones()):
        by_city[zone.casefold()] = zone
        by_city.setdefault(zone.rpartition("/")[2].casefold(), zone)
    wanted = name[:60].strip().replace(" ", "_").casefold()
    near = get_close_matches(wanted, by_city, n=1, cutoff=0.6)
    return f'The nearest known one is "{by_city[near[0]]}".' if near else ""


# What keys of job.toml must be to each other, and the records that need more than their own table.

Found = Mapping[str, Any]


def stack_of(*, panels: tuple[dict[str, Any] | None, ...], **found: Any) -> Stack:
    """A stack whose panels take its alignment where they have none of their own."""
    align = found.get("align", "base-left")
    made = tuple(panel and Panel(**{"align": align, **panel}) for panel in panels)
    return Stack(panels=made, **found)  # type: ignore[arg-type]


def castin_of(**found: Any) -> CastIn | None:
    """None where its place is not one: that has been noted by `one_place`."""
    in_face = "x" in found and "y" in found
    in_edge = "edge" in found and "at" in found
    return CastIn(**found) if len(found) == 4 and (in_face or in_edge) else None


def diagonal_band(**found: Any) -> Band:
    """A difference of two diagonals has no sign, so its band may go without minus."""
    return Band(**{"minus": Decimal(0), **found})


def one_place(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    """A cast-in is in the face by x and y, or in an edge by edge and at."""
    face = [key for key in ("x", "y") if key in given]
    edge = [key for key in ("edge", "at") if key in given]
    right = "either x and y for one in the face, or edge and at for one in an edge"
    if face and edge:
        yield Fault((*path, edge[0]), "bad-value", given[edge[0]], right, "Keep one pair only.")
    elif not face and not edge:
        yield Fault(path, "missing-key", right=right)
    elif len(face) == 1 or len(edge) == 1:
        lacking = next(key for key in (("x", "y") if face else ("edge", "at")) if key not in given)
        yield Fault((*path, lacking), "missing-key", right=f"its part of the place: {right}")


def rising_pair(low: str, high: str) -> Any:
    """A check that the value under `low` is not above the one under `high`."""

    def check(found: Found, given: Found, path: Path) -> Iterator[Fault]:
        first, second = found.get(low), found.get(high)
        if first is not None and second is not None and first > second:
            right = f"at most {high}, which is {second}"
            yield Fault((*path, low), "bad-value", first, right)

    return check


def bolt_names(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    seen: set[str] = set()
    for index, bolt in enumerate(found.get("bolts", ())):
        if bolt is None:
            continue
        if bolt.name in seen:
            right = "a name no other bolt position of the kit has"
            yield Fault((*path, "bolts", index, "name"), "bad-value", bolt.name, right)
        seen.add(bolt.name)


def bands(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    """Bands need their source; only the last may go without `upto`, and `upto` rises."""
    judged = [key for key in found if key not in ("source", "twice") and found[key]]
    if judged and "source" not in given:
        right = "the document the bands are taken from, in quotes"
        yield Fault((*path, "source"), "missing-key", right=right)
    for key in judged:
        yield from _rising(found[key], (*path, key))
    yield from _once_each(found.get("twice", ()), (*path, "twice"))


def _once_each(words: tuple[str | None, ...], path: Path) -> Iterator[Fault]:
    for index, word in enumerate(words):
        if word is not None and word in words[:index]:
            yield Fault((*path, index), "bad-value", word, "each once only", "Leave this one out.")


def _rising(listed: tuple[Any, ...], path: Path) -> Iterator[Fault]:
    before = Decimal(0)
    for index, band in enumerate(listed):
        if band is None:
            continue
        if band.upto is None:
            if index < len(listed) - 1:
                right = "a size in mm; only the last band may go without"
                yield Fault((*path, index, "upto"), "missing-key", right=right)
        elif band.upto <= before:
            right = f"above {before}, the upto of the band before it"
            yield Fault((*path, index, "upto"), "bad-value", band.upto, right)
        else:
            before = band.upto


NEED_A_SOURCE = {
    "climb": ("strength", "by"),
    "strip": ("strength", "by"),
    "lift": ("strength", "eccentricity", "factor"),
}
"""Limits that nobody may be judged by without the document they are taken from."""

WITHOUT_A_SOURCE = (None, "test")
"""No limit, and the test that every strength needs where the job says nothing of it."""


def limit_sources(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    """A strength limit, and what the lifting design gives, needs the document it is taken from."""
    sources = given.get("sources", {})
    if not isinstance(sources, dict):
        return
    for key, names in NEED_A_SOURCE.items():
        limit = found.get(key)
        if limit is None or key in sources:
            continue
        needing = [name for name in names if getattr(limit, name) not in WITHOUT_A_SOURCE]
        if needing:
            right = f'the document behind {key}.{needing[0]}: sources = {{ {key} = "…" }}'
            yield Fault((*path, "sources", key), "missing-key", right=right)


def step_whole(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    """A step adds an item, with section, id and prompt; or drops one, with a reason."""
    if "drop" in given:
        if "reason" not in given:
            right = "why the item is left out, in quotes"
            yield Fault((*path, "reason"), "missing-key", right=right)
        for key in ("section", "id", "prompt"):
            if key in given:
                right = "nothing where drop is given: a step drops an item or adds one"
                yield Fault((*path, key), "bad-value", given[key], right)
        return
    for key in ("section", "id", "prompt"):
        if key not in given:
            right = "text in quotes; a step needs section, id and prompt, or drop and reason"
            yield Fault((*path, key), "missing-key", right=right)


def word_stricter(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    """A word names an act of the table, and only roles and ways that are enough there."""
    act = found.get("act")
    if act is None:
        return
    # Loaded here: hardly any job asks for more than the table does.
    from pourdeck.plan.authority import acts, named

    rules = named(act)
    if not rules:
        known = acts()
        right = f"one of {', '.join(known)}"
        yield Fault((*path, "act"), "bad-value", act, right, known=known)
        return
    for key in ("roles", "ways"):
        enough = [
            one
            for one in getattr(rules[0], key)
            if all(one in getattr(rule, key) for rule in rules)
        ]
        for index, one in enumerate(found.get(key) or ()):
            if one is not None and one not in enough:
                right = f"for {act} only {' or '.join(enough)}"
                remedy = "A job may ask for more than the built-in table, never for less."
                yield Fault((*path, key, index), "bad-value", one, right, remedy)


def job_whole(found: Found, given: Found, path: Path) -> Iterator[Fault]:
    yield from _stack_ids(found)
    yield from _words_once(found)
    yield from _chamfer(found)


def _stack_ids(found: Found) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for index, stack in enumerate(found.get("stacks", ())):
        if stack is None:
            continue
        # Crews and file systems both mix up names that differ in capitals alone.
        folded = stack.id.casefold()
        if folded in seen:
            right = "an id no other stack has, whatever the capitals"
            yield Fault(("stack", index, "id"), "bad-value", stack.id, right)
        seen.setdefault(folded, stack.id)


def _words_once(found: Found) -> Iterator[Fault]:
    """An act, or the group it belongs to, stands in one [[word]] only."""
    acts = [word.act if word else "" for word in found.get("words", ())]
    for index, act in enumerate(acts):
        if act and any(
            one in (act, act.partition(".")[0]) or one.startswith(f"{act}.") for one in acts[:index]
        ):
            right = "an act that no [[word]] before it covers"
            yield Fault(("word", index, "act"), "bad-value", act, right)


def _chamfer(found: Found) -> Iterator[Fault]:
    """Two chamfers must leave something of the thinnest panel between them."""
    kit = found.get("kit")
    panels = [
        panel for stack in found.get("stacks", ()) if stack for panel in stack.panels if panel
    ]
    if kit is None or not panels:
        return
    least = min(min(panel.thickness, panel.width, panel.height) for panel in panels)
    if 2 * kit.chamfer >= least:
        right = f"less than half of {least}, the least thickness or side of a panel"
        yield Fault(("kit", "chamfer"), "out-of-range", kit.chamfer, right)
