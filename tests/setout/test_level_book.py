"""Level books by height of instrument, reduced whole.

EXAM is an exam problem published with its whole level book (askfilo.com, question 3334313135393430).
TEXTBOOK is data published as question 3337383433373331 of the same place; its heights were worked out
anew, because the answer given there, 149.794, reads across a move of the instrument.
"""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.setout.levels import Book, Sight, SightKind, level_book

BENCHMARK = "benchmark"

Lines = list[tuple[int, SightKind, str, str]]

EXAM: Lines = [
    (1, "back", BENCHMARK, "2.200"), (1, "inter", "a", "1.620"), (1, "fore", "b", "0.980"),
    (2, "back", "b", "2.250"), (2, "inter", "c", "2.840"), (2, "fore", "d", "1.280"),
    (3, "back", "d", "0.600"), (3, "inter", "e", "1.960"), (3, "fore", "f", "1.450"),
]  # fmt: skip
TEXTBOOK: Lines = [
    (1, "back", BENCHMARK, "2.228"), (1, "inter", "a", "1.606"), (1, "fore", "b", "0.988"),
    (2, "back", "b", "2.090"), (2, "inter", "c", "2.864"), (2, "fore", "d", "1.262"),
    (3, "back", "d", "0.602"), (3, "fore", "e", "1.982"),
    (4, "back", "e", "1.044"), (4, "fore", "f", "2.684"),
]  # fmt: skip


def book(lines: Lines, benchmark: str) -> Book:
    return level_book(sights(lines), {BENCHMARK: Decimal(benchmark)})


def sights(lines: Lines) -> list[Sight]:
    return [
        Sight(setup=setup, kind=kind, point=point, reading=Decimal(reading))
        for setup, kind, point, reading in lines
    ]


def heights(found: Book) -> list[str]:
    return [f"{one.rl:.3f}" for setup in found.setups for one in setup.sights]


def test_the_exam_book() -> None:
    found = book(EXAM, "100.000")
    assert [f"{one.instrument:.3f}" for one in found.setups] == ["102.200", "103.470", "102.790"]
    assert heights(found) == ["100.580", "101.220", "100.630", "102.190", "100.830", "101.340"]
    (run,) = found.runs
    assert (run.backsights, run.foresights, run.rise) == tuple(
        map(Decimal, ("5.050", "3.710", "1.340"))
    )
    assert run.adds_up
    assert run.misclose is None


def test_the_textbook_book_does_not_read_across_a_move() -> None:
    found = book(TEXTBOOK, "150.250")
    assert [f"{one.instrument:.3f}" for one in found.setups] == [
        "152.478", "153.580", "152.920", "151.982",
    ]  # fmt: skip
    assert heights(found) == ["150.872", "151.490", "150.716", "152.318", "150.938", "149.298"]
    (run,) = found.runs
    assert (run.backsights, run.foresights, run.rise) == tuple(
        map(Decimal, ("5.964", "6.916", "-0.952"))
    )
    assert run.adds_up


def test_the_textbook_book_from_another_benchmark() -> None:
    """432.384 is from memory; a whole book goes up and down with its benchmark."""
    assert heights(book(TEXTBOOK, "432.384"))[-1] == "431.432"


def test_a_run_that_ends_on_its_benchmark_shows_the_misclose() -> None:
    """EXAM carried back down: 101.340 + 0.400 = 101.740; the benchmark should read 1.740, and 1.743 is
    3 mm too low.
    """
    back: Lines = [(4, "back", "f", "0.400"), (4, "fore", BENCHMARK, "1.743")]
    (run,) = book([*EXAM, *back], "100.000").runs
    assert run.misclose == Decimal(-3)
    assert run.rise == Decimal("-0.003")
    assert run.adds_up


def test_back_on_the_benchmark_another_run_begins() -> None:
    again: Lines = [
        (1, "back", BENCHMARK, "1.512"), (1, "inter", "a", "0.587"), (1, "fore", BENCHMARK, "1.513"),
        (2, "back", BENCHMARK, "1.230"), (2, "inter", "a", "0.304"),
    ]  # fmt: skip
    found = book(again, "42.180")
    first, second = found.runs
    assert first.misclose == Decimal(-1)
    assert (second.misclose, second.rise, second.adds_up) == (None, None, None)
    # What is wrong with one set-up does not go into the next: it stands on the benchmark itself.
    assert heights(found) == ["43.105", "42.179", "43.106"]
    assert found.height_of("a") == Decimal("43.106")


def test_an_inverted_staff_is_a_negative_reading() -> None:
    """A soffit 1.105 above the instrument: 102.200 + 1.105. Common practice of every levelling text."""
    soffit: Lines = [(1, "back", BENCHMARK, "2.200"), (1, "inter", "soffit", "-1.105")]
    assert heights(book(soffit, "100.000")) == ["103.305"]


def test_a_set_up_on_a_point_nobody_levelled_has_no_height() -> None:
    lost: Lines = [(1, "back", "peg", "1.0"), (1, "inter", "a", "1.1"), (2, "inter", "b", "1.2")]
    (setup,) = book(lost, "100").setups
    assert (setup.rl, setup.instrument) == (None, None)
    assert [one.rl for one in setup.sights] == [None]


def test_nothing_read_is_an_empty_book() -> None:
    assert book([], "100") == Book(setups=(), runs=())


READING = st.decimals("-3", "4", places=4)


@given(st.lists(st.tuples(READING, READING, READING), min_size=1, max_size=9), READING)
def test_any_run_is_its_cumulated_rises(
    moves: list[tuple[Decimal, Decimal, Decimal]], benchmark: Decimal
) -> None:
    """Against numpy: rise and fall from one reading to the next within a set-up, cumulated."""
    lines: list[Sight] = []
    on = BENCHMARK
    rises: list[float] = []
    for number, (back, inter, fore) in enumerate(moves, 1):
        lines += [
            Sight(setup=number, kind="back", point=on, reading=back),
            Sight(setup=number, kind="inter", point=f"i{number}", reading=inter),
            Sight(setup=number, kind="fore", point=f"f{number}", reading=fore),
        ]
        on = f"f{number}"
        rises += [float(back - inter), float(inter - fore)]
    found = level_book(lines, {BENCHMARK: benchmark})
    got = [float(one.rl or 0) for setup in found.setups for one in setup.sights]
    assert np.allclose(got, float(benchmark) + np.cumsum(rises), atol=1e-9)
    (run,) = found.runs
    assert run.adds_up


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 0, 1), (1, 2, 0)])
def test_the_order_of_entry_within_a_set_up_does_not_matter_to_heights(
    order: tuple[int, int, int],
) -> None:
    """Corrections and merged logs may bring a backsight after what hangs on it."""
    first = EXAM[:3]
    assert sorted(heights(book([first[n] for n in order], "100.000"))) == ["100.580", "101.220"]
