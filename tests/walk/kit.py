"""A small job, a desk on it, and a crew that answers items one after the other."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from attrs import define, evolve

from pourdeck.plan.messages import Refusal
from pourdeck.plan.numbers import plain
from pourdeck.plan.reader import read_job_text
from pourdeck.plan.records import Job
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.disk import Disk
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import SiteState, replay
from pourdeck.walk import acts
from pourdeck.walk.desk import NO_NEWS, Desk
from pourdeck.walk.oddities import odd_digest
from pourdeck.walk.records import Act, ItemView, Walk
from pourdeck.walk.steps import Context
from pourdeck.walk.times import Doubt
from tests.kept import kept

MORNING = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
FOREMAN, HAND, CHECKER = "Ada Reed", "Ben Cole", "Cy Hart"
ENGINEER = "Eve Lund"

PEOPLE = f"""
[[person]]
name = "{FOREMAN}"
role = "foreman"
[[person]]
name = "{HAND}"
role = "hand"
[[person]]
name = "{CHECKER}"
role = "supervisor"
"""

HEAD = """
format = 1
[job]
name = "Trial yard"
number = "TY-1"
[site]
zone = "Etc/UTC"
benchmark = { name = "TBM", rl = 100.000 }
"""

KIT = """
[kit]
depths = [150, 175]
chamfer = 15
holes = { first = 500, pitch = 1000 }
anchors = { end_min = 150, end_max = 1000, gap_max = 1500, clear = 150 }
overrun = { min = 0, max = 1000 }
stock = [ { length = 1000, count = 40 } ]
bolts = [ { name = "outer", reach = [0, 160] }, { name = "inner", reach = [140, 300] } ]
"""

LIMITS = """
[limits]
climb = { hours = 18 }
[tolerance]
source = "trial spec, table 1"
width = [ { upto = 3000, plus = 5, minus = 5 }, { plus = 8, minus = 8 } ]
height = [ { plus = 8, minus = 8 } ]
thickness = [ { plus = 5, minus = 3 } ]
diagonals = [ { plus = 8 } ]
offset = [ { plus = 2, minus = 2 } ]
position = [ { plus = 5, minus = 5 } ]
level = [ { plus = 2, minus = 2 } ]
"""

STACK = """
[[stack]]
id = "A"
bed_rl = 100.850
[[stack.panel]]
mark = "P1"
width = 3000
height = 3000
thickness = 150
lift = 2
rev = "B"
[[stack.panel]]
mark = "P2"
width = 3000
height = 3000
thickness = 150
lift = 1
rev = "B"
"""

JOB = HEAD + PEOPLE + KIT + LIMITS + STACK
WITH_ENGINEER = JOB.replace(KIT, f'[[person]]\nname = "{ENGINEER}"\nrole = "engineer"\n{KIT}', 1)
"""Give the job an engineer among its people."""

ALONE = JOB[: JOB.rindex("[[stack.panel]]")]
"""Give the job its first panel only."""


def job_of(text: str = JOB) -> Job:
    return read_job_text(text, Path("unread"))


class NoSync(Disk):
    """The real calls without waiting for the disk."""

    def fsync(self, fd: int) -> None:
        pass


@define
class Clock:
    at: datetime = MORNING

    def __call__(self) -> datetime:
        return self.at

    def later(self, **by: float) -> None:
        self.at += timedelta(**by)


OPENED: list[Desk] = []
"""Each holds its log and its lock open: those of a test are closed when it is over."""


def open_desk(folder: Path, text: str = JOB, clock: Clock | None = None, **more: object) -> Desk:
    job = folder / "job"
    job.mkdir(exist_ok=True)
    (job / "job.toml").write_text(text, encoding="utf-8")
    desk = Desk.open(
        job,
        station=str(more.pop("station", "shed")),
        clock=clock or Clock(),
        state_folder=more.pop("state_folder", folder / "state"),  # type: ignore[arg-type]
        disk=more.pop("disk", NoSync()),  # type: ignore[arg-type]
        **more,  # type: ignore[arg-type]
    )
    OPENED.append(desk)
    return desk


def deaf(desk: Desk) -> Desk:
    """A desk that hears of nobody, as on another computer: it reads the log when it is opened."""
    desk.follow = lambda: NO_NEWS  # type: ignore[method-assign]
    return desk


def context_of(
    job: Job, number: int = 1, stack: int = 0, state: SiteState | None = None
) -> Context:
    """Give what the items of a panel are worked out from, where nothing was done yet."""
    one = job.stacks[stack]
    setout = set_out_stack(job, one, {})[number - 1]
    record = (state or replay(())).panel(setout.mark)
    return Context(job=job, stack=one, setout=setout, record=record)


def evolve_context(context: Context, setout: SetOut) -> Context:
    return evolve(context, setout=setout)


DEFAULTS = {"°C": "18", "%": "55", "km/h": "9", "m": "1.500", "MPa": "20", "m³": "2"}


def good_answer(item: ItemView) -> str:
    """Something to type that passes, or at least is taken."""
    if item.kind == "choice":
        return (item.good or item.choices)[0]
    if item.kind == "text":
        return item.expected if isinstance(item.expected, str) else "as seen"
    if item.kind == "time":
        return "now"
    if item.pair and item.low is not None and item.high is not None:
        return plain((item.low + item.high) / 2)
    if isinstance(item.expected, Decimal):
        return plain(item.expected.quantize(Decimal(1).scaleb(-item.decimals)))
    return DEFAULTS.get(item.unit, "5")


def complete(walk: Walk, section: str, by: str) -> Act | Refusal:
    """End a section; of the last one all that is odd is confirmed as it stands."""
    return acts.complete(walk, section, by, odd_digest(walk) if section == "close" else "")


@define
class Crew:
    """A foreman who works, a hand who is the second person, a checker who releases."""

    desk: Desk
    clock: Clock
    stack: str = "A"
    number: int = 1
    foreman: str = FOREMAN
    hand: str = HAND
    checker: str = CHECKER
    good: Callable[[ItemView], str] = good_answer

    @property
    def walk(self) -> Walk:
        return self.desk.walk(self.stack, self.number)

    def item(self, key: str) -> ItemView:
        item = self.walk.find(key)
        assert item is not None, key
        return item

    def do(self, act: Act | Refusal) -> Entry:
        assert isinstance(act, Act), act
        self.clock.later(seconds=7)
        return self.desk.record(act)

    def answer(self, key: str, typed: str, by: str = "", why: str = "") -> Entry:
        return self.do(acts.answer(self.walk, key, typed, by or self.foreman, self.clock.at, why))

    def pass_item(self, key: str) -> Entry:
        item = self.item(key)
        typed, by = self.good(item), self.hand if item.second else self.foreman
        act = acts.answer(self.walk, key, typed, by, self.clock.at)
        return self.answer(key, typed, by, "so it was" if isinstance(act, Doubt) else "")

    def open_items(self, section: str) -> Iterator[str]:
        """Keys still to be answered, one after the other as the walk unlocks them."""
        while True:
            view = self.walk.section(section)
            assert view is not None, section
            owed = next((item.key for item in view.items if not item.answered), None)
            if owed is None:
                return
            yield owed

    def pass_section(self, section: str) -> None:
        for key in self.open_items(section):
            self.pass_item(key)

    def end_section(self, section: str) -> None:
        """Answer what is open, and say the section is complete or have its hold released."""
        self.pass_section(section)
        view = self.walk.section(section)
        assert view is not None
        if view.hold:
            self.do(acts.release(self.walk, view.hold.id, self.checker, "", "walked round it"))
        else:
            self.do(complete(self.walk, section, self.foreman))

    def go_to(self, section: str) -> None:
        """End every section before this one."""
        self._kept(f"to {section}", lambda: self._go_to(section))

    def cast(self) -> None:
        """Take the panel through to its close."""
        self._kept("cast", self._cast)

    def _go_to(self, section: str) -> None:
        for view in self.walk.sections:
            if view.id == section:
                return
            if view.state != "done":
                self.end_section(view.id)

    def _cast(self) -> None:
        for view in self.walk.sections:
            self.end_section(view.id)

    def _kept(self, what: str, work: Callable[[], None]) -> None:
        """Do this stretch of work; one that was done before on the same plan and log is written down again.

        Every entry is recorded anew through the desk. Only the walk, out of which the crew reads what comes
        next, is not worked out for each of them.
        """
        if "<" in self.good.__qualname__:
            work()
            return
        key = [
            what, self.stack, self.number, self.foreman, self.hand, self.checker,
            f"{self.good.__module__}.{self.good.__qualname__}", self.clock.at.isoformat(),
            (self.desk.plan.folder / "job.toml").read_text(encoding="utf-8"),
            [entry.seal for entry in self.desk.state.entries],
        ]  # fmt: skip

        begun = len(self.desk.state.entries)

        def make() -> list[Any]:
            work()
            made = self.desk.state.entries[begun:]
            assert all(entry.station == self.desk.station for entry in made)
            return [
                [[one.at.isoformat(), one.kind, one.by, dict(one.data)] for one in made],
                self.clock.at.isoformat(),
            ]

        acts, end = kept(key, make)
        if len(self.desk.state.entries) == begun:
            for at, kind, by, data in acts:
                if kind != "start":
                    self.clock.at = datetime.fromisoformat(at)
                    self.desk.record(Act(kind=kind, by=by, data=data, says=""))
        self.clock.at = datetime.fromisoformat(end)


def crew(folder: Path, text: str = JOB, number: int = 1, **more: object) -> Crew:
    clock = Clock()
    return Crew(open_desk(folder, text, clock, **more), clock, number=number)


_CAST: dict[str, tuple[bytes, datetime]] = {}


def on_second(folder: Path, text: str = JOB) -> Crew:
    """A crew whose first panel is cast and whose second may be started.

    The log of the first is made once in a run and copied, because it takes long.
    """
    if text not in _CAST:
        made = folder / "made"
        made.mkdir()
        first = crew(made, text)
        first.cast()
        first.desk.close()
        log = (made / "job" / "log" / "shed.jsonl").read_bytes()
        _CAST[text] = (log, first.clock.at + timedelta(hours=18))
    log, at = _CAST[text]
    (folder / "job" / "log").mkdir(parents=True)
    (folder / "job" / "log" / "shed.jsonl").write_bytes(log)
    clock = Clock(at)
    return Crew(open_desk(folder, text, clock), clock, number=2)


def refused(act: Act | Refusal) -> Refusal:
    assert isinstance(act, Refusal), act
    return act


Made = Callable[[], Act | Refusal]
