"""The stops of a walk in order: its items, and at the end of each section its hold or its close."""

from typing import Literal

from attrs import frozen

from pourdeck.walk.records import HoldView, ItemView, SectionView, Walk

StopKind = Literal["item", "hold", "complete"]

HOLD = "hold:"
COMPLETE = "complete:"


@frozen(kw_only=True)
class Stop:
    """One place the crew can stand in a walk. `key` is the item's, `hold:ID` or `complete:SECTION`."""

    key: str
    kind: StopKind
    section: SectionView
    item: ItemView | None = None
    hold: HoldView | None = None

    @property
    def group(self) -> str:
        return self.item.group if self.item else ""

    @property
    def owes(self) -> bool:
        """True where something is still to be done here, locked or not."""
        if self.item:
            return self.item.own_state in ("open", "void")
        if self.hold:
            return not self.hold.lets_pass
        return self.section.complete is None

    @property
    def locked(self) -> bool:
        if self.item:
            return self.item.locked_by is not None
        if self.hold:
            return self.hold.locked_by is not None
        return self.section.locked_by is not None


def stops_of(section: SectionView) -> tuple[Stop, ...]:
    stops = [Stop(key=item.key, kind="item", section=section, item=item) for item in section.items]
    if section.hold:
        stops.append(
            Stop(key=HOLD + section.hold.id, kind="hold", section=section, hold=section.hold)
        )
    elif section.covered_by is None or section.complete is not None or section.items:
        stops.append(Stop(key=COMPLETE + section.id, kind="complete", section=section))
    return tuple(stops)


def stops(walk: Walk) -> tuple[Stop, ...]:
    return tuple(stop for section in walk.sections for stop in stops_of(section))


def first_owed(every: tuple[Stop, ...]) -> Stop:
    """Where the crew goes on: the first stop that owes something and is not locked, or the last."""
    free = next((stop for stop in every if stop.owes and not stop.locked), None)
    return free or next((stop for stop in every if stop.owes), every[-1])


def find_stop(every: tuple[Stop, ...], key: str | None) -> Stop:
    """The stop of that key, or where the crew goes on."""
    return next((stop for stop in every if stop.key == key), None) or first_owed(every)


def after(every: tuple[Stop, ...], key: str, step: int) -> Stop:
    """The stop so many steps on, not past the ends."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    return every[max(0, min(len(every) - 1, index + step))]


def next_owed(every: tuple[Stop, ...], key: str) -> Stop:
    """The next stop after this one that owes something and is open; this one where none does."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    round_trip = (*every[index + 1 :], *every[:index])
    found = next((stop for stop in round_trip if stop.owes and not stop.locked), None)
    return found or every[index]


def section_start(every: tuple[Stop, ...], key: str, step: int) -> Stop:
    """The first owed stop of the section so many sections on."""
    here = find_stop(every, key).section.number
    numbers = sorted({stop.section.number for stop in every})
    place = numbers.index(here) if here in numbers else 0
    wanted = numbers[max(0, min(len(numbers) - 1, place + step))]
    mine = tuple(stop for stop in every if stop.section.number == wanted)
    return first_owed(mine)
