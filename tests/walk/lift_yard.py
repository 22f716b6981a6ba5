"""Two stations at one yard on the day of the lift: what each does, knows of the other, and reads again."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

from attrs import define, field

from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.lift_acts import Given
from pourdeck.walk.lift_seals import as_cast_digest, lifted_setout_digest, result_data
from pourdeck.walk.lifting import LiftView
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, NoSync, deaf
from tests.walk.lift_kit import ENGINEER, LOOKED, TESTER, Day, lift_day

PLACES = {"P1": ("A", 1), "P2": ("A", 2), "Q1": ("B", 1)}
SIZE = {"width": "3000", "height": "3000", "thickness": "150", "align": "base-left"}
WIDTH = "close.width/base"


@define
class Station:
    """One computer: its desk, and how far its clock is out."""

    name: str
    desk: Desk
    ahead: timedelta = timedelta(0)
    changed: bool = False


@define
class Yard:
    """The yard with a station `shed`, which cast everything, and a station `crane`."""

    folder: Path
    text: str
    ahead: timedelta
    day: Day = field(init=False)
    at: dict[str, Station] = field(factory=dict)
    apart: bool = False
    judge: Callable[["Station", Act], None] = lambda station, act: None

    def __attrs_post_init__(self) -> None:
        self.day = lift_day(self.folder, self.text)
        self.at["shed"] = Station("shed", deaf(self.day.crew.desk))
        self.at["crane"] = Station("crane", self._open("crane", self.ahead), self.ahead)

    def _open(self, station: str, ahead: timedelta) -> Desk:
        clock = self.day.crew.clock
        desk = Desk.open(
            self.folder / "job",
            station=station,
            clock=lambda: clock() + ahead,
            state_folder=self.folder / "state",
            disk=NoSync(),
        )
        return deaf(desk)

    def close(self) -> None:
        for station in self.at.values():
            station.desk.close()

    def read_again(self, name: str) -> None:
        """A station reads what the other one has written by now."""
        station = self.at[name]
        station.desk.close()
        station.desk = self._open(name, station.ahead)
        self._other(name).changed = False

    def _other(self, name: str) -> Station:
        return next(one for one in self.at.values() if one.name != name)

    def view(self, name: str, mark: str) -> LiftView:
        return self.at[name].desk.lift(*PLACES[mark])

    def do(self, name: str, act: Act | Refusal) -> Entry | None:
        """Record an act where it is one; what a refusal says must be whole."""
        if isinstance(act, Refusal):
            assert act.title
            assert act.body
            return None
        station = self.at[name]
        self.judge(station, act)
        self.day.crew.clock.later(seconds=7)
        self.apart = self.apart or self._other(name).changed
        station.changed = True
        return station.desk.record(act)

    def write(self, name: str, kind: str, by: str, **data: Any) -> Entry | None:
        """An entry as another program or another station may have written it: nothing asks whether it may."""
        return self.do(name, Act(kind=kind, by=by, data=data, says=kind))

    # What people do.

    def specimen(self, name: str, mark: str, called: str, cured: str) -> None:
        self.write(name, "specimen", TESTER, panel=mark, specimen=called, cured=cured)

    def result(
        self,
        name: str,
        mark: str,
        strength: str,
        called: str = "F1",
        cured: str = "field",
        hours: float = 0,
    ) -> None:
        """A result, and its specimen where the log has none of that name."""
        station = self.at[name]
        record = station.desk.state.panel(mark)
        if not any(
            one.data["specimen"].casefold() == called.casefold() for one in record.specimens
        ):
            self.specimen(name, mark, called, cured)
        time = (station.desk.now() + timedelta(hours=hours)).isoformat(timespec="seconds")
        data = {"panel": mark, "specimen": called, "cured": cured, "strength": strength}
        self.write(name, "test", TESTER, **data, time=time)

    def release(
        self, name: str, mark: str, by: str = ENGINEER, role: str = "", needed: str = "25"
    ) -> None:
        given = Given(strength=needed, document="LD-2")
        self.do(name, acts.release_to_lift(self.view(name, mark), by, role, "all seen", given))

    def lift(self, name: str, mark: str, by: str = FOREMAN) -> None:
        self.do(name, acts.lifted(self.view(name, mark), by))

    def look(self, name: str, mark: str, **seen: str) -> None:
        self.do(name, acts.look_at_exposed(self.view(name, mark), LOOKED | seen, FOREMAN))

    def right(self, name: str, mark: str) -> None:
        """All that a panel needs, one after the other, those above it off first."""
        if mark == "P1":
            self.right(name, "P2")
            self.lift(name, "P2")
            self.look(name, "P1")
        self.result(name, mark, "27.5")
        self.release(name, mark)

    def measure(self, name: str, mark: str, width: str) -> None:
        station = self.at[name]
        walk = station.desk.walk(*PLACES[mark])
        self.do(name, acts.answer(walk, WIDTH, width, FOREMAN, station.desk.now(), "taped again"))

    def dispose(self, name: str, mark: str, what: str, by: str) -> None:
        walk = self.at[name].desk.walk(*PLACES[mark])
        self.do(name, acts.dispose(walk, WIDTH, what, "looked at", by))

    def resize(self, name: str, mark: str) -> None:
        self.write(
            name, "revise", FOREMAN, panel=mark, before=SIZE, after=SIZE, reason="rev D", cancels=[]
        )

    def fail(self, name: str, mark: str) -> None:
        item = {"item": "finish.marked", "value": "some missing", "typed": "2", "unit": ""}
        judged = {"verdict": "fail", "expected": None, "tolerance": None, "source": None}
        self.write(name, "answer", FOREMAN, panel=mark, **item, **judged)

    def fail_before_close(self, name: str, mark: str) -> None:
        """Fail an item at a station whose entry of before the close only comes in now."""
        clock = self.day.crew.clock
        now, close = clock.at, self.at[name].desk.state.panel(mark).closed
        if close is not None:
            clock.at = close.at - self.at[name].ahead - timedelta(seconds=10)
            self.fail(name, mark)
            clock.at = now
            self.read_again(name)

    def forge_release(
        self, name: str, mark: str, by: str, role: str, needed: str, *, before: bool
    ) -> None:
        """A release that somebody wrote into the log, its digests right; `before`: of a result to come."""
        if before:
            self.specimen(name, mark, "F5", "field")
        elif not self.view(name, mark).shown:
            self.result(name, mark, "24.99" if needed == "1" else "26")
        view = self.view(name, mark)
        data = {"role": role, "seen": "forged", "strength": needed, "document": "LD-2"}
        data |= {
            "setout": lifted_setout_digest(view.setout),
            "as_cast": as_cast_digest(view.record),
        }
        if before:
            to_come = self.at[name].desk.head[0] + 2
            result: dict[str, Any] = {"station": name, "n": to_come, "specimen": "F5"}
        elif view.shown:
            result = result_data(view.shown[-1])
        else:
            return
        self.write(name, "lift-release", by, panel=mark, result=result, **data)
        if before:
            self.result(name, mark, "27.5", "F5")
        if needed == "1":
            # Another result is strong enough: what the release was given for is not.
            self.result(name, mark, "30", "F6")

    def pass_hold(self, name: str, mark: str) -> None:
        data = {"hold": "pour", "reason": "rain came", "covers": ""}
        self.write(name, "pass-unreleased", FOREMAN, panel=mark, **data)

    def take_back(self, name: str, mark: str, kind: str) -> None:
        """Undo the last of a kind by an entry that nobody was asked about."""
        every = self.at[name].desk.state.entries
        found = [one for one in every if one.panel == mark and one.kind == kind]
        if found:
            self.write(name, "undo", FOREMAN, station=found[-1].station, n=found[-1].n, why="")
