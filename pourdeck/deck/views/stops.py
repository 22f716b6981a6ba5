"""The stops of a walk in order: its items, and at the end of each section its hold or its close."""

from typing import Literal

from attrs import frozen

from pourdeck.walk.records import HoldView, ItemView, Place, SectionView, Walk

StopKind = Literal["item", "hold", "complete"]

HOLD = "hold:"
COMPLETE = "complete:"


@frozen(kw_only=True)
class Stop:
    """One place the crew can stand in a walk. `key` is the item's, `hold:ID` or `complete:SECTION`.

    `first`: no stop of its section comes before it.
    """

    key: str
    kind: StopKind
    section: SectionView
    item: ItemView | None = None
    hold: HoldView | None = None
    first: bool = False

    @property
    def series(self) -> str:
        """What it shares with its neighbours: one step of the template, and one group of what it is about."""
        return f"{self.item.key.partition('/')[0]} {self.item.group}" if self.item else ""

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


Stops = tuple[Stop, ...]


def stops_of(section: SectionView) -> Stops:
    """A section ends with its hold, or else with the word that it is complete."""
    found = [
        Stop(key=item.key, kind="item", section=section, item=item, first=number == 0)
        for number, item in enumerate(section.items)
    ]
    if section.hold:
        key = HOLD + section.hold.id
        found.append(
            Stop(key=key, kind="hold", section=section, hold=section.hold, first=not found)
        )
    else:
        key = COMPLETE + section.id
        found.append(Stop(key=key, kind="complete", section=section, first=not found))
    return tuple(found)


def stops(walk: Walk) -> Stops:
    return tuple(stop for section in walk.sections for stop in stops_of(section))


def first_owed(every: Stops) -> Stop:
    """Where the crew goes on: the first stop that owes something and is not locked, or the last."""
    free = next((stop for stop in every if stop.owes and not stop.locked), None)
    return free or next((stop for stop in every if stop.owes), every[-1])


def find_stop(every: Stops, key: str | None) -> Stop:
    """The stop of that key, or where the crew goes on."""
    return next((stop for stop in every if stop.key == key), None) or first_owed(every)


def after(every: Stops, key: str, step: int) -> Stop:
    """The stop so many steps on, not past the ends."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    return every[max(0, min(len(every) - 1, index + step))]


def next_owed(every: Stops, key: str) -> Stop:
    """The next stop that owes something and is open; this one where none does.

    First the items left in this section, round from here; then whatever comes first in the walk, so that
    what is asked again further up is not walked past.
    """
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    owed = [one for one in (*every[index + 1 :], *every[:index]) if one.owes and not one.locked]
    here = every[index].section.id
    near = next((one for one in owed if one.item and one.section.id == here), None)
    return near or next((one for one in every if one in owed), every[index])


def next_due(every: Stops, key: str) -> Stop:
    """The next stop ahead that owes something and is open; what was skipped only where nothing is ahead."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    ahead = (one for one in every[index + 1 :] if one.owes and not one.locked)
    return next(ahead, None) or next_owed(every, key)


def section_start(every: Stops, key: str, step: int) -> Stop:
    """The first owed stop of the section so many sections on."""
    here = find_stop(every, key).section.number
    numbers = sorted({stop.section.number for stop in every})
    place = numbers.index(here) if here in numbers else 0
    wanted = numbers[max(0, min(len(numbers) - 1, place + step))]
    return first_owed(tuple(stop for stop in every if stop.section.number == wanted))


def about_place(every: Stops, key: str, place: Place) -> Stop | None:
    """The stop about a place of the drawing: in the section at hand where it has one, the next one first."""
    index = next((n for n, stop in enumerate(every) if stop.key == key), 0)
    section = every[index].section.id
    onward = [one for one in (*every[index + 1 :], *every[: index + 1])
              if one.item and one.item.place == place]  # fmt: skip
    near = [one for one in onward if one.section.id == section]
    return next(iter((*near, *onward)), None)
