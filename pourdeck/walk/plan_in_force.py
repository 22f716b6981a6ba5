"""The plan a panel is judged by: as the log changes it, and once the panel is closed as its close sealed it.

Sizes are changed on site, and a panel is what it was when it was poured. A plan that is edited afterwards, or
a surface that is measured again, changes nothing of a panel that is closed. The converter is made when it is
first asked for: a check of the plan needs none of it.
"""

from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import evolve, fields, frozen, has

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import ALIGNMENTS, Job, Panel, Revision, Stack, Units, in_force
from pourdeck.setout.record import PlacedCastIn, SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.words import count_of, number_of, with_people

if TYPE_CHECKING:
    from cattrs.preconf.json import JsonConverter

# What the log changes in the plan: sizes changed on site, and what panels came to be when poured.

SIZES = ("width", "height", "thickness")


def plan_in_force(plan: Job, state: SiteState) -> Job:
    """The plan with size changes and people of the log, and every poured panel as its pour recorded it."""
    revised = in_force(plan, revisions_of(plan, state.revisions))
    return with_people(in_force(revised, cast_revisions(revised, state)), state)


def cast_revisions(revised: Job, state: SiteState) -> list[Revision]:
    """Panels that are poured and that the plan says otherwise of: a poured panel is what was cast."""
    found = []
    for stack in revised.stacks:
        for panel in stack.panels:
            record = state.panels.get(panel.mark)
            if record is not None and record.pour_start is not None:
                cast = _revision(panel, record.pour_start.data)
                if cast.apply(panel) != panel:
                    found.append(cast)
    return found


def cast_findings(plan: Job, state: SiteState) -> tuple[Finding, ...]:
    """`plan-differs-from-cast`, a warning: what was cast stands, and the plan is to be put right."""
    revised = in_force(plan, revisions_of(plan, state.revisions))
    cast = {revision.mark: revision for revision in cast_revisions(revised, state)}
    found = []
    for stack in revised.stacks:
        for number, panel in enumerate(stack.panels, 1):
            if panel.mark in cast:
                spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                message = _difference(panel, cast[panel.mark], plan.units)
                found.append(spot.warning("plan-differs-from-cast", message))
    return tuple(found)


def _difference(panel: Panel, cast: Revision, units: Units) -> str:
    told = [
        f"{name} {format_length(getattr(cast, name), units)}, "
        f"not {format_length(getattr(panel, name), units)}"
        for name in SIZES
        if getattr(cast, name) != getattr(panel, name)
    ]
    if cast.align != panel.align:
        told.append(f"{cast.align}, not {panel.align}")
    return (
        f"it was cast with {'; '.join(told)} as the plan has it now. What was cast counts. "
        "Put job.toml right, or take it to the engineer."
    )


def lost_marks(plan: Job, state: SiteState) -> tuple[Finding, ...]:
    """`mark-lost`, a warning for each panel that was begun and that the plan no longer has."""
    marks = {panel.mark for stack in plan.stacks for panel in stack.panels}
    return tuple(
        Finding(
            code="mark-lost",
            severity="warning",
            mark=mark,
            message=f"The log has {count_of(len(record.entries), 'entry', 'entries')} of "
            f"{literal(mark)}, and the plan has no panel of that mark. They are kept and count for no "
            "panel. Put the mark back in job.toml; a panel that is only renamed has its record under "
            "the old mark.",
        )
        for mark, record in state.panels.items()
        if record.started is not None and mark not in marks
    )


def revisions_of(plan: Job, entries: Iterable[Entry]) -> list[Revision]:
    """Each size change that stands, in order; what it does not name stays as it was before.

    One of a panel that the plan no longer has is left out: `lost_revisions` names it.
    """
    panels = {panel.mark: panel for stack in plan.stacks for panel in stack.panels}
    made: list[Revision] = []
    for entry in entries:
        panel = panels.get(entry.panel or "")
        if panel is not None:
            revision = _revision(panel, entry.data["after"])
            panels[panel.mark] = revision.apply(panel)
            made.append(revision)
    return made


def _revision(panel: Panel, after: dict[str, Any]) -> Revision:
    sizes: dict[str, Decimal] = {}
    for name in SIZES:
        given = number_of(after.get(name))
        sizes[name] = getattr(panel, name) if given is None else given
    return Revision(
        mark=panel.mark,
        width=sizes["width"],
        height=sizes["height"],
        thickness=sizes["thickness"],
        align=next((one for one in ALIGNMENTS if one == after.get("align")), panel.align),
    )


def lost_revisions(plan: Job, entries: Iterable[Entry]) -> tuple[Finding, ...]:
    """A warning for each size change of a panel that the plan no longer has."""
    marks = {panel.mark for stack in plan.stacks for panel in stack.panels}
    return tuple(
        Finding(
            code="revision-lost",
            severity="warning",
            mark=entry.panel,
            message=f"The log has a size change of {literal(entry.panel or '')} (no. {entry.n} of "
            f"{literal(entry.station)}), and the plan has no panel of that mark. It is kept and "
            "not applied. Put the mark back, or write the size into the panel that took its place.",
        )
        for entry in entries
        if entry.panel not in marks
    )


# What a panel was built by, sealed with its close: its set-out and the job as it judged that day.

SEALED = "as_computed"
"""Where the data of a `close` holds it."""


@frozen(kw_only=True, eq=False, repr=False)
class AsComputed:
    """The set-out of a panel, and of its job all but the people, whose word is enough and the other
    stacks."""

    job: Job
    setout: SetOut

    @property
    def stack(self) -> Stack:
        return self.job.stacks[0]

    @property
    def place(self) -> tuple[str, int]:
        """The stack and the number in it, from 1, that the panel was cast at."""
        return self.setout.stack, self.setout.number


def sealed(job: Job, stack: Stack, setout: SetOut) -> dict[str, Any]:
    """Give what a `close` seals: text, whole numbers and lists of them; each length a string, exact."""
    alone = evolve(job, folder=Path(), people=(), words=(), stacks=(stack,))
    found = AsComputed(job=alone, setout=setout)
    data: dict[str, Any] = _converter().unstructure(found)
    return data


def as_computed(record: PanelState, job: Job) -> AsComputed | None:
    """Read what was sealed at the close of a panel; folder, people, words and people's units are `job`'s.

    None where it is not closed, or where nothing that can be read was sealed.
    """
    data = record.closed.data.get(SEALED) if record.closed else None
    if data is None:
        return None
    try:
        found = _converter().structure(data, AsComputed)
    except MemoryError:
        raise
    except Exception:  # whatever the converter says of what it cannot read
        return None
    if not found.job.stacks or not all(map(_placed, found.setout.castins)):
        return None
    now = evolve(found.job, folder=job.folder, people=job.people, words=job.words, units=job.units)
    return evolve(found, job=now)


def _placed(one: PlacedCastIn) -> bool:
    """Whether a cast-in has the place that its sums need: in the face, or along an edge."""
    return one.at is not None if one.edge else one.x is not None and one.y is not None


def judged_alike(record: PanelState, job: Job, setout: SetOut) -> bool:
    """True where what a close sealed judges the panel as cast as `job` and `setout` do now.

    Compared as the log holds it: to make records of all that was sealed takes far longer. False where
    that cannot be told.
    """
    data = record.closed.data.get(SEALED) if record.closed else None
    if data is None:
        return True
    try:
        sealed_job, sealed_out = data["job"], data["setout"]
        return all(
            _is(now, then)
            for then, now in (
                (sealed_job["tolerance"], job.tolerance),
                (sealed_job["steps"], job.steps),
                (sealed_out["panel"], setout.panel),
                (sealed_out["heights"], setout.heights),
                (sealed_out["diagonal"], setout.diagonal),
                (sealed_out["stack"], setout.stack),
                (sealed_out["number"], setout.number),
            )
        )
    except (KeyError, TypeError):
        return False


def _is(now: Any, then: Any) -> bool:
    """Whether a close sealed just this, told without a converter; what cannot be told is not."""
    if isinstance(now, Decimal):
        return bool(then == plain(now) or then == {"number": plain(now)})
    if isinstance(now, tuple):
        return (
            isinstance(then, list)
            and len(then) == len(now)
            and all(_is(one, other) for one, other in zip(now, then, strict=True))
        )
    if has(type(now)):
        return isinstance(then, dict) and all(
            one.name in then and _is(getattr(now, one.name), then[one.name])
            for one in fields(type(now))
        )
    return bool(then == now)


@cache
def _converter() -> "JsonConverter":
    from cattrs.preconf.json import make_converter

    converter = make_converter(detailed_validation=False)
    converter.register_unstructure_hook(Decimal, plain)
    converter.register_structure_hook(Decimal, lambda value, _: _decimal(value))
    # A word and a number that looks the same are told apart by what holds the number.
    converter.register_unstructure_hook_func(_either, _unstructured)
    converter.register_structure_hook_func(_either, lambda value, _: _structured(value))
    return converter


def _decimal(value: object) -> Decimal:
    number = number_of(value)
    if number is None:
        raise TypeError(value)
    return number


def _either(kind: object) -> bool:
    return kind == (Decimal | str | None)


def _unstructured(value: Decimal | str | None) -> dict[str, str] | str | None:
    return {"number": plain(value)} if isinstance(value, Decimal) else value


def _structured(value: object) -> Decimal | str | None:
    if isinstance(value, dict):
        return _decimal(value["number"])
    if value is not None and not isinstance(value, str):
        raise TypeError(value)
    return value
