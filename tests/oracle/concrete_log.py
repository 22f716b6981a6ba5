"""The lines of a site log, read as plain JSON: what stands of them, and of each panel what its concrete
needs. A correction voids the line it names; what is undone never was.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

SIZES = ("width", "height", "thickness")


@dataclass(frozen=True)
class Line:
    station: str
    n: int
    at: datetime
    kind: str
    data: dict[str, Any]

    @property
    def key(self) -> tuple[str, int]:
        return self.station, self.n


def moment(text: str) -> datetime:
    """A time of the log in UTC, so that differences are true across a change of clocks."""
    return datetime.fromisoformat(text).astimezone(UTC)


def lines_of(folder: Path) -> list[Line]:
    """All stations together, in the order of their times."""
    found = []
    for path in sorted((folder / "log").glob("*.jsonl")):
        for text in path.read_text(encoding="utf-8").splitlines():
            raw = json.loads(text)
            found.append(Line(path.stem, raw["n"], moment(raw["at"]), raw["kind"], raw["data"]))
    return sorted(found, key=lambda one: (one.at, one.station, one.n))


def standing(lines: list[Line]) -> list[Line]:
    """Without what was undone and what a standing correction names."""
    gone: set[tuple[str, int]] = set()
    for one in reversed(lines):
        if one.key in gone:
            continue
        if one.kind == "undo":
            gone.add((one.data["station"], one.data["n"]))
        elif "replaces" in one.data:
            gone.add((one.data["replaces_station"], one.data["replaces"]))
    return [one for one in lines if one.key not in gone and one.kind != "undo"]


@dataclass
class Specimen:
    name: str
    cured: str


@dataclass
class Result:
    """`specimen`: what was written of it; what stands of it in the end is `Concrete.tests`."""

    specimen: Specimen
    strength: Fraction
    at: datetime


@dataclass
class Load:
    """`values` as they stand in the log."""

    number: int
    values: dict[str, str] = field(default_factory=dict)

    @property
    def rejected(self) -> bool:
        return "rejected" in self.values

    @property
    def in_form(self) -> bool:
        return not self.rejected and ("begun" in self.values or "ended" in self.values)

    @property
    def volume(self) -> Fraction:
        return Fraction(self.values.get("volume", 0))

    def time(self, key: str) -> datetime | None:
        return moment(self.values[key]) if key in self.values else None


@dataclass
class Concrete:
    """Hold what the log has of one panel."""

    size: dict[str, Fraction] = field(default_factory=dict)
    align: str | None = None
    began: datetime | None = None
    ended: datetime | None = None
    formed: dict[str, Fraction] = field(default_factory=dict)
    """Hold what was measured between the form faces, and from form top to surface, by place."""
    readings: dict[datetime, Fraction] = field(default_factory=dict)
    specimens: dict[str, Specimen] = field(default_factory=dict)
    results: dict[str, Result] = field(default_factory=dict)
    loads: dict[int, Load] = field(default_factory=dict)

    def take(self, line: Line) -> None:
        data = line.data
        match line.kind:
            case "revise":
                self._resized(data["after"])
            case "pour-start":
                self.began = moment(data["time"])
                self._resized(data, forget=False)
            case "pour-end":
                self.ended = moment(data["time"])
            case "answer":
                self._answered(data["item"], data["value"])
            case "not-applicable" | "defer":
                self.formed.pop(data["item"], None)
            case "temperatures":
                for at, celsius in data["readings"]:
                    self.readings[moment(at)] = Fraction(celsius)
            case "specimen":
                name = data["specimen"]
                self.specimens[name.casefold()] = Specimen(name, data["cured"])
            case "test":
                self._tested(data)
            case "load":
                load = self.loads.setdefault(data["load"], Load(data["load"]))
                load.values.update(data["values"])

    def _resized(self, after: dict[str, Any], forget: bool = True) -> None:
        """A form that was set to another size says nothing of this one."""
        for key in SIZES:
            value = Fraction(after[key])
            if forget and self.size.get(key, value) != value:
                for place in [one for one in self.formed if measures(one) == key]:
                    del self.formed[place]
            self.size[key] = value
        self.align = after["align"]

    def _answered(self, item: str, value: str) -> None:
        if measures(item) is not None:
            self.formed[item] = Fraction(value)

    def _tested(self, data: dict[str, Any]) -> None:
        name = data["specimen"]
        one, at = Specimen(name, data["cured"]), moment(data["time"])
        self.results[name.casefold()] = Result(one, Fraction(data["strength"]), at)

    @property
    def tests(self) -> list[Result]:
        """Each with its specimen as it was put right last, also after the test."""
        return [
            Result(self.specimens.get(key, one.specimen), one.strength, one.at)
            for key, one in self.results.items()
        ]

    def between_forms(self, key: str) -> Fraction | None:
        """The mean of what was measured of a size before the pour."""
        found = [value for place, value in self.formed.items() if measures(place) == key]
        return sum(found, Fraction(0)) / len(found) if found else None


def measures(item: str) -> str | None:
    """The size that an item of the walk measures between the forms."""
    section, _, place = item.partition("/")
    if section == "height.depth":
        return "thickness"
    if section == "forms.between":
        return "width" if place in ("base", "head") else "height"
    return None


def panels_of(lines: list[Line], planned: dict[str, dict[str, Fraction]]) -> dict[str, Concrete]:
    """Give what stands of each panel of the plan, by its mark."""
    found = {mark: Concrete(size=dict(size)) for mark, size in planned.items()}
    for one in _of_panels(lines):
        if one.data["panel"] in found:
            found[one.data["panel"]].take(one)
    return found


def _of_panels(lines: list[Line]) -> Iterator[Line]:
    return (one for one in standing(lines) if one.data.get("panel"))
