"""Joints: how every panel of a stack sits on the one below, as planned and as that was cast.

This is the part of the set-out that a change of size or alignment moves, kept apart so that nine
alignments can be compared without working out the rest nine times.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache

from attrs import evolve, frozen

from pourdeck.plan.lengths import format_length, rounded
from pourdeck.plan.messages import Finding, Refusal, Spot, literal
from pourdeck.plan.records import Bolt, Corner, Job, Panel, Poured, Side, Sides, Stack, Units
from pourdeck.setout.adjust import BEARING, SLIP, Adjusted, Checked, Corners, adjust
from pourdeck.setout.anchors import Held, Joint, anchors, joint
from pourdeck.setout.place import (
    ORIGIN,
    Point,
    Rect,
    bolt_for,
    faces,
    footprint,
    offsets,
    place,
    reach_fault,
    start_shift,
)
from pourdeck.setout.record import Bracket, Prop

# Where the sides of a cast panel really run, and how far in the next form stands at each bracket.
#
# The next panel is set out at its planned place, so that what is off in one does not climb into the next.

ENDS: dict[Side, tuple[Corner, Corner]] = {
    "base": ("bl", "br"),
    "right": ("br", "hr"),
    "head": ("hl", "hr"),
    "left": ("bl", "hl"),
}
"""The corners a side runs between, as positions along it rise."""

INWARDS: dict[Side, int] = {"base": 1, "right": -1, "head": -1, "left": 1}
"""Whether a form moves in as its coordinate rises."""

MM_DECIMALS = 3
"""Finer than any tape reads."""


@frozen(kw_only=True, eq=False, repr=False)
class CastLines:
    """The sides of a cast panel as straight lines between its adjusted corners."""

    adjusted: Adjusted

    def offset(self, side: Side, face: Decimal, along: Decimal) -> Decimal:
        """Give how far in a form stands whose face line is at `face`, beside the line at `along`. mm.

        Both in stack coordinates: across the side, and along it. Negative: it overhangs.
        """
        line = self.line(side, float(along))
        return rounded(Decimal(INWARDS[side] * (float(face) - line)), MM_DECIMALS)

    def line(self, side: Side, along: float) -> float:
        """Where the cast face is at `along`; past a corner the line goes on."""
        first, last = (self.adjusted.corners[corner] for corner in ENDS[side])
        runs, across = (0, 1) if side in ("base", "head") else (1, 0)
        part = (along - first[runs]) / (last[runs] - first[runs])
        return first[across] + part * (last[across] - first[across])


def cast_lines(
    panel: Panel, at: Point, poured: Poured | None, job: Job
) -> CastLines | Refusal | None:
    """The lines of a panel from what was measured of it; None where nothing measured bears on them."""
    values = poured.measured if poured else {}
    measured = tuple(sorted((key, value) for key, value in values.items() if key in BEARING))
    if not measured:
        return None
    rect = footprint(panel, at)
    x0, y0, x1, y1 = (float(edge) for edge in (rect.x0, rect.y0, rect.x1, rect.y1))
    found = _adjusted((x0, y0, x1, y1), measured, job.limits.tape, job.units)
    return found if isinstance(found, Refusal) else CastLines(adjusted=found)


@lru_cache(maxsize=1024)
def _adjusted(
    rect: tuple[float, float, float, float],
    measured: tuple[tuple[str, Decimal], ...],
    sigma: Decimal,
    units: Units,
) -> Adjusted | Refusal:
    """Kept, because nine alignments stand on the same panel and every entry asks again."""
    x0, y0, x1, y1 = rect
    planned: Corners = {"bl": (x0, y0), "br": (x1, y0), "hr": (x1, y1), "hl": (x0, y1)}
    return adjust(planned, dict(measured), sigma, units)


# How every panel of a stack sits on the one below: place, offsets, bolts and brackets.

Reach = tuple[Decimal, str | None]
"""Give how far in a form stands at a bracket, mm, and the bolt that takes it."""

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
        """Count the brackets that are not on the kit's first bolt."""
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
    """Work out how far each bracket reaches from the panel below as cast; None where it is as planned."""
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


# What is wrong with a panel on the one below it as that was cast, and the least shift that cures it.

ZERO = Decimal(0)

AXES: tuple[tuple[Side, Side, str, str], ...] = (
    ("left", "right", "to the right", "to the left"),
    ("base", "head", "towards the head", "towards the base"),
)
"""Sides that a shift along one axis opens and closes, and its words when positive and negative."""

Span = tuple[Decimal, Decimal]


def slip_findings(
    found: CastLines | Refusal | None, spot: Spot, units: Units, *, built_on: bool
) -> list[Finding]:
    """`re-measure`: tapes of this panel that contradict each other, to be taken again.

    An error as long as nothing is poured on it, a warning afterwards.
    """
    say = spot.warning if built_on else spot.error
    if isinstance(found, Refusal):
        return [say("re-measure", f"{found.title} {found.body}")]
    suspects = found.adjusted.suspects if found else ()
    if not suspects:
        return []
    worst = max(one.standardised or 0.0 for one in suspects)
    told = ", ".join(f"{one.key} {_signed(one, units)}" for one in suspects)
    which = "it is" if len(suspects) == 1 else "any one of these may be"
    message = (
        f"the tapes contradict each other ({worst:.1f} times what a tape may be out, above {SLIP:.0f}): "
        f"{which} off: {told}. Measure again."
    )
    return [say("re-measure", message)]


def _signed(one: Checked, units: Units) -> str:
    slip = rounded(Decimal(one.slip or 0.0), 1)
    return f"{'+' if slip > 0 else '−'}{format_length(abs(slip), units, decimals=1)}"


def cast_reach_findings(
    job: Job, panel: Panel, below: Panel, here: Seat, spot: Spot
) -> list[Finding]:
    """`overhang` and `out-of-reach` at brackets, where the panel below was measured; one of each a side.

    For a panel that is still to be poured. A side that the plan has in fault already is left out.
    """
    if here.reaches is None or here.offsets is None:
        return []
    kit, lap, units = job.kit, job.limits.lap, job.units
    found: list[Finding] = []
    for side, on in here.brackets.items():
        if reach_fault(side, here.offsets[side], kit, lap, units):
            continue
        faults: dict[str, list[Bracket]] = {}
        for bracket in on:
            fault = reach_fault(side, bracket.offset, kit, lap, units)
            if fault:
                faults.setdefault(fault[0], []).append(bracket)
        for code, these in faults.items():
            cure = _cure(job, panel, here)
            found.append(spot.error(code, _message(code, these, below, units, cure), side))
    return found


def _message(code: str, brackets: Sequence[Bracket], below: Panel, units: Units, cure: str) -> str:
    worst = max(brackets, key=lambda one: abs(one.offset))
    at = f"{worst.label}, {format_length(worst.at, units)} along the side"
    shown = format_length(abs(worst.offset), units, decimals=1)
    what = (
        f"the form overhangs {literal(below.mark)} as cast by {shown}"
        if code == "overhang"
        else f"{shown} in from {literal(below.mark)} as cast is out of reach of every bolt"
    )
    more = f", and {len(brackets) - 1} more" if len(brackets) > 1 else ""
    return f"{worst.side}: at {at}{more}, {what}. {cure}"


def _cure(job: Job, panel: Panel, here: Seat) -> str:
    """The least shift of the panel that brings every bracket into reach, in words."""
    shifts = [
        least_shift(_reached(here, low), _reached(here, high), job.kit.bolts, job.limits.lap)
        for low, high, _, _ in AXES
    ]
    if any(shift is None for shift in shifts):
        return "No shift of this panel brings every bracket into reach: take it to the engineer."
    told = [
        f"{format_length(abs(shift), job.units, decimals=1)} {up if shift > 0 else down}"
        for shift, (_, _, up, down) in zip(shifts, AXES, strict=True)
        if shift
    ]
    if not told:
        return "Move or shrink this panel."
    return (
        f"A shift of {literal(panel.mark)} by {' and '.join(told)} brings every bracket into reach."
    )


def _reached(here: Seat, side: Side) -> list[Decimal]:
    return [offset for offset, _ in here.reaches[side]] if here.reaches else []


def least_shift(
    opened: Iterable[Decimal], closed: Iterable[Decimal], bolts: Sequence[Bolt], lap: Decimal
) -> Decimal | None:
    """The least shift along an axis that puts every offset into a bolt's band; None where none does. mm.

    A positive shift adds to the offsets in `opened` and takes from those in `closed`.
    """
    bands = _merged(
        (-lap if low == 0 else low, high) for low, high in (bolt.reach for bolt in bolts)
    )
    allowed: list[Span] = [(Decimal("-Infinity"), Decimal("Infinity"))]
    for offset in opened:
        allowed = _both(allowed, [(low - offset, high - offset) for low, high in bands])
    for offset in closed:
        allowed = _both(allowed, [(offset - high, offset - low) for low, high in bands])
    nearest = [min(max(ZERO, low), high) for low, high in allowed]
    return min(nearest, key=abs, default=None)


def _merged(spans: Iterable[Span]) -> list[Span]:
    """Join spans until they do not touch: bands that overlap would double with every bracket."""
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _both(some: Sequence[Span], others: Sequence[Span]) -> list[Span]:
    """List what lies in one of `some` and in one of `others`."""
    return [
        (max(low, least), min(high, most))
        for low, high in some
        for least, most in others
        if max(low, least) <= min(high, most)
    ]
