"""How every panel of a stack sits on the one below: place, offsets, bolts and brackets.

This is the part of the set-out that a change of size or alignment moves, kept apart so that nine
alignments can be compared without working out the rest nine times.
"""

from collections.abc import Mapping
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.poured import Poured
from pourdeck.plan.records import Job, Panel, Stack
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.sides import Side, Sides
from pourdeck.setout.anchors import anchors
from pourdeck.setout.brackets import Held, Joint, joint
from pourdeck.setout.cast_lines import cast_lines
from pourdeck.setout.offsets import bolt_for, offsets
from pourdeck.setout.place import Point, Rect, footprint, place, positions, start_shift
from pourdeck.setout.record import Bracket, Prop

Reach = tuple[Decimal, str | None]
"""How far in a form stands at a bracket, mm, and the bolt that takes it."""

NOTHING: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
NONE_HELD: Sides[tuple[Held, ...]] = Sides((), (), (), ())
NO_BRACKETS: Sides[tuple[Bracket, ...]] = Sides((), (), (), ())


@frozen(kw_only=True, eq=False, repr=False)
class Seat:
    """One panel on the one below; on the first panel everything but `position` is empty.

    `held`: the anchors of the panel below that carry a bracket; `reaches`: how far each reaches where that
    panel was measured as cast, None where it is as planned. `wanted`: along the sides of the panel
    below, the fewest added positions that give cover.
    """

    position: Point
    offsets: Sides[Decimal] | None = None
    bolts: Sides[str | None] | None = None
    held: Sides[tuple[Held, ...]] = NONE_HELD
    reaches: Sides[tuple[Reach, ...]] | None = None
    wanted: Sides[tuple[Decimal, ...]] = NOTHING
    props: tuple[Prop, ...] = ()

    def wanted_count(self) -> int:
        return sum(len(side) for side in self.wanted.values())

    @property
    def brackets(self) -> Sides[tuple[Bracket, ...]]:
        """Each bracket in full, made when asked for: findings and alignments only count them."""
        offsets, bolts = self.offsets, self.bolts
        if offsets is None or bolts is None:
            return NO_BRACKETS
        return Sides.of(
            lambda side: _brackets(
                side,
                self.held[side],
                offsets[side],
                self.reaches[side] if self.reaches else None,
                bolts[side],
            )
        )

    def bracket_count(self) -> int:
        return sum(len(side) for side in self.held.values())

    def moved_count(self, first_bolt: str) -> int:
        """How many brackets are not on the kit's first bolt."""
        if self.bolts is None:
            return 0
        if self.reaches is not None:
            return sum(bolt != first_bolt for on in self.reaches.values() for _, bolt in on)
        return sum(
            len(held)
            for held, bolt in zip(self.held.values(), self.bolts.values(), strict=True)
            if bolt != first_bolt
        )


def holes_of(panel: Panel, job: Job, poured: Poured | None) -> Sides[tuple[Decimal, ...]]:
    """Anchors at the holes of the run: as recorded at the pour, or else as planned. mm."""
    if poured is not None:
        return poured.anchors
    return Sides.of(lambda side: anchors(panel, side, job.kit))


def seat(
    job: Job, panel: Panel, at: Point, below: Panel, below_at: Point, poured: Poured | None
) -> Seat:
    """Seat a panel at its place on the panel below; `poured`: what the log says of the one below."""
    kit, lap = job.kit, job.limits.lap
    found = offsets(footprint(panel, at), footprint(below, below_at))
    bolts = found.map(lambda offset: bolt_for(offset, kit, lap))
    holes = holes_of(below, job, poured)
    extras = NOTHING if poured is None else poured.extra_anchors

    def side_joint(side: Side) -> Joint:
        return joint(
            new=panel,
            below=below,
            side=side,
            shift=start_shift(side, at, below_at),
            kit=kit,
            holes=holes[side],
            extras=extras[side],
            units=job.units,
            poured=poured is not None,
        )

    joints = Sides.of(side_joint)
    held = joints.map(lambda one: one.held)
    return Seat(
        position=at,
        offsets=found,
        bolts=bolts,
        held=held,
        reaches=_reaches(job, footprint(panel, at), below, below_at, poured, held),
        wanted=joints.map(lambda one: one.added),
        props=tuple(
            Prop(side=side, start=start, end=end)
            for side, one in joints.items()
            for start, end in one.props
        ),
    )


def _reaches(
    job: Job,
    new: Rect,
    below: Panel,
    below_at: Point,
    poured: Poured | None,
    held: Sides[tuple[Held, ...]],
) -> Sides[tuple[Reach, ...]] | None:
    """How far each bracket reaches from the panel below as it was cast; None where it is as planned."""
    lines = cast_lines(below, below_at, poured, job) if poured else None
    if lines is None or isinstance(lines, Refusal):
        return None
    faces = Sides(base=new.y0, right=new.x1, head=new.y1, left=new.x0)

    def side_reaches(side: Side) -> tuple[Reach, ...]:
        start = below_at[0 if side in ("base", "head") else 1]
        offsets = [lines.offset(side, faces[side], start + anchor) for _, anchor, _ in held[side]]
        return tuple((one, bolt_for(one, job.kit, job.limits.lap)) for one in offsets)

    return Sides.of(side_reaches)


def _brackets(
    side: Side,
    held: tuple[Held, ...],
    planned: Decimal,
    reaches: tuple[Reach, ...] | None,
    bolt: str | None,
) -> tuple[Bracket, ...]:
    along = reaches or ((planned, bolt),) * len(held)
    return tuple(
        Bracket(
            side=side,
            number=number,
            at=at,
            anchor=anchor,
            extra=extra,
            offset=offset,
            planned=planned,
            bolt=taken,
        )
        for number, ((at, anchor, extra), (offset, taken)) in enumerate(
            zip(held, along, strict=True), start=1
        )
    )


def seats(job: Job, stack: Stack, poured: Mapping[str, Poured]) -> tuple[Seat, ...]:
    """Every panel of a stack, from the bed up."""
    at = positions(stack)
    return (Seat(position=at[0]), *_seats_above(job, stack, 1, at[0], poured))


def seats_from(
    job: Job, stack: Stack, index: int, below_at: Point, poured: Mapping[str, Poured]
) -> tuple[Seat, ...]:
    """The panels from `index` (0 on the bed) up, where the panel below stands at `below_at`."""
    if index == 0:
        return seats(job, stack, poured)
    return tuple(_seats_above(job, stack, index, below_at, poured))


def _seats_above(
    job: Job, stack: Stack, index: int, below_at: Point, poured: Mapping[str, Poured]
) -> list[Seat]:
    found = []
    for below, panel in zip(stack.panels[index - 1 :], stack.panels[index:], strict=False):
        at = place(panel, below, below_at)
        found.append(seat(job, panel, at, below, below_at, poured.get(below.mark)))
        below_at = at
    return found
