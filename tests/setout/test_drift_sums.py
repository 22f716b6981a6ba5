"""The numbers of the drift opened to their sums, which must come out at what is shown."""

from decimal import Decimal

import pytest

from pourdeck.plan.records import SIDES
from pourdeck.setout.drift import ACROSS, read
from pourdeck.setout.place_sums import drift_of_set_out, growth_sum, lean_sum, out_sum

from .test_drift import stacked, taped

PLACED = {
    "out_right_br": 3.0, "out_right_hr": 5.0, "out_left_bl": 1.0, "out_left_hl": 1.0,
    "out_base_bl": -2.0,
}  # fmt: skip


def worked(text: str) -> Decimal:
    """The sum as it is written, done again by the reader."""
    return Decimal(str(eval(text.replace("−", "-"))))


@pytest.mark.parametrize("values", [PLACED, taped(4, -3), PLACED | taped(4.4)])
def test_every_number_is_what_its_sum_works_out_to(values: dict[str, float]) -> None:
    found, (setout, *_) = stacked([values])
    drift = drift_of_set_out(setout, found)
    assert drift is not None
    seen = 0
    for side in SIDES:
        opened = out_sum(setout, side, found)
        assert (opened is None) == (drift.faces[side] is None)
        if opened is not None:
            assert isinstance(opened.result, Decimal)
            assert worked(opened.worked) == pytest.approx(opened.result, abs=Decimal("0.15"))
            seen += 1
    for name in ACROSS:
        for opened, value in (
            (growth_sum(setout, name, found), drift.growth[name] and drift.growth[name].value),  # type: ignore[union-attr]
            (lean_sum(setout, name, found), drift.lean(name)),
        ):
            assert (opened is None) == (value is None)
            if opened is not None and value is not None and opened.worked:
                assert opened.result == read(value)
                assert worked(opened.worked) == pytest.approx(read(value), abs=Decimal("0.15"))
                seen += 1
    assert seen >= 4


def test_a_side_by_hand() -> None:
    """3 and 5 mm out at the ends of the right: 4. The left is 1 out: grown by 5, leans (4 − 1) / 2."""
    found, (setout, *_) = stacked([PLACED])
    right = out_sum(setout, "right", found)
    assert right is not None
    assert [(one.name, one.value) for one in right.inputs] == [
        ("x of br", 7203), ("x of br, planned", 7200), ("x of hr", 7205), ("x of hr, planned", 7200),
    ]  # fmt: skip
    assert right.worked == "((7203 − 7200) + (7205 − 7200)) / 2"
    assert right.result == 4
    grown, leans = growth_sum(setout, "width", found), lean_sum(setout, "width", found)
    assert grown is not None
    assert leans is not None
    assert (grown.worked, grown.result) == ("1 + 4", 5)
    assert (leans.worked, leans.result) == ("(4 − 1) / 2", Decimal("1.5"))
    base = out_sum(setout, "base", found)
    assert base is not None
    assert (base.formula, base.worked, base.result) == ("at the end that was taped", "0 − 2", -2)


def test_what_was_not_taped_has_no_sum() -> None:
    found, (setout, *_) = stacked([PLACED])
    assert out_sum(setout, "head", found) is None
    assert lean_sum(setout, "height", found) is None
    assert growth_sum(setout, "height", found) is None
    _, (bare, *_) = stacked([None])
    assert drift_of_set_out(bare, found) is None
    assert out_sum(bare, "right", found) is None


def test_a_place_that_was_not_taped_is_said() -> None:
    found, (setout, *_) = stacked([taped(4)])
    opened = out_sum(setout, "right", found)
    assert opened is not None
    assert opened.result == 2
    assert "its place was not taped: taken as grown alike on both sides" in opened.rounding
