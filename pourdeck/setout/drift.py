"""Drift: how far a stack has grown or leans from its planned lines, and the trend of it.

Each panel is set out at its planned place, so that nothing should add up. What does all the same has a
cause: a form that tips, a mark that has moved, a tape read from the wrong end.

Lengths in mm, positive outwards.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from math import sqrt
from typing import Literal

from attrs import frozen

from pourdeck.plan.lengths import rounded
from pourdeck.plan.records import CORNERS, Corner, Panel, Side, Sides
from pourdeck.setout.adjust import DATUM, Adjusted, Normal, certainty
from pourdeck.setout.joints import ENDS
from pourdeck.setout.record import SetOut

# The straight line through values known each to its own standard deviation, and how sure its slope is.
#
# Weighted least squares (Bevington and Robinson, Data Reduction and Error Analysis, chapter 6; from
# memory): w = 1/σ², x̄ = Σwx/Σw, slope = Σw(x − x̄)y / Σw(x − x̄)², its variance 1/Σw(x − x̄)².

FAR = 2.0
NEAR = 1.0
"""So many times its own standard error a slope must be to be believed: for what is still far off, and for
the very next panel.
"""


@frozen(kw_only=True, eq=False, repr=False)
class Trend:
    """`each`: how much more with each panel, mm; `doubt`: the standard error of that; `start`: the line
    at 0. Drawn through `count` panels, the uppermost of them `last`.
    """

    start: float
    each: float
    doubt: float
    count: int
    last: int

    def at(self, number: int) -> float:
        """Where the line is at panel `number`, mm."""
        return self.start + self.each * number

    def holds(self, number: int) -> bool:
        """Whether the line may be drawn out to panel `number`, above the last one.

        A false alarm at every second job makes people stop reading, a late one costs a panel. The next
        panel cannot wait, and what the tapes may be out is small in one step beside any band: there NEAR
        does. Further off FAR is wanted, for one more panel will be measured before it matters; and no
        further than the line is long, because forms stand as unevenly as they do, and two panels that came
        out by a millimetre or two each would else foretell the top of the stack. Of jobs of eight panels,
        a band of 8 mm, σ 1 mm, forms placed to 1 mm, this warns of a side that does not drift once in
        eleven (once in two without those rules), of one that drifts by 2 mm with each panel always, and
        once in eight only when it has passed; a stricter FAR doubles that (tests/setout/test_trend.py).
        """
        ahead = number - self.last
        if not 1 <= ahead <= self.count:
            return False
        return abs(self.each) > (NEAR if ahead == 1 else FAR) * self.doubt


def trend(points: Sequence[tuple[int, float, float]]) -> Trend | None:
    """Through panel, value and standard deviation of each, mm, panels rising; None through fewer than two.

    The doubt is what the tapes may be out; where the values scatter more about the line than that, so much
    more. Two panels lie on any line: there only the tapes speak.
    """
    if len(points) < 2:
        return None
    weights = [1 / (spread * spread) for _, _, spread in points]
    middle = sum(w * x for w, (x, _, _) in zip(weights, points, strict=True)) / sum(weights)
    width = sum(w * (x - middle) ** 2 for w, (x, _, _) in zip(weights, points, strict=True))
    each = sum(w * (x - middle) * y for w, (x, y, _) in zip(weights, points, strict=True)) / width
    mean = sum(w * y for w, (_, y, _) in zip(weights, points, strict=True)) / sum(weights)
    start = mean - each * middle
    missed = sum(
        w * (y - start - each * x) ** 2 for w, (x, y, _) in zip(weights, points, strict=True)
    )
    free = len(points) - 2
    scatter = sqrt(missed / free) if free else 1.0
    return Trend(
        start=start,
        each=each,
        doubt=max(1.0, scatter) / sqrt(width),
        count=len(points),
        last=points[-1][0],
    )


# How far a stack has grown or leans from its planned lines, side by side and panel by panel.

TOLD = DATUM / 20
"""Bound what no tape bears on: it is known no better than this, mm. Tapes fix a place to a few of their own
deviation, and the datum leaves one open to several hundred.
"""

LATEST = 4
"""So many measured panels make the present trend: what the forms did further down says less of what they do
now, and a drift that begins late would hide behind a long straight start.
"""

Name = Literal["width", "height"]

ACROSS: dict[Name, tuple[Side, Side]] = {"width": ("left", "right"), "height": ("base", "head")}
"""The two sides that each size lies between, as seen in an elevation: from the left."""

SIZE: dict[Side, Name] = {side: name for name, pair in ACROSS.items() for side in pair}

LEANS: dict[Name, tuple[str, str]] = {
    "width": ("to the right", "to the left"),
    "height": ("towards the head", "towards the base"),
}
"""Which way a positive and a negative lean goes."""


@frozen(kw_only=True, eq=False, repr=False)
class Measured:
    """A length that came out of an adjustment, mm. `ends`: at the first and the last corner of a side as
    positions rise, None where nothing taped tells; `value`: the mean of what is told, `spread` its standard
    deviation.
    """

    ends: tuple[float | None, float | None]
    value: float
    spread: float

    @property
    def uneven(self) -> bool:
        """Whether the two ends differ by more than a tape is read to."""
        first, last = self.ends
        return first is not None and last is not None and abs(first - last) > 1


@frozen(kw_only=True, eq=False, repr=False)
class Face:
    """Hold how far a side is out. `shared`: only the size across it was taped and not where it lies, so that
    it is taken to have grown alike on both sides, as the adjustment does.
    """

    out: Measured
    shared: bool


@frozen(kw_only=True, eq=False, repr=False)
class Drift:
    """One cast panel that was measured; None where nothing of it tells.

    `growth` in width and in height: out on the one side and out on the other. `lean`: half of what is left
    of them, positive to the right and towards the head, where the place of both sides was taped.
    """

    number: int
    mark: str
    faces: Sides[Face | None]
    growth: Mapping[Name, Measured | None]

    def lean(self, name: Name) -> float | None:
        low, high = (self.faces[side] for side in ACROSS[name])
        if low is None or high is None or low.shared or high.shared:
            return None
        return (high.out.value - low.out.value) / 2

    def out(self, side: Side) -> float | None:
        """The mean of a side, None where nothing tells it."""
        face = self.faces[side]
        return face.out.value if face else None


@frozen(kw_only=True, eq=False, repr=False)
class Rung:
    """One panel of a stack: how it is to stand in from the one below, and how it was cast where measured."""

    panel: Panel
    offsets: Sides[Decimal] | None
    cast: Adjusted | None
    poured: bool


def rungs(setouts: Sequence[SetOut]) -> tuple[Rung, ...]:
    """The panels of a whole stack, from the bed up."""
    return tuple(
        Rung(panel=one.panel, offsets=one.offsets, cast=one.cast, poured=one.poured)
        for one in setouts
    )


def drifts(stack: Sequence[Rung], tape: Decimal) -> tuple[Drift, ...]:
    """The panels of a stack that were measured, from the bed up. `tape`: the deviation of one tape, mm."""
    return tuple(
        drift_of(number, one.panel.mark, one.cast, tape)
        for number, one in enumerate(stack, start=1)
        if one.cast is not None
    )


def drift_of(number: int, mark: str, cast: Adjusted, tape: Decimal) -> Drift:
    """Work out how far the sides of one panel came out."""
    known = _Known(cast=cast, normal=certainty(cast, tape))
    growth: dict[Name, Measured | None] = {name: _growth(known, name) for name in ACROSS}
    return Drift(
        number=number,
        mark=mark,
        faces=Sides.of(lambda side: _face(known, side, growth[SIZE[side]])),
        growth=growth,
    )


Part = tuple[Corner, int, float]
"""A corner, its axis (0 x, 1 y), and a factor."""


@frozen(kw_only=True, eq=False, repr=False)
class _Known:
    """The corners of a panel, and the equations that say how well they are known."""

    cast: Adjusted
    normal: Normal

    def sum(self, parts: Sequence[Part]) -> float:
        """Work out how far out that is, mm."""
        corners, planned = self.cast.corners, self.cast.planned
        return sum(
            by * (corners[corner][axis] - planned[corner][axis]) for corner, axis, by in parts
        )

    def spread(self, parts: Sequence[Part]) -> float:
        """Its standard deviation, mm, by the law of propagation."""
        row = [(2 * CORNERS.index(corner) + axis, by) for corner, axis, by in parts]
        return sqrt(self.normal.variance(row))


def _out(side: Side, end: int) -> Part:
    """Give what is out at an end of a side."""
    axis = 1 if side in ("base", "head") else 0
    return ENDS[side][end], axis, -1.0 if side in ("base", "left") else 1.0


def _growth(cast: _Known, name: Name) -> Measured | None:
    low, high = ACROSS[name]
    return _measured(cast, [(_out(low, end), _out(high, end)) for end in (0, 1)])


def _face(cast: _Known, side: Side, growth: Measured | None) -> Face | None:
    ends = [(_out(side, end),) for end in (0, 1)]
    found = _measured(cast, ends)
    if found is not None:
        return Face(out=found, shared=False)
    if growth is None:
        return None
    low, high = (
        None if grown is None else cast.sum(parts)
        for grown, parts in zip(growth.ends, ends, strict=True)
    )
    there = [one for one in (low, high) if one is not None]
    half = Measured(ends=(low, high), value=sum(there) / len(there), spread=growth.spread / 2)
    return Face(out=half, shared=True)


def _measured(cast: _Known, ends: Sequence[tuple[Part, ...]]) -> Measured | None:
    """The two ends of a length, each a sum of parts, as far as they are told, and their mean."""
    first, last = (cast.sum(parts) if cast.spread(parts) < TOLD else None for parts in ends)
    told = [
        (value, parts)
        for value, parts in zip((first, last), ends, strict=True)
        if value is not None
    ]
    if not told:
        return None
    share = 1 / len(told)
    every = [(corner, axis, by * share) for _, parts in told for corner, axis, by in parts]
    return Measured(
        ends=(first, last),
        value=share * sum(value for value, _ in told),
        spread=cast.spread(every),
    )


@frozen(kw_only=True, eq=False, repr=False)
class Course:
    """Hold how one side, or one size, came out up the stack: the latest panels that tell, from the bed up.

    `shared`: only of the sizes, half of their growth.
    """

    what: Side | Name
    shared: bool
    panels: tuple[Drift, ...]
    values: tuple[Measured, ...]
    trend: Trend | None

    @property
    def now(self) -> float:
        """Give what was measured last."""
        return self.values[-1].value


def side_course(found: Sequence[Drift], side: Side) -> Course | None:
    """The course of a side, through the panels on which its place was taped; where it never was, through
    those on which the size was. The two are not mixed: a place that was taken as planned beside one that
    was taped would be a step that nobody cast.
    """
    faces = [(one, face) for one in found if (face := one.faces[side])]
    placed = [(one, face.out) for one, face in faces if not face.shared]
    if placed:
        return _course(side, placed, shared=False)
    return _course(side, [(one, face.out) for one, face in faces], shared=True)


def size_course(found: Sequence[Drift], name: Name) -> Course | None:
    """The course of a size, through the panels on which it was taped."""
    grown = [(one, size) for one in found if (size := one.growth[name])]
    return _course(name, grown, shared=False)


def _course(
    what: Side | Name, every: Sequence[tuple[Drift, Measured]], *, shared: bool
) -> Course | None:
    if not every:
        return None
    latest = every[-LATEST:]
    return Course(
        what=what,
        shared=shared,
        panels=tuple(one for one, _ in latest),
        values=tuple(value for _, value in latest),
        trend=trend([(one.number, value.value, value.spread) for one, value in latest]),
    )


def read(value: float) -> Decimal:
    """To a tenth of a millimetre, as it is read; never minus nothing."""
    return rounded(Decimal(value), 1) or Decimal(0)
