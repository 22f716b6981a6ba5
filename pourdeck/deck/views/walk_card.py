"""The right side of the walk: what the stop in hand asks, what is expected and why, what was found."""

from pourdeck.deck.spans import Spans, line, say, wrap
from pourdeck.deck.views.stops import Stop
from pourdeck.deck.views.values import (
    clock_text,
    day_text,
    limits_text,
    state_piece,
)
from pourdeck.deck.views.walk_list import hold_state
from pourdeck.plan.records import Units
from pourdeck.walk.records import HoldView, ItemView, SectionView, Walk
from pourdeck.walk.words import expected_text, found_text

NAME = 11
"""Cells of the column of names."""


def card(walk: Walk, stop: Stop, width: int) -> list[Spans]:
    """The lines above the answer: heading, what to do, what is expected and why."""
    if stop.item:
        return item_card(stop.section, stop.item, walk.job.units, width)
    if stop.hold:
        return hold_card(stop.section, stop.hold, width)
    return complete_card(stop.section, width)


def named(name: str, value: str, width: int, ink: str = "text") -> list[Spans]:
    """A name and its value, broken under the value where it is long."""
    if not value:
        return []
    head = say(f"{name:<{NAME}}", "quiet")
    return [
        (head, *row) if first else ((" " * NAME, "text"), *row)
        for first, row in zip(
            [True] + [False] * 99, wrap(line((value, ink)), max(8, width - NAME)), strict=False
        )
    ]


def item_card(section: SectionView, item: ItemView, units: Units, width: int) -> list[Spans]:
    """Heading, what to do, why; expected with its limits and their source; the sum in a line."""
    where = " · ".join(part for part in (section.name, item.group, item.label) if part)
    rows = wrap(line((where, "heading")), width)
    rows += wrap(line((item.prompt, "strong")), width)
    if item.why:
        rows += wrap(line((item.why, "quiet")), width)
    rows.append(())
    if item.second and item.found is None:
        rows += named("expected", "shown once it is read off the drawing", width)
    else:
        rows += named("expected", expected_text(item, units), width, "value")
        rows += named("limits", limits_text(item, units), width)
        rows += named("from", item.source or "", width)
    rows += named("also", item.note, width)
    opened = item.sum
    if opened is not None:
        rows += named("because", f"{opened.formula}  (F8 opens it)", width)
    marks = [
        word
        for word, holds in (
            ("a second person answers", item.second),
            ("critical", item.critical),
        )
        if holds
    ]
    rows += named("note", ", ".join(marks), width)
    return rows


def answer_lines(item: ItemView, units: Units, width: int) -> list[Spans]:
    """What was found or said of an item, by whom and when; empty while it is open."""
    rows: list[Spans] = []
    if item.locked_by is not None:
        rows += wrap(line(("▪ locked  ", "locked"), (item.locked_by.body, "text")), width, 2)
    if item.own_state == "open":
        return rows
    found = found_text(item, units)
    rows.append(
        (*state_piece(item.own_state), *line(f"  {found}" if found else "", *_verdict(item)))
    )
    rows += named("lapsed", item.lapse or "", width, "void")
    rows += named("reason", item.reason or "", width)
    rows += named("owner", _owner(item), width)
    rows += named("follow-up", item.follow_up or "", width)
    if item.by:
        fast = ", answered faster than it can be measured" if item.fast else ""
        rows += named("by", f"{item.by} {clock_text(item.at)}{fast}", width)
    for note in item.notes[-2:]:
        rows += named("note", f"{note.by}: {note.data.get('text', '')}", width)
    return rows


def _verdict(item: ItemView) -> list[tuple[str, str]]:
    words = {"pass": ("  pass", "done"), "fail": ("  fail", "failed")}
    return [words[item.verdict]] if item.verdict in words else []


def _owner(item: ItemView) -> str:
    if not item.owner:
        return ""
    return f"{item.owner}, before {item.before}" if item.before else item.owner


def hold_card(section: SectionView, hold: HoldView, width: int) -> list[Spans]:
    """What the second person looks at, what is still missing, and how it stands."""
    rows = wrap(line((f"{section.name} · HOLD {hold.name}", "heading")), width)
    rows += wrap(line((hold.look, "strong")), width)
    rows.append(())
    word, ink = hold_state(hold)
    rows += named("state", word, width, ink)
    if hold.by:
        role = f", {hold.role}" if hold.role else ""
        rows += named("by", f"{hold.by}{role} {day_text(hold.at)}", width)
    rows += named("saw", hold.seen or "", width)
    rows += named("reason", hold.reason or "", width)
    rows += named("lapsed", hold.lapse or "", width, "void")
    if hold.roles:
        rows += named("who", "a second person: " + ", ".join(hold.roles), width)
    else:
        rows += named("who", "a second person", width)
    rows += named("covers", f"{len(hold.covers)} items", width)
    for number, need in enumerate(hold.needs):
        rows += named("missing" if number == 0 else "", need, width, "warning")
    if hold.fast:
        rows += named("fast", f"{len(hold.fast)} answered faster than can be measured", width)
    if hold.locked_by:
        rows += wrap(line(("▪ locked  ", "locked"), hold.locked_by.body), width, 2)
    elif not hold.lets_pass:
        rows.append(())
        action = "h release it" if not hold.needs else "h try to release it"
        rows += wrap(line((action, "key"), "    ", ("x pass it unreleased", "key")), width)
    return rows


def complete_card(section: SectionView, width: int) -> list[Spans]:
    """A section is ended by saying so, once nothing in it is open."""
    rows = wrap(line((f"{section.name} · section complete", "heading")), width)
    rows.append(())
    if section.complete:
        who = f"{section.complete.by} {day_text(section.complete.at)}"
        rows += named("complete", who, width, "done")
    elif section.locked_by:
        rows += wrap(line(("▪ locked  ", "locked"), section.locked_by.body), width, 2)
    elif section.open:
        owed = "1 item is open" if section.open == 1 else f"{section.open} items are open"
        rows += named("not yet", owed, width, "warning")
    else:
        rows += wrap(line(("Enter says the section is complete.", "strong")), width)
    return rows
