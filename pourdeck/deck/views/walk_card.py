"""The card of the walk in lines: the item in hand, what is out of tolerance, and the end of a section."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from attrs import frozen

from pourdeck.deck.paint import Spans, justify, line, say, wrap
from pourdeck.deck.views.values import (
    clock_text,
    day_text,
    item_sum,
    limits_text,
    shown_state,
    state_piece,
    sum_in_a_line,
)
from pourdeck.deck.views.walk_list import hold_state
from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.records import Job, Units
from pourdeck.walk.answers import apart_words
from pourdeck.walk.out_of_tolerance import (
    found_words,
    limit_words,
    need_words,
    over_words,
    state_words,
)
from pourdeck.walk.pour_findings import needs_measures
from pourdeck.walk.records import (
    HoldView,
    ItemView,
    NonConformance,
    OutOfTolerance,
    SectionView,
    Walk,
)
from pourdeck.walk.signoffs import close_needs
from pourdeck.walk.words import expected_text, fast_words, found_text

# Lines of a card in blocks of different weight: where there is no room for all, the lightest go first.

NAME = 11
"""Cells of the column of names."""

MUST = 0
"""The weight of what is never left out."""


@frozen
class Block:
    """`weight` 0 stays; the higher it is, the sooner the block goes."""

    rows: tuple[Spans, ...]
    weight: int = MUST


def keep_blocks(blocks: Iterable[Block], room: int, least: int = 1) -> list[Block]:
    """As many blocks as `room` lines hold. What weighs less than `least` stays, even beyond that."""
    kept = [block for block in blocks if block.rows]
    while sum(len(block.rows) for block in kept) > room:
        heaviest = max((block.weight for block in kept), default=MUST)
        if heaviest < max(least, MUST + 1):
            break
        del kept[max(n for n, block in enumerate(kept) if block.weight == heaviest)]
    return kept


def rows_of(kept: Iterable[Block], among: Sequence[Block]) -> list[Spans]:
    """The lines of those blocks that were kept of some."""
    mine = {id(block) for block in among}
    return [row for block in kept if id(block) in mine for row in block.rows]


def least_rows(blocks: Iterable[Block]) -> int:
    """The lines that stay in any case."""
    return sum(len(block.rows) for block in blocks if block.weight == MUST)


def named(name: str, value: str, width: int, ink: str = "text") -> list[Spans]:
    """A name and its value, broken under the value where it is long."""
    return named_spans(name, line((value, ink)), width) if value else []


def named_spans(name: str, value: Spans, width: int) -> list[Spans]:
    """Give a name and its value in several inks, broken under the value where it is long."""
    head, blank = say(f"{name:<{NAME}}", "quiet"), (" " * NAME, "text")
    rows = wrap(value, max(8, width - NAME))
    return [((head if number == 0 else blank), *row) for number, row in enumerate(rows)]


def cut_rows(rows: Sequence[Spans], most: int, rest: str) -> list[Spans]:
    """At most so many lines, the last of them saying `rest` where some had to go."""
    if len(rows) <= most:
        return list(rows)
    return [*rows[: most - 1], line((rest, "quiet"))]


# The right side of the walk: what the item in hand asks, what is expected and why, what was found.

MODES = {"do-confirm": "do all, then confirm", "read-do": "do one by one"}
SHORT_MODES = {"do-confirm": "do all", "read-do": "one by one"}
ALL = "… w reads it all"

MOST_LOCK = 6
"""Lines for why an item is locked; `w` reads the rest."""

LATER, SPARE, FIRST_TO_GO = 1, 2, 3
"""Weights of what gives way."""


def heading(section: SectionView, width: int) -> Spans:
    """Number and name of the section, and how its items go."""
    mode = MODES[section.mode]
    name = f"{section.number} {section.name}"
    if len(name) + len(mode) + 2 > width:
        mode = SHORT_MODES[section.mode]
    return justify(line((name, "heading")), line((mode, "quiet")), width)


def caution_rows(section: SectionView, width: int) -> list[Spans]:
    return [
        row
        for words in section.cautions
        for row in wrap(line(("! ", "warning"), (f"Caution: {words}", "warning")), width, 2)
    ]


def lock_rows(lock: Refusal | None, width: int, most: int = MOST_LOCK) -> list[Spans]:
    """Why something is locked, and what would unlock it."""
    if lock is None:
        return []
    words = line(("▪ locked: ", "locked"), (f"{lock.title} ", "strong"), lock.body)
    return cut_rows(wrap(words, width, 2), most, ALL)


def blind(item: ItemView) -> bool:
    """True where what is expected must not be seen, because a second person reads it off the drawing."""
    return item.second and (item.found is None or item.own_state in ("open", "void"))


def item_blocks(walk: Walk, section: SectionView, item: ItemView, width: int) -> list[Block]:
    """Heading, cautions, lock, what to do, why; expected with its limits and their source; the sum."""
    units = walk.job.units
    first = section.items[0].key == item.key
    blocks = [Block((heading(section, width),)), Block(tuple(_which(item, width)))]
    if first:
        blocks.append(Block(tuple(caution_rows(section, width))))
    blocks += [
        Block(tuple(lock_rows(item.locked_by, width))),
        Block(tuple(wrap(line((item.prompt, "strong")), width))),
        Block(tuple(wrap(line((item.why, "quiet")), width)) if item.why else (), FIRST_TO_GO),
        Block(tuple(_expected(item, units, width))),
        Block(tuple([] if blind(item) else named("from", item.source or "", width)), LATER),
        Block(tuple(named("where", "" if blind(item) else item.note, width))),
        Block(tuple(_because(walk, item, width)), SPARE),
    ]
    return blocks


def _which(item: ItemView, width: int) -> list[Spans]:
    """Which of several it is; critical, and for a second person, in words."""
    parts = [item.name] if item.name else []
    if item.group and item.group != item.name:
        parts.append(item.group)
    if item.label:
        parts.append(item.label)
    marks = [
        word
        for word, holds in (("second person", item.second), ("critical", item.critical))
        if holds
    ]
    left = line((" · ".join(parts), "strong"))
    right = line((", ".join(marks), "warning")) if marks else ()
    if not marks or sum(map(len, marks)) + len(" · ".join(parts)) + 4 <= width:
        return [justify(left, right, width)] if marks else wrap(left, width)
    return [*wrap(left, width), line((", ".join(marks), "warning"))]


def _expected(item: ItemView, units: Units, width: int) -> list[Spans]:
    if blind(item):
        words = "shown once a second person has read it off the drawing"
        return named("expected", words, width)
    expected, limits = expected_text(item, units), limits_text(item, units)
    if not expected:
        return named("limits", limits, width) if item.kind == "measure" else []
    if limits == expected:
        return named("limits", limits, width)
    if not isinstance(item.expected, Decimal) or not limits or limits.startswith("no limit"):
        rows = named("expected", expected, width, "value")
        return [*rows, *named("limits", limits, width)] if item.kind == "measure" else rows
    return named_spans("expected", line((expected, "value"), f": {limits}"), width)


def _because(walk: Walk, item: ItemView, width: int) -> list[Spans]:
    if blind(item):
        return []
    opened = item_sum(walk, item)
    return named("because", sum_in_a_line(opened, walk.job.units), width) if opened else []


def answer_blocks(item: ItemView, units: Units, width: int) -> list[Block]:
    """Say what was found or said of an item, by whom and when; how to begin while it is open."""
    if item.own_state == "open":
        return [Block(tuple(_how(item, width))), Block(tuple(_notes(item, width)), LATER)]
    blocks = [Block(tuple(_found(item, units, width)))]
    lapse = item.lapse or ""
    if lapse and item.second and not item.conflict:
        lapse = "the size has changed since, or who read it did other work here"
    if lapse:
        name = "conflict" if item.conflict else "moved"
        words = lapse.removeprefix("in conflict: ") if item.conflict else lapse
        blocks.append(Block(tuple(named(name, f"{words}: answer it again", width, "void"))))
    blocks += [
        Block(tuple(named("reason", item.reason or "", width))),
        Block(tuple(named("owner", _owner(item), width))),
        Block(tuple(named("follow-up", item.follow_up or "", width))),
        Block(tuple(_notes(item, width)), LATER),
    ]
    return blocks


def twice_rows(job: Job, width: int, *, second: bool) -> list[Spans]:
    """Say that a measurement is taken twice, or that the first reading is there and the second is wanted."""
    if second:
        words = "Second reading: without looking at the first. Esc drops both."
        return wrap(line((words, "warning")), width)
    return wrap(line((f"Measured twice, apart by at most {apart_words(job)}.", "quiet")), width)


def _how(item: ItemView, width: int) -> list[Spans]:
    """Say how an entry begins that does not begin with its first key."""
    if item.locked_by or item.kind not in ("text", "time"):
        return []
    if item.offered is not None and item.kind == "time":
        # The field says what it offers.
        return []
    if item.kind == "time":
        return wrap(line(("Enter ", "key"), ("begins with the time now", "quiet")), width)
    return wrap(
        line(
            ("Typing text. ", "quiet"), ("Esc ", "key"), ("for commands, ", "quiet"),
            ("Enter ", "key"), ("to type again.", "quiet"),
        ),
        width,
    )  # fmt: skip


def _found(item: ItemView, units: Units, width: int) -> list[Spans]:
    found = found_text(item, units)
    words: list[tuple[str, str] | str] = [*state_piece(shown_state(item))]
    if found:
        words.append((f"  {found}", "value"))
    if item.verdict in ("pass", "fail"):
        words.append((f"  {item.verdict}", "done" if item.verdict == "pass" else "failed"))
    if item.by:
        fast = ", faster than it can be measured" if item.fast else ""
        again = f", answered {item.history} times" if item.history > 1 else ""
        words.append(f"  {item.by} {clock_text(item.at)}{fast}{again}")
    return wrap(line(*words), width, 2)


def _notes(item: ItemView, width: int) -> list[Spans]:
    return [
        row
        for note in item.notes[-2:]
        for row in cut_rows(
            named("note", f"{note.by}: {note.data.get('text', '')}", width), 3, f"           {ALL}"
        )
    ]


def _owner(item: ItemView) -> str:
    if not item.owner:
        return ""
    return f"{item.owner}, before {item.before}" if item.before else item.owner


# What the walk says of a value out of tolerance: by how much, how it stands, what it holds up.

MOST_STATE = 3
"""Lines for how it stands; `w` reads the rest."""

ALL_OF_IT = f"           {ALL}"


def out_blocks(walk: Walk, item: ItemView, width: int) -> list[Block]:
    """Under the answer; empty where nothing is out of tolerance."""
    if item.out is None:
        return []
    ink = "followed-up" if item.out.settled else "failed"
    (_, by), (name, state), *more = out_pairs(walk, item.out)
    first = cut_rows(named(name, f"{by}: {state}", width, ink), MOST_STATE, ALL_OF_IT)
    return [
        Block(tuple(first)),
        *(Block(tuple(named(one, words, width)), LATER) for one, words in more),
    ]


def out_pairs(walk: Walk, out: OutOfTolerance) -> list[tuple[str, str]]:
    """A name and words of each thing there is to say."""
    units = walk.job.units
    pairs = [("out by", over_words(out, units)), ("non-conf.", state_words(out))]
    if out.disposition is not None:
        pairs.append(("reason", str(out.disposition.data.get("reason", ""))))
    if not out.settled:
        pairs.append(("holds up", holds_up(walk)))
    return pairs


def holds_up(walk: Walk) -> str:
    """Say what waits for a value out of tolerance to be settled."""
    if walk.number == walk.of:
        return "the lift of this panel"
    above = literal(walk.plan.panels[walk.number].mark)
    return f"the as-cast release of {above} above, and the lift"


def disposition_lines(walk: Walk, out: OutOfTolerance) -> list[Spans]:
    """List what whoever says the disposition should have read."""
    units = walk.job.units
    limit = ", ".join(part for part in (limit_words(out, units), out.source or "") if part)
    return [
        line((f"{out.name}: ", "quiet"), (found_words(out, units), "strong"),
             f", {over_words(out, units)}"),
        line(("limits: ", "quiet"), limit or "none known any more"),
        line(("now: ", "quiet"), (state_words(out), "followed-up" if out.settled else "failed")),
        line(("holds up: ", "quiet"), holds_up(walk)),
    ]  # fmt: skip


# The right side of the walk at the end of a section: its hold, or the word that it is complete.

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
    """Say what the second person looks at, what is still missing (in `most` lines), and how it stands."""
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
    """Say what the weather readings of a hold come to, and what to do; nothing where it has none."""
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
    """List what of the panel below is out of tolerance and was settled as it is."""
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


def can_follow_up(walk: Walk, item: ItemView | None, hold: HoldView | None) -> bool:
    """Whether there is something to be said of a failure: of an item, or of a hold passed unreleased."""
    if item is not None and item.cast_key and item.not_measured is None:
        return item.out is not None
    if item is not None:
        return item.verdict == "fail" and item.own_state != "void"
    return open_nonconformance(walk, hold) is not None


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
