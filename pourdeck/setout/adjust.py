"""Corners of a cast panel from whatever was taped: one free-network adjustment.

Least squares in the plane by Gauss and Newton: distances between corners and how far faces are out from
their planned lines, each with the standard deviation of a taped length; the planned corners as a weak
datum, DATUM on each coordinate, so that what was not measured is taken as planned. Method and tests of
residuals as in surveying: Ghilani, Adjustment Computations (2017), 14 and 21, from memory.

Stack coordinates and all results in mm. Floats: nobody tapes a nanometre.
"""

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from math import hypot, sqrt
from operator import mul

from attrs import frozen

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import CORNERS, Corner, Units

# Normal equations of a small least-squares problem, solved by Cholesky's method.
#
# Written out because a library of matrices takes longer to load than all panels of a job to adjust.


class Normal:
    """Of observations in `size` unknowns: add each, then solve.

    `misfit`: the sum of the squares of what was wanted, each over its sigma.
    """

    def __init__(self, size: int) -> None:
        self.misfit = 0.0
        self._size = size
        self._matrix = [[0.0] * size for _ in range(size)]
        self._right = [0.0] * size
        self._root: list[list[float]] | None = None

    def add(self, row: Sequence[tuple[int, float]], wanted: float, sigma: float) -> None:
        """An observation: the sum of factor times unknown is `wanted`, give or take `sigma`.

        `row` holds the unknowns by number with their factors; the others have none.
        """
        self._root = None
        weight = 1 / (sigma * sigma)
        self.misfit += weight * wanted * wanted
        for i, factor in row:
            pull = factor * weight
            self._right[i] += pull * wanted
            into = self._matrix[i]
            for j, other in row:
                into[j] += pull * other

    def solve(self) -> list[float]:
        """The unknowns that fit best. Raises ValueError where they cannot be told apart."""
        return self._back(self._forward(self._right))

    def variance(self, row: Sequence[tuple[int, float]]) -> float:
        """Variance of the sum of factor times unknown after the adjustment."""
        right = [0.0] * self._size
        for i, factor in row:
            right[i] += factor
        found = self._forward(right)
        return float(sum(map(mul, found, found)))

    def _lower(self) -> list[list[float]]:
        """L of the matrix LLᵀ; each row ends on the diagonal."""
        if self._root is None:
            root: list[list[float]] = []
            for given in self._matrix:
                row: list[float] = []
                for left, above in zip(given, root, strict=False):
                    # What the row has so far is what both have in common.
                    row.append((left - sum(map(mul, row, above))) / above[-1])
                left = given[len(row)] - sum(map(mul, row, row))
                if left <= 0:
                    raise ValueError("the observations do not fix every unknown")
                row.append(sqrt(left))
                root.append(row)
            self._root = root
        return self._root

    def _forward(self, right: Sequence[float]) -> list[float]:
        found: list[float] = []
        for row, value in zip(self._lower(), right, strict=True):
            found.append((value - sum(map(mul, row, found))) / row[-1])
        return found

    def _back(self, right: Sequence[float]) -> list[float]:
        left = list(right)
        lower = self._lower()
        for i in reversed(range(self._size)):
            row = lower[i]
            left[i] /= row[i]
            for j in range(i):
                left[j] -= row[j] * left[i]
        return left


# Where the corners of a cast panel are, from whatever was taped: one free-network adjustment.

DATUM = 1000.0
"""Standard deviation of a planned coordinate, mm."""

SLIP = 3.0
"""A standardised residual above this is a slip: the measurement is taken again."""

SEEN = 0.01
"""A redundancy number below this tells nothing."""

CLOSE = 1e-7
"""A step is the last one when it moves no corner further, mm."""

STEPS = 200
LEAST = 1e-7
"""Hold a step back by this at first, as a weight beside 1/σ²."""

Xy = tuple[float, float]
Row = tuple[tuple[int, float], ...]
Corners = dict[Corner, Xy]

DISTANCES: dict[str, tuple[Corner, Corner]] = {
    "width_base": ("bl", "br"),
    "width_head": ("hl", "hr"),
    "height_left": ("bl", "hl"),
    "height_right": ("br", "hr"),
    "diagonal_bl_hr": ("bl", "hr"),
    "diagonal_br_hl": ("br", "hl"),
}
OUTWARDS: dict[str, tuple[Corner, Xy]] = {
    "out_base_bl": ("bl", (0.0, -1.0)),
    "out_base_br": ("br", (0.0, -1.0)),
    "out_head_hl": ("hl", (0.0, 1.0)),
    "out_head_hr": ("hr", (0.0, 1.0)),
    "out_left_bl": ("bl", (-1.0, 0.0)),
    "out_left_hl": ("hl", (-1.0, 0.0)),
    "out_right_br": ("br", (1.0, 0.0)),
    "out_right_hr": ("hr", (1.0, 0.0)),
}
"""The corner near which a face was measured, and which way is out."""

BEARING = frozenset({*DISTANCES, *OUTWARDS})
"""The keys of measurements that bear on where the corners are."""


@frozen(kw_only=True, eq=False, repr=False)
class Checked:
    """A measurement after the adjustment, mm. `residual` is adjusted less measured.

    `redundancy`: how much of an error in it the others would show, 0 to 1. `standardised`, `shows` and
    `slip` are None where that is less than SEEN: nothing can be told of it. `shows`: the least slip that
    would be noticed. `slip`: what it would be off by if it alone were wrong. `distance`: it is judged.
    """

    key: str
    measured: float
    residual: float
    redundancy: float
    standardised: float | None
    shows: float | None
    slip: float | None
    distance: bool


@frozen(kw_only=True, repr=False)
class Adjusted:
    """`corners` in stack coordinates, `planned` where they were to be; `checked` in the order of the keys."""

    planned: Corners
    corners: Corners
    checked: tuple[Checked, ...]

    @property
    def suspects(self) -> tuple[Checked, ...]:
        """The distances to measure again: those that stand out most, all of them where several do alike."""
        judged = [one for one in self.checked if one.distance and one.standardised is not None]
        worst = max((one.standardised or 0.0 for one in judged), default=0.0)
        if worst <= SLIP:
            return ()
        return tuple(one for one in judged if (one.standardised or 0.0) > worst * (1 - 1e-3))


def adjust(
    planned: Corners, measured: Mapping[str, Decimal], sigma: Decimal, units: Units
) -> Adjusted | Refusal:
    """Corners from the measurements among `measured` that bear on them; others are passed over.

    `sigma`: standard deviation of one taped length, mm. Refuses lengths that no four corners have.
    """
    impossible = no_such_triangle(measured, units)
    if impossible:
        return impossible
    net = Net(
        planned=planned,
        keys=tuple(key for key in (*DISTANCES, *OUTWARDS) if key in measured),
        measured={key: float(value) for key, value in measured.items()},
        sigma=float(sigma),
    )
    found = net.best()
    if found is None:
        return Refusal(
            title="The measurements do not come together.",
            body="No four corners are near them. Read each again off the tape.",
        )
    corners, normal = found
    return Adjusted(
        planned=planned,
        corners=corners,
        checked=tuple(net.checked(key, corners, normal) for key in net.keys),
    )


def certainty(cast: Adjusted, sigma: Decimal) -> Normal:
    """Give the equations at the corners: how well they are known. Unknowns: x, y of each of `CORNERS`.

    Made anew: an adjustment is sealed with what stands on it, its equations are not. A coordinate that
    nothing taped bears on is known to DATUM.
    """
    net = Net(
        planned=cast.planned,
        keys=tuple(one.key for one in cast.checked),
        measured={one.key: one.measured for one in cast.checked},
        sigma=float(sigma),
    )
    return net.normal(cast.corners)


@frozen(kw_only=True, eq=False, repr=False)
class Net:
    """Hold what was measured of four corners, mm."""

    planned: Corners
    keys: tuple[str, ...]
    measured: Mapping[str, float]
    sigma: float

    def best(self) -> tuple[Corners, Normal] | None:
        """The corners that fit best, found from the planned ones, and the equations there; None where
        there are none to be found.

        Steps by Gauss and Newton, held back after Levenberg and Marquardt where one leads away.
        """
        corners, held = dict(self.planned), 0.0
        normal = self.normal(corners)
        for _ in range(STEPS):
            step = normal.solve()
            there: Corners = {
                corner: (corners[corner][0] + step[2 * n], corners[corner][1] + step[2 * n + 1])
                for n, corner in enumerate(CORNERS)
            }
            if max(map(abs, step)) < CLOSE:
                return there, self.normal(there) if held else normal
            next_normal = self.normal(there)
            if next_normal.misfit <= normal.misfit:
                corners, normal, held = there, next_normal, held / 10 if held > LEAST else 0.0
            else:
                normal, held = self.normal(corners), max(10 * held, LEAST)
            if held:
                for unknown in range(2 * len(CORNERS)):
                    normal.add(((unknown, 1.0),), 0.0, 1 / sqrt(held))
        return None

    def normal(self, corners: Corners) -> Normal:
        """The equations of one step, from where the corners are taken to be now."""
        normal = Normal(2 * len(CORNERS))
        for index, corner in enumerate(CORNERS):
            for axis in (0, 1):
                away = self.planned[corner][axis] - corners[corner][axis]
                normal.add(((2 * index + axis, 1.0),), away, DATUM)
        for key in self.keys:
            read, row = self.observed(key, corners)
            normal.add(row, self.measured[key] - read, self.sigma)
        return normal

    def observed(self, key: str, corners: Corners) -> tuple[float, Row]:
        """Give what would be read with the corners there, and how it changes with each coordinate."""
        if key in OUTWARDS:
            corner, (x, y) = OUTWARDS[key]
            at = 2 * CORNERS.index(corner)
            moved = [corners[corner][axis] - self.planned[corner][axis] for axis in (0, 1)]
            return x * moved[0] + y * moved[1], ((at, x), (at + 1, y))
        start, end = DISTANCES[key]
        across = corners[end][0] - corners[start][0]
        up = corners[end][1] - corners[start][1]
        long = hypot(across, up)
        first, last = 2 * CORNERS.index(start), 2 * CORNERS.index(end)
        x, y = across / long, up / long
        return long, ((first, -x), (first + 1, -y), (last, x), (last + 1, y))

    def checked(self, key: str, corners: Corners, normal: Normal) -> Checked:
        """A measurement beside what the corners say, and what a slip in it would do."""
        read, row = self.observed(key, corners)
        residual = read - self.measured[key]
        redundancy = 1 - normal.variance(row) / self.sigma**2
        told = redundancy >= SEEN
        root = sqrt(redundancy) if told else 1.0
        return Checked(
            key=key,
            measured=self.measured[key],
            residual=residual,
            redundancy=redundancy,
            standardised=abs(residual) / (self.sigma * root) if told else None,
            shows=SLIP * self.sigma / root if told else None,
            slip=-residual / redundancy if told else None,
            distance=key in DISTANCES,
        )


TRIANGLES: tuple[tuple[str, str, str], ...] = (
    ("diagonal_bl_hr", "width_base", "height_right"),
    ("diagonal_bl_hr", "height_left", "width_head"),
    ("diagonal_br_hl", "width_base", "height_left"),
    ("diagonal_br_hl", "height_right", "width_head"),
)
"""A diagonal, and the two sides that go round from one of its ends to the other."""


def no_such_triangle(measured: Mapping[str, Decimal], units: Units) -> Refusal | None:
    """Why no panel has these lengths, where one side of a triangle is longer than the other two."""
    for names in TRIANGLES:
        if not all(name in measured for name in names):
            continue
        for name in names:
            others = [other for other in names if other != name]
            together = sum((measured[other] for other in others), Decimal(0))
            if measured[name] >= together:
                return Refusal(
                    title=f"{name} cannot be {format_length(measured[name], units)}.",
                    body=f"{others[0]} and {others[1]} are {format_length(together, units)} "
                    "together, and a straight line is shorter. Read all three again.",
                )
    return None


# How large a slip in each measurement of a panel would show, before anything is measured.
#
# The same equations as of what is measured (`adjust`), at the planned corners: how well a measurement is
# checked by the others hangs on which are taken and on the shape of the panel, not on what they read.

NANOMETRES = 6
"""Decimals of a planned length, mm: the error of rounding it tells nothing."""


@frozen(kw_only=True, repr=False)
class Shows:
    """`redundancy`: the part of an error in it that the others would show, 0 to 1.

    `shows`: the least slip that would be noticed, mm, 3σ/√r; None where nothing can be told of it.
    """

    key: str
    redundancy: float
    shows: float | None


def what_shows(
    width: Decimal, height: Decimal, keys: Collection[str], sigma: Decimal
) -> tuple[Shows, ...]:
    """Tell what would show of a panel of that size, mm, were `keys` measured; others bear on no corner.

    `sigma`: standard deviation of one taped length, mm. Rests on nothing measured, so on no error.
    """
    return _what_shows(width, height, frozenset(keys), sigma)


@lru_cache(maxsize=256)
def _what_shows(
    width: Decimal, height: Decimal, keys: frozenset[str], sigma: Decimal
) -> tuple[Shows, ...]:
    """Kept, because a screen asks the same at every key that is pressed."""
    wide, high = float(width), float(height)
    planned: Corners = {"bl": (0.0, 0.0), "br": (wide, 0.0), "hr": (wide, high), "hl": (0.0, high)}
    found = adjust(planned, _without_error(planned, keys), sigma, "metric")
    if isinstance(found, Refusal):
        # No corners are nearer to what was planned than the planned ones.
        raise AssertionError(found)
    return tuple(
        Shows(key=one.key, redundancy=one.redundancy, shows=one.shows) for one in found.checked
    )


def _without_error(planned: Corners, keys: Collection[str]) -> dict[str, Decimal]:
    """Give what a perfect tape reads of a panel cast as planned, mm."""
    read: dict[str, Decimal] = {key: Decimal(0) for key in OUTWARDS if key in keys}
    for key, (start, end) in DISTANCES.items():
        if key in keys:
            (x0, y0), (x1, y1) = planned[start], planned[end]
            read[key] = Decimal(f"{hypot(x1 - x0, y1 - y0):.{NANOMETRES}f}")
    return read
