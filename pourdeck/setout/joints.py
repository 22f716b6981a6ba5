"""How every panel of a stack sits on the one below: place, offsets, bolts and brackets.

This is the part of the set-out that a change of size or alignment moves, kept apart so that nine
alignments can be compared without working out the rest nine times.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.plan.poured import Poured
from pourdeck.plan.records import Job, Panel, Stack
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.sides import Side, Sides
from pourdeck.setout.adjust import Adjusted
from pourdeck.setout.anchors import anchors
from pourdeck.setout.brackets import Held, Joint, joint
from pourdeck.setout.cast_lines import CastLines, cast_lines
from pourdeck.setout.offsets import bolt_for, offsets
from pourdeck.setout.place import ORIGIN, Point, Rect, faces, footprint, place, start_shift
from pourdeck.setout.record import Bracket, Prop

Reach = tuple[Decimal, str | None]
"""How far in a form stands at a bracket, mm, and the bolt that takes it."""

NOTHING: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
NONE_HELD: Sides[tuple[Held, ...]] = Sides((), (), (), ())
NO_BRACKETS: Sides[tuple[Bracket, ...]] = Sides((), (), (), ())


@frozen(kw_only=True, eq=False, repr=False)
class Seat:
    """One panel on the one below; on the first panel everything but `position` and `cast` is empty.

    `cast`: its own sides as they came to be, why they cannot be told, or None where nothing that bears on
    them was measured. `held`: the anchors of the panel below that carry a bracket; `reaches`: how far
    each reaches where that panel was measured as cast, None where it is as planned. `wanted`: along the
    sides of the panel below, the fewest added positions that give cover.
    """

    position: Point
    cast: CastLines | Refusal | None = None
    offsets: Sides[Decimal] | None = None
    bolts: Sides[str | None] | None = None
    held: Sides[tuple[Held, ...]] = NONE_HELD
    reaches: Sides[tuple[Reach, ...]] | None = None
    wanted: Sides[tuple[Decimal, ...]] = NOTHING
    props: tuple[Prop, ...] = ()

    @property
    def lines(self) -> CastLines | None:
        return self.cast if isinstance(self.cast, CastLines) else None

    @property
    def adjusted(self) -> Adjusted | None:
        """Where the corners came to be; None where that cannot be told or was not measured."""
        return self.lines.adjusted if self.lines else None

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


def seat(job: Job, panel: Panel, below: Panel, under: Seat, poured: Mapping[str, Poured]) -> Seat:
    """Seat a panel on the panel below, which is seated `under` it."""
    kit, lap = job.kit, job.limits.lap
    below_at = under.position
    at = place(panel, below, below_at)
    found = offsets(footprint(panel, at), footprint(below, below_at))
    bolts = found.map(lambda offset: bolt_for(offset, kit, lap))
    cast_below = poured.get(below.mark)
    holes = holes_of(below, job, cast_below)
    extras = NOTHING if cast_below is None else cast_below.extra_anchors

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
            poured=cast_below is not None,
        )

    joints = Sides.of(side_joint)
    held = joints.map(lambda one: one.held)
    return Seat(
        position=at,
        cast=cast_lines(panel, at, poured.get(panel.mark), job),
        offsets=found,
        bolts=bolts,
        held=held,
        reaches=_reaches(job, footprint(panel, at), under, held),
        wanted=joints.map(lambda one: one.added),
        props=tuple(
            Prop(side=side, start=start, end=end)
            for side, one in joints.items()
            for start, end in one.props
        ),
    )


def _reaches(
    job: Job, new: Rect, under: Seat, held: Sides[tuple[Held, ...]]
) -> Sides[tuple[Reach, ...]] | None:
    """How far each bracket reaches from the panel below as it was cast; None where it is as planned."""
    lines = under.lines
    if lines is None:
        return None
    face = faces(new)

    def side_reaches(side: Side) -> tuple[Reach, ...]:
        start = under.position[0 if side in ("base", "head") else 1]
        offsets = [lines.offset(side, face[side], start + anchor) for _, anchor, _ in held[side]]
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
    """Every panel of a stack, from the bed up. `poured`: what the log says of poured panels, by mark."""
    found: list[Seat] = []
    for panel in stack.panels:
        if found:
            found.append(seat(job, panel, stack.panels[len(found) - 1], found[-1], poured))
        else:
            cast = cast_lines(panel, ORIGIN, poured.get(panel.mark), job)
            found.append(Seat(position=ORIGIN, cast=cast))
    return tuple(found)


def turned(
    job: Job, stack: Stack, number: int, seated: Sequence[Seat], poured: Mapping[str, Poured]
) -> tuple[Seat, ...]:
    """The seats of a stack whose panel `number` is aligned otherwise than where it was `seated`.

    Each panel above keeps its place on the one below it, so that all of them move with the turned one and
    nothing else of them changes. Neither it nor what is above it may be poured: what is cast moves no more.
    """
    index = number - 1
    if index == 0:
        return tuple(seated)
    here = seat(job, stack.panels[index], stack.panels[index - 1], seated[index - 1], poured)
    x, y = here.position
    was_x, was_y = seated[index].position
    above = [
        evolve(one, position=(one.position[0] + x - was_x, one.position[1] + y - was_y))
        for one in seated[number:]
    ]
    return (*seated[:index], here, *above)
