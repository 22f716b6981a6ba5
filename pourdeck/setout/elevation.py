"""A stack seen from two sides, each panel's faces beside their planned lines: what the drift picture shows.

Lengths in mm, outs positive outwards. Nothing here says zero where nothing was measured.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.records import SIDES, Job, Side, Sides
from pourdeck.setout.drift import (
    ACROSS,
    Course,
    Drift,
    Measured,
    Name,
    Rung,
    drifts,
    read,
    side_course,
    size_course,
)
from pourdeck.setout.foretold import FaceBand, Passes, face_band, foretold, passes

Standing = Literal["measured", "not measured", "to come"]

LOOKING: dict[Name, str] = {"width": "looking at the base", "height": "looking from the right"}
"""From where each elevation is seen: the base nearest, or the right side with the base at the left."""

ROUND = tuple(by * ten for ten in (1000, 100, 10, 1) for by in (5, 2, 1))
"""List what a drawing may exaggerate by, the most first."""

FINEST = 0.5
"""A cell never stands for less, mm: a tape reads no finer, and its noise would look like a drift."""


@frozen(kw_only=True, eq=False, repr=False)
class FaceMark:
    """One face of one panel. `out`: the mean; `ends`: both, where they differ by more than 1 mm.

    `foretold`: by the trend, else as cast. `shared`: its place was not taped. `beyond`: past its band.
    """

    out: Decimal
    ends: tuple[Decimal, Decimal] | None
    foretold: bool
    shared: bool
    beyond: bool


@frozen(kw_only=True, eq=False, repr=False)
class Layer:
    """One panel in an elevation: its two faces from the left, None where nothing tells of them.

    `growth`: out on the one side and on the other; `lean`: positive to the right of the elevation; None where
    not measured. `bands`: how far each face may be out, None where nothing says so.
    """

    number: int
    mark: str
    standing: Standing
    faces: tuple[FaceMark | None, FaceMark | None]
    bands: tuple[FaceBand | None, FaceBand | None]
    growth: Decimal | None
    lean: Decimal | None


@frozen(kw_only=True, eq=False, repr=False)
class Elevation:
    """A stack seen from one side: `layers` from the bed up, `sides` at the left and right of them."""

    name: Name
    sides: tuple[Side, Side]
    layers: tuple[Layer, ...]
    courses: tuple[Course | None, Course | None]

    @property
    def looking(self) -> str:
        return LOOKING[self.name]

    def reaches(self, side: int) -> tuple[float, float]:
        """Give how far left and right the face at `side` (0 left, 1 right) goes: 0 or more each.

        With the edge of the band on the way it goes.
        """
        left = right = 0.0
        for layer in self.layers:
            face, band = layer.faces[side], layer.bands[side]
            for out in _outs(face):
                here = to_the_right(side, out)
                left, right = max(left, -here), max(right, here)
                if band and out and not (face and face.shared):
                    edge = to_the_right(
                        side, float(band.edge(Decimal(out))) * (1 if out > 0 else -1)
                    )
                    left, right = max(left, -edge), max(right, edge)
        return left, right


@frozen(kw_only=True, eq=False, repr=False)
class DriftPicture:
    """`deep`: the mean thickness of its panels, mm: what one row of a drawing stands for.

    `source`: where the bands are from. `measured`: how many panels tell anything.
    """

    stack: str
    elevations: tuple[Elevation, Elevation]
    passes: tuple[Passes, ...]
    sizes: tuple[Course | None, Course | None]
    deep: float
    source: str | None
    measured: int


def to_the_right(side: int, out: float) -> float:
    """Outwards is to the left on the left side of an elevation, and to the right on the right side."""
    return out if side else -out


def _outs(face: FaceMark | None) -> Iterator[float]:
    if face is not None:
        yield from (float(one) for one in (face.out, *(face.ends or ())))


def drift_picture(job: Job, stack_id: str, stack: Sequence[Rung]) -> DriftPicture:
    """The picture of a stack, from the bed up."""
    found = drifts(stack, job.limits.tape)
    courses = Sides.of(lambda side: side_course(found, side))
    width, height = (_elevation(job, stack, found, courses, name) for name in ACROSS)
    deep = [float(one.panel.thickness) for one in stack]
    return DriftPicture(
        stack=stack_id,
        elevations=(width, height),
        passes=passes(job, stack, found),
        sizes=(size_course(found, "width"), size_course(found, "height")),
        deep=sum(deep) / len(deep) if deep else 1.0,
        source=job.tolerance.source,
        measured=sum(any(one.faces[side] for side in SIDES) for one in found),
    )


def _elevation(
    job: Job,
    stack: Sequence[Rung],
    found: Sequence[Drift],
    courses: Sides[Course | None],
    name: Name,
) -> Elevation:
    sides = ACROSS[name]
    cast = {one.number: one for one in found}
    ahead = {
        (side, number): out
        for side in sides
        if (course := courses[side])
        for number, out in foretold(course, len(stack))
    }

    def layer(number: int, rung: Rung) -> Layer:
        here = cast.get(number)
        bands = (face_band(job, rung.panel, sides[0]), face_band(job, rung.panel, sides[1]))

        def mark(side: Side, band: FaceBand | None) -> FaceMark | None:
            face = here.faces[side] if here else None
            if face is not None:
                return _cast_mark(face.out, band, shared=face.shared)
            out, course = ahead.get((side, number)), courses[side]
            if out is None or course is None:
                return None
            past = not course.shared and band is not None and band.beyond(out)
            return FaceMark(out=out, ends=None, foretold=True, shared=course.shared, beyond=past)

        first, second = (mark(side, band) for side, band in zip(sides, bands, strict=True))
        grown = here.growth[name] if here else None
        lean = here.lean(name) if here else None
        measured = any(one and not one.foretold for one in (first, second))
        return Layer(
            number=number,
            mark=rung.panel.mark,
            standing="measured" if measured else "not measured" if rung.poured else "to come",
            faces=(first, second),
            bands=bands,
            growth=None if grown is None else read(grown.value),
            lean=None if lean is None else read(lean),
        )

    return Elevation(
        name=name,
        sides=sides,
        layers=tuple(layer(number, one) for number, one in enumerate(stack, start=1)),
        courses=(courses[sides[0]], courses[sides[1]]),
    )


def _cast_mark(out: Measured, band: FaceBand | None, *, shared: bool) -> FaceMark:
    mean = read(out.value)
    first, last = out.ends
    ends = None
    if out.uneven and first is not None and last is not None:
        ends = (read(first), read(last))
    past = band is not None and not shared and band.beyond(mean)
    return FaceMark(out=mean, ends=ends, foretold=False, shared=shared, beyond=past)


def exaggeration(
    elevations: Sequence[Elevation], deep: float, cells: int, aspect: int
) -> int | None:
    """The most that the faces may be drawn as wide as they are, so that each elevation fits in so many cells.

    A cell is `aspect` times as high as it is wide, and a panel of `deep` mm one cell high: a width of
    deep/aspect mm in a cell is drawn as it is. None where not even that fits.
    """
    for by in ROUND:
        cell = deep / aspect / by
        if cell >= FINEST and all(_cells(one, cell) <= cells for one in elevations):
            return by
    return None


def _cells(elevation: Elevation, cell: float) -> int:
    """Cells that both strips of an elevation take at so many mm in a cell."""
    return sum(sum(strip_cells(elevation, side, cell)) + 1 for side in (0, 1))


def strip_cells(elevation: Elevation, side: int, cell: float) -> tuple[int, int]:
    """Cells to the left and to the right of a planned line that the face beside it needs."""
    left, right = elevation.reaches(side)
    return round(left / cell), round(right / cell)
