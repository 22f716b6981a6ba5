"""Rule 2: offsets, and the first bolt whose band holds them, ends included."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import SIDES, Kit
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.place import bolt_for, reach_fault

from .builders import KIT, bolts, job, kit, panel, pile

LAP = Decimal(3)
THREE = kit(bolts=bolts(("a", 0, 100), ("b", 80, 200), ("c", 190, 300)))
GAPS = kit(bolts=bolts(("a", 0, 100), ("c", 250, 300), ("b", "120.5", 200)))
NO_ZERO = kit(bolts=bolts(("far", 40, 300)))
FLUSH = kit(bolts=bolts(("flush", 0, 0), ("near", "0.5", 1)))


@pytest.mark.parametrize(
    ("held", "offset", "name"),
    [
        (KIT, "0", "outer"),
        (KIT, "139.9", "outer"),
        (KIT, "140", "outer"),
        (KIT, "160", "outer"),
        (KIT, "160.0000000001", "inner"),
        (KIT, "300", "inner"),
        (KIT, "300.0", "inner"),
        (KIT, "300.1", None),
        (KIT, "-3", "outer"),
        (KIT, "-2.9999", "outer"),
        (KIT, "-3.0001", None),
        (THREE, "100", "a"),
        (THREE, "100.5", "b"),
        (THREE, "200", "b"),
        (THREE, "200.5", "c"),
        (GAPS, "100", "a"),
        (GAPS, "100.5", None),
        (GAPS, "120", None),
        (GAPS, "120.5", "b"),
        (GAPS, "200", "b"),
        (GAPS, "249.9", None),
        (GAPS, "250", "c"),
        (NO_ZERO, "0", None),
        (NO_ZERO, "-1", None),
        (NO_ZERO, "40", "far"),
        (FLUSH, "-3", "flush"),
        (FLUSH, "-0.5", "flush"),
        (FLUSH, "0.1", None),
        (FLUSH, "0.5", "near"),
    ],
)
def test_the_bolt(held: Kit, offset: str, name: str | None) -> None:
    assert bolt_for(Decimal(offset), held, LAP) == name


def test_the_first_in_the_list_is_taken_where_two_bands_hold_the_offset() -> None:
    turned = kit(bolts=bolts(("inner", 140, 300), ("outer", 0, 160)))
    assert bolt_for(Decimal(150), KIT, LAP) == "outer"
    assert bolt_for(Decimal(150), turned, LAP) == "inner"


@pytest.mark.parametrize(
    ("held", "offset", "code"),
    [
        (KIT, "-3", None),
        (KIT, "-3.1", "overhang"),
        (KIT, "0", None),
        (KIT, "300", None),
        (KIT, "300.1", "out-of-reach"),
        (THREE, "300", None),
        (THREE, "300.5", "out-of-reach"),
        (GAPS, "300", None),
        (GAPS, "110", "out-of-reach"),
        (NO_ZERO, "39.5", "out-of-reach"),
        (NO_ZERO, "-3", "out-of-reach"),
    ],
)
def test_what_is_an_error(held: Kit, offset: str, code: str | None) -> None:
    for side in SIDES:
        fault = reach_fault(side, Decimal(offset), held, LAP, "metric")
        assert (fault[0] if fault else None) == code


def test_past_the_longest_reach_and_between_two_bands_are_told_apart() -> None:
    past = reach_fault("head", Decimal(310), GAPS, LAP, "metric")
    between = reach_fault("head", Decimal(110), GAPS, LAP, "metric")
    assert past is not None
    assert between is not None
    assert past[1].startswith(
        "head: 310 mm in from the panel below is past the longest reach, 300 mm (bolt c)."
    )
    assert between[1].startswith(
        "head: no bolt takes 110 mm in from the panel below "
        "(a 0 mm to 100 mm, c 250 mm to 300 mm, b 120.5 mm to 200 mm)."
    )


def test_no_lap_allowed_at_all() -> None:
    assert bolt_for(Decimal("-0.1"), KIT, Decimal(0)) is None
    fault = reach_fault("left", Decimal("-0.1"), KIT, Decimal(0), "metric")
    assert fault is not None
    assert fault[0] == "overhang"


@pytest.mark.parametrize(("wide", "narrow"), [("7200.1", "6900.1"), ("5512.2", "5212.2")])
def test_what_was_typed_is_what_is_judged(wide: str, narrow: str) -> None:
    """Exactly 300 less is in reach of 300; the same subtraction in binary can come out a little more."""
    assert 512.2 - 212.2 > 300
    stack = pile(panel(wide, 8700), panel(narrow, 8700))
    upper = set_out_stack(job(stack), stack, {})[1]
    assert upper.offsets is not None
    assert upper.bolts is not None
    assert upper.offsets.right == 300
    assert upper.bolts.right == "inner"
    assert "out-of-reach" not in [one.code for one in upper.findings]


def test_offsets_are_from_the_panel_below_wherever_that_stands() -> None:
    shifted = panel(7000, 8500, shift=(100, 60))
    third = panel(6900, 8300, shift=(30, 80))
    stack = pile(panel(7200, 8700), shifted, third)
    _, second, top = set_out_stack(job(stack), stack, {})
    assert second.offsets is not None
    assert top.offsets is not None
    assert second.offsets.values() == (60, 100, 140, 100)
    assert top.offsets.values() == (80, 70, 120, 30)


def test_both_errors_come_each_with_its_side() -> None:
    stack = pile(panel(7200, 8700), panel(7000, 8300, shift=(-4, 400), mark="W2"))
    upper = set_out_stack(job(stack), stack, {})[1]
    assert upper.offsets is not None
    assert upper.offsets.values() == (400, 204, 0, -4)
    faults = [one for one in upper.findings if one.is_error]
    assert [(one.code, one.side) for one in faults] == [
        ("out-of-reach", "base"),
        ("overhang", "left"),
    ]
    assert all((one.stack, one.panel, one.mark) == ("A", 2, "W2") for one in faults)
    assert "400 mm" in faults[0].message
    assert "300 mm" in faults[0].message
    assert "4 mm" in faults[1].message


def test_every_bracket_of_a_side_has_its_offset_and_bolt() -> None:
    stack = pile(panel(7200, 8700), panel(6900, 8500))
    upper = set_out_stack(job(stack), stack, {})[1]
    assert {(one.offset, one.bolt) for one in upper.brackets.right} == {(Decimal(300), "inner")}
    assert {(one.offset, one.bolt) for one in upper.brackets.head} == {(Decimal(200), "inner")}
    assert {(one.offset, one.bolt) for one in upper.brackets.left} == {(Decimal(0), "outer")}
    assert [len(side) > 0 for side in upper.brackets.values()] == [True] * 4


def test_the_first_panel_has_no_offsets() -> None:
    stack = pile(panel(), panel())
    first = set_out_stack(job(stack), stack, {})[0]
    assert (first.offsets, first.bolts, first.all_brackets()) == (None, None, ())
