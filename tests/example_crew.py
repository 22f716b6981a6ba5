"""A crew that works a panel by the walk: every answer goes through the acts that the deck uses.

What they find is the expected value and a little more or less, the same in every run.
"""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, Decimal
from math import hypot
from random import Random
from typing import Any

from attrs import define, field, frozen

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import CORNERS
from pourdeck.setout.levels import SightKind
from pourdeck.walk import acts
from pourdeck.walk.acts import Act
from pourdeck.walk.desk import Desk
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.levels import BENCHMARK
from pourdeck.walk.oddities import odd_digest
from pourdeck.walk.records import ItemView, Walk

MM = Decimal("0.001")
SURFACE_ITEM = "close.rl/"


@define
class Clock:
    """A clock that stands until somebody works."""

    at: datetime

    def __call__(self) -> datetime:
        return self.at

    def pass_seconds(self, seconds: float) -> None:
        self.at += timedelta(seconds=round(seconds))

    def go_to(self, at: datetime) -> None:
        """Raises ValueError where that would be back in time."""
        if at < self.at:
            raise ValueError(f"{at} is before {self.at}")
        self.at = at


Special = Callable[["Crew", "Block", ItemView], None]


@frozen(kw_only=True)
class Block:
    """A stretch of work on one section. `pace`: seconds an item takes, from and to.

    `special`: what happens at an item instead of an answer that passes. `stop`: the item at which the
    work breaks off. `hold`: who releases it afterwards, how many minutes later, and what they saw.
    """

    at: datetime
    stack: str
    number: int
    section: str
    by: str
    second: str = ""
    pace: tuple[int, int] = (22, 48)
    special: Mapping[str, Special] = field(factory=dict)
    stop: str | None = None
    hold: tuple[str, int, str] | None = None
    unreleased: tuple[str, str] | None = None


@define
class Crew:
    desk: Desk
    clock: Clock

    def walk(self, block: Block) -> Walk:
        return self.desk.walk(block.stack, block.number)

    def record(self, act: Act | Refusal) -> Any:
        """Raises AssertionError where the walk refuses: the story does only what is allowed."""
        if isinstance(act, Refusal):
            raise AssertionError(f"{self.clock.at:%a %H:%M} {act.title} {act.body}")
        return self.desk.record(act)

    def work(self, block: Block) -> None:
        self.clock.go_to(block.at)
        chance = Random(f"{block.stack}-{block.number}-{block.section}")
        while (item := self._next(block)) is not None:
            if item.key == block.stop:
                return
            self.clock.pass_seconds(chance.uniform(*block.pace))
            special = block.special.get(item.key)
            if special:
                special(self, block, item)
            else:
                self.answer(block, item, found(item, chance, self.clock.at, self.walk(block)))
        self.clock.pass_seconds(20)
        self._end(block)

    def _next(self, block: Block) -> ItemView | None:
        section = self.walk(block).section(block.section)
        assert section is not None, block
        waiting = (item for item in section.items if not item.answered)
        return next(waiting, None)

    def _end(self, block: Block) -> None:
        section = self.walk(block).section(block.section)
        assert section is not None
        hold = section.hold
        if hold is None:
            walk, by, seen = self.walk(block), block.by, ""
            if block.section == "close":
                # Whoever measured it has a foreman close it.
                by = next(one.name for one in walk.job.people if one.role == "foreman")
                seen = odd_digest(walk)
            self.record(acts.complete(walk, block.section, by, seen))
        elif block.hold:
            name, minutes, seen = block.hold
            self.clock.pass_seconds(60 * minutes)
            self.record(acts.release(self.walk(block), hold.id, name, "", seen))
        elif block.unreleased:
            name, reason = block.unreleased
            self.record(acts.pass_unreleased(self.walk(block), hold.id, reason, name))

    def answer(self, block: Block, item: ItemView, typed: str, why: str = "") -> None:
        by = block.second if item.second else block.by
        walk = self.walk(block)
        if item.key.startswith(SURFACE_ITEM):
            self.level(block, item, Decimal(typed), why)
            return
        self.record(acts.answer(walk, item.key, typed, by, self.desk.now(), why))

    def level(self, block: Block, item: ItemView, height: Decimal, why: str) -> None:
        """A corner of the finished surface by staff: the first begins a set-up, the last closes it."""
        chance = Random(f"{block.stack}-{block.number}-levels")
        page = self.desk.levels(block.stack, block.number)
        assert page is not None
        if page.setups[-1].view is None:
            self.sight(block, "back", BENCHMARK, Decimal(f"{chance.uniform(1.4, 1.9):.3f}"))
        corner = item.key.removeprefix(SURFACE_ITEM)
        instrument = self._instrument(block)
        self.sight(block, "inter", f"surface/{corner}", instrument - height, why)
        if corner == CORNERS[-1]:
            off = Decimal(chance.choice((-1, 0, 0, 1))) / 1000
            self.sight(block, "fore", BENCHMARK, instrument - page.benchmark.rl + off)

    def sight(
        self, block: Block, kind: SightKind, point: str, reading: Decimal, why: str = ""
    ) -> None:
        self.clock.pass_seconds(20)
        now = self.desk.now()
        self.record(
            read_staff(self.walk(block), kind, point, f"{reading:f}", block.by, now, why=why)
        )

    def _instrument(self, block: Block) -> Decimal:
        page = self.desk.levels(block.stack, block.number)
        setup = page.setups[-1].view if page else None
        assert setup is not None
        assert setup.instrument is not None
        return setup.instrument


def moved(point: str, fore: str, back: str, why: str) -> Special:
    """The instrument goes elsewhere over a point of its own, and the reading is taken from there."""

    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        crew.sight(block, "fore", f"point/{point}", Decimal(fore))
        crew.clock.pass_seconds(240)
        crew.sight(block, "back", f"point/{point}", Decimal(back))
        crew.record(acts.note(crew.walk(block), item.key, why, block.by))
        there = crew.walk(block).find(item.key)
        assert there is not None
        assert isinstance(there.expected, Decimal)
        crew.answer(block, there, f"{there.expected.quantize(MM)}")

    return happens


def again(first: str, then: str, why: str, minutes: int = 3) -> Special:
    """Answer with a value that fails, put it right, and answer again."""

    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        crew.answer(block, item, first)
        crew.clock.pass_seconds(60 * minutes)
        crew.answer(block, item, then, why)

    return happens


def fails(
    first: str,
    *,
    note: str = "",
    follow_up: str = "",
    used_as_is: tuple[str, str] | None = None,
    minutes: int = 4,
) -> Special:
    """Answer with a value that fails; whoever works notes it or follows it up.

    `used_as_is`: the engineer who accepts a size out of tolerance, and why.
    """

    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        crew.answer(block, item, first)
        crew.clock.pass_seconds(60 * minutes)
        if note:
            crew.record(acts.note(crew.walk(block), item.key, note, block.by))
        if follow_up:
            crew.record(acts.follow_up(crew.walk(block), item.key, follow_up, block.by))
        if used_as_is:
            name, reason = used_as_is
            crew.record(acts.dispose(crew.walk(block), item.key, "use-as-is", reason, name))

    return happens


def deferred(reason: str, owner: str, before: str) -> Special:
    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        walk = crew.walk(block)
        crew.record(acts.defer(walk, item.key, reason, owner, before, block.by))

    return happens


def not_applicable(reason: str) -> Special:
    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        crew.record(acts.not_applicable(crew.walk(block), item.key, reason, block.by))

    return happens


def slip(first: str, then: str) -> Special:
    """The wrong key, undone at once."""

    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        crew.answer(block, item, first)
        crew.clock.pass_seconds(9)
        crew.record(crew.desk.undo(block.by))
        crew.clock.pass_seconds(12)
        crew.answer(block, item, then)

    return happens


TEXTS = {
    "surface.product": "bond breaker no. 2, batch 4471",
    "ready.watcher": "J. Pell",
    "ready.own-hose-tag": "tested 14 Sep 2026",
}

SPREAD = {
    "drawing": (0,),
    "height.depth": (-1, 0, 0, 0, 1),
    "height.plumb": (0, 0, 0, 0.5, -0.5),
    "forms.offset": (0, 0, 0, 0, 1, -1, 1),
    "forms.from-line": (0, 0, 1, -1),
    "forms.between": (-1, 0, 1, 2),
    "forms.diagonal": (0, 1, 2),
    "cast-ins": (-2, -1, 0, 0, 0, 1, 2),
    "close.width": (1, 2, 2, 3, 4),
    "close.height": (0, 1, 2, 3),
    "close.thickness": (-1, 0, 0, 1, 2),
    "finish.own-straightedge": (1, 1, 2),
}
"""Bound how far off an answer is, mm, by the longest part of the key that is here."""

WEATHER = {
    "ready.air": (13, 21, 1),
    "ready.humidity": (48, 68, 0),
    "ready.wind": (4, 16, 0),
    "ready.concrete": (17, 21, 1),
    "brackets.strength": (13, 17, 1),
}


def found(item: ItemView, chance: Random, at: datetime, walk: Walk) -> str:
    """Give what a careful crew types: nearly what is expected."""
    step = item.key.partition("/")[0]
    if item.kind == "time":
        return f"{at:%H:%M}"
    if item.kind == "choice":
        return str(item.expected) if isinstance(item.expected, str) else item.good[0]
    if item.kind == "text":
        if step == "pour.samples":
            return ", ".join(f"{walk.mark}-{n}" for n in (1, 2, 3))
        return TEXTS.get(step) or str(item.expected)
    if step in WEATHER:
        low, high, decimals = WEATHER[step]
        return f"{chance.uniform(low, high):.{decimals}f}"
    if step == "height.backsight":
        return f"{chance.uniform(1.880, 1.960):.3f}"
    if step == "close.diagonal":
        return str(_diagonal(walk) + chance.choice((-1, 0, 0, 1)))
    volume = walk.setout.quantities.volume
    if step == "pour.loads":
        return str((volume * Decimal("1.04") / 6).to_integral_value(ROUND_CEILING))
    if step == "ready.ordered":
        fifths = (volume * Decimal("1.04") * 5).to_integral_value(ROUND_CEILING)
        return f"{fifths / 5:.2f}"
    if step == "pour.volume":
        return f"{float(volume) * chance.uniform(1.005, 1.03):.2f}"
    assert isinstance(item.expected, Decimal), item.key
    if item.unit == "m":
        off = Decimal(chance.choice((-1, 0, 0, 0, 1))) / 1000
        return f"{(item.expected + off).quantize(MM)}"
    if item.kind == "count":
        return f"{item.expected:f}"
    whole = item.expected if step.startswith("drawing") else round(item.expected)
    off = Decimal(str(chance.choice(_spread(step))))
    return f"{(whole + off).normalize():f}"


def _diagonal(walk: Walk) -> int:
    """Work out the diagonal from the sides taped before: a panel is as long across as it is wide and high."""
    measured = walk.record.measured
    wide = (measured["width_base"] + measured["width_head"]) / 2
    high = (measured["height_left"] + measured["height_right"]) / 2
    return round(hypot(wide, high))


def _spread(step: str) -> tuple[float, ...]:
    return SPREAD.get(step) or SPREAD[step.partition(".")[0]]
