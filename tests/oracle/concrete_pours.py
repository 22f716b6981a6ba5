"""Steps of a day, and those of a pour: loads with what is written of them, some turned away or put right."""

from dataclasses import dataclass, field
from random import Random
from typing import Any

Panels = tuple[str, int]
"""A stack and a number in it."""


@dataclass(frozen=True)
class Step:
    """Hold what is tried `minutes` after the step before it."""

    verb: str
    panel: Panels
    minutes: float = 0
    given: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        told = " ".join(f"{key}={value!r}" for key, value in self.given.items())
        return f"+{self.minutes:g} min {self.panel[0]} {self.panel[1]} {self.verb} {told}".rstrip()


def ago(minutes: float) -> dict[str, float]:
    """A time that is typed some minutes after it was."""
    return {"ago": minutes}


class PourTeller:
    """Writes the steps of a pour; the days before and after it are told elsewhere."""

    chance: Random
    found: list[Step]
    here: Panels
    limits: dict[str, Any]
    mix: dict[str, Any]

    def odds(self, share: float) -> bool:
        return self.chance.random() < share

    def tell(self, verb: str, minutes: float = 0, **given: Any) -> None:
        self.found.append(Step(verb, self.here, minutes, given))

    def specimen(self, load: str = "") -> None:
        raise NotImplementedError

    def temperature(self) -> None:
        raise NotImplementedError

    def pour(self) -> None:
        chance = self.chance
        if self.odds(0.8):
            self.tell("start", chance.randint(1, 20), time=ago(chance.choice([0, 0, 2, 10])))
        number = 0
        for _ in range(chance.choice([0, 1, 2, 3, 3, 5])):
            number += 1
            self.load(number)
            if self.odds(0.2):
                self.weather()
            if self.odds(0.25):
                self.specimen(chance.choice(["", str(number)]))
            if self.odds(0.15):
                self.temperature()
        if self.odds(0.3) and number:
            self.put_right(chance.randint(1, number))
        if self.odds(0.2):
            given = {"mix": self.mix.get("name", "N40/20"), "volume": "1.0", "batched": "now"}
            self.tell("load", 5, load=number + 1, **given)
            self.tell("load", 10, load=number + 1, begun="now")

    def load(self, number: int) -> None:
        chance, tell = self.chance, self.tell
        name = self.mix.get("name", "N40/20")
        docket = {"docket": f"D-{number}"}
        mix = chance.choice([name, name, name, name.lower(), "N32/20"])
        if self.odds(0.9):
            docket["mix"] = mix
        if self.odds(0.9):
            docket["volume"] = self.load_volume()
        batched = ago(chance.choice([0, 5, 30, 90, 89, 91]))
        if self.odds(0.8):
            docket["batched"] = batched  # type: ignore[assignment]
        tell("load", chance.randint(1, 30), load=number, **docket)
        arrived: dict[str, Any] = {"arrived": "now"}
        if self.odds(0.8):
            arrived["slump"] = self.slump()
        if self.odds(0.8):
            arrived["temperature"] = self.celsius_of_load()
        if self.odds(0.1):
            arrived |= {"water": "15", "water_by": "driver"}
        if self.odds(0.85):
            tell("load", chance.randint(0, 40), load=number, **arrived)
        if self.odds(0.15):
            tell("away", chance.randint(0, 5), load=number, reason=chance.choice(["old", "[/x]"]))
        gap = float(self.limits.get("gap_minutes", 45))
        if number > 1 and self.odds(0.15):
            tell("load", gap, load=number, begun={"ended": gap})
        elif self.odds(0.9):
            tell("load", chance.choice([0, 5, 20, 45]), load=number, begun="now")
        if self.odds(0.12):
            tell("undo", 1)
        if self.odds(0.85):
            after = chance.choice([5, 10, 20, 45, float(self.mix.get("discharge_minutes", 90))])
            limit = float(self.mix.get("discharge_minutes", 90))
            if self.odds(0.3):
                tell("load", limit + 5, load=number, ended={"batched": limit})
            else:
                tell("load", after, load=number, ended="now")
        if self.odds(0.08):
            tell("away", 1, load=number, reason="too late to say")
        if self.odds(0.1):
            tell("undo", 1)
        if self.odds(0.05):
            tell("redo", 1)

    def load_volume(self) -> str:
        return self.chance.choice(["6.0", "3.6 m3", "0.5", "1.25 m³", "2.75", "4 yd", "0.1"])

    def slump(self) -> str:
        slump = self.mix.get("slump")
        near = ["80 mm", "0 mm", '3"', "110 mm"]
        if slump:
            target, plus, minus = (float(slump[key]) for key in ("target", "plus", "minus"))
            near += [
                f"{target + plus:g} mm",
                f"{target - minus:g} mm",
                f"{target + plus + 0.5:g} mm",
            ]
        return self.chance.choice(near)

    def celsius_of_load(self) -> str:
        band = [float(one) for one in self.limits.get("concrete_temperature", [5, 35])]
        near = ["21 C", "68 °F", f"{band[1]:g} C", f"{band[1] + 0.1:.1f} C", f"{band[0]:g} C"]
        return self.chance.choice([*near, f"{max(band[0] - 0.1, -9):.1f} C"])

    def put_right(self, number: int) -> None:
        key, value = self.chance.choice(
            [("volume", self.load_volume()), ("mix", "N40/20"), ("slump", self.slump()),
             ("batched", ago(60)), ("ended", ago(1)), ("begun", ago(20)), ("temperature", "20 C")]
        )  # fmt: skip
        self.tell("load", 2, load=number, why="misread", **{key: value})
        if self.odds(0.2):
            self.tell("undo", 1)

    def weather(self) -> None:
        given = {"concrete": "31 C", "air": "27 C", "humidity": "50", "wind": "19 km/h"}
        self.tell("weather", 1, **given)
