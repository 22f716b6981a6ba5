"""`levels`: the level book of a panel, as a page and as a document."""

from pathlib import Path

import pytest

from pourdeck.example import METRIC, example_folder
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.records import Act
from tests.commands.conftest import Job
from tests.commands.kit import Command, misses
from tests.walk.kit import FOREMAN, JOB, crew

LEVELS = {
    "job": str, "stack": str, "panel": int, "mark": str,
    "benchmark": {"name": str, "rl": float},
    "setups": [{"setup": int, "on": str, "sights": [{"sight": str, "point": str}]}],
    "runs": [{"setups": [int], "backsights": float, "foresights": float}],
    "corners": [{"corner": str, "below_from": str}],
    "next": {"mark": str},
}  # fmt: skip

EXAM = [
    ("back", "benchmark", "2.200"), ("inter", "point/a", "1.620"), ("fore", "point/b", "0.980"),
    ("back", "point/b", "2.250"), ("inter", "point/c", "2.840"), ("fore", "point/d", "1.280"),
    ("back", "point/d", "0.600"), ("inter", "point/e", "1.960"), ("fore", "point/f", "1.450"),
]  # fmt: skip
"""An exam problem published with its whole level book (askfilo.com, question 3334313135393430)."""


def exam_job(folder: Path, *more: tuple[str, str, str]) -> Path:
    one = crew(folder)
    one.go_to("height")
    for kind, point, reading in (*EXAM, *more):
        act = read_staff(one.walk, kind, point, reading, FOREMAN, one.clock.at)  # type: ignore[arg-type]
        assert isinstance(act, Act), act
        one.do(act)
    one.desk.close()
    return folder / "job"


def test_the_document_of_the_example_has_its_keys(command: Command):
    found = command("levels", example_folder(METRIC), "A", "2", "--json").document
    assert misses(found, LEVELS) == []


def test_a_published_book(tmp_path: Path, command: Command):
    found = command("levels", exam_job(tmp_path), "A", "1", "--json").document
    assert [one["instrument"] for one in found["setups"]] == [102.2, 103.47, 102.79]
    read = [
        one for setup in found["setups"] for one in setup["sights"] if one["reading"] is not None
    ]
    assert [one["rl"] for one in read] == [100.58, 101.22, 100.63, 102.19, 100.83, 101.34]
    assert found["runs"] == [
        {"setups": [1, 2, 3], "backsights": 5.05, "foresights": 3.71, "rise": 1.34,
         "misclose": None, "closes": None}
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("reading", "code", "word"), [("2.790", 0, "closes"), ("2.794", 1, "NOT CLOSE")]
)
def test_a_book_that_does_not_close_is_said_to_be_wrong(
    tmp_path: Path, command: Command, reading: str, code: int, word: str
):
    """102.790 is the last height of instrument of EXAM: on the benchmark at 100 the staff reads 2.790."""
    done = command("levels", exam_job(tmp_path, ("fore", "benchmark", reading)), "A", "1")
    assert done.code == code
    assert word in done.out


def test_without_a_benchmark(job: Job, command: Command):
    text = JOB.replace('benchmark = { name = "TBM", rl = 100.000 }', "")
    done = command("levels", job(text), "A", "1")
    assert done.code == 2
    assert "site.benchmark" in done.err
