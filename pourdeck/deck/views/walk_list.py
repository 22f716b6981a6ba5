"""The left side of the walk: sections, the series of the one in hand, the items of the series in hand."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby

from pourdeck.deck.spans import line
from pourdeck.deck.views.stops import Stop, Stops, find_stop, first_owed
from pourdeck.deck.views.values import SIGNS, shown_state
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.amounts import bare_amount
from pourdeck.plan.lengths import format_bare, format_read, format_rl
from pourdeck.plan.records import Units
from pourdeck.walk.records import HoldView, ItemView, SectionView
from pourdeck.walk.words import LENGTHS

HOLD_STATES = {
    "open": ("· open", "open"),
    "released": ("✓ released", "done"),
    "void": ("! void", "void"),
    "passed": ("✗ unreleased", "failed"),
    "locked": ("▪ locked", "locked"),
}

SECTION = "section:"
SERIES = "series:"
"""What the keys of rows begin with that stand for more than one stop."""

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
