"""Findings by rules 2, 3, 5, 7, 9 and 12 as (code, severity, stack, panel, side)."""

from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from . import runs
from .edges import breaks
from .plan import SIDES, Box, Job, Panel, Spot

if TYPE_CHECKING:
    from .reading import Reading


class Found(NamedTuple):
    code: str
    severity: str
    stack: str | None
    panel: int | None
    side: str | None = None


def panel_faults(reading: "Reading", number: int) -> set[Found]:
    """Find what is wrong with one panel where it sits in its stack."""
    stack = reading.stack.id
    found = {
        Found(code, "error", stack, number)
        for code in (*_feature_codes(reading.panel(number)), *_form_codes(reading, number))
    }
    for side, offset in reading.offsets(number).items():
        if offset < -reading.job.lap:
            found.add(Found("overhang", "error", stack, number, side))
        elif reading.bolts(number)[side] is None:
            found.add(Found("out-of-reach", "error", stack, number, side))
    found |= _bracket_faults(reading, number)
    if _out_of_order([one.lift for one in reading.stack.panels[:number]]):
        found.add(Found("lift-order", "error", stack, number))
    if number < len(reading.stack.panels) and reading.panel(number).mark not in reading.poured:
        for side, count in reading.fewest_added(number + 1).items():
            if count:
                found.add(Found("extra-anchors", "warning", stack, number, side))
    return found


def _bracket_faults(reading: "Reading", number: int) -> set[Found]:
    found: set[Found] = set()
    if number == 1:
        return found
    stack, count = reading.stack.id, 0
    below_poured = reading.panel(number - 1).mark in reading.poured
    for side in SIDES:
        one = reading.side(number, side)
        count += len(reading.brackets(number, side))
        if one.cover.props:
            found.add(Found("needs-prop", "warning", stack, number, side))
        if one.cover.missing != 0 and below_poured:
            found.add(Found("short-of-anchors", "error", stack, number, side))
    held = reading.job.kit.brackets
    if held is not None and count > held:
        found.add(Found("short-of-brackets", "warning", stack, number))
    return found


def _out_of_order(lifts: list[int | None]) -> bool:
    """Whether the last of these does not fall below the one given before it."""
    given = [lift for lift in lifts if lift is not None]
    return lifts[-1] is not None and len(given) > 1 and given[-1] >= given[-2]


def _form_codes(reading: "Reading", number: int) -> list[str]:
    kit, panel = reading.job.kit, reading.panel(number)
    if panel.thickness not in kit.depths:
        return ["no-form"]
    return [] if runs.best(kit, panel) else ["short-of-forms"]


def _feature_codes(panel: Panel) -> set[str]:
    codes = set()
    boxes, wide, high = panel.openings, panel.width, panel.height
    for one in boxes:
        if one.x0 < 0 or one.y0 < 0 or one.x1 > wide or one.y1 > high:
            codes.add("opening-outside")
    for one, two in combinations(boxes, 2):
        if one.x0 < two.x1 and two.x0 < one.x1 and one.y0 < two.y1 and two.y0 < one.y1:
            codes.add("openings-overlap")
    for spot in panel.castins:
        if _outside(panel, spot):
            codes.add("castin-outside")
        if any(_inside(panel, box, spot) for box in boxes):
            codes.add("castin-in-opening")
    return codes


def _outside(panel: Panel, spot: Spot) -> bool:
    if spot.edge is not None:
        return not 0 <= spot.at <= panel.length(spot.edge)
    return not (0 <= spot.x <= panel.width and 0 <= spot.y <= panel.height)


def _inside(panel: Panel, box: Box, spot: Spot) -> bool:
    if spot.edge is not None:
        low, high = box.span(spot.edge)
        return breaks(panel, box, spot.edge) and low < spot.at < high
    return box.x0 < spot.x < box.x1 and box.y0 < spot.y < box.y1


def job_faults(job: Job) -> set[Found]:
    """Marks and lift numbers across the job, and the height of each stack."""
    found: set[Found] = set()
    marks: set[str] = set()
    lifts: set[int] = set()
    for stack in job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            if panel.mark in marks:
                found.add(Found("duplicate-mark", "error", stack.id, number))
            marks.add(panel.mark)
            if panel.lift is None:
                continue
            if panel.lift in lifts:
                found.add(Found("duplicate-lift", "error", stack.id, number))
            lifts.add(panel.lift)
        high = sum(one.thickness for one in stack.panels)
        if job.stack_height is not None and high > job.stack_height:
            found.add(Found("stack-too-high", "warning", stack.id, None))
    return found
