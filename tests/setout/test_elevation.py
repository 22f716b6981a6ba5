"""Try what the drift picture is made from: faces beside planned lines, foretold ones, and the scale."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import Band, Tolerance
from pourdeck.setout.drift import rungs
from pourdeck.setout.elevation import ROUND, DriftPicture, Layer, drift_picture, exaggeration
from pourdeck.setout.panel import set_out_stack

from .builders import job, mm, panel, pile
from .test_cast_lines import cast
from .test_drift import stacked, taped

WIDE = Tolerance(source="spec, table 2", position=(Band(plus=mm(20), minus=mm(10)),))


def lean(number: int, each: float = 3) -> dict[str, float]:
    out = each * number
    return {"out_right_br": out, "out_right_hr": out, "out_left_bl": -out, "out_left_hl": -out}


def picture(values: list[dict[str, float] | None], **more: object) -> DriftPicture:
    more.setdefault("lap", 50)
    found, setouts = stacked(values, **more)  # type: ignore[arg-type]
    return drift_picture(found, "A", rungs(setouts))


def layers(values: list[dict[str, float] | None], **more: object) -> tuple[Layer, ...]:
    return picture(values, **more).elevations[0].layers


def outs(layer: Layer) -> list[tuple[float, bool, bool] | None]:
    return [
        None if face is None else (float(face.out), face.foretold, face.beyond)
        for face in layer.faces
    ]


def test_six_panels_lean_and_two_are_foretold() -> None:
    """3 mm each: 18 on the sixth within a band of 20 out, but past one of 10 in; 21 and 24 to come."""
    found = layers([lean(n) for n in range(1, 7)], tolerance=WIDE)
    assert [one.number for one in found] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert outs(found[0]) == [(-3, False, False), (3, False, False)]
    assert outs(found[5]) == [(-18, False, True), (18, False, False)]
    assert outs(found[6]) == [(-21, True, True), (21, True, True)]
    assert outs(found[7]) == [(-24, True, True), (24, True, True)]
    assert [one.standing for one in found] == ["measured"] * 6 + ["to come"] * 2
    assert [one.lean for one in found[:6]] == [3, 6, 9, 12, 15, 18]
    assert [one.growth for one in found[:6]] == [0] * 6
    assert found[6].lean is None
    assert found[6].growth is None


def test_growth_on_both_sides_has_no_lean_where_its_place_was_not_taped() -> None:
    """Six tapes of panels 2, 4, 6 mm wider: 1, 2, 3 on either side, and 4, 5, 6 to come."""
    found = layers([taped(2), taped(4), taped(6)])
    assert [outs(one) for one in found[:6]] == [
        [(n, n > 3, False), (n, n > 3, False)] for n in range(1, 7)
    ]
    assert all(face and face.shared for one in found[:6] for face in one.faces)
    assert [one.growth for one in found[:3]] == [2, 4, 6]
    assert all(one.lean is None for one in found)
    assert outs(found[6]) == [None, None], "no further ahead than three panels reach"


def test_what_was_not_measured_has_no_figure() -> None:
    found = layers([lean(1), None, lean(3)], panels=4)
    assert found[1].standing == "not measured"
    assert outs(found[1]) == [None, None]
    assert found[1].growth is None
    height = picture([lean(1), None, lean(3)], panels=4).elevations[1]
    assert [one.standing for one in height.layers] == ["not measured"] * 3 + ["to come"]
    assert all(outs(one) == [None, None] for one in height.layers)


def test_ends_that_differ_by_more_than_a_millimetre_are_both_there() -> None:
    one, other = layers(
        [
            {"out_right_br": 2.0, "out_right_hr": 3.0},
            {"out_right_br": 2.0, "out_right_hr": 3.6},
        ],
        panels=2,
    )
    assert [face and face.ends for face in one.faces] == [None, None]
    right = other.faces[1]
    assert right is not None
    assert right.ends == (2, Decimal("3.6"))
    assert right.out == Decimal("2.8")


def test_a_plan_without_bands_has_none() -> None:
    found = layers([lean(1), lean(2)], tolerance=Tolerance())
    assert all(one.bands == (None, None) for one in found)
    assert not any(face and face.beyond for one in found for face in one.faces)


def test_a_stack_of_one_and_one_of_forty() -> None:
    (only,) = layers([lean(1)], panels=1)
    assert outs(only) == [(-3, False, False), (3, False, False)]
    forty = layers([lean(n) for n in range(1, 7)], panels=40, tolerance=WIDE)
    assert len(forty) == 40
    foretold = [one.number for one in forty if any(face and face.foretold for face in one.faces)]
    assert foretold == [7, 8, 9, 10], "the four latest panels reach four ahead"


@pytest.mark.parametrize(
    ("cells", "by"),
    # Each face reaches 24 mm one way: 2 · (24 / cell + 1) cells; a cell of 75 mm as it is (150 / 2).
    [
        (66, 100),
        (65, 50),
        (34, 50),
        (33, 20),
        (14, 20),
        (13, 10),
        (8, 10),
        (6, 5),
        (4, 2),
        (3, 1),
        (1, None),
    ],
)
def test_the_exaggeration_is_the_roundest_that_uses_the_room(cells: int, by: int | None) -> None:
    found = picture([lean(n) for n in range(1, 7)], tolerance=Tolerance())
    assert exaggeration(found.elevations, 150, cells, 2) == by


def test_a_cell_never_shows_less_than_a_tape_does() -> None:
    found = picture([lean(1, each=0.2)], tolerance=Tolerance())
    assert exaggeration(found.elevations, 150, 400, 2) == 100, "75/100; 75/200 mm would be finer"
    assert list(ROUND) == sorted(ROUND, reverse=True)


def test_the_band_is_within_the_picture_on_the_side_a_face_goes_to() -> None:
    """Left goes in to the right, by 3; the band there is 10 wide. Right goes out to the right, 20."""
    (elevation, _) = picture([lean(1)], tolerance=WIDE).elevations
    assert elevation.reaches(0) == (0, 10)
    assert elevation.reaches(1) == (0, 20)


def test_panels_that_shrink_are_out_from_their_own_lines() -> None:
    """Each panel 100 mm narrower, and centred: 50 in from the one below is no drift."""
    stack = pile(*(panel(7200 - 100 * n, 8700, align="base-centre") for n in range(3)))
    found = job(stack)
    poured = {
        one.mark: cast(one, {key: Decimal(at) for key, at in lean(n).items()})
        for n, one in enumerate(stack.panels, start=1)
    }
    made = drift_picture(found, "A", rungs(set_out_stack(found, stack, poured)))
    assert [one.lean for one in made.elevations[0].layers] == [3, 6, 9]
