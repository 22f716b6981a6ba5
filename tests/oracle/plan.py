"""job.toml taken apart with tomllib and exact fractions; features turned to how they are cast."""

import tomllib
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

SIDES = ("base", "right", "head", "left")
ALIGNS = (
    "base-left", "base-centre", "base-right",
    "centre-left", "centre", "centre-right",
    "head-left", "head-centre", "head-right",
)  # fmt: skip
Pair = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Box:
    """An opening as cast, in the panel's own coordinates, mm."""

    name: str
    x0: Fraction
    y0: Fraction
    x1: Fraction
    y1: Fraction

    @property
    def area(self) -> Fraction:
        return (self.x1 - self.x0) * (self.y1 - self.y0)

    def span(self, side: str) -> Pair:
        return (self.x0, self.x1) if side in ("base", "head") else (self.y0, self.y1)


@dataclass(frozen=True)
class Spot:
    """A cast-in as cast: in the face at x, y, or in an edge at `at`."""

    name: str
    kind: str
    x: Fraction | None
    y: Fraction | None
    edge: str | None
    at: Fraction | None


@dataclass(frozen=True)
class Panel:
    mark: str
    width: Fraction
    height: Fraction
    thickness: Fraction
    lift: int | None
    align: str
    shift: Pair
    mirrored: bool
    raw: dict[str, Any] = field(repr=False, compare=False)

    def length(self, side: str) -> Fraction:
        return self.width if side in ("base", "head") else self.height

    @property
    def openings(self) -> list[Box]:
        found = []
        for one in self.raw.get("openings", []):
            x, y = Fraction(one["x"]), Fraction(one["y"])
            wide, high = Fraction(one["width"]), Fraction(one["height"])
            if self.mirrored:
                x = self.width - x - wide
            found.append(Box(one["name"], x, y, x + wide, y + high))
        return found

    @property
    def castins(self) -> list[Spot]:
        found = []
        for one in self.raw.get("castins", []):
            if "edge" in one:
                at = Fraction(one["at"])
                found.append(Spot(one["name"], one["kind"], None, None, one["edge"], at))
                continue
            x, y = Fraction(one["x"]), Fraction(one["y"])
            x = self.width - x if self.mirrored else x
            found.append(Spot(one["name"], one["kind"], x, y, None, None))
        return found


@dataclass(frozen=True)
class Stack:
    id: str
    bed_rl: Fraction
    panels: tuple[Panel, ...]

    def changed(self, number: int, **news: Any) -> "Stack":
        """The stack with panel `number` (from 1) changed."""
        panels = list(self.panels)
        panels[number - 1] = replace(panels[number - 1], **news)
        return replace(self, panels=tuple(panels))


@dataclass(frozen=True)
class Kit:
    depths: tuple[Fraction, ...]
    chamfer: Fraction
    first: Fraction
    pitch: Fraction
    end_min: Fraction
    end_max: Fraction
    gap_max: Fraction
    clear: Fraction
    overrun: Pair
    stock: tuple[tuple[Fraction, int, Fraction | None], ...]
    brackets: int | None
    bolts: tuple[tuple[str, Fraction, Fraction], ...]


@dataclass(frozen=True)
class Job:
    name: str
    kit: Kit
    density: Fraction | None
    lap: Fraction
    stack_height: Fraction | None
    stacks: tuple[Stack, ...]


def read(text: str) -> Job:
    data = tomllib.loads(text, parse_float=Fraction)
    limits = data.get("limits", {})
    height, density = limits.get("stack_height"), data.get("mix", {}).get("density")
    return Job(
        name=data["job"]["name"],
        kit=_kit(data["kit"]),
        density=None if density is None else Fraction(density),
        lap=Fraction(limits.get("lap", 3)),
        stack_height=None if height is None else Fraction(height),
        stacks=tuple(_stack(one) for one in data["stack"]),
    )


def _kit(raw: dict[str, Any]) -> Kit:
    rules = {key: Fraction(value) for key, value in raw["anchors"].items()}
    return Kit(
        depths=tuple(Fraction(one) for one in raw["depths"]),
        chamfer=Fraction(raw["chamfer"]),
        first=Fraction(raw["holes"]["first"]),
        pitch=Fraction(raw["holes"]["pitch"]),
        overrun=(Fraction(raw["overrun"]["min"]), Fraction(raw["overrun"]["max"])),
        stock=tuple(
            (Fraction(s["length"]), s["count"], Fraction(s["depth"]) if "depth" in s else None)
            for s in raw["stock"]
        ),
        brackets=raw.get("brackets"),
        bolts=tuple(
            (b["name"], Fraction(b["reach"][0]), Fraction(b["reach"][1])) for b in raw["bolts"]
        ),
        **rules,
    )


def _stack(raw: dict[str, Any]) -> Stack:
    default = raw.get("align", "base-left")
    panels = tuple(_panel(one, default) for one in raw["panel"])
    return Stack(raw["id"], Fraction(raw["bed_rl"]), panels)


def _panel(raw: dict[str, Any], align: str) -> Panel:
    shift = raw.get("shift", [0, 0])
    return Panel(
        mark=raw["mark"],
        width=Fraction(raw["width"]),
        height=Fraction(raw["height"]),
        thickness=Fraction(raw["thickness"]),
        lift=raw.get("lift"),
        align=raw.get("align", align),
        shift=(Fraction(shift[0]), Fraction(shift[1])),
        mirrored=raw.get("drawn_from", "inside") != raw.get("face_up", "inside"),
        raw=raw,
    )
