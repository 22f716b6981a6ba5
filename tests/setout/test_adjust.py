"""Corners from tapes: against scipy by another route, exact figures, and facts of surveying."""

import random
from decimal import Decimal
from math import cos, hypot, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import least_squares

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import CORNERS
from pourdeck.setout.adjust import (
    DATUM,
    DISTANCES,
    OUTWARDS,
    Adjusted,
    Corners,
    adjust,
    certainty,
)
from tests.campaign import some

TAPE = Decimal(1)
KEYS = (*DISTANCES, *OUTWARDS)


def rectangle(width: float, height: float, x: float = 0.0, y: float = 0.0) -> Corners:
    return {
        "bl": (x, y),
        "br": (x + width, y),
        "hr": (x + width, y + height),
        "hl": (x, y + height),
    }


def readings(planned: Corners, true: Corners) -> dict[str, float]:
    """Give what a perfect tape would read everywhere."""
    found = {
        key: hypot(true[end][0] - true[start][0], true[end][1] - true[start][1])
        for key, (start, end) in DISTANCES.items()
    }
    for key, (corner, out) in OUTWARDS.items():
        found[key] = sum(
            out[axis] * (true[corner][axis] - planned[corner][axis]) for axis in (0, 1)
        )
    return found


def taped(values: dict[str, float]) -> dict[str, Decimal]:
    return {key: Decimal(str(round(value, 6))) for key, value in values.items()}


def adjusted(planned: Corners, values: dict[str, float], sigma: Decimal = TAPE) -> Adjusted:
    found = adjust(planned, taped(values), sigma, "metric")
    assert isinstance(found, Adjusted), found
    return found


def scipy_corners(planned: Corners, values: dict[str, float], sigma: float) -> np.ndarray:
    """Find the corners by Levenberg and Marquardt in scipy, solved for the moves in mm.

    In whole coordinates, and with derivatives by differences, the weak datum drowns in the steps.
    """
    start = np.array([planned[corner] for corner in CORNERS])
    row = {corner: index for index, corner in enumerate(CORNERS)}

    def misfit(moved: np.ndarray) -> np.ndarray:
        at = start + moved.reshape(4, 2)
        read = [
            np.linalg.norm(at[row[DISTANCES[key][1]]] - at[row[DISTANCES[key][0]]])
            if key in DISTANCES
            else moved.reshape(4, 2)[row[OUTWARDS[key][0]]] @ np.array(OUTWARDS[key][1])
            for key in values
        ]
        return np.concatenate([moved / DATUM, (np.array(read) - [*values.values()]) / sigma])

    def slopes(moved: np.ndarray) -> np.ndarray:
        at, rows = start + moved.reshape(4, 2), [*np.eye(8) / DATUM]
        for key in values:
            slope = np.zeros((4, 2))
            if key in DISTANCES:
                first, last = (row[corner] for corner in DISTANCES[key])
                along = (at[last] - at[first]) / np.linalg.norm(at[last] - at[first])
                slope[first], slope[last] = -along, along
            else:
                slope[row[OUTWARDS[key][0]]] = OUTWARDS[key][1]
            rows.append(slope.ravel() / sigma)
        return np.array(rows)

    done = least_squares(
        misfit, np.zeros(8), jac=slopes, xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm"
    )  # fmt: skip
    return start.ravel() + np.asarray(done.x)


def flat(corners: Corners) -> np.ndarray:
    return np.array([corners[corner] for corner in CORNERS]).ravel()


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(60)))
def test_any_set_of_measurements_agrees_with_scipy(seed: int) -> None:
    """Full and partial sets, with and without offset marks, at odd sizes and places."""
    chance = random.Random(seed)
    planned = rectangle(
        chance.uniform(900, 12_000), chance.uniform(900, 12_000), chance.uniform(0, 900), 150.5
    )
    true = {
        corner: (x + chance.gauss(0, 6), y + chance.gauss(0, 6))
        for corner, (x, y) in planned.items()
    }
    sigma = chance.choice((0.5, 1.0, 2.0))
    every = readings(planned, true)
    some = chance.sample(KEYS, chance.randint(1, len(KEYS)))
    values = {key: round(every[key] + chance.gauss(0, sigma), 3) for key in some}
    found = adjusted(planned, values, Decimal(str(sigma)))
    assert flat(found.corners) == pytest.approx(scipy_corners(planned, values, sigma), abs=1e-3)


@pytest.mark.parametrize("key", KEYS)
def test_a_redundancy_number_is_the_part_of_an_error_that_shows(key: str) -> None:
    """The residual of a measurement moves by minus r of what is added to it; by differences."""
    planned = rectangle(7200, 8700)
    values = readings(planned, planned)
    here = next(one for one in adjusted(planned, values).checked if one.key == key)
    moved = adjusted(planned, values | {key: values[key] + 0.01})
    there = next(one for one in moved.checked if one.key == key)
    assert (here.residual - there.residual) / 0.01 == pytest.approx(here.redundancy, abs=1e-4)


def six(planned: Corners) -> dict[str, float]:
    return {key: value for key, value in readings(planned, planned).items() if key in DISTANCES}


@pytest.mark.parametrize(("width", "height"), [(7200, 8700), (3000, 9000), (6000, 6000)])
def test_six_tapes_have_one_length_too_many(width: float, height: float) -> None:
    """Five lengths fix four points but for where they lie: 2 · 4 − 3. So the numbers add up to one."""
    found = adjusted(rectangle(width, height), six(rectangle(width, height)))
    assert sum(one.redundancy for one in found.checked) == pytest.approx(1, abs=1e-5)
    assert all(abs(one.residual) < 1e-5 for one in found.checked)
    assert found.suspects == ()


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(12)))
def test_how_well_a_place_is_known_agrees_with_the_inverse_of_the_normal_matrix(seed: int) -> None:
    """Law of propagation, f Q fᵀ with Q = (Aᵀ P A)⁻¹, A by differences and Q by numpy (Ghilani, 6 and 13)."""
    chance = random.Random(seed)
    planned = rectangle(chance.uniform(900, 12_000), chance.uniform(900, 12_000), 40.0)
    every = readings(planned, planned)
    keys = sorted(chance.sample(KEYS, chance.randint(1, len(KEYS))))
    found = adjusted(planned, {key: every[key] for key in keys}, Decimal(2))
    # So long a step is differentiated exactly enough: the rest of a length is a part in 10⁷ of it.
    step, rows = 1e-3, [*(np.eye(8) / DATUM)]
    for key in keys:
        slope = []
        for corner in CORNERS:
            for axis in (0, 1):
                moved = {one: list(at) for one, at in found.corners.items()}
                moved[corner][axis] += step
                back = {one: (at[0], at[1]) for one, at in moved.items()}
                before = readings(planned, dict(found.corners))[key]
                slope.append((readings(planned, back)[key] - before) / step)
        rows.append(np.array(slope) / 2)
    design = np.array(rows)
    known = np.linalg.inv(design.T @ design)
    factors = np.array([chance.choice((-1.0, 0.0, 0.5, 1.0)) for _ in range(8)])
    spread = certainty(found, Decimal(2)).variance(list(enumerate(factors))) ** 0.5
    assert spread == pytest.approx(float(factors @ known @ factors) ** 0.5, rel=1e-4)


def test_three_four_five_is_square() -> None:
    """The oldest check of a right angle. Common practice, no source."""
    planned = rectangle(4000, 3000)
    right = {"width_base": 4000.0, "height_left": 3000.0, "diagonal_br_hl": 5000.0}
    found = adjusted(planned, right)
    assert flat(found.corners) == pytest.approx(flat(planned), abs=1e-6)


def test_equal_diagonals_with_right_sides_are_square() -> None:
    """A parallelogram with equal diagonals is a rectangle (Euclid's parallelograms; from memory)."""
    planned = rectangle(7200, 8700)
    found = adjusted(planned, six(planned))
    for corner in CORNERS:
        before, after = {
            "bl": ("hl", "br"),
            "br": ("bl", "hr"),
            "hr": ("br", "hl"),
            "hl": ("hr", "bl"),
        }[corner]
        (x, y), (a, b), (c, d) = (found.corners[one] for one in (corner, before, after))
        assert (a - x) * (c - x) + (b - y) * (d - y) == pytest.approx(0, abs=1)


def test_a_difference_of_diagonals_is_a_skew() -> None:
    """s ≈ Δ·D / (2w): 9.000 by 4.500, D 10.062, Δ 9 mm is about 5 mm. Worked from Pythagoras."""
    width, height = 9000.0, 4500.0
    long = hypot(width, height)
    sides = {
        "width_base": width,
        "width_head": width,
        "height_left": height,
        "height_right": height,
    }
    skewed = {"diagonal_bl_hr": long + 4.5, "diagonal_br_hl": long - 4.5}
    found = adjusted(rectangle(width, height), sides | skewed)
    bl, br, hl = (found.corners[corner] for corner in ("bl", "br", "hl"))
    along = [(br[axis] - bl[axis]) / width for axis in (0, 1)]
    skew = sum(along[axis] * (hl[axis] - bl[axis]) for axis in (0, 1))
    assert skew == pytest.approx(9 * long / (2 * width), abs=0.01)


@pytest.mark.parametrize("turned", [0.02, -0.1])
def test_a_panel_that_is_turned_keeps_its_shape(turned: float) -> None:
    """Tapes alone cannot see a turn; offset marks can."""
    planned = rectangle(7200, 8700)
    angle = radians(turned)
    true: Corners = {
        corner: (x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle))
        for corner, (x, y) in planned.items()
    }
    seen = adjusted(planned, readings(planned, true))
    assert flat(seen.corners) == pytest.approx(flat(true), abs=0.01)
    unseen = adjusted(planned, {k: v for k, v in readings(planned, true).items() if k in DISTANCES})
    assert flat(unseen.corners) == pytest.approx(flat(planned), abs=0.01)


def test_a_parallelogram_comes_back() -> None:
    planned = rectangle(6000, 9000)
    true: Corners = {**planned, "hr": (6012.0, 9000.0), "hl": (12.0, 9000.0)}
    found = adjusted(planned, readings(planned, true))
    assert flat(found.corners) == pytest.approx(flat(true), abs=1e-4)


def test_what_is_not_measured_is_as_planned() -> None:
    planned = rectangle(6000, 9000, 150, 75)
    found = adjusted(planned, {"width_base": 6004.0})
    assert found.corners["hl"] == planned["hl"]
    assert found.corners["hr"] == planned["hr"]
    assert found.corners["bl"][0] == pytest.approx(148, abs=1e-3)
    assert found.corners["br"][0] == pytest.approx(6152, abs=1e-3)
    (one,) = found.checked
    assert (one.standardised, one.shows, one.slip) == (None, None, None), "nothing checks it"
    assert adjusted(planned, {}).corners == planned


@pytest.mark.parametrize("key", DISTANCES)
def test_a_slip_of_ten_millimetres_is_found(key: str) -> None:
    planned = rectangle(7200, 8700)
    values = six(planned)
    found = adjusted(planned, values | {key: values[key] + 10})
    suspects = {one.key: one for one in found.suspects}
    assert set(suspects) == set(DISTANCES), "with one length too many every one is as suspect"
    assert suspects[key].slip == pytest.approx(10, abs=0.05)
    other = "width_base" if key.startswith("height") else "height_left"
    assert abs(suspects[other].slip or 0) != pytest.approx(10, abs=0.5)


def test_a_slip_that_marks_contradict_is_found_alone() -> None:
    planned = rectangle(7200, 8700)
    values = readings(planned, planned)
    found = adjusted(planned, values | {"height_right": values["height_right"] + 10})
    assert [one.key for one in found.suspects] == ["height_right"]


def test_chance_alone_is_hardly_ever_called_a_slip() -> None:
    """Three standard deviations leave 0.27 % outside (normal distribution)."""
    planned, chance = rectangle(7200, 8700), random.Random(8700)
    values = six(planned)
    called = sum(
        bool(adjusted(planned, {k: v + chance.gauss(0, 1) for k, v in values.items()}).suspects)
        for _ in range(2000)
    )
    assert 0 < called < 20


def test_how_large_a_slip_would_show_is_known_before() -> None:
    """In the short side of a long panel hardly any: 3 σ / √r, r = w² / 4(w² + h²) of six tapes."""
    for width, height in ((3000.0, 9000.0), (7200.0, 8700.0)):
        found = adjusted(rectangle(width, height), six(rectangle(width, height)))
        shows = {one.key: one.shows for one in found.checked}
        across = width * width / (4 * (width * width + height * height))
        assert shows["width_base"] == pytest.approx(3 / sqrt(across), abs=1e-3)
    assert adjusted(rectangle(3000, 9000), six(rectangle(3000, 9000))).checked[0].shows == (
        pytest.approx(19, abs=0.1)
    )


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"width_base": 3000, "height_right": 4000, "diagonal_bl_hr": 7000}, "diagonal_bl_hr"),
        ({"width_head": 3000, "height_left": 4000, "diagonal_bl_hr": 7001}, "diagonal_bl_hr"),
        ({"width_base": 3000, "height_left": 4000, "diagonal_br_hl": 999}, "height_left"),
        ({"width_head": 9000, "height_right": 4000, "diagonal_br_hl": 4000}, "width_head"),
    ],
)
def test_lengths_that_no_panel_has_are_refused(values: dict[str, int], named: str) -> None:
    found = adjust(
        rectangle(3000, 4000), {k: Decimal(v) for k, v in values.items()}, TAPE, "metric"
    )
    assert isinstance(found, Refusal)
    assert found.title.startswith(f"{named} cannot be")
    assert "Read all three again" in found.body


def test_what_bears_on_no_corner_is_passed_over() -> None:
    planned = rectangle(3000, 4000)
    found = adjust(planned, {"rl_bl": Decimal(42), "thickness_bl": Decimal(150)}, TAPE, "metric")
    assert isinstance(found, Adjusted)
    assert found.corners == planned
    assert found.checked == ()
