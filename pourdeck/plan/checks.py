"""Rule 9, and the plan faults of rule 12 that need no set-out: what is wrong with panels as drawn.

Lines are part of the concrete: an opening may touch the panel's edge or another opening, a cast-in
may sit on the edge of an opening.
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import combinations
from typing import NamedTuple

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.records import CastIn, Job, Limits, Opening, Panel, Person, Side, Stack, Units

_NONE = Decimal(0)


class Named(NamedTuple):
    """A panel by its place and what must be unique in the job. `panel` counts from 1 on the bed."""

    stack: str
    panel: int
    mark: str
    lift: int | None


def panel_faults(stack: Stack, n: int, units: Units = "metric") -> tuple[Finding, ...]:
    """List what is wrong with panel `n` of a stack by itself, and with its lift number (rules 9 and 12).

    `units` are those the messages are written in.
    """
    panel = stack.panels[n - 1]
    found = list(feature_faults(stack.id, n, panel, units))
    if panel.lift is not None:
        for index in range(n - 2, -1, -1):
            if stack.panels[index].lift is not None:
                found += lift_order(_named(stack, (index, n - 1)))
                break
    return tuple(found)


def stack_faults(stack: Stack, limits: Limits, units: Units = "metric") -> tuple[Finding, ...]:
    """`stack-too-high`, a warning: the thicknesses together above `limits.stack_height`."""
    most = limits.stack_height
    if most is None:
        return ()
    height = sum((panel.thickness for panel in stack.panels), _NONE)
    if height <= most:
        return ()
    message = (
        f"The stack is {format_length(height, units)} high; the job's limit is "
        f"{format_length(most, units)}. Move a panel to another stack, or settle a new limit."
    )
    return (Finding(code="stack-too-high", severity="warning", message=message, stack=stack.id),)


def job_faults(job: Job) -> tuple[Finding, ...]:
    """`duplicate-mark`, `duplicate-lift` and `duplicate-person` across the job, at the later place."""
    panels = (one for stack in job.stacks for one in _named(stack, range(len(stack.panels))))
    return (*repeated(panels), *_same_name(job.people))


def _same_name(people: Iterable[Person]) -> Iterator[Finding]:
    """Two people whom nobody can tell apart by their names: the first one would always be meant."""
    seen: dict[str, Person] = {}
    for person in people:
        first = seen.setdefault(" ".join(person.name.split()).casefold(), person)
        if first is not person:
            message = (
                f"{literal(first.name)} is {first.role} and {literal(person.name)} {person.role}: one name. "
                "Give each person one entry, or add what tells the two apart."
            )
            yield Finding(code="duplicate-person", severity="error", message=message)


def repeated(panels: Iterable[Named]) -> Iterator[Finding]:
    """Marks and lift numbers that more than one of these panels has."""
    marks: dict[str, Named] = {}
    lifts: dict[int, Named] = {}
    for panel in panels:
        first = marks.setdefault(panel.mark, panel)
        if first is not panel:
            yield _at(
                panel, "duplicate-mark", "mark",
                f"Mark {literal(panel.mark)} is on {_place(first)} and on {_place(panel)}; "
                "a mark is unique in the job. Give one of them another.",
            )  # fmt: skip
        if panel.lift is None:
            continue
        first = lifts.setdefault(panel.lift, panel)
        if first is not panel:
            yield _at(
                panel, "duplicate-lift", "lift",
                f"Lift {panel.lift} is that of {literal(first.mark)}, {_place(first)}, and of "
                f"{literal(panel.mark)}, {_place(panel)}; a lift number is unique in the job. "
                "Give one of them another.",
            )  # fmt: skip


def lift_order(panels: Iterable[Named]) -> Iterator[Finding]:
    """Rule 9 for the panels of one stack from the bed up: the top panel goes first.

    A panel without a lift number is passed over.
    """
    below: Named | None = None
    for panel in panels:
        if panel.lift is None:
            continue
        if below is not None and below.lift is not None and panel.lift >= below.lift:
            yield _at(
                panel, "lift-order", "lift",
                f"Lift {panel.lift} of {literal(panel.mark)} does not come before lift "
                f"{below.lift} of {literal(below.mark)}, panel {below.panel}, which is under it. "
                "The top panel goes first: lift numbers fall from panel 1 upwards.",
            )  # fmt: skip
        below = panel


def feature_faults(stack: str, n: int, panel: Panel, units: Units) -> Iterator[Finding]:
    """Openings and cast-ins of one panel that lie outside it or in each other (rule 12)."""
    here = Named(stack, n, panel.mark, panel.lift)
    openings = list(enumerate(panel.openings, 1))
    for number, opening in openings:
        past = _past_sides(opening, panel, units)
        if past:
            yield _at(
                here, "opening-outside", None,
                f"Opening {literal(opening.name)} reaches {past} of the panel. "
                "Correct its place or its size.",
                f"openings {number}",
            )  # fmt: skip
    for (_, one), (number, other) in combinations(openings, 2):
        if _overlap(one, other):
            yield _at(
                here, "openings-overlap", None,
                f"Openings {literal(one.name)} and {literal(other.name)} overlap. "
                "Correct their places or sizes, or make them one.",
                f"openings {number}",
            )  # fmt: skip
    for number, item in enumerate(panel.castins, 1):
        yield from _castin_faults(here, panel, number, item, units)


def _castin_faults(
    here: Named, panel: Panel, number: int, item: CastIn, units: Units
) -> Iterator[Finding]:
    table = f"castins {number}"
    name = f"{item.kind.capitalize()} {literal(item.name)}"
    if _castin_outside(item, panel):
        yield _at(
            here, "castin-outside", None,
            f"{name} at {_where(item, units)} is outside the panel of "
            f"{format_length(panel.width, units)} by {format_length(panel.height, units)}. "
            "Correct its place.",
            table,
        )  # fmt: skip
    for opening in panel.openings:
        if _castin_inside(item, opening, panel):
            yield _at(
                here, "castin-in-opening", None,
                f"{name} at {_where(item, units)} is in opening {literal(opening.name)}, "
                "where there is no concrete. Correct its place, or the opening's.",
                table,
            )  # fmt: skip


def _past_sides(opening: Opening, panel: Panel, units: Units) -> str:
    """Say how far an opening passes each side of the panel as drawn; "" where it does not."""
    past = {
        "left": -opening.x,
        "right": opening.x + opening.width - panel.width,
        "base": -opening.y,
        "head": opening.y + opening.height - panel.height,
    }
    by = [f"{format_length(far, units)} past the {side}" for side, far in past.items() if far > 0]
    return " and ".join(by)


def _overlap(one: Opening, other: Opening) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def _castin_outside(item: CastIn, panel: Panel) -> bool:
    if item.edge is not None and item.at is not None:
        return not 0 <= item.at <= panel.side_length(item.edge)
    if item.x is not None and item.y is not None:
        return not (0 <= item.x <= panel.width and 0 <= item.y <= panel.height)
    return False


def _castin_inside(item: CastIn, opening: Opening, panel: Panel) -> bool:
    if item.edge is not None and item.at is not None:
        start, end = _broken(opening, panel, item.edge)
        return start < item.at < end
    if item.x is not None and item.y is not None:
        right, top = opening.x + opening.width, opening.y + opening.height
        return opening.x < item.x < right and opening.y < item.y < top
    return False


def _broken(opening: Opening, panel: Panel, edge: Side) -> tuple[Decimal, Decimal]:
    """The stretch of an edge as cast that an opening breaks; nothing where it does not reach it."""
    x = panel.width - opening.x - opening.width if panel.mirrored else opening.x
    right, top = x + opening.width, opening.y + opening.height
    breaks = {
        "base": opening.y <= 0,
        "head": top >= panel.height,
        "left": x <= 0,
        "right": right >= panel.width,
    }[edge]
    if not breaks:
        return _NONE, _NONE
    return (x, right) if edge in ("base", "head") else (opening.y, top)


def _where(item: CastIn, units: Units) -> str:
    if item.at is not None:
        return f"{format_length(item.at, units)} along the {item.edge}"
    x, y = item.x or _NONE, item.y or _NONE
    return f"x {format_length(x, units)}, y {format_length(y, units)}"


def _named(stack: Stack, indexes: Iterable[int]) -> Iterator[Named]:
    for index in indexes:
        panel = stack.panels[index]
        yield Named(stack.id, index + 1, panel.mark, panel.lift)


def _place(panel: Named) -> str:
    return f"panel {panel.panel} of stack {literal(panel.stack)}"


def _at(
    panel: Named, code: str, key: str | None, message: str, table: str | None = None
) -> Finding:
    return Finding(
        code=code,
        severity="error",
        message=message,
        stack=panel.stack,
        panel=panel.panel,
        mark=panel.mark,
        table=table,
        key=key,
    )
