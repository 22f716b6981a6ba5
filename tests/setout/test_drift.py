"""Growth and lean up a stack, and the panel on which it will matter."""

from decimal import Decimal

import pytest

from pourdeck.plan.findings import Finding
from pourdeck.plan.poured import Poured
from pourdeck.plan.records import Band, Job, Tolerance
from pourdeck.setout.drift import drift_findings, drifts, rungs
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut

from .builders import job, mm, panel, pile
from .test_cast_lines import cast

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
    found = drifts(rungs(setouts))
    assert [one.number for one in found] == [1, 2, 3, 4, 5, 6]
    for one in found:
        assert one.out.right == pytest.approx(3 * one.number, abs=1e-3)
        assert one.out.left == pytest.approx(-3 * one.number, abs=1e-3)
        assert one.out.base == pytest.approx(0, abs=1e-3)


def test_the_places_of_the_panels_do_not_inherit_it() -> None:
    _, straight = leaning(0, 6, 6)
    _, leans = leaning(3, 6, 6)
    assert [one.position for one in leans] == [one.position for one in straight]


@pytest.mark.parametrize(
    ("each", "measured", "panel_number"), [(3, 3, 6), (3, 5, 6), (5, 2, 4), (-3, 3, 6), (-9, 2, 3)]
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
    """Planned 295 in, a face below that grows by 3 more each time: past 300 on the panel above it."""
    none = Tolerance()
    found = warned(3, 6, 2, tolerance=none, width=12000, step=590)
    (right,) = [one for one in found if one.side == "right"]
    assert right.panel == 3, "the panel below it is 6 mm out: 301"
    assert "is past the longest bolt, 300 mm" in right.message


def test_an_overhang_is_foretold() -> None:
    found = warned(3, 6, 2, tolerance=Tolerance(), step=0)
    (left,) = [one for one in found if one.side == "left"]
    assert left.panel == 3
    assert "overhangs by more than the 3 mm that may lap" in left.message
