"""Random jobs with a mix, limits of the concrete and lifters: any of them may be missing or odd."""

from decimal import Decimal
from random import Random

from tests.walk.kit import CHECKER, ENGINEER, FOREMAN, HAND

from .jobs_random import JobWriter

D = Decimal

ZONES = (
    "Etc/UTC",
    "Australia/Hobart",
    "Australia/Lord_Howe",
    "Europe/Berlin",
    "America/New_York",
    "Asia/Kathmandu",
)
"""Some with clocks that change by an hour, one by half an hour, one off by three quarters."""

PEOPLE = ((FOREMAN, "foreman"), (HAND, "hand"), (CHECKER, "supervisor"), (ENGINEER, "engineer"))


class ConcreteWriter(JobWriter):
    """`zone`: of the site of the job that was written."""

    def __init__(self, chance: Random) -> None:
        super().__init__(chance)
        self.zone = chance.choice(ZONES)

    def text(self) -> str:
        lines = [f'[site]\nzone = "{self.zone}"']
        lines += [f'[[person]]\nname = "{name}"\nrole = "{role}"' for name, role in PEOPLE]
        return super().text() + "\n".join(lines) + "\n"

    def some(self, share: float, key: str, *values: str) -> list[str]:
        return [f"{key} = {self.chance.choice(values)}"] if self.odds(share) else []

    def mix(self) -> list[str]:
        lines = ["[mix]", *self.some(0.7, "name", '"N40/20"', '"S50 [A-1]"')]
        lines += self.some(0.95, "strength", "40", "25", "32.5", "50", "65", "8")
        lines += self.some(0.95, "cement", '"R"', '"N"', '"S"')
        lines += self.some(0.9, "density", "2400", "2403.5", "1950")
        lines += self.some(0.6, "slump", *(f"{{ target = {one} }}" for one in SLUMPS))
        lines += self.some(0.85, "truck", "6.0", "6", "5", "7.5", "3.2", "1.7", "0.9", "4.587329")
        lines += self.some(0.8, "waste", "0.04", "0", "0.05", "0.035", "0.1", "4e-2")
        lines += self.some(0.6, "discharge_minutes", "90", "60", "45.5", "120")
        lines += self.some(0.6, "order_step", "0.2", "0.1", "0.25", "0.5", "1", "0.3", "0.191139")
        lines += self.some(0.6, "least_load", "1.0", "0", "2", "1.5", "0.4", "3", "2.2")
        return lines if len(lines) > 1 else []

    def limits(self) -> list[str]:
        lines = ["[limits]"]
        climb = ", ".join(
            self.some(0.9, "strength", "10", "12.5", "5", "20", "45", "60")
            + self.some(0.85, "hours", "18", "12", "24", "36.5", "0", "72")
            + self.some(0.6, "by", '"estimate"', '"estimate"', '"test"')
        )
        sources = []
        if self.odds(0.9) and climb:
            lines.append(f"climb = {{ {climb} }}")
            sources.append('climb = "note 14"')
        if self.odds(0.5):
            lines.append(
                self.chance.choice(
                    [
                        "strip = { hours = 12 }",
                        "strip = { strength = 5 }",
                        'strip = { hours = 8, strength = 7.5, by = "estimate" }',
                    ]
                )
            )
            sources.append('strip = "spec 7"')
        lines += self.some(0.5, "temperature_gap", "1", "3", "0.5", "24")
        if self.odds(0.9):
            lift = self.chance.choice(["25", "20", "30.5", "15", "39", "50", "70", "10.342136"])
            lines.append(f"lift = {{ strength = {lift} }}")
            sources.append('lift = "LD-02"')
        lines += self.some(0.7, "concrete_temperature", "[5, 35]", "[10, 32.222222]", "[-5, 30]")
        evaporation = ", ".join(
            self.some(0.8, "caution", "0.5", "0.25", "0")
            + self.some(0.8, "act", "1.0", "0.75", "0.5")
        )
        if evaporation and self.odds(0.8):
            lines.append(f"evaporation = {{ {evaporation} }}")
        lines += self.some(0.6, "gap_minutes", "45", "30", "20.5", "60")
        if sources:
            lines.append(f"sources = {{ {', '.join(sources)} }}")
        return lines if len(lines) > 1 else []

    def castins(
        self, width: Decimal, height: Decimal, boxes: list[tuple[Decimal, ...]]
    ) -> list[str]:
        found = super().castins(width, height, boxes)[:3]
        for number in range(self.chance.choice([0, 1, 2, 4, 4, 6])):
            x, y = self.between(0, width), self.between(0, height)
            if not 0 <= x <= width or not 0 <= y <= height:
                x, y = width / 2, height / 2
            found.append(f'{{ name = "L{number}", kind = "lifter", x = {x}, y = {y} }}')
        return found


SLUMPS = ("80, plus = 15, minus = 15", "100, plus = 20, minus = 10", "76.2, plus = 25.4, minus = 0")
