"""Writes log and records of the metric example: a fortnight on site, told through the walk itself.

    python -m tests.make_example [FOLDER]

FOLDER is the job's, jobs/quarry-lane if not given; its log and records are written anew. At the end, on
a Wednesday at 07:41, stack B is cast, A is in the middle of panel 3, C waits for the hours, D has not
been started.
"""

import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from pourdeck.paper.record_files import build_records
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from tests.example_crew import (
    Block,
    Clock,
    Crew,
    Special,
    again,
    deferred,
    fails,
    moved,
    not_applicable,
    slip,
)
from tests.example_pour import MILD, WINDY, Event, broken_early, calmed, poured, tested, warmed

JOB = Path(__file__).resolve().parents[1] / "jobs" / "quarry-lane"
ZONE = ZoneInfo("Australia/Hobart")
NOW = datetime(2026, 11, 25, 7, 40, 51, tzinfo=ZONE)

TALLOW, OSEI, PELL, DUNN = "M. Tallow", "R. Osei", "J. Pell", "K. Dunn"
MARSH, BROOK, FIELD = "S. Marsh", "A. Brook", "P. Field"

SEEN = {
    "drawing": "drawing and plan side by side, sizes read out",
    "strip": "all sides, forms off and stacked",
    "surface": "walked round it: closed, coated twice, dry",
    "forms": "sides and diagonals taped again from the drawing",
    "ready": "steel, cast-ins, forms; crew and pump briefed",
}
RELEASERS = {"drawing": MARSH, "strip": TALLOW, "surface": TALLOW, "forms": FIELD, "ready": MARSH}
WORKERS = {
    "drawing": TALLOW,
    "strip": DUNN,
    "surface": PELL,
    "brackets": OSEI,
    "height": TALLOW,
    "forms": OSEI,
    "cast-ins": DUNN,
    "ready": TALLOW,
    "pour": TALLOW,
    "finish": PELL,
    "close": FIELD,
}
PACE = {
    "drawing": (25, 45),
    "strip": (35, 70),
    "surface": (300, 600),
    "brackets": (16, 32),
    "height": (30, 60),
    "forms": (25, 55),
    "cast-ins": (30, 70),
    "ready": (30, 60),
    "pour": (60, 120),
    "finish": (900, 1500),
    "close": (40, 80),
}
DAY = {
    "drawing": "07:48",
    "strip": "08:02",
    "surface": "08:20",
    "brackets": "09:40",
    "height": "10:20",
    "forms": "10:42",
    "cast-ins": "11:55",
    "ready": "12:21",
    "pour": "12:38",
    "finish": "14:00",
}

WRONG_MIX = "N32/20"

Specials = Mapping[str, Special]


def at(day: int, time: str) -> datetime:
    hour, minute = time.split(":")
    return datetime(2026, 11, day, int(hour), int(minute), tzinfo=ZONE)


def block(
    stack: str, number: int, section: str, when: datetime, special: Specials | None = None
) -> Block:
    """One section as this crew shares it out."""
    seen = SEEN.get(section)
    return Block(
        at=when,
        stack=stack,
        number=number,
        section=section,
        by=WORKERS[section],
        second=OSEI if section == "drawing" else "",
        pace=PACE[section],
        special=special or {},
        hold=(RELEASERS[section], 2, seen) if seen else None,
    )


def panel(
    stack: str, number: int, day: int, next_day: int, special: Specials | None = None
) -> Iterator[Block]:
    """A panel formed and poured in a day, and closed the next morning."""
    special = {"pour.samples": poured(), **(special or {})}
    for section, time in DAY.items():
        if section != "brackets" or number > 1:
            yield block(stack, number, section, at(day, time), special)
    yield block(stack, number, "close", at(next_day, "06:38"), special)


def stack_b() -> Iterator[Block]:
    yield from panel(
        "B", 1, 9, 10,
        {
            "forms.between/base": again("6712", "6701", "clamp had slipped: moved back and locked"),
            "finish.cracks": slip("open", "floated shut"),
        },
    )  # fmt: skip
    yield from panel(
        "B", 2, 10, 11,
        {
            "brackets.hung/right-4": again("proud", "flush and tight", "grout chipped out of the seat"),
            "forms.offset/head-3": again("304", "301", "form was off its stop: pushed home"),
        },
    )  # fmt: skip
    for one in panel(
        "B", 3, 11, 12,
        {
            "close.width/head": fails(
                "6263", used_as_is=(BROOK, "joint to suit: engineer's note QL-31/17")
            ),
        },
    ):  # fmt: skip
        if one.section == "forms":
            yield unreleased(one)
        else:
            yield one
    yield from panel(
        "B", 4, 12, 13,
        {
            "height.plumb/head": not_applicable("the site fence stands behind it: no level fits in"),
            "close.diagonal/br-hl": again(
                "7953", "7943", "tapes contradict each other: it had caught on a bracket, pulled again"
            ),
        },
    )  # fmt: skip


def unreleased(one: Block) -> Block:
    """Give a block's work again with its hold passed without the one who should have looked."""
    reason = "surveyor held up at the gate, pump booked; taped again with K. Dunn"
    return Block(
        at=one.at, stack=one.stack, number=one.number, section=one.section, by=one.by,
        pace=one.pace, special=one.special, unreleased=(TALLOW, reason),
    )  # fmt: skip


def stack_a() -> Iterator[Block]:
    yield from panel(
        "A", 1, 16, 17,
        {
            "ready.vibrators": again(
                "no spare", "two and a spare run", "spare fetched from the shed", 4
            ),
            "close.threads": deferred("left side still taped up", PELL, acts.LIFT),
        },
    )  # fmt: skip
    yield from panel(
        "A", 2, 17, 18,
        {
            "pour.samples": poured((MILD, WINDY, WINDY), wrong=WRONG_MIX),
            "height.staff/hr": moved(
                "gate hinge", "1.204", "1.377", "the pump stands in the line of sight: moved to the gate"
            ),
            "close.rl/hr": fails(
                "43.002", used_as_is=(BROOK, "low corner taken up in the form height of W07")
            ),
            "close.defects": deferred("bow at the head edge, 4 mm: grind", TALLOW, acts.LIFT),
        },
    )  # fmt: skip


def yesterday() -> Iterator[Block]:
    """The bed panel of C is poured late; in its shade W07 gets as far as the bond breaker."""
    times = {"drawing": "07:05", "strip": "07:20", "surface": "07:40", "height": "09:10"}
    times |= {"forms": "09:30", "cast-ins": "12:40"}
    for section, time in times.items():
        yield block("C", 1, section, at(24, time))
    for section, time in (("drawing", "13:20"), ("strip", "13:40"), ("surface", "14:05")):
        yield block("A", 3, section, at(24, time))
    yield block("C", 1, "ready", at(24, "16:40"))
    yield block("C", 1, "pour", at(24, "17:05"), {"pour.samples": poured()})
    yield block("C", 1, "finish", at(24, "18:05"))


def this_morning() -> Iterator[Block]:
    yield block(
        "A", 3, "brackets", at(25, "06:14"),
        {
            "brackets.hung/base-3": fails(
                "thread damaged", note="tap is on its way from the workshop, due at nine"
            ),
        },
    )  # fmt: skip
    yield block(
        "A", 3, "height", at(25, "06:58"),
        {
            "height.plumb/left": deferred("long level is lent out till smoko", OSEI, "set-out"),
        },
    )  # fmt: skip
    yield Block(
        at=at(25, "07:15"), stack="A", number=3, section="forms", by=OSEI,
        pace=(80, 150), stop="forms.offset/right-4",
    )  # fmt: skip


def readings() -> Iterator[Event]:
    """Temperatures of each panel on the morning after its pour, and results after seven days."""
    for stack, number, day in (
        ("B", 1, 9),
        ("B", 2, 10),
        ("B", 3, 11),
        ("B", 4, 12),
        ("A", 1, 16),
        ("A", 2, 17),
    ):
        yield warmed(stack, number, at(day + 1, "06:20"))
        yield broken_early(stack, number, at(day + 1, "06:30"))
    yield calmed("A", 2, at(17, "13:58"))
    yield tested("B", 1, at(16, "16:30"), "34.0", "33.5", "37.0")
    yield tested("B", 2, at(17, "16:30"), "33.5", "34.5", "36.5")
    yield tested("B", 3, at(18, "16:30"), "31.0", "33.5", "36.0")
    yield tested("B", 4, at(19, "16:30"), "33.0", "34.0", "36.5")
    yield tested("A", 1, at(23, "16:30"), "35.0", "34.0", "37.5")
    yield warmed("C", 1, at(25, "06:05"))


def tell(crew: Crew) -> None:
    """The whole story, in the order it happened."""
    blocks = (*stack_b(), *stack_a(), *yesterday(), *this_morning())
    told = sorted((*blocks, *readings()), key=lambda one: one.at)
    for one in told:
        if isinstance(one, Event):
            crew.clock.go_to(one.at)
            one.do(crew)
            continue
        crew.work(one)
        if (one.stack, one.number, one.section) == ("B", 3, "cast-ins"):
            close_nonconformance(crew, one)
        if (one.stack, one.number, one.section) == ("A", 2, "drawing"):
            settle_threads(crew, one)
    if crew.clock.at > NOW:
        raise AssertionError(f"the story ends at {crew.clock.at}, after its now {NOW}")


def close_nonconformance(crew: Crew, one: Block) -> None:
    crew.clock.pass_seconds(240)
    walk = crew.walk(one)
    entry = walk.nonconformances[0].entry
    action = "offsets, sides and diagonals taped before the pour, all within table 4"
    crew.record(acts.close_nonconformance(walk, entry.station, entry.n, action, FIELD))


def settle_threads(crew: Crew, one: Block) -> None:
    """Look at what was put off on the panel below, while one stands beside it."""
    crew.clock.pass_seconds(90)
    below = crew.desk.walk(one.stack, one.number - 1)
    crew.record(acts.answer(below, "close.threads", "all clear", PELL, crew.desk.now()))


def make(folder: Path) -> Desk:
    """Write log and records of the job in `folder` anew, and give back its desk, closed."""
    for name in ("log", "record"):
        shutil.rmtree(folder / name, ignore_errors=True)
    clock = Clock(at(9, "07:00"))
    with tempfile.TemporaryDirectory() as state:
        desk = Desk.open(
            folder,
            station="shed",
            clock=clock,
            state_folder=Path(state),
            monotonic=lambda: clock.at.timestamp(),
        )
        try:
            tell(Crew(desk, clock))
            build_records(desk)
        finally:
            desk.close()
    return desk


def main() -> int:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else JOB
    desk = make(folder)
    last = desk.state.last
    sys.stdout.write(f"{len(desk.state.entries)} entries, the last at {last and last.at}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
