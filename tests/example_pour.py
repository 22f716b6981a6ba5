"""Write down the concrete of the example as its crew does: dockets, weather, specimens and results."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from random import Random

from attrs import frozen

from pourdeck.pour.fresh import loads, to_order
from pourdeck.walk.loads import loads_of
from pourdeck.walk.pour_acts import read_weather, turn_away, write_load
from pourdeck.walk.records import ItemView
from pourdeck.walk.strength_acts import result, specimen, temperature
from tests.example_crew import Block, Crew, Special

Weather = Mapping[str, str]

MILD: Weather = {"concrete": "20.5", "air": "17", "humidity": "58", "wind": "9"}
WINDY: Weather = {"concrete": "22", "air": "16.5", "humidity": "42", "wind": "17"}
"""Evaporation in the caution band: a dry wind an hour into the pour."""

HEAT = ((1, "22.5"), (4, "29.0"), (8, "35.5"), (13, "32.0"), (17, "27.5"))
"""Hours after the pour and °C: how a panel warms by itself under a sheet."""


@frozen(kw_only=True)
class Event:
    """Something that is done at a time of its own, beside the work on a section."""

    at: datetime
    do: Callable[[Crew], None]


def clock(at: datetime) -> str:
    return f"{at:%H:%M}"


def poured(weather: tuple[Weather, ...] = (MILD,), wrong: str = "") -> Special:
    """The loads of a panel, one after the other, with what is read of each; then its specimens.

    `wrong`: the mix on a docket that comes first and is turned away.
    """

    def happens(crew: Crew, block: Block, item: ItemView) -> None:
        chance = Random(f"{block.stack}-{block.number}-loads")
        read(crew, block, weather[0])
        if wrong:
            send_back(crew, block, wrong)
        mix = crew.desk.job.mix
        order = to_order(crew.walk(block).setout.quantities.volume, mix)
        for place, volume in enumerate(loads(order, mix) or (order,)):
            crew.clock.pass_seconds(chance.randrange(180, 360))
            place_load(crew, block, volume, chance)
            if place + 1 < len(weather):
                read(crew, block, weather[place + 1])
        walk = crew.walk(block)
        last = max(one.number for one in loads_of(walk.record) if one.rejected is None)
        names = []
        for number, cured in ((1, "field"), (2, "field"), (3, "standard"), (4, "field")):
            crew.clock.pass_seconds(40)
            name = f"{walk.mark}-{number}"
            names.append(name)
            now = crew.desk.now()
            crew.record(specimen(crew.walk(block), name, cured, f"{last}", "now", block.by, now))
        asked = crew.walk(block).find(item.key)
        assert asked is not None
        crew.answer(block, asked, ", ".join(names))

    return happens


def read(crew: Crew, block: Block, weather: Weather) -> None:
    crew.record(read_weather(crew.walk(block), weather, "now", block.by, crew.desk.now()))


def write(crew: Crew, block: Block, number: int, **typed: str) -> None:
    crew.record(write_load(crew.walk(block), number, typed, block.by, crew.desk.now()))


def next_load(crew: Crew, block: Block) -> int:
    return len(loads_of(crew.walk(block).record)) + 1


def docket(crew: Crew, block: Block, number: int) -> str:
    return f"{71400 + 20 * block.at.day + 5 * (sum(map(ord, block.stack)) - 65) + number}"


def send_back(crew: Crew, block: Block, mix: str) -> None:
    """A truck for somebody else: its docket is read before anything is discharged."""
    number, now = next_load(crew, block), crew.desk.now()
    write(
        crew, block, number,
        docket=docket(crew, block, number), mix=mix,
        batched=clock(now - timedelta(minutes=31)), arrived=clock(now), volume="6",
    )  # fmt: skip
    crew.clock.pass_seconds(60)
    ordered = crew.desk.job.mix.name
    why = f"docket says {mix}, ordered is {ordered}: sent back to the plant"
    crew.record(turn_away(crew.walk(block), number, why, block.by, crew.desk.now()))


def place_load(crew: Crew, block: Block, volume: Decimal, chance: Random) -> None:
    number, now = next_load(crew, block), crew.desk.now()
    mix = crew.desk.job.mix.name
    named = {"mix": mix} if mix else {}
    write(
        crew, block, number,
        docket=docket(crew, block, number), **named,
        batched=clock(now - timedelta(minutes=chance.randrange(27, 41))), arrived=clock(now),
        volume=f"{volume:f}",
    )  # fmt: skip
    crew.clock.pass_seconds(150)
    write(
        crew, block, number,
        slump=str(chance.randrange(72, 91)), temperature=f"{chance.uniform(19.5, 21.5):.1f}",
    )  # fmt: skip
    crew.clock.pass_seconds(60)
    write(crew, block, number, begun=clock(crew.desk.now()))
    crew.clock.pass_seconds(60 * chance.randrange(9, 13))
    write(crew, block, number, ended=clock(crew.desk.now()))


def warmed(stack: str, number: int, at: datetime) -> Event:
    """Temperatures read off the thermometer in the panel, written in the next morning."""

    def happens(crew: Crew) -> None:
        walk = crew.desk.walk(stack, number)
        assert walk.record.pour_start is not None
        began = datetime.fromisoformat(walk.record.pour_start.data["time"])
        for hours, celsius in HEAT:
            when = began + timedelta(hours=hours)
            if when > crew.desk.now():
                return
            crew.clock.pass_seconds(15)
            crew.record(
                temperature(
                    crew.desk.walk(stack, number), celsius, f"{when:%Y-%m-%d %H:%M}", "P. Field",
                    crew.desk.now(),
                )
            )  # fmt: skip

    return Event(at=at, do=happens)


def broken_early(stack: str, number: int, at: datetime, by: str = "D. Lowe") -> Event:
    """The specimen kept for the climb is tested the next morning, before the next panel is formed."""

    def happens(crew: Crew) -> None:
        walk = crew.desk.walk(stack, number)
        name = f"{walk.mark}-4"
        crew.record(result(walk, name, "13.5", "now", by, crew.desk.now()))

    return Event(at=at, do=happens)


def calmed(stack: str, number: int, at: datetime) -> Event:
    """The wind is down again, an hour later, while the finishers are still at it."""

    def happens(crew: Crew) -> None:
        walk = crew.desk.walk(stack, number)
        crew.record(read_weather(walk, MILD, "now", "J. Pell", crew.desk.now()))

    return Event(at=at, do=happens)


def tested(stack: str, number: int, at: datetime, *strengths: str) -> Event:
    """Results of the specimens in their order, as the tester reads them out."""

    def happens(crew: Crew) -> None:
        for place, megapascals in enumerate(strengths, 1):
            crew.clock.pass_seconds(30)
            walk = crew.desk.walk(stack, number)
            name = f"{walk.mark}-{place}"
            crew.record(result(walk, name, megapascals, "now", "D. Lowe", crew.desk.now()))

    return Event(at=at, do=happens)
