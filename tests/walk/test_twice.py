"""Measuring twice: two readings that agree are one value; a job may ask for it."""

from decimal import Decimal
from math import sqrt
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.messages import JobFaulty, Refusal
from pourdeck.plan.reader import read_job_text
from pourdeck.walk import acts
from pourdeck.walk.answers import agree, asks_twice, mean, readings_in, together
from pourdeck.walk.ascast import as_cast
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, JOB, Crew, job_of, refused
from tests.walk.kit import crew as made_crew

TWICE = JOB.replace("[tolerance]", '[tolerance]\ntwice = ["width", "diagonals", "thickness"]')
MM = st.decimals("500", "12000", places=1)


def act(found: Act | Refusal) -> Act:
    assert isinstance(found, Act), found
    return found


@pytest.fixture(scope="module")
def crew(tmp_path_factory: pytest.TempPathFactory) -> Crew:
    """The first panel is poured and its forms are off, in a job that asks for some of it twice."""
    one = made_crew(tmp_path_factory.mktemp("twice"), TWICE)
    one.go_to("close")
    return one


@given(MM, MM, st.sampled_from((Decimal("0.5"), Decimal(1), Decimal(2))))
def test_readings_agree_within_three_sigma_of_their_difference(
    first: Decimal, second: Decimal, tape: Decimal
) -> None:
    """The standard deviation of a difference of two is σ√2 (law of propagation; from memory)."""
    apart = float(abs(first - second))
    limit = 3 * sqrt(2) * float(tape)
    if abs(apart - limit) > 1e-9:
        assert agree(first, second, tape) == (apart < limit)
    assert agree(first, second, tape) == agree(second, first, tape)
    assert min(first, second) <= mean(first, second) <= max(first, second)


def test_the_mean_is_exact() -> None:
    assert mean(Decimal("7200"), Decimal("7201")) == Decimal("7200.5")


@pytest.mark.parametrize(
    ("key", "asked"),
    [
        ("width_base", True), ("diagonal_br_hl", True), ("thickness_hr", True),
        ("height_left", False), ("rl_bl", False), ("out_base_bl", False), (None, False),
        ("width_of_nothing", False),
    ],
)  # fmt: skip
def test_a_job_says_what_is_measured_twice(key: str | None, asked: bool) -> None:
    assert asks_twice(job_of(TWICE), key) is asked
    assert asks_twice(job_of(JOB), key) is False


@pytest.mark.parametrize(
    ("given_words", "says"),
    [
        ('["width", "weight"]', "weight"),
        ('["width", "height", "width"]', "each once only"),
        ('"width"', "a list of what is measured twice"),
        ("[1]", "width"),
        ('["offset"]', "diagonals"),
    ],
)
def test_anything_else_is_a_fault_with_its_place(given_words: str, says: str) -> None:
    text = JOB.replace("[tolerance]", f"[tolerance]\ntwice = {given_words}")
    with pytest.raises(JobFaulty) as caught:
        read_job_text(text, Path("job"))
    words = str(caught.value)
    assert says in words
    assert "twice" in words
    line = text[: text.index("twice =")].count("\n") + 1
    assert str(line) in words


def test_it_needs_no_source_of_its_own() -> None:
    bands = JOB[JOB.index("[tolerance]") : JOB.index("[[stack]]")]
    job = job_of(JOB.replace(bands, '[tolerance]\ntwice = ["height"]\n'))
    assert job.tolerance.twice == ("height",)
    assert job_of(JOB).tolerance.twice == ()


def test_both_readings_are_recorded_and_their_mean_stands(crew: Crew) -> None:
    done = act(
        acts.answer(crew.walk, "close.width/base", "3001", FOREMAN, crew.clock.at, "again", "3002")
    )
    assert done.data["values"] == {"width_base": "3001.5"}
    assert done.data["readings"] == {"width_base": ["3002", "3001"]}
    crew.do(done)
    assert crew.walk.record.measured["width_base"] == Decimal("3001.5")
    assert crew.item("close.width/base").found == Decimal("3001.5")


def test_one_reading_is_refused_where_two_are_asked_for(crew: Crew) -> None:
    now = crew.clock.at
    words = refused(acts.answer(crew.walk, "close.width/base", "3001", FOREMAN, now, "again"))
    assert "measured twice" in words.title
    assert "tolerance.twice" in words.body
    words = refused(as_cast(crew.walk, {"width_base": Decimal(3001)}, FOREMAN, "again"))
    assert "measured twice" in words.title
    act(acts.answer(crew.walk, "close.height/left", "3001", FOREMAN, now, "again"))


def test_two_that_do_not_agree_are_both_shown(crew: Crew) -> None:
    now = crew.clock.at
    words = refused(
        acts.answer(crew.walk, "close.width/base", "3001", FOREMAN, now, "again", "3006")
    )
    assert "3006 mm and 3001 mm do not agree" in words.title
    assert "5 mm apart" in words.body
    assert "4.2 mm" in words.body
    both = {"width_base": (Decimal(3006), Decimal(3001))}
    assert "do not agree" in refused(as_cast(crew.walk, {}, FOREMAN, "again", both)).title


def test_twice_is_taken_where_nobody_asks_for_it(crew: Crew) -> None:
    both = {
        "height_left": (Decimal(3001), Decimal(3002)),
        "rl_bl": (Decimal("101.001"), Decimal("101.002")),
    }
    done = act(as_cast(crew.walk, {"out_base_bl": Decimal(1)}, FOREMAN, "again", both))
    assert done.data["values"] == {
        "out_base_bl": "1", "height_left": "3001.5", "rl_bl": "101.0015",
    }  # fmt: skip
    assert set(done.data["readings"]) == {"height_left", "rl_bl"}


def test_heights_are_compared_in_millimetres() -> None:
    job = job_of(JOB)
    assert together(job, "rl_bl", Decimal("101.000"), Decimal("101.004")) == Decimal("101.002")
    found = together(job, "rl_bl", Decimal("101.000"), Decimal("101.005"))
    assert isinstance(found, Refusal)
    assert "101.000 m and 101.005 m" in found.title


@pytest.mark.parametrize(
    "data",
    [
        {}, {"readings": None}, {"readings": []}, {"readings": {"width_base": "3000"}},
        {"readings": {"width_base": ["x", "3000"]}}, {"readings": {"width_base": [3000, None]}},
    ],
)  # fmt: skip
def test_what_a_damaged_log_says_of_readings_is_passed_over(data: dict[str, Any]) -> None:
    assert readings_in(data, "width_base") == ()
