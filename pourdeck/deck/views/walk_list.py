"""The stops of a walk in their order, and the list that shows them."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby
from typing import Literal

from attrs import frozen

from pourdeck.deck.paint import line
from pourdeck.deck.views.values import SIGNS, shown_state
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.amounts import bare_amount
from pourdeck.plan.lengths import format_bare, format_read, format_rl
from pourdeck.plan.records import Units
from pourdeck.walk.records import HoldView, ItemView, Place, SectionView, Walk
from pourdeck.walk.words import LENGTHS

# The stops of a walk in order: its items, and at the end of each section its hold or its close.

StopKind = Literal["item", "hold", "complete"]

HOLD = "hold:"
COMPLETE = "complete:"


@frozen(kw_only=True)
class Stop:
    """One place the crew can stand in a walk. `key` is the item's, `hold:ID` or `complete:SECTION`.

    `first`: no stop of its section comes before it.
    """

    key: str
    kind: StopKind
    section: SectionView
    item: ItemView | None = None
    hold: HoldView | None = None
    first: bool = False

    @property
    def series(self) -> str:
        """Name what it shares with its neighbours: one step of the template, and one group."""
        return f"{self.item.key.partition('/')[0]} {self.item.group}" if self.item else ""

    @property
    def owes(self) -> bool:
        """True where something is still to be done here, locked or not."""
        if self.item:
            return self.item.own_state in ("open", "void")
        if self.hold:
            return not self.hold.lets_pass
        return self.section.complete is None

    @property
    def locked(self) -> bool:
        if self.item:
            return self.item.locked_by is not None
        if self.hold:
            return self.hold.locked_by is not None
        return self.section.locked_by is not None


Stops = tuple[Stop, ...]


def stops_of(section: SectionView) -> Stops:
    """A section ends with its hold, or else with the word that it is complete."""
    found = [
        Stop(key=item.key, kind="item", section=section, item=item, first=number == 0)
        for number, item in enumerate(section.items)
    ]
    if section.hold:
        key = HOLD + section.hold.id
        found.append(
            Stop(key=key, kind="hold", section=section, hold=section.hold, first=not found)
        )
    else:
        key = COMPLETE + section.id
        found.append(Stop(key=key, kind="complete", section=section, first=not found))
    return tuple(found)


def stops(walk: Walk) -> Stops:
    return tuple(stop for section in walk.sections for stop in stops_of(section))


def first_owed(every: Stops) -> Stop:
    """Where the crew goes on: the first stop that owes something and is not locked, or the last."""
    free = next((stop for stop in every if stop.owes and not stop.locked), None)
    return free or next((stop for stop in every if stop.owes), every[-1])


def find_stop(every: Stops, key: str | None) -> Stop:
    """The stop of that key, or where the crew goes on."""
    return next((stop for stop in every if stop.key == key), None) or first_owed(every)


def after(every: Stops, key: str, step: int) -> Stop:
    """The stop so many steps on, not past the ends."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    return every[max(0, min(len(every) - 1, index + step))]


def next_owed(every: Stops, key: str) -> Stop:
    """The next stop that owes something and is open; this one where none does.

    First the items left in this section, round from here; then whatever comes first in the walk, so that
    what is asked again further up is not walked past.
    """
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    owed = [one for one in (*every[index + 1 :], *every[:index]) if one.owes and not one.locked]
    here = every[index].section.id
    near = next((one for one in owed if one.item and one.section.id == here), None)
    return near or next((one for one in every if one in owed), every[index])


def next_due(every: Stops, key: str) -> Stop:
    """The next stop ahead that owes something and is open; what was skipped only where nothing is ahead."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    ahead = (one for one in every[index + 1 :] if one.owes and not one.locked)
    return next(ahead, None) or next_owed(every, key)


def section_start(every: Stops, key: str, step: int) -> Stop:
    """The first owed stop of the section so many sections on."""
    here = find_stop(every, key).section.number
    numbers = sorted({stop.section.number for stop in every})
    place = numbers.index(here) if here in numbers else 0
    wanted = numbers[max(0, min(len(numbers) - 1, place + step))]
    return first_owed(tuple(stop for stop in every if stop.section.number == wanted))


def about_place(every: Stops, key: str, place: Place) -> Stop | None:
    """The stop about a place of the drawing: in the section at hand where it has one, the next one first."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    section = every[index].section.id
    onward = [one for one in (*every[index + 1 :], *every[: index + 1])
              if one.item and one.item.place == place]  # fmt: skip
    near = [one for one in onward if one.section.id == section]
    return next(iter((*near, *onward)), None)


# The left side of the walk: sections, the series of the one in hand, the items of the series in hand.

HOLD_STATES = {
    "open": ("· open", "open"),
    "released": ("✓ released", "done"),
    "void": ("! void", "void"),
    "passed": ("✗ unreleased", "failed"),
    "locked": ("▪ locked", "locked"),
}

SECTION = "section:"
SERIES = "series:"
"""Begin the key of a row that stands for more than one stop."""

SHORT_LABEL = 4
"""So long at the most are labels that are worth a `from` and a `to`."""

SHORT_VALUE = 12


def walk_rows(every: Stops, here: Stop, units: Units) -> tuple[Row, ...]:
    """Every section in a row; the one in hand opened as far as the stop in hand.

    A row that is not opened has a key of its own: `opened_stop` says which stop it leads to.
    """
    rows: list[Row] = []
    for _, found in groupby(every, key=lambda stop: stop.section.id):
        mine = tuple(found)
        open_here = mine[0].section.id == here.section.id
        rows.append(_section_row(mine[0].section, mine, open_here))
        if open_here:
            rows += _opened(mine, here, units)
    return tuple(rows)


def opened_stop(every: Stops, key: str, upwards: bool = False) -> Stop:
    """Where a row leads: its stop, or for a section or series the first owed one, upwards the last."""
    if key.startswith(SECTION):
        mine = tuple(stop for stop in every if stop.section.id == key.removeprefix(SECTION))
    elif key.startswith(SERIES):
        mine = tuple(stop for stop in every if stop.series == key.removeprefix(SERIES))
    else:
        return find_stop(every, key)
    if not mine:
        return first_owed(every)
    return mine[-1] if upwards else first_owed(mine)


def _section_row(section: SectionView, mine: Stops, open_here: bool) -> Row:
    if section.state == "done":
        state = _all_done(mine)
    elif section.state == "locked":
        state = [*_flags(mine), ("▪ locked", "locked")]
    else:
        state = [*_flags(mine), (f"{section.answered}/{section.total}", "open")]
    name = (f"{section.number:>2} {section.name}", "heading" if open_here else "text")
    return Row(
        left=line(name),
        right=line(*state),
        key=None if open_here else SECTION + section.id,
    )


def _flags(mine: Iterable[Stop]) -> list[tuple[str, str]]:
    """Signs of what went wrong or was put off among these items."""
    states = [shown_state(stop.item) for stop in mine if stop.item]
    return [
        (f"{SIGNS[state]}{states.count(state)} ", state)
        for state in ("failed", "followed-up", "not-measured", "void", "deferred")
        if state in states
    ]


def _all_done(mine: Iterable[Stop]) -> list[tuple[str, str]]:
    """`✓ done`, or what it was that let it be: `done, 1 deferred`; what failed and is owed in front."""
    states = [shown_state(stop.item) for stop in mine if stop.item]
    failed = states.count("failed")
    if failed:
        return [(f"{SIGNS['failed']}{failed} ", "failed"), ("done", "done")]
    deferred, followed = states.count("deferred"), states.count("followed-up")
    if not deferred:
        words = f"done, {followed} followed up" if followed else "✓ done"
        return [(words, "followed-up" if followed else "done")]
    # For both in words there is no room beside a name.
    sign = [(f"{SIGNS['followed-up']}{followed} ", "followed-up")] if followed else []
    return [*sign, (f"done, {deferred} deferred", "deferred")]


def _opened(mine: Stops, here: Stop, units: Units) -> list[Row]:
    rows: list[Row] = []
    for series, found in groupby(mine, key=lambda stop: stop.series):
        members = tuple(found)
        if not series or len(members) == 1:
            rows += [_stop_row(stop, here, units, alone=True) for stop in members]
            continue
        in_hand = any(stop.key == here.key for stop in members)
        rows.append(_series_row(series, members, in_hand))
        if in_hand:
            rows += [_stop_row(stop, here, units, alone=False) for stop in members]
    return rows


def _series_row(series: str, members: Stops, open_here: bool) -> Row:
    items = [stop.item for stop in members if stop.item]
    if all(item.own_state in ("done", "n/a", "deferred") for item in items):
        state = _all_done(members)
    else:
        answered = sum(item.answered for item in items)
        state = [*_flags(members), (f"{answered}/{len(items)}", "open")]
    return Row(
        left=line("   ", (series_name(items), "strong" if open_here else "text")),
        right=line(*state),
        key=None if open_here else SERIES + series,
    )


def series_name(items: list[ItemView]) -> str:
    """`offsets right R1–R9`: what is asked, on which side, of which."""
    first, last = items[0], items[-1]
    group = first.group.removesuffix(" side")
    parts = [first.name] if group in ("", first.name) else [first.name, group]
    if max(len(first.label), len(last.label)) <= SHORT_LABEL:
        parts.append(f"{first.label}–{last.label}")
    return " ".join(parts)


def short_name(item: ItemView) -> str:
    """`left jamb D1`: what a single item is called in a list."""
    return " ".join(part for part in (item.name or item.prompt, item.label) if part)


def _stop_row(stop: Stop, here: Stop, units: Units, *, alone: bool) -> Row:
    ink = "strong" if stop.key == here.key else "text"
    lead = "   " if alone else "     "
    if stop.item:
        name = short_name(stop.item) if alone else stop.item.label or stop.item.name
        return Row(left=line(lead, (name, ink)), right=line(_state(stop, units)), key=stop.key)
    if stop.hold:
        return Row(
            left=line(lead, (f"HOLD {stop.hold.name}", "strong")),
            right=line(hold_state(stop.hold)),
            key=stop.key,
        )
    done = stop.section.complete is not None
    end = "Close the panel" if stop.section.id == "close" else "Section complete"
    return Row(
        left=line(lead, (end, ink)),
        right=line(("✓ done", "done") if done else ("·", "open")),
        key=stop.key,
    )


def _state(stop: Stop, units: Units) -> tuple[str, str]:
    """Sign and, where it is short, the value found."""
    item = stop.item
    assert item is not None
    state = "locked" if stop.locked else shown_state(item)
    sign = SIGNS[state]
    if stop.locked or item.own_state not in ("done", "failed"):
        return sign, state
    found = _short_value(item, units)
    return (f"{found} {sign}" if 0 < len(found) <= SHORT_VALUE else sign), state


def _short_value(item: ItemView, units: Units) -> str:
    if isinstance(item.found, Decimal):
        if item.unit in LENGTHS:
            return (
                format_bare(item.found, units)
                if units == "metric"
                else format_read(item.found, units)
            )
        if item.unit == "m":
            return format_rl(item.found, units)
        return bare_amount(item.found, item.unit, units)
    return "" if item.found is None or item.kind == "time" else item.found


def hold_state(hold: HoldView) -> tuple[str, str]:
    return HOLD_STATES[hold.state]
