"""Levels: the height of a form top at a corner two ways, and the level book."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.records import Corner
from pourdeck.setout.panel import MM_PER_M, height_of_instrument, staff_reading

# Two ways to the height of a form top at a corner, and the thickness between two surfaces.
#
# By instrument keeps planes level and lets the thickness vary; by gauge, the depth from the surface
# below, keeps the thickness and lets errors of level add up. They disagree by what is wrong with the
# surface below.


@frozen(kw_only=True, repr=False)
class CornerHeights:
    """Hold what is known at one corner: heights m, `depth` mm; None where it was not read.

    `form_top` by staff, `below` the surface the form stands on, `depth` from form top to that surface,
    `surface` the finished one. `below_from` says where `below` is from.
    """

    corner: Corner
    form_top: Decimal | None
    below: Decimal | None
    below_from: str
    depth: Decimal | None
    surface: Decimal | None

    @property
    def by_gauge(self) -> Decimal | None:
        """Height of the form top from the surface below and the depth, m."""
        if self.below is None or self.depth is None:
            return None
        return self.below + self.depth / MM_PER_M

    @property
    def difference(self) -> Decimal | None:
        """By instrument above by gauge, mm."""
        if self.form_top is None or self.by_gauge is None:
            return None
        return (self.form_top - self.by_gauge) * MM_PER_M

    @property
    def thickness(self) -> Decimal | None:
        """Between the finished surface and the one below, mm."""
        if self.surface is None or self.below is None:
            return None
        return (self.surface - self.below) * MM_PER_M


# A level book kept by height of instrument: HI = RL + backsight, and RL = HI − reading.
#
# Method and check as every course of levelling has them (UHI, Levelling, activity 8): ΣBS − ΣFS of a run
# is the height of its last point above its first. A run that ends where a height is known shows its
# misclose; nothing is shared out over the points.

SightKind = Literal["back", "inter", "fore"]

KINDS: dict[SightKind, str] = {
    "back": "backsight", "inter": "intermediate", "fore": "foresight",
}  # fmt: skip


@frozen(kw_only=True, eq=False, repr=False)
class Sight:
    """One reading of the staff, m. `setup` counts from 1; `point` names what the staff stood on.

    A reading is negative where the staff was held upside down, under a soffit.
    """

    setup: int
    kind: SightKind
    point: str
    reading: Decimal


@frozen(kw_only=True, eq=False, repr=False)
class Reduced:
    """A sight with the height it gives, m; None where the height of the instrument is not known.

    `known`: the height that its point has without it, as a benchmark does.
    """

    sight: Sight
    rl: Decimal | None
    known: Decimal | None = None

    @property
    def misclose(self) -> Decimal | None:
        """Give how far the book comes out above the known height, mm."""
        if self.rl is None or self.known is None:
            return None
        return (self.rl - self.known) * MM_PER_M


@frozen(kw_only=True, eq=False, repr=False)
class SetUp:
    """The instrument in one place. `on`: the point of the backsight, `rl` its height, None where unknown.

    `sights`: the intermediate ones and foresights in the order they were first read.
    """

    number: int
    on: str
    rl: Decimal | None
    backsight: Decimal
    sights: tuple[Reduced, ...]

    @property
    def instrument(self) -> Decimal | None:
        """The height of instrument, m."""
        return None if self.rl is None else height_of_instrument(self.rl, self.backsight)

    @property
    def fore(self) -> Reduced | None:
        """The foresight that the run goes on from, or ends with: the last one."""
        return next((one for one in reversed(self.sights) if one.sight.kind == "fore"), None)


@frozen(kw_only=True, eq=False, repr=False)
class Run:
    """Set-ups that hang together, each on the last foresight of the one before. Sums in m.

    `rise`: height of the last foresight above the first point; None where no foresight was read yet.
    """

    setups: tuple[SetUp, ...]
    backsights: Decimal
    foresights: Decimal
    rise: Decimal | None

    @property
    def end(self) -> Reduced | None:
        """The foresight that the run ends with, None while it is under way."""
        return self.setups[-1].fore

    @property
    def misclose(self) -> Decimal | None:
        """Give how far it comes out above a known height at its end, mm; None where it ends at none."""
        return self.end.misclose if self.end else None

    @property
    def adds_up(self) -> bool | None:
        """ΣBS − ΣFS = rise, the check of the arithmetic; None while the run is under way."""
        return None if self.rise is None else self.backsights - self.foresights == self.rise


@frozen(kw_only=True, repr=False)
class Book:
    """All set-ups in order, and the runs they make."""

    setups: tuple[SetUp, ...]
    runs: tuple[Run, ...]

    @property
    def last(self) -> SetUp | None:
        """The set-up in hand."""
        return self.setups[-1] if self.setups else None

    def setup(self, number: int) -> SetUp | None:
        return next((one for one in self.setups if one.number == number), None)

    def height_of(self, point: str) -> Decimal | None:
        """The height of a point as it was read last, m."""
        for setup in reversed(self.setups):
            for one in reversed(setup.sights):
                if one.sight.point == point and one.rl is not None:
                    return one.rl
        return None


def level_book(sights: Sequence[Sight], known: Mapping[str, Decimal]) -> Book:
    """Reduce sights in the order they were read. `known`: heights of benchmarks by point, m.

    A set-up without its backsight is left out. One whose backsight is on a point of no known height has
    no height of instrument.
    """
    heights: dict[str, Decimal] = {}
    setups: list[SetUp] = []
    for number in sorted({one.setup for one in sights}):
        here = [one for one in sights if one.setup == number]
        back = next((one for one in here if one.kind == "back"), None)
        if back is None:
            continue
        on = known.get(back.point, heights.get(back.point))
        instrument = None if on is None else height_of_instrument(on, back.reading)
        read: list[Reduced] = []
        for one in here:
            if one is back:
                continue
            rl = None if instrument is None else staff_reading(instrument, one.reading)
            read.append(Reduced(sight=one, rl=rl, known=known.get(one.point)))
            if rl is not None:
                heights[one.point] = rl
        setups.append(
            SetUp(number=number, on=back.point, rl=on, backsight=back.reading, sights=tuple(read))
        )
    return Book(setups=tuple(setups), runs=tuple(map(_run, _hanging_together(setups))))


def _hanging_together(setups: Sequence[SetUp]) -> list[list[SetUp]]:
    """A set-up goes on with the run where it stands on the last foresight of the one before."""
    found: list[list[SetUp]] = []
    for setup in setups:
        before = found[-1][-1].fore if found else None
        if before is not None and before.known is None and before.sight.point == setup.on:
            found[-1].append(setup)
        else:
            found.append([setup])
    return found


def _run(setups: list[SetUp]) -> Run:
    fores = [one.fore for one in setups]
    start, end = setups[0].rl, fores[-1].rl if fores[-1] else None
    return Run(
        setups=tuple(setups),
        backsights=sum((one.backsight for one in setups), Decimal(0)),
        foresights=sum((one.sight.reading for one in fores if one), Decimal(0)),
        rise=None if start is None or end is None else end - start,
    )
