"""Heights up a stack, and levelling by height of instrument: HI = RL + backsight, RL = HI − reading.

EXAM is an exam problem published with its whole level book (askfilo.com, question 3334313135393430).
TEXTBOOK is data published as question 3337383433373331 of the same place; its heights were worked out
anew, because the answer given there, 149.794, reads across a move of the instrument.
"""

import itertools
from decimal import Decimal

import pytest

from pourdeck.plan.records import Poured, Sides
from pourdeck.setout.panel import height_of_instrument, heights, set_out_stack, staff_reading

from .builders import job, panel, pile

Setup = tuple[str, list[tuple[str, str]]]
"""Backsight, then reading and the height printed for it. The last one carries the next setup."""

EXAM: tuple[str, list[Setup], list[str], str] = (
    "100.000",
    [
        ("2.200", [("1.620", "100.580"), ("0.980", "101.220")]),
        ("2.250", [("2.840", "100.630"), ("1.280", "102.190")]),
        ("0.600", [("1.960", "100.830"), ("1.450", "101.340")]),
    ],
    ["102.200", "103.470", "102.790"],
    "1.340",
)
TEXTBOOK: tuple[str, list[Setup], list[str], str] = (
    "150.250",
    [
        ("2.228", [("1.606", "150.872"), ("0.988", "151.490")]),
        ("2.090", [("2.864", "150.716"), ("1.262", "152.318")]),
        ("0.602", [("1.982", "150.938")]),
        ("1.044", [("2.684", "149.298")]),
    ],
    ["152.478", "153.580", "152.920", "151.982"],
    "-0.952",
)


@pytest.mark.parametrize("book", [EXAM, TEXTBOOK])
def test_a_level_book(book: tuple[str, list[Setup], list[str], str]) -> None:
    benchmark, setups, instruments, rise = book
    height = Decimal(benchmark)
    for (backsight, readings), instrument in zip(setups, instruments, strict=True):
        instrument_height = height_of_instrument(height, Decimal(backsight))
        assert instrument_height == Decimal(instrument)
        for reading, printed in readings:
            # the same relation either way: what the staff reads at a height, what height it reads
            assert staff_reading(instrument_height, Decimal(printed)) == Decimal(reading)
            height = staff_reading(instrument_height, Decimal(reading))
            assert height == Decimal(printed)
    assert height - Decimal(benchmark) == Decimal(rise)


@pytest.mark.parametrize("book", [EXAM, TEXTBOOK])
def test_back_sights_less_fore_sights_is_the_sum_of_the_rises(
    book: tuple[str, list[Setup], list[str], str],
) -> None:
    _benchmark, setups, _, rise = book
    back = sum(Decimal(backsight) for backsight, _ in setups)
    fore = sum(Decimal(readings[-1][0]) for _, readings in setups)
    assert back - fore == Decimal(rise)


def test_to_set_a_height() -> None:
    """Worked out from the first setup of EXAM: HI 102.200, the staff reads 1.200 at 101.000."""
    assert staff_reading(Decimal("102.200"), Decimal("101.000")) == Decimal("1.200")


@pytest.mark.parametrize(
    "climb",
    [
        ["100.000", "100.580", "101.220"],  # EXAM, first setup
        ["100.630", "102.190"],  # EXAM, second
        ["100.830", "101.340"],  # EXAM, third
        ["150.250", "150.872", "151.490"],  # TEXTBOOK, first
        ["150.716", "152.318"],  # TEXTBOOK, second
    ],
)
def test_a_stack_climbs_as_a_sum_of_rises(climb: list[str]) -> None:
    """Each rise between points of the book is a thickness; the tops come out at the book's heights."""
    levels = [Decimal(level) for level in climb]
    rises = [(after - before) * 1000 for before, after in itertools.pairwise(levels)]
    stack = pile(*(panel(thickness=rise) for rise in rises), bed_rl=levels[0])
    for number, (below, top) in enumerate(itertools.pairwise(levels), start=1):
        found = heights(stack, number, None)
        assert (found.below, found.top) == (below, top)
        assert (found.measured_below, found.expected_top) == (None, None)


def test_a_stack_worked_by_hand() -> None:
    """Panel 3 from a bed at 42.655 lies between 42.955 and 43.105."""
    stack = pile(panel(), panel(), panel())
    found = heights(stack, 3, None)
    assert (found.below, found.top) == (Decimal("42.955"), Decimal("43.105"))


def test_expected_from_what_was_measured_beside_what_was_planned() -> None:
    found = heights(pile(panel(), panel(thickness=175)), 2, Decimal("42.811"))
    assert (found.below, found.top) == (Decimal("42.805"), Decimal("42.980"))
    assert (found.measured_below, found.expected_top) == (Decimal("42.811"), Decimal("42.986"))


def test_the_mean_of_the_corners_that_were_read_is_the_surface() -> None:
    none: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
    read = {"rl_bl": Decimal("42.806"), "rl_br": Decimal("42.810"), "width_base": Decimal(7203)}
    log = {"P1": Poured(mark="P1", anchors=none, extra_anchors=none, measured=read)}
    stack = pile(panel(), panel(), panel())
    _, second, third = set_out_stack(job(stack), stack, log)
    assert second.heights.measured_below == Decimal("42.808")
    assert second.heights.expected_top == Decimal("42.958")
    assert second.heights.top == Decimal("42.955")
    assert third.heights.measured_below is None
