"""Rule 5 against an integer program: scipy.optimize.milp, that is HiGHS (Huangfu and Hall 2018)."""

import random
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from decimal import Decimal
from types import FrameType
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from pourdeck.plan.records import SIDES, Kit, Overrun, Panel
from pourdeck.setout.run_search import Stockroom, TooManyWaysError, best_runs
from pourdeck.setout.runs import NO_RUNS, made_up, runs, short_of_forms_message
from tests.campaign import some

from .builders import Number, kit, panel, stock

Answer = tuple[int, int] | None
"""Pieces and total length; None where it cannot be done."""


def integer_program(
    lengths: Sequence[int], counts: Sequence[int], needs: Sequence[tuple[int, int]]
) -> Answer:
    """Fewest pieces first; then, with no more pieces than that, the least length."""
    kinds, sides = len(lengths), len(needs)
    rows, low, high = [], [], []
    for side, (shortest, longest) in enumerate(needs):
        row = np.zeros((sides, kinds))
        row[side] = lengths
        rows.append(row.ravel())
        low.append(shortest)
        high.append(longest)
    for index, held in enumerate(counts):
        row = np.zeros((sides, kinds))
        row[:, index] = 1
        rows.append(row.ravel())
        low.append(0)
        high.append(held)
    common: dict[str, Any] = {
        "integrality": np.ones(kinds * sides),
        "bounds": Bounds(0, np.tile(np.array(counts, float), sides)),
    }

    def least(cost: Any, constraints: LinearConstraint) -> Any:
        """HiGHS gives up on a few of these after its presolve and solves them without."""
        for presolve in (True, False):
            options = {"mip_rel_gap": 0, "presolve": presolve}
            found = milp(cost, constraints=constraints, options=options, **common)
            if found.status in (0, 2):
                break
        return found

    found = least(np.ones(kinds * sides), LinearConstraint(rows, low, high))
    if found.status == 2:
        return None
    assert found.status == 0, found.message
    pieces = round(found.fun)
    rows.append(np.ones(kinds * sides))
    found = least(
        np.tile(np.array(lengths, float), sides),
        LinearConstraint(rows, [*low, 0], [*high, pieces]),
    )
    assert found.status == 0, found.message
    return pieces, round(found.fun)


def random_case(rng: random.Random) -> tuple[Panel, Kit]:
    """A panel and a kit whose stock mostly just reaches or just fails to reach."""
    pool = [600, 750, 900, 1000, 1200, 1500, 1800, 2000, 2400, 2500, 3000, 3600, 4500, 6000]
    odd = rng.random() < 0.4
    lengths = {
        Decimal(rng.randint(800, 9000)) / 2
        if odd and rng.random() < 0.5
        else Decimal(rng.choice(pool))
        for _ in range(rng.randint(1, 8))
    }
    width = Decimal(rng.choice([rng.randint(8, 130) * 100, rng.randint(1600, 26000) / 2]))
    height = Decimal(rng.choice([rng.randint(8, 130) * 100, rng.randint(1600, 26000) / 2]))
    least = Decimal(rng.choice(["0", "0", "0", "50", "100", "2.5"]))
    most = least + Decimal(rng.choice(["0", "0.5", "20", "100", "300", "600", "1000", "1000"]))
    wanted = (2 * (width + height) + 4 * least) * Decimal(rng.choice(["1", "1.05", "1.2", "1.5"]))
    held: Counter[Decimal] = Counter()
    while sum(length * count for length, count in held.items()) < wanted:
        open_still = sorted(length for length in lengths if held[length] < 14)
        if not open_still:
            break
        held[rng.choice(open_still)] += rng.choice([1, 1, 2])
    pieces = [(length, min(count, 14)) for length, count in held.items()]
    pieces += [(Decimal(4000), 14, Decimal(200)), (Decimal(1100), 0)]
    return (
        panel(width, height, 150),
        kit(stock=stock(*pieces), overrun=Overrun(min=least, max=most)),
    )


def in_half_millimetres(
    one: Panel, held: Kit
) -> tuple[list[int], list[int], list[tuple[int, int]]]:
    """Give the kit in whole numbers: what is held at the panel's depth, and each side's window."""
    usable = [each for each in held.stock if each.depth in (None, one.thickness)]
    needs = [
        (int((side + held.overrun.min) * 2), int((side + held.overrun.max) * 2))
        for side in (one.width, one.height, one.width, one.height)
    ]
    return [int(each.length * 2) for each in usable], [each.count for each in usable], needs


def answer_of(one: Panel, held: Kit) -> Answer:
    found = runs(one, held)
    if found == NO_RUNS:
        return None
    made = [run for run in found.values() if run is not None]
    assert len(made) == 4
    return sum(len(run.pieces) for run in made), int(sum(run.length for run in made) * 2)


CASES = [random_case(random.Random(seed)) for seed in some(range(160))]


@pytest.mark.campaign
@pytest.mark.parametrize("first", range(0, len(CASES), 20))
def test_as_few_and_as_short_as_the_integer_program(first: int) -> None:
    for one, held in CASES[first : first + 20]:
        expected = integer_program(*in_half_millimetres(one, held))
        assert answer_of(one, held) == expected, (one, held)


@pytest.mark.campaign
@pytest.mark.parametrize("first", range(0, len(CASES), 80))
def test_every_run_is_made_of_what_is_held_and_ends_in_the_window(first: int) -> None:
    for one, held in CASES[first : first + 80]:
        found = runs(one, held)
        if found == NO_RUNS:
            continue
        taken: Counter[Decimal] = Counter()
        for side, run in found.items():
            assert run is not None
            taken.update(run.pieces)
            assert run.length == sum(run.pieces)
            assert run.overrun == run.length - one.side_length(side)
            assert held.overrun.min <= run.overrun <= held.overrun.max
            assert list(run.pieces) == sorted(run.pieces, reverse=True)
        there: Counter[Decimal] = Counter()
        for each in held.stock:
            if each.depth in (None, one.thickness):
                there[each.length] += each.count
        assert all(number <= there[length] for length, number in taken.items())


def test_the_sample_has_stock_that_binds() -> None:
    """Where the sides would take more of a length than there is, if each were made up by itself."""
    done = bound = 0
    for one, held in CASES:
        if runs(one, held) == NO_RUNS:
            continue
        done += 1
        plenty = kit(
            overrun=held.overrun,
            stock=stock(
                *((each.length, 99) for each in held.stock if each.count and not each.depth)
            ),
        )
        bound += answer_of(one, plenty) != answer_of(one, held)
    assert done > len(CASES) / 4
    assert bound > done / 3


def test_the_greedy_choice_is_not_taken() -> None:
    """Longest first would take 3000 + 1000 + 1000 for 4400; two of 2400 are fewer."""
    few = kit(
        stock=stock((3000, 9), (2400, 9), (1000, 9)),
        overrun=Overrun(min=Decimal(0), max=Decimal(500)),
    )
    found = runs(panel(4400, 4400), few).base
    assert found is not None
    assert found.pieces == (Decimal(2400), Decimal(2400))


def test_a_run_gives_up_its_own_best_for_the_four_together() -> None:
    """One 6000 only: three sides are made of 3000s, and nothing else will do."""
    few = kit(stock=stock((6000, 1), (3000, 6)), overrun=Overrun(min=Decimal(0), max=Decimal(0)))
    assert answer_of(panel(6000, 6000), few) == (7, 48000)
    fewer = kit(stock=stock((6000, 1), (3000, 5)), overrun=Overrun(min=Decimal(0), max=Decimal(0)))
    assert runs(panel(6000, 6000), fewer) == NO_RUNS


def test_half_a_millimetre_short_is_short() -> None:
    exact = kit(stock=stock(("3600.5", 8)), overrun=Overrun(min=Decimal(0), max=Decimal(0)))
    assert answer_of(panel("7201", "3600.5"), exact) == (6, 43206)
    assert runs(panel("7201.5", "3600.5"), exact) == NO_RUNS


def test_a_least_overrun_is_kept() -> None:
    over = kit(
        stock=stock((3000, 8), (3100, 8)), overrun=Overrun(min=Decimal(100), max=Decimal(200))
    )
    for run in runs(panel(3000, 3000), over).values():
        assert run is not None
        assert run.pieces == (Decimal(3100),)


def test_forms_of_another_depth_are_not_used() -> None:
    held = kit(stock=stock((3000, 12, 175)))
    assert runs(panel(3000, 3000, 150), held) == NO_RUNS
    assert runs(panel(3000, 3000, 175), held) != NO_RUNS


def test_forms_of_a_length_that_stands_twice_in_the_stock_are_added_up() -> None:
    """Two for every depth and two of this one make up the four sides."""
    held = kit(stock=stock((3000, 2), (3000, 2, 150), (3000, 9, 175)))
    assert answer_of(panel(3000, 3000), held) == (4, 24000)
    assert runs(panel(3000, 3000), kit(stock=stock((3000, 2), (3000, 1, 150)))) == NO_RUNS


def test_lengths_written_with_an_exponent_are_the_same_lengths() -> None:
    whole = Overrun(min=Decimal("0E+3"), max=Decimal("1E+3"))
    held = kit(stock=stock(("3E+3", 4)), overrun=whole)
    assert answer_of(panel("3E+3", "2E+3"), held) == (4, 24000)


@pytest.mark.parametrize(
    ("length", "side", "least", "most"),
    [("3600.4", "3600", 0, 0), ("3600", "3600.5", 0, "0.4"), ("3600", "3600", "0.5", "0.9")],
)
def test_no_part_of_a_millimetre_is_lost_from_forms_sides_or_overrun(
    length: str, side: str, least: Number, most: Number
) -> None:
    """Each is out of its window by less than a millimetre, and the other two are whole."""
    held = kit(stock=stock((length, 9)), overrun=Overrun(min=Decimal(least), max=Decimal(most)))
    assert runs(panel(side, side), held) == NO_RUNS


def test_runs_that_were_not_found_out_are_none_on_every_side() -> None:
    held = kit(stock=stock(("53.5", 400), ("51.5", 400), ("50.5", 400)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pourdeck.setout.run_search.MOST_WORK", 50)
        assert runs(panel(9137, 7351), held) == NO_RUNS
        assert made_up(panel(9137, 7351), held) is None


def test_no_forms_at_all() -> None:
    assert runs(panel(3000, 3000), kit(stock=())) == NO_RUNS
    assert runs(panel(3000, 3000), kit(stock=stock((3000, 0)))) == NO_RUNS


def test_the_message_names_the_sides_that_cannot_be_made_up() -> None:
    """A whole of the stock is enough for base and head, none of it for right and left."""
    only = kit(stock=stock((3000, 8)), overrun=Overrun(min=Decimal(0), max=Decimal(100)))
    message = short_of_forms_message(panel(3000, 4000), only, "metric")
    assert "right (4000 mm), left (4000 mm)" in message
    assert "base" not in message
    together = short_of_forms_message(
        panel(3000, 3000), kit(stock=stock((3000, 3)), overrun=only.overrun), "metric"
    )
    assert not any(f"{side} (" in together for side in SIDES)
    assert "150 mm deep, 9000 mm in all, make up each side but not all four" in together


class TooMuchWorkError(Exception):
    pass


def calls_of(work: Callable[[], object], most: int) -> int:
    """Count the function calls that `work` makes; given up above `most`. A count, so no clock is asked."""
    made = 0

    def count(frame: FrameType, event: str, arg: object) -> None:
        nonlocal made
        if event == "call":
            made += 1
            if made > most:
                raise TooMuchWorkError

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(before)
    return made


MOST_CALLS = 1_000_000
"""About a third of a second of work on a small computer."""

WORST = [
    # infeasible though each side can be made up and the stock is half as much again as is wanted
    (
        (2000, 1316, 1200, 1000, 600, 416), (11, 7, 12, 7, 13, 6),
        ((8453, 8473), (12960, 12980)),
    ),
    (
        (8000, 7200, 4800, 1800, 1200, 1000, 819), (2, 12, 12, 3, 10, 3, 13),
        ((22660, 22760), (25662, 25762)),
    ),
    # feasible, the stock nearly used up
    (
        (2400, 1927, 1696, 1647, 1275, 1000, 600, 529), (4, 4, 5, 1, 3, 7, 4, 4),
        ((9154, 10154), (11171, 12171)),
    ),
    (
        (2400, 2177, 1500, 1200, 973, 600, 357, 337), (3, 3, 2, 5, 7, 5, 5, 8),
        ((11590, 11890), (5839, 6139)),
    ),
    (
        (5000, 3000, 2500, 2400, 2000, 1500, 1200, 1000, 750, 600), (2, 1, 3, 1, 4, 2, 2, 2, 4, 3),
        ((12000, 12500), (9000, 9500)),
    ),
]  # fmt: skip


@pytest.mark.campaign
@pytest.mark.parametrize(("lengths", "counts", "needs"), some(WORST))
def test_a_nasty_stock_is_not_a_long_wait(
    lengths: tuple[int, ...], counts: tuple[int, ...], needs: tuple[tuple[int, int], ...]
) -> None:
    found: list[Any] = []
    calls_of(lambda: found.append(best_runs(Stockroom(lengths, counts), needs * 2)), MOST_CALLS)
    expected = integer_program(lengths, counts, needs * 2)
    if expected is None:
        assert found == [None]
    else:
        used = np.array(found[0])
        assert (int(used.sum()), int((used @ np.array(lengths)).sum())) == expected


def test_lengths_of_a_millionth_of_a_millimetre_take_no_more_memory_than_others() -> None:
    """Odd lengths that share nothing are counted in coarser units, and the best is found all the same."""
    lengths = (1000_000001, 2000_500000, 301_250000)
    counts = (30, 30, 20)
    needs = ((9137_000000, 9637_000000), (7351_000000, 7851_000000)) * 2
    found = best_runs(Stockroom(lengths, counts), needs)
    expected = integer_program(lengths, counts, needs)
    assert found is not None
    assert expected is not None
    used = np.array(found)
    assert (int(used.sum()), int((used @ np.array(lengths)).sum())) == expected


def test_a_stock_that_can_be_put_together_in_too_many_ways_is_given_up() -> None:
    """Nobody waits for ever: it is said, and what is said is not that it cannot be done."""
    room = Stockroom((53, 51, 50), (400, 400, 400))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pourdeck.setout.run_search.MOST_WORK", 50)
        with pytest.raises(TooManyWaysError):
            best_runs(room, ((9137, 9140), (7351, 7354)) * 2)
