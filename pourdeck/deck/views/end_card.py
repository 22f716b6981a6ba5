"""The right side of the walk at the end of a section: its hold, or the word that it is complete."""

from pourdeck.deck.spans import Spans, line, wrap
from pourdeck.deck.views.blocks import Block, cut_rows, named
from pourdeck.deck.views.values import day_text
from pourdeck.deck.views.walk_card import ALL, LATER, caution_rows, heading, lock_rows
from pourdeck.deck.views.walk_list import hold_state
from pourdeck.walk.out_of_tolerance import need_words
from pourdeck.walk.pour_findings import needs_measures
from pourdeck.walk.records import HoldView, NonConformance, SectionView, Walk
from pourdeck.walk.signoffs import close_needs
from pourdeck.walk.words import fast_words

MOST_NEEDS = 6
"""Lines for what is still missing; `w` reads the rest."""


def hold_blocks(
    walk: Walk,
    section: SectionView,
    hold: HoldView,
    width: int,
    most: int = MOST_NEEDS,
    weather: str = "",
) -> list[Block]:
    """What the second person looks at, what is still missing (`most` lines of it), and how it stands."""
    state, ink = hold_state(hold)
    return [
        Block((heading(section, width),)),
        Block(tuple(wrap(line((f"HOLD: {hold.name}", "strong")), width))),
        Block(tuple(caution_rows(section, width))),
        Block(tuple(named("state", state, width, ink))),
        Block(tuple(_given(hold, width))),
        Block(tuple(lock_rows(hold.locked_by, width, most))),
        Block(tuple(named("look at", hold.look, width))),
        *weather_blocks(hold, weather, width),
        Block(tuple(named("who", "a second person", width))),
        Block(tuple(named("covers", _covers(walk, hold), width)), LATER),
        Block(tuple(_accepted(walk, hold, width)), LATER),
        Block(tuple(_missing(hold, width, most))),
        Block(tuple(_fast(hold, width))),
        Block(tuple(_unreleased(walk, hold, width))),
    ]


def weather_blocks(hold: HoldView, weather: str, width: int) -> list[Block]:
    """What the weather readings of a hold come to, and what to do; none where it has none."""
    if hold.weather is None:
        return []
    act = needs_measures(hold)
    rows = named("weather", weather, width, "failed" if act else "")
    todo = named("to do", " ".join(hold.weather.advice), width) if hold.weather.verdict else []
    if act and not hold.lets_pass:
        rows += named("", "the release names the measures taken", width, "warning")
    return [Block(tuple(rows)), Block(tuple(todo), LATER)]


def _given(hold: HoldView, width: int) -> list[Spans]:
    rows: list[Spans] = []
    if hold.by:
        role = f", {hold.role}" if hold.role else ""
        rows += named("by", f"{hold.by}{role} {day_text(hold.at)}", width)
    rows += named("saw", hold.seen or "", width)
    rows += named("measures", str(hold.entry.data.get("measures", "")) if hold.entry else "", width)
    rows += named("reason", hold.reason or "", width)
    if hold.lapse:
        rows += named("void", f"{hold.lapse}: a second person must release it again", width, "void")
    return rows


def _covers(walk: Walk, hold: HoldView) -> str:
    names = [
        section.name
        for section in walk.sections
        if any(item.key in hold.covers for item in section.items)
    ]
    return f"{len(hold.covers)} items: {', '.join(names)}"


def _accepted(walk: Walk, hold: HoldView, width: int) -> list[Spans]:
    """What of the panel below is out of tolerance and was settled as it is."""
    rows: list[Spans] = []
    for number, one in enumerate(hold.accepted):
        rows += named("as cast" if number == 0 else "", need_words(one, walk.job.units), width)
    return rows


def _missing(hold: HoldView, width: int, most: int) -> list[Spans]:
    if hold.lets_pass or hold.locked_by:
        return []
    rows: list[Spans] = []
    for number, need in enumerate(hold.needs):
        rows += named("missing" if number == 0 else "", need, width, "warning")
    return cut_rows(rows, most, f"           {ALL}")


def _fast(hold: HoldView, width: int) -> list[Spans]:
    if not hold.fast:
        return []
    words = f"{fast_words(len(hold.fast))}: ask"
    return named("fast", words, width, "warning")


def _unreleased(walk: Walk, hold: HoldView, width: int) -> list[Spans]:
    found = open_nonconformance(walk, hold)
    if found is None:
        return []
    words = f"passed without release by {found.by}: open until f says what was done"
    return named("non-conf.", words, width, "failed")


def open_nonconformance(walk: Walk, hold: HoldView | None) -> NonConformance | None:
    """The hold's passing without release that nobody has closed yet."""
    if hold is None:
        return None
    return next(
        (one for one in walk.nonconformances if one.hold == hold.id and one.closed is None), None
    )


def complete_blocks(
    walk: Walk, section: SectionView, width: int, most: int = MOST_NEEDS
) -> list[Block]:
    """A section is ended by saying so, once nothing in it is open; the last one closes the panel."""
    closing = section.id == "close"
    title = f"Close panel {walk.number} of {walk.of}" if closing else "Section complete"
    rows: list[Spans] = []
    if section.complete:
        who = f"{section.complete.by} {day_text(section.complete.at)}"
        rows += named("closed" if closing else "complete", who, width, "done")
        rows += _after_close(walk, width) if closing else []
    elif section.locked_by:
        rows += lock_rows(section.locked_by, width, most)
    else:
        rows += _to_end(walk, section, closing, width, most)
    return [
        Block((heading(section, width),)),
        Block((line((title, "strong")),)),
        Block(tuple(caution_rows(section, width)) if closing else ()),
        Block(tuple(rows)),
    ]


def _after_close(walk: Walk, width: int) -> list[Spans]:
    from pourdeck.paper.record import record_name

    rows = named("record", f"record/{record_name(walk)}", width)
    if walk.panel_state == "lifted":
        return [*rows, *named("lifted", "off the stack", width, "done")]
    return rows


def _to_end(walk: Walk, section: SectionView, closing: bool, width: int, most: int) -> list[Spans]:
    if closing:
        needs = close_needs(walk)
    else:
        owed = "1 item is open" if section.open == 1 else f"{section.open} items are open"
        needs = (owed,) if section.open else ()
    if needs:
        rows: list[Spans] = []
        for number, need in enumerate(needs):
            rows += named("missing" if number == 0 else "", need, width, "warning")
        return cut_rows(rows, most, f"           {ALL}")
    words = "closes the panel and writes its record" if closing else "says the section is complete"
    return wrap(line(("Enter ", "key"), (words, "strong")), width)
