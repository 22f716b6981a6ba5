"""The left side of the walk: sections, the groups of the one in hand, the items of the group in hand."""

from collections.abc import Iterable
from itertools import groupby

from attrs import frozen

from pourdeck.deck.spans import Spans, fit, justify, line
from pourdeck.deck.views.stops import Stop, find_stop, first_owed, stops, stops_of
from pourdeck.deck.views.values import SIGNS
from pourdeck.walk.records import HoldView, SectionView, Walk

HOLD_STATES = {
    "open": ("· open", "open"),
    "released": ("✓ released", "done"),
    "void": ("! void", "void"),
    "passed": ("✗ passed", "failed"),
    "locked": ("▪ locked", "locked"),
}


@frozen(kw_only=True)
class ListRow:
    """One row: what it says, where a click on it goes, and whether it is the stop in hand."""

    spans: Spans
    key: str
    in_hand: bool = False


def walk_rows(walk: Walk, key: str | None, width: int) -> tuple[ListRow, ...]:
    """Every section in a row; the one in hand opened as far as the stop in hand."""
    here = find_stop(stops(walk), key)
    rows: list[ListRow] = []
    for section in walk.sections:
        mine = stops_of(section)
        open_here = section.id == here.section.id
        if mine:
            rows.append(_section_row(section, mine, open_here, width))
        if open_here:
            rows += _opened(mine, here, width)
    return tuple(rows)


def _section_row(
    section: SectionView, mine: tuple[Stop, ...], open_here: bool, width: int
) -> ListRow:
    if section.state == "done":
        state = ("✓ done", "done")
    elif section.state == "locked":
        state = ("▪ locked", "locked")
    else:
        state = (f"{section.answered}/{section.total}", "open")
    name = (f"{section.number:>2} {section.name}", "heading" if open_here else "text")
    arrow = "▸" if open_here else " "
    return ListRow(
        spans=justify(line((arrow, "hand"), name), line(*_flags(mine), state), width),
        key=first_owed(mine).key,
    )


def _flags(mine: Iterable[Stop]) -> list[tuple[str, str]]:
    """Signs of what went wrong or was put off among these items."""
    states = [stop.item.own_state for stop in mine if stop.item]
    return [
        (f"{SIGNS[state]}{states.count(state)} ", state)
        for state in ("failed", "void", "deferred")
        if state in states
    ]


def _opened(mine: tuple[Stop, ...], here: Stop, width: int) -> list[ListRow]:
    rows: list[ListRow] = []
    for group, found in groupby(mine, key=lambda stop: stop.group if stop.kind == "item" else None):
        members = tuple(found)
        if group and len(members) > 1:
            in_group = any(stop.key == here.key for stop in members)
            rows.append(_group_row(group, members, in_group, width))
            if not in_group:
                continue
            rows += [_stop_row(stop, here, width, 5) for stop in members]
        else:
            rows += [_stop_row(stop, here, width, 3) for stop in members]
    return rows


def _group_row(group: str, members: tuple[Stop, ...], open_here: bool, width: int) -> ListRow:
    items = [stop.item for stop in members if stop.item]
    answered = sum(item.answered for item in items)
    reach = f"{items[0].label} to {items[-1].label}" if len(items) > 1 else items[0].label
    if all(item.own_state in ("done", "n/a") for item in items):
        state = ("✓ done", "done")
    else:
        state = (f"{answered}/{len(items)}", "open")
    return ListRow(
        spans=justify(
            line(("   ▸ " if open_here else "     ", "hand"), (group, "strong"), f"  {reach}"),
            line(*_flags(members), state),
            width,
        ),
        key=first_owed(members).key,
    )


def _stop_row(stop: Stop, here: Stop, width: int, indent: int) -> ListRow:
    in_hand = stop.key == here.key
    lead = (" " * (indent - 2) + ("▸ " if in_hand else "  "), "hand")
    if stop.item:
        label = stop.item.label or stop.item.prompt
        state = stop.item.own_state if not stop.locked else "locked"
        right = line((_answer(stop) or SIGNS[state], state))
        spans = justify(line(lead, (label, "strong" if in_hand else "text")), right, width)
    elif stop.hold:
        spans = justify(
            line(lead, (f"HOLD {stop.hold.name}", "strong")), line(hold_state(stop.hold)), width
        )
    else:
        done = stop.section.complete is not None
        spans = justify(
            line(lead, ("Section complete", "strong" if in_hand else "text")),
            line(("✓", "done") if done else ("·", "open")),
            width,
        )
    return ListRow(spans=fit(spans, width), key=stop.key, in_hand=in_hand)


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
