"""Check what the benchmark says of a goal, and that the jobs it makes up are fit to be measured."""

from pathlib import Path

import pytest

from pourdeck.plan.reader import read_job
from tests.bench.generate import write_job
from tests.bench.table import Row, percentile
from tests.plan_findings import job_findings


@pytest.mark.parametrize(
    ("ours", "other", "most", "most_ratio", "verdict"),
    [
        (20.0, None, 20, None, "met"),
        (20.1, None, 20, None, "missed"),
        (1.4, 1.0, None, 1.4, "met"),
        (1.5, 1.0, None, 1.4, "missed"),
        (1.5, 1.0, 2, 1.4, "missed"),
        (1.0, None, None, 1.4, "missed"),
        (1.0, 2.0, None, None, ""),
    ],
)
def test_goals_are_judged_alone_and_as_ratio(
    ours: float, other: float | None, most: float | None, most_ratio: float | None, verdict: str
):
    row = Row(what="", unit="s", ours=ours, other=other, most=most, most_ratio=most_ratio)
    assert row.verdict == verdict


def test_percentile_is_a_value_that_was_measured():
    assert percentile([float(n) for n in range(100)], 0.95) == 95
    assert percentile([3.0], 0.95) == 3


def test_generated_jobs_are_free_of_errors_and_have_cases(tmp_path: Path):
    job = read_job(write_job(tmp_path / "job", 6, 16))
    found = job_findings(job, {})
    assert not [one.message for one in found if one.is_error]
    assert {one.code for one in found} >= {"extra-anchors"}
