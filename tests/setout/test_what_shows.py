"""Tell how large a slip shows before anything is measured: by hand, by matrices, by the adjustment itself."""

from decimal import Decimal
from math import hypot, sqrt

import numpy as np
import pytest

from pourdeck.setout.adjust import (
    DATUM,
    DISTANCES,
    OUTWARDS,
    Adjusted,
    Corners,
    Shows,
    adjust,
    what_shows,
)

TAPE = Decimal(1)
SIX = tuple(DISTANCES)
CORNER_ORDER = ("bl", "br", "hr", "hl")


def by_key(
    width: int, height: int, keys: tuple[str, ...], sigma: Decimal = TAPE
) -> dict[str, Shows]:
    found = what_shows(Decimal(width), Decimal(height), keys, sigma)
    assert tuple(one.key for one in found) == keys
    return {one.key: one for one in found}


def rectangle(width: float, height: float) -> Corners:
    return {"bl": (0, 0), "br": (width, 0), "hr": (width, height), "hl": (0, height)}


def numpy_redundancies(
    width: float, height: float, keys: tuple[str, ...], sigma: float
) -> list[float]:
    """r = diag(I − A (AᵀPA + D)⁻¹ AᵀP), with D the weak datum on the planned corners.

    Ghilani, Adjustment Computations (2017), 21.3, from memory. Rows of A by differences of the lengths.
    """
    place = np.array(
        [rectangle(width, height)[corner] for corner in CORNER_ORDER], dtype=float
    ).ravel()

    def read(at: np.ndarray) -> np.ndarray:
        values = []
        for key in keys:
            if key in DISTANCES:
                start, end = (2 * CORNER_ORDER.index(corner) for corner in DISTANCES[key])
                values.append(hypot(*(at[end : end + 2] - at[start : start + 2])))
            else:
                corner, out = OUTWARDS[key]
                index = 2 * CORNER_ORDER.index(corner)
                values.append(float(np.dot(out, (at - place)[index : index + 2])))
        return np.array(values)

    step = 1e-3
    rows = np.array(
        [(read(place + step * unit) - read(place - step * unit)) / (2 * step) for unit in np.eye(8)]
    ).T
    normal = rows.T @ rows / sigma**2 + np.eye(8) / DATUM**2
    hat = rows @ np.linalg.inv(normal) @ rows.T / sigma**2
    return list(1 - np.diag(hat))


def test_a_long_panel_hides_nineteen_millimetres_in_its_width() -> None:
    """3 × 9 m: 18.97 mm in a width.

    By hand for a rectangle: one length too many, so r of each tape goes with the square of its share in the
    one condition, sin of the angle across: w, h and d as w : h : d, r = (w² , h² , d²) / (4 (w² + h²)).
    """
    found = by_key(3000, 9000, SIX)
    across = 3000**2 / (4 * (3000**2 + 9000**2))
    assert found["width_base"].shows == pytest.approx(3 / sqrt(across), abs=0.01)
    assert found["width_head"].shows == pytest.approx(18.97, abs=0.01)
    assert found["height_left"].shows == pytest.approx(6.32, abs=0.01)
    assert found["diagonal_bl_hr"].shows == pytest.approx(6.0, abs=0.01)


def test_a_squarish_panel_hides_some_ten() -> None:
    found = by_key(7200, 8700, SIX)
    assert found["width_base"].shows == pytest.approx(9.4, abs=0.05)
    assert found["height_left"].shows == pytest.approx(7.8, abs=0.05)


def test_twice_the_tape_hides_twice_as_much() -> None:
    """But for the weak datum, which stays as it is."""
    one, two = by_key(3000, 9000, SIX), by_key(3000, 9000, SIX, Decimal(2))
    for key in SIX:
        assert two[key].shows == pytest.approx(2 * (one[key].shows or 0), rel=1e-4)


@pytest.mark.parametrize("left_out", SIX)
def test_with_five_tapes_nothing_can_be_told(left_out: str) -> None:
    """Five lengths fix four points but for where they lie: 2 · 4 − 3, none too many."""
    found = by_key(7200, 8700, tuple(key for key in SIX if key != left_out))
    assert all(one.shows is None for one in found.values())


def test_nothing_to_be_measured_shows_nothing() -> None:
    assert what_shows(Decimal(3000), Decimal(9000), (), TAPE) == ()
    assert what_shows(Decimal(3000), Decimal(9000), ("rl_bl", "thickness_bl"), TAPE) == ()


SETS = {
    "six tapes": SIX,
    "six and a mark": (*SIX, "out_base_bl"),
    "tapes and all marks": (*SIX, *OUTWARDS),
    "marks alone": tuple(OUTWARDS),
    "two sides and marks": (
        "width_base",
        "height_left",
        "out_base_bl",
        "out_base_br",
        "out_right_br",
    ),
}


@pytest.mark.parametrize("keys", SETS.values(), ids=SETS)
@pytest.mark.parametrize(("width", "height"), [(3000, 9000), (7200, 8700), (900, 12_000)])
def test_it_is_what_matrices_say(keys: tuple[str, ...], width: int, height: int) -> None:
    found = what_shows(Decimal(width), Decimal(height), keys, TAPE)
    right = numpy_redundancies(width, height, keys, 1.0)
    for one, redundancy in zip(found, right, strict=True):
        assert one.redundancy == pytest.approx(redundancy, abs=1e-5)
        assert (one.shows is None) == (redundancy < 0.01)
        if one.shows is not None:
            assert one.shows == pytest.approx(3 / sqrt(redundancy), rel=1e-3)


@pytest.mark.parametrize("keys", SETS.values(), ids=SETS)
def test_it_is_what_the_adjustment_says_of_a_set_without_an_error(keys: tuple[str, ...]) -> None:
    planned = {corner: (x + 120.0, y + 35.5) for corner, (x, y) in rectangle(3000, 9000).items()}
    measured = {key: Decimal(0) for key in keys if key in OUTWARDS}
    for key, (start, end) in DISTANCES.items():
        if key in keys:
            apart = hypot(*(planned[end][axis] - planned[start][axis] for axis in (0, 1)))
            measured[key] = Decimal(f"{apart:.6f}")
    done = adjust(planned, measured, TAPE, "metric")
    assert isinstance(done, Adjusted)
    assert done.suspects == ()
    for one, checked in zip(by_key(3000, 9000, keys).values(), done.checked, strict=True):
        assert one.redundancy == pytest.approx(checked.redundancy, abs=1e-7)
        if one.shows is not None:
            assert one.shows == pytest.approx(checked.shows, rel=1e-6)
