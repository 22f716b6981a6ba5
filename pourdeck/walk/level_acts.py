"""Reading the staff: from what was typed at a point of the level book to an act, or why not.

A point that an item of the walk asks about answers that item; a corner of the finished surface is recorded
as an as-cast height; every other reading is a `sight`.
"""

from datetime import datetime
from decimal import Decimal
from typing import Any

from attrs import evolve

from pourdeck.plan.lengths import format_rl
from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Benchmark
from pourdeck.setout.levels import KINDS, SightKind
from pourdeck.setout.panel import staff_reading
from pourdeck.walk.answers import answer, setup_answered
from pourdeck.walk.authority import actor, said
from pourdeck.walk.levels import (
    BENCHMARK,
    FIRST,
    ITEM_OF,
    NAMED,
    SURFACE,
    Reading,
    book_of,
    instrument,
    point_name,
    readings,
    setup_in_hand,
)
from pourdeck.walk.quantities import QUANTITIES, Typed, number_read
from pourdeck.walk.records import Act, ItemView, Walk

LONGEST_NAME = 40


@refusable
def read_staff(
    walk: Walk,
    kind: SightKind,
    point: str,
    typed: str | Typed,
    by: str,
    now: datetime,
    *,
    setup: int | None = None,
    why: str = "",
) -> Act | Refusal:
    """Record a reading at a point, in the set-up in hand or in an earlier one that is put right.

    A backsight begins the next set-up unless `setup` names one. `why` is needed where another reading of
    that line stands.
    """
    benchmark = must(_benchmark(walk))
    item = _item(walk, kind, point, setup)
    if item is not None:
        return answer(walk, item.key, typed, by, now, why)
    if kind == "inter" and point.startswith(SURFACE):
        return _surface(walk, benchmark, point, typed, by, now, setup, why)
    stop_if(_not_now(walk))
    name = must(actor(walk, by))
    where = must(_place(walk, point))
    reading = must(_reading(walk, typed))
    here = setup_in_hand(walk.record)
    number = setup or (here + 1 if kind == "back" else here)
    stop_if(_not_here(walk, benchmark, kind, where, number))
    stands = _line(walk, kind, where, number)
    data: dict[str, Any] = {
        "panel": walk.mark,
        "setup": number,
        "sight": kind,
        "point": where,
        "reading": plain(reading),
    }
    if stands is not None:
        data |= must(_put_right(walk, stands, reading, why))
    says = f"{KINDS[kind]}, {point_name(walk.job, where)}: {format_rl(reading, walk.job.units)}"
    if kind == "back" and stands is None:
        says = f"set-up {number}, {says}"
    return Act(kind="sight", by=name, data=data, says=says)


def _benchmark(walk: Walk) -> Benchmark | Refusal:
    if walk.job.site.benchmark is None:
        return Refusal(
            title="The job names no benchmark.",
            body="Heights are levelled from one: add site.benchmark, its name and RL, to job.toml.",
        )
    return walk.job.site.benchmark


def _item(walk: Walk, kind: SightKind, point: str, setup: int | None) -> ItemView | None:
    """The item of the walk that a reading answers; after the pour none does any more.

    A set-up may be closed before the form tops are read, and is a `sight` then.
    """
    key = ITEM_OF.get((kind, point))
    item = walk.find(key) if key else None
    if item is None or walk.record.pour_start:
        return None
    if kind == "back":
        begun = item.own_state in ("done", "failed")
        return item if setup == FIRST or (setup is None and not begun) else None
    if kind == "fore" and item.locked_by is not None:
        return None
    here = setup_in_hand(walk.record)
    if setup is not None and setup != here and setup != setup_answered(item):
        return None
    return item


def _not_now(walk: Walk) -> Refusal | None:
    """Before the pour the level book opens with its section."""
    section = walk.section("height")
    if walk.record.pour_start is None and section is not None and section.locked_by is not None:
        return section.locked_by
    return None


def _place(walk: Walk, point: str) -> str | Refusal:
    """The point as the log names it; a name of one's own must say something."""
    if not point.startswith(NAMED):
        return point
    name = said(" ".join(point.removeprefix(NAMED).split()), "name of the point")
    if isinstance(name, Refusal):
        return name
    if len(name) > LONGEST_NAME:
        return Refusal(
            title=f"{len(name)} characters are too many.", body=f"Keep it to {LONGEST_NAME}."
        )
    return NAMED + name


def _reading(walk: Walk, typed: str | Typed) -> Decimal | Refusal:
    """Below zero: the staff upside down."""
    return number_read(QUANTITIES["staff"].in_job(walk.job.units), typed)


def _not_here(
    walk: Walk, benchmark: Benchmark, kind: SightKind, point: str, setup: int
) -> Refusal | None:
    """Why nothing can be read from there: no set-up, or one on a point that nobody has levelled."""
    name = literal(benchmark.name)
    if kind == "back":
        if setup == FIRST and point == BENCHMARK:
            return None
        book = book_of(walk.record, benchmark)
        if not book.setups:
            return Refusal(title="No set-up yet.", body=f"The first backsight is on {name}.")
        if point != BENCHMARK and book.height_of(point) is None:
            return Refusal(
                title=f"{point_name(walk.job, point)} has not been levelled.",
                body=f"Read it first from the set-up before, or take the backsight on {name}.",
            )
        return None
    if instrument(walk.record, benchmark, setup) is None:
        return Refusal(
            title="The instrument has no height yet.", body=f"First read the staff on {name}."
        )
    return None


def _line(walk: Walk, kind: SightKind, point: str, setup: int) -> Reading | None:
    line = (setup, kind, point)
    return next(
        (
            one
            for one in readings(walk.record)
            if (one.sight.setup, one.sight.kind, one.sight.point) == line
        ),
        None,
    )


def _put_right(walk: Walk, stands: Reading, reading: Decimal, why: str) -> dict[str, Any] | Refusal:
    """Give what a correction says of the reading it replaces."""
    shown = format_rl(stands.sight.reading, walk.job.units)
    if reading == stands.sight.reading:
        return Refusal(title=f"{shown} is recorded already.", body="Nothing changes by it.")
    if not why.strip():
        return WhyNeeded(
            title=f"It has been read: {shown}.",
            body="The old reading stays in the record. Say why it changes.",
        )
    entry = stands.entry
    return {"replaces": entry.n, "replaces_station": entry.station, "why": why.strip()}


@refusable
def _surface(
    walk: Walk,
    benchmark: Benchmark,
    point: str,
    typed: str | Typed,
    by: str,
    now: datetime,
    setup: int | None,
    why: str,
) -> Act | Refusal:
    """The height of the finished surface at a corner, with the reading it comes from."""
    corner = point.removeprefix(SURFACE)
    reading = must(_reading(walk, typed))
    number = setup or setup_in_hand(walk.record)
    height = instrument(walk.record, benchmark, number)
    if height is None or not _since_pour(walk, number):
        return Refusal(
            title="The instrument was not set up since the pour.",
            body=f"Begin a set-up: read the staff on {literal(benchmark.name)}.",
        )
    rl = staff_reading(height, reading)
    act = answer(walk, f"close.rl/{corner}", _typed(walk, rl), by, now, why)
    if isinstance(act, Refusal):
        return act
    staff = {"staff": {f"rl_{corner}": plain(reading)}, "setup": number}
    says = f"staff {format_rl(reading, walk.job.units)}, RL {act.says}"
    return evolve(act, data={**act.data, **staff}, says=says)


def _typed(walk: Walk, rl: Decimal) -> str:
    """A height as it would be typed, exactly."""
    return f"{plain(rl)} m" if walk.job.units == "imperial" else plain(rl)


def _since_pour(walk: Walk, setup: int) -> bool:
    end = walk.record.pour_end
    begun = next(
        (
            one.first
            for one in readings(walk.record)
            if one.sight.setup == setup and one.sight.kind == "back"
        ),
        None,
    )
    return end is not None and begun is not None and begun > end.order
