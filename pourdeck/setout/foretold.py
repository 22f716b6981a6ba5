"""Where the trend of a stack leads: the panel on which a side, or a size, passes what it may, in words too.

A face may be out by the band of positions, or else by that of the size across it; a size may have grown by
its band; the panel above may stand in from a face as far as laps and bolts allow.
"""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.lengths import format_length, rounded
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import SIDES, Band, Job, Panel, Side, Units, band_for
from pourdeck.setout.drift import (
    ACROSS,
    SIZE,
    Course,
    Drift,
    Name,
    Rung,
    drifts,
    read,
    side_course,
    size_course,
)

Limit = Literal["band", "bolt", "lap"]


@frozen(kw_only=True, eq=False, repr=False)
class FaceBand:
    """Hold how far a face, or a size, may be over and under its plan. `of`: whose band it is, in words."""

    band: Band
    of: str

    def beyond(self, out: Decimal) -> bool:
        """Limits themselves pass. mm."""
        return not -self.band.minus <= out <= self.band.plus

    def edge(self, out: Decimal) -> Decimal:
        """The limit on the side that `out` is on: the band's plus, or its minus."""
        return self.band.plus if out > 0 else self.band.minus


@frozen(kw_only=True, eq=False, repr=False)
class Passes:
    """Hold what a course passes, on panel `number`. Lengths in mm, without sign.

    `already`: it was measured there, else it is foretold. `out`: how far the face or size is out there,
    `now` when it was measured last; for bolts and laps how far in, or over, from the panel below.
    """

    course: Course
    number: int
    mark: str
    poured: bool
    limit: Limit
    whose: str
    allowed: Decimal
    out: Decimal
    now: Decimal
    already: bool

    @property
    def side(self) -> Side | None:
        return next((side for side in SIDES if side == self.course.what), None)

    @property
    def left(self) -> Decimal:
        """Give how much is left before it passes, mm."""
        return self.allowed - self.now


def face_band(job: Job, panel: Panel, side: Side) -> FaceBand | None:
    """Give how far a face may be from its line: the band of positions, or else that of the size across it."""
    if job.tolerance.position:
        band = band_for(job.tolerance.position, Decimal(0))
        return FaceBand(band=band, of="its band") if band else None
    found = size_band(job, panel, SIZE[side])
    return FaceBand(band=found.band, of=f"the band of the {SIZE[side]}") if found else None


def size_band(job: Job, panel: Panel, name: Name) -> FaceBand | None:
    """Give how much larger or smaller a panel may come out than planned."""
    bands: tuple[Band, ...] = getattr(job.tolerance, name)
    band = band_for(bands, getattr(panel, name))
    return FaceBand(band=band, of="its band") if band else None


def passes(job: Job, stack: Sequence[Rung], found: Sequence[Drift]) -> tuple[Passes, ...]:
    """Tell what the drift of a stack leads to: for each side and size the first panel, sides first.

    With one measured panel nothing is foretold. Where a size that grows is named, the sides it grows on
    are not named once more for the band of that size.
    """
    sizes = [one for name in ACROSS if (one := _size_passes(job, stack, found, name))]
    said = {one.course.what: one.number for one in sizes}
    sides = []
    for side in SIDES:
        one = _side_passes(job, stack, found, side)
        of_size = one is not None and one.limit == "band" and not job.tolerance.position
        if one and not (of_size and said.get(SIZE[side], one.number + 1) <= one.number):
            sides.append(one)
    return (*sides, *sizes)


def _size_passes(
    job: Job, stack: Sequence[Rung], found: Sequence[Drift], name: Name
) -> Passes | None:
    """Of a size that goes on growing only: one that is too large by itself is the verdict of its measure."""
    course = size_course(found, name)
    if course is None or course.trend is None:
        return None
    bands = [size_band(job, one.panel, name) for one in stack]
    one = _past_band(stack, course, bands)
    return None if one and one.already and not goes_further(course) else one


def goes_further(course: Course) -> bool:
    """Whether the trend holds and leads further away from the plan."""
    line = course.trend
    return line is not None and line.holds(line.last + 1) and line.each * course.now > 0


def _side_passes(
    job: Job, stack: Sequence[Rung], found: Sequence[Drift], side: Side
) -> Passes | None:
    course = side_course(found, side)
    if course is None:
        return None
    past = None
    if not course.shared:
        past = _past_band(stack, course, [face_band(job, one.panel, side) for one in stack])
    both = [one for one in (past, _past_reach(job, stack, course, side)) if one]
    return min(both, key=lambda one: one.number, default=None)


def _past_band(
    stack: Sequence[Rung], course: Course, bands: Sequence[FaceBand | None]
) -> Passes | None:
    """Passed already on the panel measured last, or foretold of one above it.

    Of those below it only the last one counts: what has come back into its band is no drift any more.
    """
    now = read(course.now)
    last = course.panels[-1].number
    band = bands[last - 1]
    if band and band.beyond(now):
        return _passes(stack, course, last, band, now, already=True)
    for number, out in foretold(course, len(stack)):
        band, way = bands[number - 1], 1 if out > 0 else -1
        # A face that is out the one way and goes the other is on its way back.
        if band and band.beyond(out) and course.trend and way * course.trend.each > 0:
            return _passes(stack, course, number, band, out, already=False)
    return None


def foretold(course: Course, panels: int) -> Iterable[tuple[int, Decimal]]:
    """The panels to come of a stack of so many, and how far out each will be: where the trend holds. mm."""
    line = course.trend
    if line is None:
        return
    for number in range(line.last + 1, panels + 1):
        if line.holds(number):
            yield number, read(line.at(number))


def _passes(
    stack: Sequence[Rung],
    course: Course,
    number: int,
    band: FaceBand,
    out: Decimal,
    *,
    already: bool,
) -> Passes:
    now = read(course.now)
    return Passes(
        course=course,
        number=number,
        mark=stack[number - 1].panel.mark,
        poured=stack[number - 1].poured,
        limit="band",
        whose=band.of,
        allowed=band.edge(out),
        out=abs(out),
        now=now if out > 0 else -now,
        already=already,
    )


def _past_reach(job: Job, stack: Sequence[Rung], course: Course, side: Side) -> Passes | None:
    """Tell what the brackets of a panel would have to reach, on the one below it as the trend has it.

    Begins above the panel that was measured last plus one: what stands on a measured panel is not foretold
    but judged, bracket by bracket (`joints`).
    """
    line, longest, lap = course.trend, job.kit.longest_bolt.reach[1], job.limits.lap
    for below, out in foretold(course, len(stack) - 1):
        one = stack[below]
        if line is None or one.offsets is None:
            continue
        planned = one.offsets[side]
        there, now = planned + out, planned + read(course.now)
        limit: Limit
        if line.each > 0 and planned <= longest < there:
            limit, sign, allowed = "bolt", 1, longest
        elif line.each < 0 and there < -lap <= planned:
            limit, sign, allowed = "lap", -1, lap
        else:
            continue
        return Passes(
            course=course,
            number=below + 1,
            mark=one.panel.mark,
            poured=one.poured,
            limit=limit,
            whose="",
            allowed=allowed,
            out=sign * there,
            now=sign * now,
            already=False,
        )
    return None


# `drift`, a warning: where the present trend of a stack leads, said before it matters, and in what words.


def drift_findings(job: Job, stack_id: str, stack: Sequence[Rung]) -> tuple[Finding, ...]:
    """For each side, and each size that grows, the first panel on which it passes what it may.

    Said on that panel: one that has passed its band already where it was measured last, else one to come.
    """
    if not any(one.cast for one in stack):
        return ()
    found = passes(job, stack, drifts(stack, job.limits.tape))
    return tuple(_warning(job, stack_id, one) for one in found)


def _warning(job: Job, stack_id: str, one: Passes) -> Finding:
    spot = Spot(stack=stack_id, panel=one.number, mark=one.mark)
    return spot.warning("drift", f"{one.course.what}: {_message(job, one)}", one.side)


def _message(job: Job, one: Passes) -> str:
    """Say what is foretold, or has happened, and what to do."""
    course, units = one.course, job.units
    mended = "forms that tip, a mark that has moved."
    span = f"from {literal(course.panels[0].mark)} to {literal(course.panels[-1].mark)}"
    if one.already:
        goes = f"; {span} {_rate(course, units)}" if goes_further(course) else ""
        told = f"{_out_words(course, units)} as cast, it {_past(job, one)} already{goes}"
        return f"{told}. Look for the cause before the next panel is formed: {mended}"
    left = f", with {format_length(one.left, units, decimals=1)} left of it" if one.left > 0 else ""
    shared = (
        " (taken as grown alike on both sides: its place was not taped)" if course.shared else ""
    )
    check = "It is poured: measure it. " if one.poured else ""
    return (
        f"{span} {_rate(course, units)}{shared}; so it {_past(job, one)} here, at "
        f"{format_length(one.out, units, decimals=1)}{left} as measured last. "
        f"{check}Look for the cause before it does: {mended}"
    )


def _past(job: Job, one: Passes) -> str:
    """Say what it passes."""
    allowed = format_length(one.allowed, job.units)
    if one.limit == "bolt":
        return f"is past the longest bolt, {allowed}"
    if one.limit == "lap":
        return f"overhangs by more than the {allowed} that may lap"
    source = f", {literal(job.tolerance.source)}" if job.tolerance.source else ""
    return f"passes {allowed} ({one.whose}{source})"


def _rate(course: Course, units: Units) -> str:
    """Say how fast it goes, and which way; of a course that has a trend."""
    each = course.trend.each if course.trend else 0.0
    by = format_length(rounded(Decimal(abs(each)), 1), units, decimals=1)
    if course.what in ACROSS:
        way = f"comes out {by} more over" if each > 0 else f"falls {by} further short of"
        return f"the {course.what} {way} its plan with each panel"
    return f"the face goes {by} further {'out' if each > 0 else 'in'} with each panel"


def _out_words(course: Course, units: Units) -> str:
    """Say how far it was out when it was measured last."""
    now = rounded(Decimal(course.now), 1)
    by = format_length(abs(now), units, decimals=1)
    if course.what in ACROSS:
        return f"{by} {'over' if now > 0 else 'short of'} its plan"
    return f"{by} {'out' if now > 0 else 'in'}"
