"""A large job with a long log behind it, and a panel in hand whose walk the crew is in the middle of."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from attrs import define

from pourdeck.setout.panel import set_out_stack
from pourdeck.sitelog.entries import Unsealed, compose, log_name
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.desk import Desk
from pourdeck.walk.panel_walk import build_walk
from pourdeck.walk.records import ItemView, Walk
from pourdeck.walk.steps import Context, template
from tests.bench.generate import write_job
from tests.example_crew import Clock, Crew
from tests.example_pour import broken_early
from tests.make_example import panel

STATION = "shed"
BEGAN = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
MONDAY, TUESDAY = 16, 17
"""Days of the story on which the crew works the last two panels."""


@define
class LongJob:
    """The folder, how many entries its log has, and the panel that is in hand."""

    folder: Path
    entries: int
    stack: str
    number: int
    mark: str


def open_desk(folder: Path, state: Path, clock: Clock) -> Desk:
    return Desk.open(
        folder,
        station=STATION,
        clock=clock,
        state_folder=state,
        monotonic=lambda: clock.at.timestamp(),
    )


def write_long_job(folder: Path, state: Path, entries: int, stacks: int = 60) -> LongJob:
    """At least so many entries: answers to most of the job, then the last stack walked for true."""
    write_job(folder, stacks, 8)
    clock = Clock(BEGAN)
    desk = Desk.open(folder, station=STATION, clock=clock, state_folder=state, read_only=True)
    _write_answers(desk, entries)
    desk.close()
    last = f"S{stacks}"
    desk = open_desk(folder, state, clock)
    try:
        crew = Crew(desk, clock)
        for block in panel(last, 1, MONDAY, TUESDAY):
            crew.work(block)
        broken_early(last, 1, clock.at, by="R. Osei").do(crew)
        for block in panel(last, 2, TUESDAY, TUESDAY + 1):
            if block.section in ("drawing", "strip", "surface", "brackets"):
                crew.work(block)
        return LongJob(folder, len(desk.state.entries), last, 2, f"{last}-2")
    finally:
        desk.close()


def _write_answers(desk: Desk, entries: int) -> None:
    """Straight to the file: so many acts through the walk would take minutes, and prove no more."""
    start = {"format": 1, "job": desk.plan.number, "station": STATION}
    lines: list[bytes] = []
    n, head, at = 0, "", BEGAN
    for act in (Unsealed(kind="start", by="", data=start), *_answers(desk, entries - 1)):
        made, line = compose([act], station=STATION, at=at, clock="", n=n, head=head)
        n, head, at = n + 1, made[0].seal, at + timedelta(seconds=40)
        lines.append(line)
    path = desk.plan.folder / log_name(STATION)
    path.parent.mkdir()
    path.write_bytes(b"".join(lines))


def _answers(desk: Desk, count: int) -> Iterator[Unsealed]:
    for walk in _walks(desk):
        for item in walk.items():
            if count == 0:
                return
            count -= 1
            yield Unsealed(kind="answer", by="R. Osei", data=_data(walk, item))


def _walks(desk: Desk) -> Iterator[Walk]:
    """The walk of every panel but the last stack's, as if nothing had been done."""
    state = SiteState()
    for stack in desk.job.stacks[:-1]:
        setouts = set_out_stack(desk.job, stack, {})
        for number in range(1, len(stack.panels) + 1):
            setout = setouts[number - 1]
            record = state.panel(setout.mark)
            context = Context(job=desk.job, stack=stack, setout=setout, record=record)
            yield build_walk(context, template(), state, BEGAN)


def _data(walk: Walk, item: ItemView) -> dict[str, object]:
    value = str(item.expected if item.expected is not None else (item.good or ("seen",))[0])
    return {
        "panel": walk.mark,
        "item": item.key,
        "value": value,
        "typed": value,
        "unit": item.unit,
        "verdict": "pass",
        "expected": None if item.expected is None else str(item.expected),
        "tolerance": None,
        "source": item.source,
    }
