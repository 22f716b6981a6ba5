"""A day at the stack as plain data: what is tried, one after the other, that can be played again in part."""

import tomllib
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from .concrete_edges import to_the_least_load, to_the_step
from .concrete_jobs import ConcreteWriter
from .concrete_log import SIZES
from .concrete_pours import Panels, PourTeller, Step, ago
from .plan import ALIGNS, Panel, read


@dataclass(frozen=True)
class Story:
    seed: int
    text: str
    zone: str
    begin: datetime
    steps: tuple[Step, ...]


def story(seed: int) -> Story:
    chance = Random(seed)
    writer = ConcreteWriter(chance)
    text = writer.text()
    if chance.random() < 0.4:
        text = to_the_step(text, chance)
    if chance.random() < 0.4:
        text = to_the_least_load(text, chance)
    begin = _begin(chance, ZoneInfo(writer.zone))
    return Story(seed, text, writer.zone, begin, tuple(Teller(chance, text).steps()))


def _begin(chance: Random, zone: ZoneInfo) -> datetime:
    """Any hour of a year that is over; often in the two days before the clocks change."""
    start = datetime(chance.choice([2023, 2024, 2025]), 1, 1, tzinfo=UTC)
    day = chance.randint(0, 364)
    if chance.random() < 0.5:
        change = _changes(start, zone)
        day = chance.choice(change) if change else day
    return start + timedelta(days=day, minutes=chance.randint(-1200, 1439))


def _changes(start: datetime, zone: ZoneInfo) -> list[int]:
    offsets = [(start + timedelta(days=n)).astimezone(zone).utcoffset() for n in range(366)]
    return [n for n in range(365) if offsets[n] != offsets[n + 1]]


class Teller(PourTeller):
    """Writes the steps of some panels of a job, one panel after the other."""

    def __init__(self, chance: Random, text: str) -> None:
        self.chance = chance
        self.job = read(text)
        self.found: list[Step] = []
        self.here: Panels = ("", 0)
        self.names: list[str] = []
        self.limits, self.mix = _tables(text)

    def steps(self) -> list[Step]:
        chance = self.chance
        for stack in chance.sample(
            self.job.stacks, min(len(self.job.stacks), chance.choice([1, 1, 2]))
        ):
            for number, panel in enumerate(stack.panels, 1):
                if number > 1 and self.odds(0.6):
                    self.here = (stack.id, number)
                    self.resize(panel)
            self.here = (stack.id, 1)
            self.panel(stack.panels[0])
            if len(stack.panels) > 1 and self.odds(0.12):
                self.tell("close")
                self.here = (stack.id, 2)
                self.tell("wait", 60 * 24 * 7)
                self.panel(stack.panels[1])
        return self.found

    def panel(self, panel: Panel) -> None:
        """Up to the pour, the pour, and the days after it; sometimes it ends early."""
        self.names = []
        if self.odds(0.4):
            self.resize(panel)
        self.tell("walk", 0, to=self.chance.choice(["pour", "pour", "pour", "cast-ins"]),
                  scatter=self.chance.randint(1, 10**6))  # fmt: skip
        if self.odds(0.25):
            self.resize(panel)
        if self.odds(0.3):
            self.measure_again(panel)
        if self.odds(0.95):
            self.tell("walk", 5, to="pour", scatter=self.chance.randint(1, 10**6))
        if self.odds(0.9):
            self.pour()
        if self.odds(0.85):
            self.tell("finish", self.chance.randint(5, 60), scatter=0)
            for _ in range(self.chance.choice([0, 2, 3, 5])):
                self.specimen()
            if self.odds(0.6):
                self.followed()
            self.tested()
            self.after()

    def resize(self, panel: Panel) -> None:
        chance, news = self.chance, {}
        for key in SIZES[:2]:
            if self.odds(0.6):
                change = chance.choice(["-300", "-12.5", "-1", "0.5", "3", "40", "-900"])
                news[key] = f"{max(float(getattr(panel, key)) + float(change), 50):.9g}"
        if self.odds(0.2):
            news["thickness"] = f"{float(chance.choice(self.job.kit.depths)):.9g}"
        if self.odds(0.2):
            news["align"] = chance.choice(ALIGNS)
        if news:
            self.tell("resize", chance.randint(1, 30), **news)
            if self.odds(0.15):
                self.tell("undo", 1)

    def measure_again(self, panel: Panel) -> None:
        for _ in range(self.chance.randint(1, 3)):
            item = self.chance.choice(
                [f"forms.between/{side}" for side in ("base", "right", "head", "left")]
                + [f"height.depth/{corner}" for corner in ("bl", "br", "hr", "hl")]
            )
            verb = "skip" if self.odds(0.15) else "measure"
            self.tell(verb, 1, item=item, off=self.chance.choice(["-7", "0", "2.5", "30"]))
            if self.odds(0.2):
                self.tell("undo", 1)

    # The days after.

    def tested(self) -> None:
        """Test what was taken at the pour, some of it on the first day."""
        for name in dict.fromkeys(self.names):
            if self.odds(0.6):
                self.tell("wait", self.chance.choice([0, 120, 600, 60 * 14, 60 * 48]))
                self.result(name)
            if self.odds(0.15):
                cured = self.chance.choice(["field", "standard"])
                self.tell("specimen", 1, name=name, cured=cured, load="",
                          time={name.casefold(): 0}, why="wrong box")  # fmt: skip

    def after(self) -> None:
        chance = self.chance
        for _ in range(chance.randint(2, 14)):
            what = chance.choice(
                ["temperature"] * 4 + ["logger", "logger", "specimen", "specimen"] + ["result"] * 6
                + ["undo", "undo_many", "redo", "lift", "station", "close", "end"]
            )  # fmt: skip
            wait = chance.choice([0, 5, 47, 120, 360, 60 * 20, 60 * 40])
            self.tell("wait", wait)
            if what in ("temperature", "logger", "specimen", "result"):
                getattr(self, what)()
            elif what == "undo_many":
                for _ in range(chance.randint(2, 9)):
                    self.tell("undo", 1)
                if self.odds(0.6):
                    self.tell("finish", 1, scatter=0)
            elif what == "end":
                self.tell("end", 1, time=ago(chance.choice([0, 60, 1200])))
            elif what != "close" or self.odds(0.3):
                self.tell(what, 1)
            if what == "result" and self.odds(0.15):
                self.tell("undo", 1)
            if what == "result" and self.odds(0.4):
                for name in chance.sample(self.names, min(len(self.names), 2)):
                    self.result(name, at_last=True)

    def temperature(self) -> None:
        chance = self.chance
        celsius = chance.choice(
            [f"{chance.uniform(-2, 62):.1f} C", "20 C", "70 °F", "35.5 C", "4.9 C", "0 C", "-3 C", "80 C",
             f"{chance.uniform(79, 90):.1f} C"]
        )  # fmt: skip
        back = ago(chance.choice([0, 0, 3, 60, 400, 2000, 90 + chance.random() * 900]))
        self.tell("temperature", 1, typed=celsius, time=back, why=chance.choice(["", "misread"]))
        if self.odds(0.25):
            self.tell("warmer", 1, typed="33 C", why=chance.choice(["", "read again"]))

    def followed(self) -> None:
        """A probe in the panel from its pour on, read out days later; sometimes with a hole or a slip."""
        chance = self.chance
        every, hours = chance.choice([20, 60, 60, 120, 150]), chance.choice([20, 30, 50, 90])
        self.tell("wait", 60 * hours)
        warm = chance.choice([12, 20, 20, 45])
        rows = [(back, warm + 8 * chance.random()) for back in range(0, 60 * hours + 240, every)]
        if self.odds(0.3):
            hole = chance.randrange(len(rows) - 2)
            rows = rows[:hole] + rows[hole + chance.randint(1, 5) :]
        if self.odds(0.3):
            place = chance.randrange(len(rows))
            rows[place] = (rows[place][0], chance.choice([4.9, 0.0, -2.5, 80.5, 85.0]))
        found = {back: round(celsius, 2) for back, celsius in rows}
        self.tell("logger", 1, rows=sorted(found.items(), reverse=True), offset=self.odds(0.5))

    def logger(self) -> None:
        """A file with a reading every so often, up to now or to some hours ago."""
        chance = self.chance
        every, count = chance.choice([5, 30, 60, 60, 120, 137]), chance.randint(2, 60)
        last = chance.choice([0, 60, 600])
        base, rise = chance.choice([(12, 25), (12, 25), (12, 75), (-8, 15)])
        rows = [
            (last + n * every, round(chance.uniform(base, base + 6) + rise * 0.97**n, 2))
            for n in reversed(range(count))
        ]
        self.tell("logger", 1, rows=rows, offset=self.odds(0.5))

    def specimen(self, load: str = "") -> None:
        chance = self.chance
        name = chance.choice(["F1", "F2", "F3", "L1", "f1", "L2"])
        self.names.append(name)
        likely = "field" if name.casefold().startswith("f") else "standard"
        cured = likely if self.odds(0.85) else chance.choice(["field", "standard"])
        why = chance.choice(["", "", "wrong box", "cored"])
        self.tell("specimen", 1, name=name, cured=cured, load=load,
                  time=ago(chance.choice([0, 5, 60])), why=why)  # fmt: skip

    def result(self, name: str = "", at_last: bool = False) -> None:
        """`at_last`: at the same time as the result before it."""
        chance = self.chance
        if not name and self.odds(0.3):
            self.specimen()
        name = name or chance.choice(self.names or ["F1"])
        limits = [self.limits.get(key, {}).get("strength") for key in ("climb", "lift")]
        near: list[str] = ["3000 psi"]
        for one in limits:
            if one is not None:
                exact = float(one)
                near += [f"{exact:.12g} MPa"] * 2 + [
                    f"{exact - 0.1:.6g} MPa",
                    f"{exact + 0.1:.6g} MPa",
                ]
        time = {"result": 0} if at_last else ago(chance.choice([0, 0, 30, 600]))
        self.tell("result", 1, name=name, strength=chance.choice(near), time=time,
                  why=chance.choice(["", "read again", "strong mix"]))  # fmt: skip


def _tables(text: str) -> tuple[dict[str, Any], dict[str, Any]]:
    data = tomllib.loads(text)
    return data.get("limits", {}), data.get("mix", {})
