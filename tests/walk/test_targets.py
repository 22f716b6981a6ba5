"""Try what items expect, against sums done by hand."""

from decimal import Decimal

import pytest
from attrs import evolve

from pourdeck.walk.items import blank_items, section_items
from pourdeck.walk.records import ItemView
from pourdeck.walk.steps import template
from pourdeck.walk.targets import READS_LOG
from tests.walk.kit import JOB, context_of, job_of
from tests.walk.test_conditions import STRENGTH, WITH_THINGS


def item(text: str, number: int, key: str) -> ItemView:
    section = template().section(key.partition(".")[0])
    assert section is not None
    return next(
        one
        for one in section_items(section, context_of(job_of(text), number), ())
        if one.key == key
    )


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("drawing.mark", "P1"),
        ("drawing.rev", "B"),
        ("drawing.face-up", "inside"),
        ("drawing.mirrored", "as drawn"),
        ("drawing.width", "3000"),
        ("height.depth/hr", "150"),
        ("height.plumb/base", "0"),
        ("forms.from-line/base", "0"),
        ("forms.from-line/head", "3000"),
        ("forms.between/right", "3000"),
        # 3000 × √2 = 4242.6407 (3-4-5's cousin: the square).
        ("forms.diagonal/bl-hr", "4242.641"),
        ("forms.run/base", "3"),
        ("cast-ins.anchors/left", "3"),
        # 3·3·0.15 − 2(3 + 3)·0.015² + (8/3)·0.015³ = 1.35 − 0.0027 + 0.000009 m³
        ("ready.ordered", "1.35"),
        ("close.rl/bl", "101"),
    ],
)
def test_a_target_of_the_first_panel(key: str, expected: str) -> None:
    found = item(JOB, 1, key).expected
    assert found == (Decimal(expected) if isinstance(found, Decimal) else expected)


def test_a_mirrored_panel_says_so() -> None:
    found = item(WITH_THINGS, 1, "drawing.mirrored")
    assert found.good == ("mirrored left to right",)
    assert found.note == "drawn from the outside, inside face up"


def test_a_smaller_panel_steps_in_on_its_inner_bolt() -> None:
    """P2 is 200 mm narrower and flush at base and left: 200 on the right, past outer's 160."""
    offset, bolt = (
        item(WITH_THINGS, 2, "forms.offset/right-1"),
        item(WITH_THINGS, 2, "brackets.bolt/right-1"),
    )
    assert offset.expected == 200
    assert (offset.low, offset.high) == (198, 202)
    assert offset.source == "trial spec, table 1"
    assert bolt.good == ("inner",)
    assert bolt.choices == ("outer", "inner")
    assert offset.sum is not None
    assert offset.sum.result == 200
    assert bolt.sum is not None
    assert bolt.sum.result == "inner"


def test_strength_of_the_panel_below_has_its_source() -> None:
    found = item(STRENGTH, 2, "brackets.strength")
    assert (found.low, found.high, found.source) == (10, None, "note 14")


def test_no_limit_given_is_not_judged() -> None:
    found = item(JOB, 1, "ready.concrete")
    assert (found.low, found.high, found.source) == (None, None, None)
    limited = JOB.replace("climb = {", "concrete_temperature = [5, 35]\nclimb = {")
    found = item(limited, 1, "ready.concrete")
    assert (found.low, found.high) == (5, 35)


def test_sizes_read_from_a_drawing_must_be_those_of_the_plan() -> None:
    found = item(JOB, 1, "drawing.width")
    assert (found.low, found.high) == (3000, 3000)
    imperial = JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"')
    found = item(imperial, 1, "drawing.width")
    # A drawing in feet is to the nearest 1/16 inch: half of that, 1/32 inch, either way.
    assert (found.low, found.high) == (Decimal("2999.20625"), Decimal("3000.79375"))


def test_every_number_that_is_computed_can_be_opened() -> None:
    for key in (
        "forms.diagonal/bl-hr", "forms.run/base", "ready.ordered", "close.rl/bl", "pour.volume",
    ):  # fmt: skip
        found = item(JOB, 1, key)
        assert found.sum is not None, key
        assert found.sum.inputs


class Unread:
    """Stands in for what the log says of a panel, and must not be asked."""

    def __getattr__(self, name: str) -> object:
        raise AssertionError(f"{name} of the log was read")


@pytest.mark.parametrize("number", [1, 2])
def test_what_is_kept_by_set_out_reads_nothing_of_the_log(number: int) -> None:
    context = evolve(context_of(job_of(), number), record=Unread(), below=Unread())
    kept = [
        step
        for section in template().sections
        for step in section.steps
        if step.expected not in READS_LOG
    ]
    assert sum(len(blank_items(step, context)) for step in kept) > 40


def test_what_reads_the_log_is_worked_out_anew_each_time() -> None:
    context = context_of(job_of(), 2)
    for section in template().sections:
        for step in section.steps:
            blank_items(step, context)
            assert (step.key in context.blanks) is (step.expected not in READS_LOG), step.key
