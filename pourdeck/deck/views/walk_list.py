"""The left side of the walk: sections, the groups of the one in hand, the items of the group in hand."""

from collections.abc import Iterable
from itertools import groupby

from pourdeck.deck.spans import line
from pourdeck.deck.views.stops import Stop, find_stop, first_owed, stops, stops_of
from pourdeck.deck.views.values import SIGNS
from pourdeck.deck.widgets.rows import Row
from pourdeck.walk.records import HoldView, SectionView, Walk

HOLD_STATES = {
    "open": ("· open", "open"),
    "released": ("✓ released", "done"),
    "void": ("! void", "void"),
    "passed": ("✗ passed", "failed"),
    "locked": ("▪ locked", "locked"),
}


SECTION = "section:"
GROUP = "group:"
"""What the keys of rows begin with that stand for more than one stop."""


def walk_rows(walk: Walk, key: str | None) -> tuple[Row, ...]:
    """Every section in a row; the one in hand opened as far as the stop in hand.

    A row that is not opened has a key of its own: `opened_stop` says which stop it leads to.
    """
    here = find_stop(stops(walk), key)
    rows: list[Row] = []
    for section in walk.sections:
        mine = stops_of(section)
        open_here = section.id == here.section.id
        rows.append(_section_row(section, mine, open_here))
        if open_here:
            rows += _opened(mine, here)
    return tuple(rows)


def opened_stop(walk: Walk, key: str, upwards: bool = False) -> Stop:
    """Where a row leads: its stop, or for a section or group the first owed one, upwards the last."""
    every = stops(walk)
    if key.startswith(SECTION):
        mine = tuple(stop for stop in every if stop.section.id == key.removeprefix(SECTION))
    elif key.startswith(GROUP):
        section, _, group = key.removeprefix(GROUP).partition(":")
        mine = tuple(stop for stop in every if stop.section.id == section and stop.group == group)
    else:
        return find_stop(every, key)
    if not mine:
        return first_owed(every)
    return mine[-1] if upwards else first_owed(mine)


def _section_row(section: SectionView, mine: tuple[Stop, ...], open_here: bool) -> Row:
    if section.state == "done":
        state = ("✓ done", "done")
    elif section.state == "locked":
        state = ("▪ locked", "locked")
    else:
        state = (f"{section.answered}/{section.total}", "open")
    name = (f"{section.number:>2} {section.name}", "heading" if open_here else "text")
    return Row(
        left=line(name),
        right=line(*_flags(mine), state),
        key=None if open_here else SECTION + section.id,
    )


def _flags(mine: Iterable[Stop]) -> list[tuple[str, str]]:
    """Signs of what went wrong or was put off among these items."""
    states = [stop.item.own_state for stop in mine if stop.item]
    return [
        (f"{SIGNS[state]}{states.count(state)} ", state)
        for state in ("failed", "void", "deferred")
        if state in states
    ]


def _opened(mine: tuple[Stop, ...], here: Stop) -> list[Row]:
    rows: list[Row] = []
    for group, found in groupby(mine, key=lambda stop: stop.group if stop.kind == "item" else None):
        members = tuple(found)
        if group and len(members) > 1:
            in_group = any(stop.key == here.key for stop in members)
            rows.append(_group_row(group, members, in_group))
            if in_group:
                rows += [_stop_row(stop, here, 3) for stop in members]
        else:
            rows += [_stop_row(stop, here, 1) for stop in members]
    return rows


def _group_row(group: str, members: tuple[Stop, ...], open_here: bool) -> Row:
    items = [stop.item for stop in members if stop.item]
    answered = sum(item.answered for item in items)
    reach = f"{items[0].label} to {items[-1].label}"
    if all(item.own_state in ("done", "n/a") for item in items):
        state = ("✓ done", "done")
    else:
        state = (f"{answered}/{len(items)}", "open")
    return Row(
        left=line(" ", (group, "strong"), f" {reach}"),
        right=line(*_flags(members), state),
        key=None if open_here else f"{GROUP}{members[0].section.id}:{group}",
    )


def _stop_row(stop: Stop, here: Stop, indent: int) -> Row:
    ink = "strong" if stop.key == here.key else "text"
    lead = " " * indent
    if stop.item:
        label = stop.item.label or stop.item.prompt
        state = "locked" if stop.locked else stop.item.own_state
        right = line((_answer(stop) or SIGNS[state], state))
        return Row(left=line(lead, (label, ink)), right=right, key=stop.key)
    if stop.hold:
        return Row(
            left=line(lead, (f"HOLD {stop.hold.name}", "strong")),
            right=line(hold_state(stop.hold)),
            key=stop.key,
        )
    done = stop.section.complete is not None
    return Row(
        left=line(lead, ("Section complete", ink)),
        right=line(("✓", "done") if done else ("·", "open")),
        key=stop.key,
    )


def _answer(stop: Stop) -> str:
    """Sign and, where it is short, the value found."""
    item = stop.item
    if item is None or stop.locked or item.own_state not in ("done", "failed"):
        return ""
    found = "" if item.found is None else str(item.found)
    sign = SIGNS[item.own_state]
    return f"{found} {sign}" if 0 < len(found) <= 10 else sign


def hold_state(hold: HoldView) -> tuple[str, str]:
    return HOLD_STATES[hold.state]
