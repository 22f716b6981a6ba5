"""Tell what a change of size does: the changed panel and all above it, before and after, and the ways out.

`options` ranks all nine alignments of the changed panel, those above keeping their own.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, Refusal, literal
from pourdeck.plan.records import ALIGNMENTS, Align, Job, Panel, Poured, Revision, Stack
from pourdeck.setout.joints import Seat, seats, turned
from pourdeck.setout.panel import panel_findings, set_out_seated
from pourdeck.setout.record import SetOut

LONGEST_SIDE = Decimal(100_000)
THICKEST = Decimal(2_000)
"""Sizes a panel may be given, mm: what lies beyond is a slip of the key."""


@frozen(kw_only=True)
class Option:
    """One alignment of the changed panel, counted over it and all above.

    `extra_anchors` is how many positions beside the holes their brackets want, `to_fix` how many of these a
    panel that is poured lacks: they are fixed afterwards. `fault` says why an alignment does not work,
    and `finding` is what that says.
    """

    align: Align
    feasible: bool
    extra_anchors: int
    to_fix: int
    moved_bolts: int
    largest_offset: Decimal
    fault: str | None
    finding: Finding | None = None


@frozen(kw_only=True)
class Level:
    """One panel before and after the change."""

    before: SetOut
    after: SetOut

    @property
    def number(self) -> int:
        return self.after.number

    @property
    def mark(self) -> str:
        return self.after.mark


@frozen(kw_only=True)
class Resize:
    """`levels` from the changed panel to the top; `below` the panel it stands on, as it would become."""

    stack: str
    number: int
    before: Panel
    after: Panel
    levels: tuple[Level, ...]
    below: SetOut | None
    options: tuple[Option, ...]

    @property
    def mark(self) -> str:
        return self.after.mark

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(finding for level in self.levels for finding in level.after.findings)

    @property
    def changes_anything(self) -> bool:
        return self.before != self.after

    def revision(self) -> Revision:
        return Revision(
            mark=self.mark,
            width=self.after.width,
            height=self.after.height,
            thickness=self.after.thickness,
            align=self.after.align,
        )


def resize(
    job: Job,
    stack: Stack,
    number: int,
    poured: Mapping[str, Poured],
    *,
    width: Decimal | None = None,
    height: Decimal | None = None,
    thickness: Decimal | None = None,
    align: Align | None = None,
    deciding: bool = False,
) -> Resize | Refusal:
    """Work out a new size of panel `number`, from 1; what is None stays as it is. mm.

    `deciding`: between size changes in conflict, of which one may say what is cast.
    """
    before = stack.panels[number - 1]
    after = evolve(
        before,
        width=before.width if width is None else width,
        height=before.height if height is None else height,
        thickness=before.thickness if thickness is None else thickness,
        align=align or before.align,
    )
    refusal = None if deciding and after == before else _refuse_poured(stack, number, poured)
    refusal = refusal or _refuse(job, before, after)
    if refusal:
        return refusal
    revised = _with_panel(stack, number - 1, after)
    seated_before = seats(job, stack, poured)
    seated_after = seats(job, revised, poured)
    levels = zip(
        set_out_seated(job, stack, seated_before, poured, first=number),
        set_out_seated(job, revised, seated_after, poured, first=number),
        strict=True,
    )
    below = None
    if number > 1:
        below = set_out_seated(job, revised, seated_after, poured, first=number - 1)[0]
    return Resize(
        stack=stack.id,
        number=number,
        before=before,
        after=after,
        levels=tuple(Level(before=old, after=new) for old, new in levels),
        below=below,
        options=_options(job, revised, number, seated_after, poured),
    )


def _refuse_poured(stack: Stack, number: int, poured: Mapping[str, Poured]) -> Refusal | None:
    """Refuse to change what is cast, and what carries a cast panel."""
    mark = literal(stack.panels[number - 1].mark)
    if stack.panels[number - 1].mark in poured:
        instead = " Change the panel above it instead." if stack.panels[number:] else ""
        return Refusal(
            title=f"{mark} is poured and cannot change size.",
            body=f"Its as-cast record says what it is.{instead}",
        )
    for above in stack.panels[number:]:
        if above.mark in poured:
            return Refusal(
                title=f"{mark} cannot change size: {literal(above.mark)} above it is poured.",
                body="See the log: panels are cast from the bed up, and one of the two pours is recorded "
                "for another panel.",
            )
    return None


def _refuse(job: Job, before: Panel, after: Panel) -> Refusal | None:
    mark = literal(before.mark)
    for name, value, most in (
        ("width", after.width, LONGEST_SIDE),
        ("height", after.height, LONGEST_SIDE),
        ("thickness", after.thickness, THICKEST),
    ):
        if not 0 < value <= most:
            return Refusal(
                title=f"{mark} cannot be {format_length(value, job.units)} in {name}.",
                body=f"Give a {name} above 0 and up to {format_length(most, job.units)}.",
            )
    least = min(after.width, after.height, after.thickness)
    if 2 * job.kit.chamfer >= least:
        return Refusal(
            title=f"{mark} would be all chamfer at {format_length(least, job.units)}.",
            body=f"Every side must be more than twice the chamfer, "
            f"{format_length(job.kit.chamfer, job.units)}.",
        )
    return None


def _with_panel(stack: Stack, index: int, panel: Panel) -> Stack:
    return evolve(stack, panels=(*stack.panels[:index], panel, *stack.panels[index + 1 :]))


def _options(
    job: Job,
    stack: Stack,
    number: int,
    seated: tuple[Seat, ...],
    poured: Mapping[str, Poured],
) -> tuple[Option, ...]:
    """All nine, best first: those that work, fewest extra anchors, fewest moved bolts, least offset."""
    index = number - 1
    above = range(number + 1, len(stack.panels) + 1)
    # The panels above move with this one, whichever way it lies: what is wrong with them stays.
    fault_above = _first_error(job, stack, above, seated, poured)
    found = []
    for align in ALIGNMENTS:
        revised, moved = stack, seated
        if align != stack.panels[index].align:
            revised = _with_panel(stack, index, evolve(stack.panels[index], align=align))
            moved = turned(job, revised, number, seated, poured)
        fault = _first_error(job, revised, [number], moved, poured) or fault_above
        found.append(_option(job, revised, number, moved, poured, fault))
    return tuple(
        sorted(
            found,
            key=lambda one: (
                not one.feasible,
                one.extra_anchors,
                one.moved_bolts,
                one.largest_offset,
                ALIGNMENTS.index(one.align),
            ),
        )
    )


def _first_error(
    job: Job,
    stack: Stack,
    numbers: Iterable[int],
    seated: tuple[Seat, ...],
    poured: Mapping[str, Poured],
) -> Finding | None:
    """Find what makes an alignment not work; anchors that are short can be fixed afterwards."""
    return next(
        (
            finding
            for number in numbers
            for finding in panel_findings(job, stack, number, seated, poured)
            if finding.is_error and finding.code != "short-of-anchors"
        ),
        None,
    )


def _option(
    job: Job,
    stack: Stack,
    number: int,
    seated: tuple[Seat, ...],
    poured: Mapping[str, Poured],
    finding: Finding | None,
) -> Option:
    above = seated[number - 1 :]
    below = stack.panels[number - 2].mark
    first_bolt = job.kit.bolts[0].name
    offsets = [offset for one in above if one.offsets for offset in one.offsets.values()]
    return Option(
        align=stack.panels[number - 1].align,
        feasible=finding is None,
        extra_anchors=sum(one.wanted_count() for one in above),
        to_fix=above[0].wanted_count() if number > 1 and below in poured else 0,
        moved_bolts=sum(one.moved_count(first_bolt) for one in above),
        largest_offset=max(offsets, default=Decimal(0)),
        fault=_fault(finding, number),
        finding=finding,
    )


def _fault(finding: Finding | None, number: int) -> str | None:
    if finding is None or finding.panel == number:
        return finding.message if finding else None
    return f"{literal(finding.mark or '')} {finding.message}"
