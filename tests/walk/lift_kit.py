"""Panels that are cast and closed, and the people of the day of the lift."""

from datetime import datetime, timedelta
from pathlib import Path

from attrs import define

from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.lifting import LiftView
from pourdeck.walk.records import Act
from pourdeck.walk.strength_acts import find_specimen
from tests.walk.kit import FOREMAN, HEAD, KIT, LIMITS, PEOPLE, STACK, Clock, Crew, crew, open_desk

ENGINEER, TESTER = "Eva Ross", "Tom Vale"

ENGINEERS = f"""
[[person]]
name = "{ENGINEER}"
role = "engineer"
[[person]]
name = "{TESTER}"
role = "tester"
"""

MIX = """
[mix]
strength = 40
cement = "N"
density = 2400
"""

LIFT = "lift = { strength = 25, eccentricity = 100, factor = 1.5 }\n"
SOURCES = 'sources = { lift = "lifting design LD-1" }\n'

LIFTERS = """castins = [
  { name = "L1", kind = "lifter", x = 800, y = 1900 },
  { name = "L2", kind = "lifter", x = 2200, y = 1900 },
]
"""

_PILE = STACK.replace('rev = "B"\n', f'rev = "B"\n{LIFTERS}')
_LIMITS = LIMITS.replace("[limits]\n", f"[limits]\n{LIFT}{SOURCES}")

LIFT_JOB = HEAD + PEOPLE + ENGINEERS + KIT + MIX + _LIMITS + _PILE
"""Two panels of 3 × 3 × 0.15 m, two lifters in the face of each, 400 mm above its middle."""

NO_LIMIT_JOB = HEAD + PEOPLE + ENGINEERS + KIT + MIX + LIMITS + _PILE
"""Give the job no limit of strength by the office."""

BESIDE = """
[[stack]]
id = "B"
bed_rl = 100.850
[[stack.panel]]
mark = "Q1"
width = 3000
height = 3000
thickness = 150
lift = 3
rev = "B"
castins = [
  { name = "L1", kind = "lifter", x = 800, y = 1900 },
  { name = "L2", kind = "lifter", x = 2200, y = 1900 },
]
"""

YARD_JOB = LIFT_JOB + BESIDE
"""Give the job a second stack, whose only panel goes last: its number is that of P1, its place another."""

NO_LIMIT_YARD = NO_LIMIT_JOB + BESIDE

NOBODY_JOB = LIFT_JOB.replace(PEOPLE, "").replace(ENGINEERS, "")
"""Give the job without any people."""


LOOKED = {"recesses": "open, clean, undamaged", "residue": "cleaned off", "face": "sound"}
"""Give what is seen of a panel laid bare that is as it should be."""


@define
class Day:
    """The day of the lift on a stack whose panels are cast and closed."""

    crew: Crew

    def view(self, number: int) -> LiftView:
        return self.crew.desk.lift("A", number)

    def do(self, act: object) -> Entry:
        return self.crew.do(act)  # type: ignore[arg-type]

    def result(
        self,
        number: int,
        strength: str = "27.5",
        *,
        specimen: str = "F1",
        cured: str = "field",
        at: datetime | None = None,
    ) -> Entry:
        """A result comes back from the tester; its specimen was taken at the pour."""
        if find_specimen(self.view(number).record, specimen) is None:
            self.specimen(number, specimen, cured)
        data = {
            "panel": f"P{number}",
            "specimen": specimen,
            "cured": cured,
            "strength": strength,
            "time": (at or self.crew.clock.at).isoformat(timespec="seconds"),
        }
        return self.do(Act(kind="test", by=TESTER, data=data, says="result"))

    def specimen(self, number: int, name: str, cured: str) -> Entry:
        data = {"panel": f"P{number}", "specimen": name, "cured": cured}
        return self.do(Act(kind="specimen", by=TESTER, data=data, says="specimen"))

    def release(self, number: int, by: str = ENGINEER, **more: object) -> Entry:
        return self.do(acts.release_to_lift(self.view(number), by, "", "all seen", **more))  # type: ignore[arg-type]

    def fit(self, number: int) -> None:
        """A result and the release."""
        self.result(number)
        self.release(number)

    def look(self, number: int, **seen: str) -> Entry:
        """Look at a panel that a lift has laid bare."""
        return self.do(acts.look_at_exposed(self.view(number), LOOKED | seen, FOREMAN))

    def lift(self, number: int) -> Entry:
        return self.do(acts.lifted(self.view(number), FOREMAN))


_LOGS: dict[str, tuple[bytes, datetime]] = {}


def lift_day(folder: Path, text: str = LIFT_JOB, station: str = "shed") -> Day:
    """Every panel cast and closed a week ago. The log is made once in a run for each plan and copied."""
    if text not in _LOGS:
        made = folder / "made"
        made.mkdir()
        one = crew(made, text)
        for stack in one.desk.job.stacks:
            for number in range(1, len(stack.panels) + 1):
                Crew(one.desk, one.clock, stack=stack.id, number=number).cast()
                one.clock.later(hours=18)
        one.desk.close()
        log = (made / "job" / "log" / "shed.jsonl").read_bytes()
        _LOGS[text] = (log, one.clock.at + timedelta(days=7))
    log, at = _LOGS[text]
    (folder / "job" / "log").mkdir(parents=True)
    (folder / "job" / "log" / "shed.jsonl").write_bytes(log)
    clock = Clock(at)
    return Day(Crew(open_desk(folder, text, clock, station=station), clock, number=2))
