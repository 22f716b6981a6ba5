"""A crew that plays a day through the real acts of the program; what is refused is passed over."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from pourdeck.plan.messages import Refusal
from pourdeck.plan.numbers import plain
from pourdeck.walk import acts
from pourdeck.walk.lift_acts import Given
from pourdeck.walk.pour_acts import read_weather, turn_away, write_load
from pourdeck.walk.records import Act, ItemView, SectionView, Walk
from pourdeck.walk.strength_acts import result, specimen, temperature
from pourdeck.walk.strength_import import import_of, read_text, temperatures_read
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    OPENED,
    Clock,
    complete,
    good_answer,
    open_desk,
)

from .concrete_days import Story
from .concrete_pours import Step

MANY = 3000
"""More items than any panel has: a walk that does not end is a fault."""

IN_FULL = {
    "mm": "mm",
    "mm/form": "mm",
    "m": "m",
    "°C": "C",
    "m³": "m3",
    "km/h": "km/h",
    "MPa": "MPa",
}
"""Type the unit after a figure, so that it is the same in any job."""


def play(folder: Path, told: Story, steps: tuple[Step, ...] | None = None) -> list[str]:
    """Leaves the job in `folder / "job"`; gives back what was tried and how it went."""
    player = Player(folder, told)
    try:
        return [player.one(step) for step in (told.steps if steps is None else steps)]
    finally:
        player.close()


def typed_in_full(item: ItemView, scatter: Random | None) -> str:
    typed = good_answer(item)
    if item.kind not in ("measure", "count"):
        return typed
    if scatter is not None and measured_between_forms(item.key):
        typed = plain(Decimal(typed) + scatter.choice([-5, -2, 0, 0, 1, Decimal("2.5"), 6]))
    return f"{typed} {IN_FULL[item.unit]}" if item.unit in IN_FULL else typed


def measured_between_forms(key: str) -> bool:
    return key.startswith(("forms.between/", "height.depth/"))


class Player:
    def __init__(self, folder: Path, told: Story) -> None:
        self.folder, self.told = folder, told
        self.zone = ZoneInfo(told.zone)
        self.clock = Clock(told.begin)
        self.station = "shed"
        self.last_reading = "now"
        self.written: dict[str, datetime] = {}
        self.desk = open_desk(folder, told.text, self.clock, station=self.station)

    def close(self) -> None:
        self.desk.close()
        OPENED.remove(self.desk)

    @property
    def now(self) -> datetime:
        return self.desk.now()

    def one(self, step: Step) -> str:
        self.clock.later(minutes=step.minutes)
        self.panel = step.panel
        said: Iterator[str] = getattr(self, f"_{step.verb}")(**step.given)
        return f"{step}: {'; '.join(said) or 'done'}"

    @property
    def walk(self) -> Walk:
        return self.desk.walk(*self.panel)

    def take(self, act: Act | Refusal) -> Iterator[str]:
        """Record it, or say why not."""
        if isinstance(act, Refusal):
            yield f"refused: {act.title}"
            return
        self.clock.later(seconds=7)
        self.desk.record(act)

    def typed(self, value: Any) -> str:
        """A time that was typed some minutes after it was: by its offset, or in another zone.

        `{"batched": 90}`: just 90 minutes after the batching that was written last.
        """
        if not isinstance(value, dict):
            return str(value)
        for what, minutes in value.items():
            if what != "ago":
                moment = self.written.get(what, self.clock.at) + timedelta(minutes=minutes)
                return moment.isoformat()
        back = value["ago"]
        if back == 0:
            return "now"
        moment = self.clock.at - timedelta(minutes=back)
        return (moment.astimezone(self.zone) if int(back) % 3 else moment).isoformat()

    def moment(self, typed: str) -> datetime:
        """To the second, as the program keeps it."""
        if typed == "now":
            return self.clock.at.replace(microsecond=0)
        return datetime.fromisoformat(typed)

    # What a crew does.

    def _wait(self) -> Iterator[str]:
        yield from ()

    def _walk(self, to: str, scatter: int) -> Iterator[str]:
        yield from self.through(lambda view: view.id == to, scatter)

    def _finish(self, scatter: int) -> Iterator[str]:
        if self.walk.record.pour_start is None:
            yield "nothing was poured"
            return
        yield from self.through(lambda view: view.id == "finish", scatter)

    def _close(self) -> Iterator[str]:
        yield from self.through(lambda view: False, 0)

    def through(self, stop: Callable[[SectionView], bool], scatter: int) -> Iterator[str]:
        """End every section before the one to stop at, until something is refused."""
        chance = Random(scatter) if scatter else None
        for number in range(len(self.walk.sections)):
            view = self.walk.sections[number]
            if stop(view):
                return
            if view.state == "done":
                continue
            refused = list(self.end(view.id, chance))
            if refused:
                yield refused[0]
                return

    def end(self, section: str, chance: Random | None) -> Iterator[str]:
        for _ in range(MANY):
            walk = self.walk
            view = walk.section(section)
            assert view is not None
            items = [one for one in view.items if not one.answered]
            if not items:
                break
            refused = list(self.answered(walk, items, chance))
            if refused:
                yield refused[0]
                return
        else:
            raise AssertionError(f"{section} has no end")
        hold = view.hold
        if hold is None:
            yield from self.take(complete(self.walk, section, FOREMAN))
        else:
            yield from self.take(acts.release(self.walk, hold.id, CHECKER, "", "walked round it"))

    def answered(self, walk: Walk, items: list[ItemView], chance: Random | None) -> Iterator[str]:
        """Answer what can be without looking at the walk again; why not, where nothing can be."""
        for number, item in enumerate(items):
            said = typed_in_full(item, chance)
            by = HAND if item.second else FOREMAN
            act = acts.answer(walk, item.key, said, by, self.now, "again")
            if isinstance(act, Refusal) and number:
                return
            yield from (f"{item.key}: {why}" for why in self.take(act))

    def _measure(self, item: str, off: str) -> Iterator[str]:
        found = self.walk.find(item)
        if found is None or not isinstance(found.expected, Decimal):
            yield "no such item"
            return
        said = f"{plain(found.expected + Decimal(off))} mm"
        by = HAND if found.second else FOREMAN
        yield from self.take(acts.answer(self.walk, item, said, by, self.now, "taped again"))

    def _skip(self, item: str, off: str) -> Iterator[str]:
        if self.walk.find(item) is None:
            yield "no such item"
            return
        yield from self.take(acts.not_applicable(self.walk, item, "no room for the tape", FOREMAN))

    def _resize(self, **news: str) -> Iterator[str]:
        sizes = {key: one if key == "align" else Decimal(one) for key, one in news.items()}
        change = self.desk.resize(*self.panel, **sizes)  # type: ignore[arg-type]
        if isinstance(change, Refusal):
            yield f"refused: {change.title}"
            return
        yield from self.take(self.desk.revise(change, by=ENGINEER, reason="drawing changed"))

    def _start(self, time: Any) -> Iterator[str]:
        said = self.typed(time)
        yield from self.take(acts.answer(self.walk, "pour.start", said, FOREMAN, self.now, "late"))

    def _end(self, time: Any) -> Iterator[str]:
        said = self.typed(time)
        yield from self.take(acts.answer(self.walk, "pour.end", said, FOREMAN, self.now, "misread"))

    def _load(self, load: int, why: str = "", **values: Any) -> Iterator[str]:
        said = {key: self.typed(value) for key, value in values.items()}
        for key in said:
            if key in ("batched", "ended"):
                self.written[key] = self.moment(said[key])
        yield from self.take(write_load(self.walk, load, said, FOREMAN, self.now, why))

    def _away(self, load: int, reason: str) -> Iterator[str]:
        yield from self.take(turn_away(self.walk, load, reason, FOREMAN, self.now))

    def _weather(self, **values: str) -> Iterator[str]:
        yield from self.take(read_weather(self.walk, values, "now", FOREMAN, self.now))

    def _temperature(self, typed: str, time: Any, why: str) -> Iterator[str]:
        said = self.last_reading = self.typed(time)
        yield from self.take(temperature(self.walk, typed, said, FOREMAN, self.now, why))

    def _warmer(self, typed: str, why: str) -> Iterator[str]:
        """The reading before it, at the same time, was another."""
        said = self.last_reading
        yield from self.take(temperature(self.walk, typed, said, FOREMAN, self.now, why))

    def _logger(self, rows: list[tuple[float, float]], offset: bool) -> Iterator[str]:
        lines = ["time,°C"]
        for back, celsius in rows:
            at = (self.clock.at - timedelta(minutes=back)).replace(second=0, microsecond=0)
            at = at if offset else at.astimezone(self.zone)
            lines.append(f"{at.isoformat() if offset else f'{at:%Y-%m-%d %H:%M}'},{celsius}")
        found = read_text(self.walk, "\n".join(lines) + "\n", self.now)
        if isinstance(found, Refusal):
            yield f"refused: {found.title}"
            return
        taken = import_of(self.walk, found, self.now)
        if isinstance(taken, Refusal):
            yield f"refused: {taken.title}"
            return
        yield from self.take(
            temperatures_read(self.walk, taken, "probe 2.csv", FOREMAN, self.now, "better")
        )

    def _specimen(self, name: str, cured: str, load: str, time: Any, why: str) -> Iterator[str]:
        said = self.typed(time)
        self.written[name.casefold()] = self.moment(said)
        yield from self.take(specimen(self.walk, name, cured, load, said, FOREMAN, self.now, why))

    def _result(self, name: str, strength: str, time: Any, why: str) -> Iterator[str]:
        said = self.typed(time)
        self.written["result"] = self.moment(said)
        yield from self.take(result(self.walk, name, strength, said, FOREMAN, self.now, why))

    def _undo(self) -> Iterator[str]:
        yield from self.take(self.desk.undo(FOREMAN, "a slip"))

    def _redo(self) -> Iterator[str]:
        yield from self.take(self.desk.redo(FOREMAN))

    def _lift(self) -> Iterator[str]:
        given = Given(strength="25 MPa", document="LD-2")
        view = self.desk.lift(*self.panel)
        yield from self.take(acts.release_to_lift(view, ENGINEER, "", "all seen", given))
        yield from self.take(acts.lifted(self.desk.lift(*self.panel), FOREMAN))

    def _station(self) -> Iterator[str]:
        """Somebody goes on at another station."""
        self.close()
        self.station = "gate" if self.station == "shed" else "shed"
        self.desk = open_desk(self.folder, self.told.text, self.clock, station=self.station)
        yield from ()
