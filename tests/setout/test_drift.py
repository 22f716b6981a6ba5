"""Growth and lean up a stack, and the panel on which it will matter."""

from decimal import Decimal
from math import hypot, sqrt
from typing import Any

import pytest

from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Band, Job, Limits, Poured, Tolerance
from pourdeck.setout.drift import drifts, rungs
from pourdeck.setout.foretold import drift_findings
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut

from .builders import job, mm, panel, pile
from .test_cast_lines import cast

TAPE = Decimal(1)

EIGHT = Tolerance(
    source="spec, table 2",
    width=(Band(plus=mm(8), minus=mm(8)),),
    position=(Band(plus=mm(16), minus=mm(16)),),
)


def leaning(
    each: float, panels: int, measured: int, tolerance: Tolerance = EIGHT, **more: object
) -> tuple[Job, tuple[SetOut, ...]]:
    """Panels of one size; the measured ones lean to the right, `each` mm more than the one below."""
    size = more.pop("width", 7200)
    step = int(more.pop("step", 100))  # type: ignore[call-overload]
    stack = pile(
        *(panel(int(size) - step * n, 8700, align="base-centre") for n in range(panels))  # type: ignore[call-overload]
    )
    found = job(stack, tolerance=tolerance, **more)  # type: ignore[arg-type]
    poured: dict[str, Poured] = {}
    for number, one in enumerate(stack.panels[:measured], start=1):
        out = Decimal(str(round(each * number, 3)))
        marks = {"out_right_br": out, "out_right_hr": out, "out_left_bl": -out, "out_left_hl": -out}
        poured[one.mark] = cast(one, marks)
    return found, set_out_stack(found, stack, poured)


def warned(each: float, panels: int, measured: int, **more: object) -> list[Finding]:
    found, setouts = leaning(each, panels, measured, **more)  # type: ignore[arg-type]
    return list(drift_findings(found, "A", rungs(setouts)))


def test_how_far_each_side_is_out() -> None:
    _, setouts = leaning(3, 6, 6)
    found = drifts(rungs(setouts), TAPE)
    assert [one.number for one in found] == [1, 2, 3, 4, 5, 6]
    for one in found:
        assert one.out("right") == pytest.approx(3 * one.number, abs=1e-3)
        assert one.out("left") == pytest.approx(-3 * one.number, abs=1e-3)
        assert one.out("base") is None, "nothing of it was taped"


def test_the_places_of_the_panels_do_not_inherit_it() -> None:
    _, straight = leaning(0, 6, 6)
    _, leans = leaning(3, 6, 6)
    assert [one.position for one in leans] == [one.position for one in straight]


@pytest.mark.parametrize(
    ("each", "measured", "panel_number"), [(3, 3, 6), (3, 5, 6), (5, 2, 4), (-3, 3, 6), (-8, 2, 3)]
)
def test_the_panel_on_which_a_side_will_pass_its_band_is_named(
    each: int, measured: int, panel_number: int
) -> None:
    """Three millimetres more with each panel are 18 on the sixth, past a band of 16."""
    found = warned(each, 8, measured)
    assert {one.side for one in found} == {"left", "right"}
    assert {(one.code, one.severity, one.panel) for one in found} == {
        ("drift", "warning", panel_number)
    }
    (right,) = [one for one in found if one.side == "right"]
    way = "out" if each > 0 else "in"
    assert f"the face goes {abs(each)} mm further {way} with each panel" in right.message
    assert "passes 16 mm (its band, spec, table 2)" in right.message


def test_without_a_band_of_positions_that_of_the_size_counts() -> None:
    alone = Tolerance(source="spec, table 2", width=(Band(plus=mm(8), minus=mm(8)),))
    assert {one.panel for one in warned(3, 8, 2, tolerance=alone)} == {3}
    assert warned(3, 8, 2, tolerance=Tolerance()) == []


@pytest.mark.parametrize(("each", "measured"), [(0, 6), (0.1, 3), (3, 1), (3, 0)])
def test_what_leads_nowhere_is_not_warned_of(each: float, measured: int) -> None:
    assert warned(each, 8, measured) == []


def test_a_stack_that_ends_before_it_is_not_warned_of() -> None:
    assert warned(3, 5, 3) == []


def test_leaving_the_reach_of_the_bolts_is_foretold() -> None:
    """Planned 295 in, a face below that grows by 3 more each time: past 300 on the panel above it.

    On the second panel, which is measured, that is 301, an error of the third; of the fourth it is foretold.
    """
    none = Tolerance()
    found = warned(3, 6, 2, tolerance=none, width=12000, step=590)
    (right,) = [one for one in found if one.side == "right"]
    assert right.panel == 4
    assert "is past the longest bolt, 300 mm" in right.message
    assert "here, at 304 mm as measured last" in right.message
    _, setouts = leaning(3, 6, 2, tolerance=none, width=12000, step=590)
    errors = [one for one in setouts[2].findings if one.side == "right"]
    assert [one.code for one in errors] == ["out-of-reach"]


def test_an_overhang_is_foretold() -> None:
    """The left faces go 3 in each: 6 on the second is an error of the third, 9 is foretold of the fourth."""
    found = warned(3, 6, 2, tolerance=Tolerance(), step=0)
    (left,) = [one for one in found if one.side == "left"]
    assert left.panel == 4
    assert "overhangs by more than the 3 mm that may lap" in left.message


def test_how_much_is_left_is_said() -> None:
    """9 mm of 16 at the third panel: 7 are left."""
    (right,) = [one for one in warned(3, 8, 3) if one.side == "right"]
    assert right.message == (
        "right: from P1 to P3 the face goes 3 mm further out with each panel; so it passes 16 mm (its "
        "band, spec, table 2) here, at 18 mm, with 7 mm left of it as measured last. Look for the cause "
        "before it does: forms that tip, a mark that has moved."
    )


def test_a_panel_that_is_past_its_band_is_named_as_such() -> None:
    """18 mm on the sixth and last measured, a band of 16: no forecast."""
    found = warned(3, 8, 6)
    assert {(one.side, one.panel) for one in found} == {("left", 6), ("right", 6)}
    (right,) = [one for one in found if one.side == "right"]
    assert right.message == (
        "right: 18 mm out as cast, it passes 16 mm (its band, spec, table 2) already; from P3 to P6 the "
        "face goes 3 mm further out with each panel. Look for the cause before the next panel is formed: "
        "forms that tip, a mark that has moved."
    )


def test_one_panel_past_its_band_is_named_and_nothing_is_foretold() -> None:
    found = warned(20, 8, 1)
    assert {one.panel for one in found} == {1}
    assert all("as cast, it passes 16 mm" in one.message for one in found)
    assert all("with each panel" not in one.message for one in found)


def stacked(
    values: list[dict[str, float] | None],
    tolerance: Tolerance = EIGHT,
    panels: int = 8,
    **more: Any,
) -> tuple[Job, tuple[SetOut, ...]]:
    """Panels of one size of which the lowest were poured, and taped where there are values."""
    stack = pile(*(panel(7200, 8700) for _ in range(panels)))
    found = job(stack, tolerance=tolerance, **more)
    poured = {
        one.mark: cast(one, {key: Decimal(str(at)) for key, at in (read or {}).items()})
        for one, read in zip(stack.panels, values, strict=False)
    }
    return found, set_out_stack(found, stack, poured)


def findings(
    values: list[dict[str, float] | None], tolerance: Tolerance = EIGHT, **more: Any
) -> list[Finding]:
    found, setouts = stacked(values, tolerance, **more)
    return list(drift_findings(found, "A", rungs(setouts)))


def taped(wider: float = 0, higher: float = 0) -> dict[str, float]:
    """Six tapes that fit together, of a panel so much wider and higher than planned."""
    width, height = 7200 + wider, 8700 + higher
    sizes = {
        "width_base": width,
        "width_head": width,
        "height_left": height,
        "height_right": height,
    }
    return sizes | dict.fromkeys(
        ("diagonal_bl_hr", "diagonal_br_hl"), round(hypot(width, height), 3)
    )


def test_a_size_that_grows_is_foretold_once_and_not_for_each_side() -> None:
    """2 mm wider with each panel, a band of 8: ten on the fifth."""
    alone = Tolerance(source="spec, table 2", width=(Band(plus=mm(8), minus=mm(8)),))
    (only,) = findings([taped(2), taped(4), taped(6)], alone, lap=50)
    assert (only.code, only.panel, only.side) == ("drift", 5, None)
    assert only.message.startswith(
        "width: from P1 to P3 the width comes out 2 mm more over its plan with each panel; so it passes "
        "8 mm (its band, spec, table 2) here, at 10 mm, with 2 mm left of it as measured last."
    )


def test_a_size_past_its_band_is_named_only_while_it_goes_on_growing() -> None:
    alone = Tolerance(source="spec, table 2", width=(Band(plus=mm(8), minus=mm(8)),))
    (only,) = findings([taped(3), taped(6), taped(9)], alone, lap=50)
    assert only.panel == 3
    assert "9 mm over its plan as cast, it passes 8 mm" in only.message
    assert findings([taped(9), taped(9), taped(9)], alone, lap=50) == []
    assert findings([taped(9)], alone, lap=50) == []


def test_what_has_come_back_into_its_band_is_no_drift_any_more() -> None:
    out = [{"out_right_br": at, "out_right_hr": at} for at in (0.0, 20.0, 2.0, 1.0)]
    assert findings(list(out), lap=50) == []


def test_scattered_tapes_are_no_trend() -> None:
    """Ends known to 2 mm each, their mean to 1.4: two of them apart by 1.9 may be the tapes alone."""
    limits = Limits(lap=mm(50), tape=mm(2))
    out = [{"out_right_br": at, "out_right_hr": at} for at in (13.0, 14.9)]
    assert findings(list(out), limits=limits) == []
    sharp = Limits(lap=mm(50), tape=mm(1))
    (only,) = findings(list(out), limits=sharp)
    assert (only.panel, only.side) == (3, "right"), (
        "16.8, and the same tapes would be believed at 1 mm"
    )


def test_a_panel_that_is_poured_and_not_taped_may_have_passed_it() -> None:
    out: list[dict[str, float] | None] = [
        {"out_right_br": at, "out_right_hr": at} for at in (4.0, 8.0, 12.0)
    ]
    (only,) = findings([*out, None, None], lap=50)
    assert only.panel == 5
    assert "It is poured: measure it." in only.message


def test_a_place_that_was_not_taped_is_not_judged() -> None:
    """Six tapes say how wide it is and not where: the drift has no side, and no lean."""
    _, setouts = stacked([taped(30), taped(30)])
    (first, _) = drifts(rungs(setouts), TAPE)
    left, right = first.faces.left, first.faces.right
    assert left is not None
    assert right is not None
    assert left.shared
    assert right.shared
    assert (left.out.value, right.out.value) == pytest.approx((15, 15), abs=0.01)
    assert first.lean("width") is None
    grown = first.growth["width"]
    assert grown is not None
    assert grown.value == pytest.approx(30, abs=0.01)
    assert findings([taped(30), taped(30)], lap=50) == []


def test_one_mark_and_six_tapes_place_both_ends_of_the_side_it_is_at() -> None:
    """The corner it is at, and the other end of the base by the width; nothing turns the panel."""
    _, setouts = stacked([taped(4) | {"out_left_bl": 5.0}])
    (only,) = drifts(rungs(setouts), TAPE)
    left, right = only.faces.left, only.faces.right
    assert left is not None
    assert right is not None
    assert left.out.ends == (pytest.approx(5, abs=0.01), None)
    assert right.out.ends == (pytest.approx(-1, abs=0.01), None)
    assert only.lean("width") == pytest.approx(-3, abs=0.01)


def test_the_spread_of_a_side_is_that_of_its_tapes() -> None:
    """Two marks, each to 1 mm: their mean to 1/√2. Half of a width taped twice: 1/(2√2)."""
    _, setouts = stacked([{"out_right_br": 3.0, "out_right_hr": 5.0}, taped(4)])
    marked, sized = drifts(rungs(setouts), TAPE)
    right = marked.faces.right
    assert right is not None
    assert right.out.value == pytest.approx(4)
    assert right.out.spread == pytest.approx(sqrt(0.5), abs=1e-4)
    assert right.out.uneven
    assert marked.faces.left is None
    half = sized.faces.right
    assert half is not None
    # Diagonals and heights that were taped too make a width a little better than two tapes of it.
    assert 0.3 < half.out.spread <= sqrt(0.5) / 2


def test_nothing_measured_drifts_nowhere() -> None:
    _, setouts = stacked([None, None])
    assert drifts(rungs(setouts), TAPE) == ()
    assert findings([None, None]) == []
