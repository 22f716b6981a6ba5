"""The words of a size change, apart from any screen."""

from decimal import Decimal

import pytest

from pourdeck.deck.paint import cells, plain
from pourdeck.deck.views.resize import (
    about_way,
    change_rows,
    outcome,
    short_reason,
    way_out_rows,
    way_rows,
)
from pourdeck.example import example_folder
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.resize import Resize, resize

WIDTHS = (37, 50, 66, 100)


@pytest.fixture(scope="module")
def job() -> Job:
    return read_job(example_folder())


def change(job: Job, number: int, stack: int = 0, **sizes: str) -> Resize:
    found = resize(job, job.stacks[stack], number, {}, **{k: Decimal(v) for k, v in sizes.items()})
    assert isinstance(found, Resize)
    return found


def words(found: Resize, width: int = 200) -> str:
    rows = change_rows(found, (), (), "metric", width)
    return "\n".join(plain(row.left).strip() for row in rows)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_row_is_wider_than_its_list(job: Job, width: int) -> None:
    for number in range(1, 7):
        for size in ("6000", "7195", "8000"):
            found = change(job, number, width=size)
            for row in (*change_rows(found, (), (), "metric", width),
                        *way_rows(found, "metric", width)):  # fmt: skip
                assert cells(row.left) <= width, plain(row.left)


def test_a_panel_that_nothing_moves_in_says_so(job: Job) -> None:
    found = change(job, 5, width="6590")
    assert "5 W11\n" in words(found)
    quiet = change(job, 6, thickness="150")
    assert "Nothing is changed yet" in words(quiet)


def test_growth_is_told_like_shrinking(job: Job) -> None:
    said = words(change(job, 6, width="7000"))
    assert "6 W12" in said
    assert "✗" in said or "→" in said


def test_a_new_thickness_moves_heights_above(job: Job) -> None:
    said = words(change(job, 3, thickness="175"))
    assert "RL top" in said
    assert "4 W09" in said


def test_what_comes_and_what_falls_away_is_listed(job: Job) -> None:
    said = words(change(job, 3, width="6900"))
    assert "extra anchors, base 1 → 2: away 4925; new 3200, 4625" in said
    assert "brackets 32 → 31" in said


def test_the_outcome_is_one_line_with_works_or_errors(job: Job) -> None:
    works = plain(outcome(change(job, 5, width="6590"), (), (), "metric"))
    assert works.endswith("works; cancels nothing")
    errors = plain(outcome(change(job, 3, width="6900"), (), (), "metric"))
    assert "✗ 1 error, 3 ways work; cancels nothing" in errors


def test_a_way_that_does_not_work_has_a_short_and_a_whole_reason(job: Job) -> None:
    found = change(job, 3, width="6900")
    option = next(one for one in found.options if one.align == "base-left")
    assert short_reason(option.finding, found) == "right out of reach"
    whole = " ".join(plain(row).strip() for row in about_way(option, "metric", 60))
    assert whole.startswith("base-left: right: 600 mm in from the panel below is past")
    found = change(job, 4, height="8280")
    above = next(one for one in found.options if one.align == "centre")
    assert short_reason(above.finding, found) == "W11 base overhangs"


def test_a_way_that_works_says_what_its_numbers_mean(job: Job) -> None:
    found = change(job, 5, width="6590")
    option = found.options[0]
    assert option.feasible
    said = " ".join(plain(row).strip() for row in about_way(option, "metric", 60))
    assert f"{option.extra_anchors} extra anchor" in said
    assert "off the first bolt" in said
    assert about_way(None, "metric", 60) == []


def way(found: Resize, job: Job, stack: Stack) -> str:
    return " ".join(plain(row).strip() for row in way_out_rows(found, job, stack, 60))


def test_who_is_in_the_way_is_said_only_where_none_works(job: Job) -> None:
    stack = job.stacks[0]
    assert way(change(job, 5, width="6590"), job, stack) == ""
    assert way(change(job, 3, width="6900"), job, stack) == ""
    assert "W04 below takes 6890 mm to 7506 mm" in way(change(job, 3, width="6500"), job, stack)
    assert "no form is 160 mm deep" in way(change(job, 3, thickness="160"), job, stack)


def test_what_moves_by_the_same_step_is_said_once(job: Job) -> None:
    """The run of the head starts at its right corner: 300 off the width moves every anchor by 300."""
    said = words(change(job, 3, width="6900"))
    assert "anchors, head: each of 7 by −300 mm" in said


def test_other_forms_are_said_by_their_depth(job: Job) -> None:
    assert "depth of forms 150 mm → 175 mm" in words(change(job, 3, thickness="175"))
