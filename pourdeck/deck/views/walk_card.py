"""The right side of the walk: what the item in hand asks, what is expected and why, what was found."""

from decimal import Decimal

from pourdeck.deck.spans import Spans, justify, line, wrap
from pourdeck.deck.views.blocks import Block, cut_rows, named, named_spans
from pourdeck.deck.views.item_sum import item_sum, sum_in_a_line
from pourdeck.deck.views.values import clock_text, limits_text, shown_state, state_piece
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Job, Units
from pourdeck.walk.answers import apart_words
from pourdeck.walk.records import ItemView, SectionView, Walk
from pourdeck.walk.words import expected_text, found_text

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
    """What was found or said of an item, by whom and when; empty while it is open."""
    if item.own_state == "open":
        return [Block(tuple(_how(item, width))), Block(tuple(_notes(item, width)), LATER)]
    blocks = [Block(tuple(_found(item, units, width)))]
    lapse = item.lapse or ""
    if lapse and item.second:
        lapse = "the size has changed since, or who read it did other work here"
    if lapse:
        blocks.append(Block(tuple(named("moved", f"{lapse}: answer it again", width, "void"))))
    blocks += [
        Block(tuple(named("reason", item.reason or "", width))),
        Block(tuple(named("owner", _owner(item), width))),
        Block(tuple(named("follow-up", item.follow_up or "", width))),
        Block(tuple(_notes(item, width)), LATER),
    ]
    return blocks


def twice_rows(job: Job, width: int, *, second: bool) -> list[Spans]:
    """That a measurement is taken twice, or that the first reading is there and the second is wanted."""
    if second:
        words = "Second reading: without looking at the first. Esc drops both."
        return wrap(line((words, "warning")), width)
    return wrap(line((f"Measured twice, apart by at most {apart_words(job)}.", "quiet")), width)


def _how(item: ItemView, width: int) -> list[Spans]:
    """How an entry begins that does not begin with its first key."""
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
