"""The level book of a panel as the log has it: which staff readings stand, and their set-ups."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.plan.messages import literal
from pourdeck.plan.records import CORNERS, Benchmark, Job
from pourdeck.setout.levels import Book, Sight, SightKind, level_book
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.words import CORNER_NAMES, not_measured_in, number_of

# The level book of a panel as the log has it: which staff readings stand, and in which set-up each
# was read.
#
# A reading at a corner of the form tops, and those on the benchmark before the pour, answer items of the
# walk; one at a corner of the finished surface is an as-cast value; any other is a `sight`. `setup` of an
# entry says in which set-up it was read, 1 where it says nothing.

BENCHMARK = "benchmark"
FORM_TOP = "form-top/"
BELOW = "below/"
SURFACE = "surface/"
NAMED = "point/"
"""Mark the points of a level book, with a corner, the suffix of a bracket or a name behind."""

BACKSIGHT = "height.backsight"
STAFF = "height.staff/"
CLOSING = "height.closing"

FIRST = 1
"""The set-up that begins with the item for the backsight."""

ITEMS: dict[str, tuple[SightKind, str]] = {
    BACKSIGHT: ("back", BENCHMARK),
    **{f"{STAFF}{corner}": ("inter", f"{FORM_TOP}{corner}") for corner in CORNERS},
    CLOSING: ("fore", BENCHMARK),
}  # fmt: skip
"""The items that are readings, and what each is in the book."""

ITEM_OF: dict[tuple[SightKind, str], str] = {what: key for key, what in ITEMS.items()}


@frozen(kw_only=True, eq=False, repr=False)
class Reading:
    """A line of the book with the entry it stands in. `first`: order of the first reading of that line."""

    sight: Sight
    entry: Entry
    first: int


def readings(record: PanelState) -> tuple[Reading, ...]:
    """List the readings that stand, as they were first read; a correction stands in its line's place."""
    found: dict[tuple[int, str, str], Reading] = {}
    for sight, entry in sorted(_given(record), key=lambda one: one[1].order):
        line = (sight.setup, sight.kind, sight.point)
        first = found[line].first if line in found else entry.order
        found[line] = Reading(sight=sight, entry=entry, first=first)
    return tuple(sorted(found.values(), key=lambda one: one.first))


def _given(record: PanelState) -> Iterator[tuple[Sight, Entry]]:
    for key, (kind, point) in ITEMS.items():
        answers = record.answers.get(key, [])
        unread = [at for at, entry in enumerate(answers, 1) if not_measured_in(entry)]
        for entry in answers[max(unread, default=0) :]:
            yield from _sight(entry, kind, point, entry.data.get("value"))
    for entry in record.sights:
        yield from _sight(entry, entry.data["sight"], entry.data["point"], entry.data["reading"])
    for entry in record.as_cast:
        staff = entry.data.get("staff")
        for key, reading in staff.items() if isinstance(staff, dict) else ():
            yield from _sight(entry, "inter", SURFACE + str(key).removeprefix("rl_"), reading)


def _sight(
    entry: Entry, kind: SightKind, point: str, reading: Any
) -> Iterator[tuple[Sight, Entry]]:
    number = number_of(reading)
    if number is not None:
        yield Sight(setup=setup_of(entry), kind=kind, point=point, reading=number), entry


def setup_of(entry: Entry) -> int:
    """The set-up in which an entry was read."""
    setup = entry.data.get("setup")
    return setup if type(setup) is int and setup >= FIRST else FIRST


def book_of(record: PanelState, benchmark: Benchmark) -> Book:
    """The whole level book of a panel, reduced from the benchmark of the site."""
    return level_book([one.sight for one in readings(record)], {BENCHMARK: benchmark.rl})


def setup_in_hand(record: PanelState) -> int:
    """The set-up that was begun last: what is read now is read in it."""
    return _last_begun(record, before_pour=False)


def setup_of_forms(record: PanelState) -> int:
    """The last set-up of before the pour: the one that the form tops are closed in."""
    return _last_begun(record, before_pour=True)


def _last_begun(record: PanelState, *, before_pour: bool) -> int:
    end = record.pour_start.order if record.pour_start and before_pour else None
    begun = (
        setup_of(entry)
        for entry in record.sights
        if entry.data["sight"] == "back" and (end is None or entry.order < end)
    )
    return max(begun, default=FIRST)


def instrument(record: PanelState, benchmark: Benchmark, setup: int) -> Decimal | None:
    """The height of instrument of a set-up, m; None where it has none yet."""
    found = book_of(record, benchmark).setup(setup)
    return found.instrument if found else None


# The points of a level book in words.

KINDS = {FORM_TOP: "form top", BELOW: "surface below", SURFACE: "surface"}


def point_name(job: Job, point: str) -> str:
    """`form top, base left`, `form top at R4`, the benchmark by its name, any other as it was named."""
    if point == BENCHMARK:
        return literal(job.site.benchmark.name) if job.site.benchmark else "the benchmark"
    return point_words(point)


def point_words(point: str) -> str:
    """Name a point without the plan: the benchmark is no more than that."""
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
