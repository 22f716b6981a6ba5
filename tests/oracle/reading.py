"""The dictionaries of `setout --json` and `shrink --json`, and the findings, from the page alone.

Numbers stay fractions. What a person may choose freely (where extra anchors stand, which pieces make
a run, how a region is cut into rectangles) is given as what any choice must satisfy.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from . import edges, fills, runs
from .faults import Found, job_faults, panel_faults
from .features import castin, quantities
from .plan import ALIGNS, SIDES, Job, Pair, Panel, Stack

Recorded = Mapping[str, Mapping[str, Mapping[str, list[Fraction]]]]
"""mark -> "anchors" | "extra_anchors" -> side -> positions: what the pour of a panel recorded."""


@dataclass(frozen=True)
class Side:
    """One side of a panel above the first: brackets on anchors that stand there, and the cover."""

    stand: list[tuple[Fraction, Fraction, bool]]
    cover: edges.Cover
    shift: Fraction


@dataclass(frozen=True)
class Reading:
    job: Job
    stack: Stack
    poured: Recorded

    @cached_property
    def at(self) -> list[Pair]:
        return edges.places(self.stack.panels)

    @cached_property
    def _known(self) -> dict[tuple[int, str], Side]:
        return {}

    def panel(self, number: int) -> Panel:
        return self.stack.panels[number - 1]

    def offsets(self, number: int) -> dict[str, Fraction]:
        if number == 1:
            return {}
        at = self.at
        new, below = self.panel(number), self.panel(number - 1)
        return edges.offsets(new, at[number - 1], below, at[number - 2])

    def bolts(self, number: int) -> dict[str, str | None]:
        found = self.offsets(number)
        return {side: edges.bolt(self.job.kit, self.job.lap, found[side]) for side in found}

    def anchors(self, number: int, side: str) -> list[Fraction]:
        panel = self.panel(number)
        if panel.mark in self.poured:
            return list(self.poured[panel.mark]["anchors"][side])
        if number == len(self.stack.panels):
            return []
        return edges.holes(self.job.kit, panel, side)

    def side(self, number: int, side: str) -> Side:
        """Brackets of panel `number` on what the panel below has without anything added for it."""
        if (number, side) not in self._known:
            self._known[number, side] = self._side(number, side)
        return self._known[number, side]

    def _side(self, number: int, side: str) -> Side:
        kit, at = self.job.kit, self.at
        new, below = self.panel(number), self.panel(number - 1)
        shift = edges.moved(side, at[number - 1], at[number - 2])
        held = [(anchor, False) for anchor in self.anchors(number - 1, side)]
        if below.mark in self.poured:
            held += [(anchor, True) for anchor in self.poured[below.mark]["extra_anchors"][side]]
        long = new.length(side)
        stand = [
            (anchor + shift, anchor, extra)
            for anchor, extra in sorted(held)
            if kit.end_min <= anchor + shift <= long - kit.end_min
        ]
        forbidden = edges.closed(kit, new, below, side, shift)
        cover = edges.cover(kit, long, forbidden, [one for one, _, _ in stand])
        return Side(stand, cover, shift)

    def brackets(self, number: int, side: str) -> list[bool]:
        """One for each bracket of a side of a panel above the first, True on an extra anchor.

        What an unpoured panel below still gets cast in counts; what a poured one lacks does not.
        """
        found = self.side(number, side)
        poured = self.panel(number - 1).mark in self.poured
        added = 0 if poured else found.cover.missing or 0
        return [extra for _, _, extra in found.stand] + [True] * added

    def fewest_added(self, number: int) -> dict[str, int | None]:
        """Positions wanted for the brackets of panel `number`, side by side."""
        if number == 1:
            return {}
        return {side: self.side(number, side).cover.missing for side in SIDES}

    def setout(self, number: int) -> dict[str, Any]:
        job, panel = self.job, self.panel(number)
        chamfer = job.kit.chamfer
        below = job_height(self.stack, number)
        run = runs.best(job.kit, panel) if panel.thickness in job.kit.depths else None
        return {
            "job": job.name,
            "stack": self.stack.id,
            "panel": number,
            "of": len(self.stack.panels),
            "mark": panel.mark,
            "rev": panel.raw.get("rev"),
            "width": panel.width,
            "height": panel.height,
            "thickness": panel.thickness,
            "form_depth": panel.thickness if panel.thickness in job.kit.depths else None,
            "mirrored": panel.mirrored,
            "position": list(self.at[number - 1]),
            "offsets": self.offsets(number),
            "bolts": self.bolts(number),
            "diagonal": {
                "face": float(panel.width**2 + panel.height**2) ** 0.5,
                "arris": float((panel.width - 2 * chamfer) ** 2 + (panel.height - 2 * chamfer) ** 2)
                ** 0.5,
            },
            "rl": {"below": below, "top": below + panel.thickness / 1000},
            "anchors": {side: self.anchors(number, side) for side in SIDES},
            "openings": [
                {
                    "name": one.name,
                    "x": one.x0,
                    "y": one.y0,
                    "width": one.x1 - one.x0,
                    "height": one.y1 - one.y0,
                }
                for one in panel.openings
            ],
            "castins": [castin(one, chamfer) for one in panel.castins],
            "quantities": quantities(job, panel),
            "sides": {} if number == 1 else {side: self.side(number, side) for side in SIDES},
            "wanted": self.fewest_added(number + 1) if number < len(self.stack.panels) else {},
            "run": run,
            "fill": fills.fills(self.stack.panels, self.at, number - 1),
        }

    def findings(self, number: int) -> set[Found]:
        return panel_faults(self, number)

    def shrink(self, number: int, **news: Any) -> dict[str, Any]:
        after = replace(self, stack=self.stack.changed(number, **news))
        options = [
            (align, replace(after, stack=after.stack.changed(number, align=align)).judged(number))
            for align in ALIGNS
        ]
        ranked = sorted(
            options,
            key=lambda one: (
                not one[1]["feasible"],
                one[1]["extra_anchors"],
                one[1]["moved_bolts"],
                one[1]["largest_offset"],
                ALIGNS.index(one[0]),
            ),
        )
        return {
            "levels": [
                {
                    "panel": one,
                    "mark": self.panel(one).mark,
                    "before": {"offsets": self.offsets(one), "bolts": self.bolts(one)},
                    "after": {"offsets": after.offsets(one), "bolts": after.bolts(one)},
                    "findings": after.findings(one),
                }
                for one in range(number, len(self.stack.panels) + 1)
            ],
            "options": [{"align": align, **judged} for align, judged in ranked],
        }

    def judged(self, number: int) -> dict[str, Any]:
        """Give what one alignment of panel `number` costs, over it and all above."""
        upwards = range(number, len(self.stack.panels) + 1)
        errors = {
            found.code
            for one in upwards
            for found in self.findings(one)
            if found.severity == "error" and found.code != "short-of-anchors"
        }
        added = moved = 0
        largest: list[Fraction] = []
        first = self.job.kit.bolts[0][0]
        for one in upwards:
            if one == 1:
                continue
            bolts = self.bolts(one)
            largest += self.offsets(one).values()
            for side in SIDES:
                found = self.side(one, side)
                added += found.cover.missing or 0
                if bolts[side] != first:
                    moved += len(self.brackets(one, side))
        return {
            "feasible": not errors,
            "extra_anchors": added,
            "moved_bolts": moved,
            "largest_offset": max(largest, default=Fraction(0)),
        }


def job_height(stack: Stack, number: int) -> Fraction:
    """Planned RL of what panel `number` is cast on, m."""
    return stack.bed_rl + sum(one.thickness for one in stack.panels[: number - 1]) / 1000


def readings(job: Job, poured: Recorded) -> list[Reading]:
    return [Reading(job, stack, poured) for stack in job.stacks]


def check(job: Job, poured: Recorded) -> set[Found]:
    """Every finding of the job."""
    found = job_faults(job)
    for one in readings(job, poured):
        for number in range(1, len(one.stack.panels) + 1):
            found |= one.findings(number)
    return found
