"""A record says what was computed the day its panel was closed, whatever the office edits afterwards."""

import re
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from pourdeck.example import example_folder
from pourdeck.paper.record import record_bytes
from pourdeck.paper.record_files import build_records
from pourdeck.plan.reader import read_job_text
from pourdeck.setout.panel import set_out_stack
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.desk import Desk
from pourdeck.walk.plan_in_force import SEALED, as_computed, sealed
from tests.campaign import some
from tests.oracle.jobs_random import job_text
from tests.walk.kit import JOB, Crew, crew

EDITS = {
    "limits": (r"plus = 5, minus = 5", "plus = 1, minus = 1"),
    "whose limits": (r'source = "project specification QL-31/PS, table 4"', 'source = "another"'),
    "drawings": (r"S-410 to S-427, rev C", "S-410 to S-427, rev D"),
    "name of the job": (r"Quarry Lane cold store", "Quarry Lane store"),
    "chamfer": (r"chamfer = 15", "chamfer = 20"),
    "anchor rules": (r"end_min = 150", "end_min = 600"),
    "names of bolts": (r'name = "outer"', 'name = "long"'),
    "datum of the bed": (r"bed_rl = 42.640", "bed_rl = 42.700"),
    "revision": (r'mark = "W16"((?s:.*?))rev = "C"', r'mark = "W16"\1rev = "D"'),
    "an opening": (r'name = "V1", x = 2300', 'name = "V1", x = 2500'),
    "a cast-in": (r'  \{ name = "BR2", kind = "brace", x = 4600, y = 4100 \},\n', ""),
    "which face is up": (r'face_up = "inside"', 'face_up = "outside"'),
    "a step of the job": (r"Lay the 3 m straightedge", "Lay the 2 m straightedge"),
    "a step left out": (r'drop = "finish.cure-product"', 'drop = "finish.cracks"'),
    "density": (r"density = 2400", "density = 2500"),
}


def closed_part(desk: Desk) -> dict[str, bytes]:
    """The record of every panel of the finished stack."""
    return {str(n): record_bytes(desk.walk("B", n)) for n in (1, 2, 3, 4)}


def opened(folder: Path) -> Desk:
    return Desk.open(
        folder,
        station="shed",
        clock=lambda: datetime(2027, 1, 1, tzinfo=UTC),
        state_folder=folder,
        read_only=True,
    )


@pytest.fixture(scope="module")
def as_closed() -> dict[str, bytes]:
    return closed_part(opened(example_folder()))


@pytest.mark.parametrize("what", EDITS)
def test_an_edit_of_the_plan_leaves_the_record_as_it_was(
    what: str, as_closed: dict[str, bytes], tmp_path: Path
):
    folder = tmp_path / "job"
    shutil.copytree(example_folder(), folder)
    pattern, put = EDITS[what]
    text = (folder / "job.toml").read_text(encoding="utf-8")
    edited = re.sub(pattern, put, text)
    assert edited != text
    (folder / "job.toml").write_text(edited, encoding="utf-8")
    assert closed_part(opened(folder)) == as_closed


def test_without_what_was_sealed_the_edits_would_show(
    as_closed: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """Each edit above is one that matters: the plan as it is now gives another record."""
    monkeypatch.setattr("pourdeck.walk.site.as_computed", lambda record, job: None)
    text = (example_folder() / "job.toml").read_text(encoding="utf-8")
    unseen = []
    for what, (pattern, put) in EDITS.items():
        folder = tmp_path / what.replace(" ", "-")
        shutil.copytree(example_folder(), folder)
        (folder / "job.toml").write_text(re.sub(pattern, put, text), encoding="utf-8")
        if closed_part(opened(folder)) == as_closed:
            unseen.append(what)
    assert unseen == []


def test_a_surface_below_that_is_measured_again_changes_nothing_above(tmp_path: Path):
    """The height expected over it was computed from what was known that day."""
    below = crew(tmp_path)
    below.cast()
    above = Crew(desk=below.desk, clock=below.clock, stack="A", number=2)
    below.clock.later(hours=20)
    above.cast()
    before = record_bytes(above.walk)
    again = {"panel": "P1", "values": {"rl_bl": "101.008"}, "why": "read from another set-up"}
    below.desk.log.append("as-cast", "Cy Hart", again)
    below.desk.close()
    assert record_bytes(opened(tmp_path / "job").walk("A", 2)) == before


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(40)))
def test_what_is_sealed_is_read_back_exactly(seed: int):
    job = read_job_text(job_text(seed), Path("unread"))
    for stack in job.stacks:
        for setout in set_out_stack(job, stack, {}):
            found = as_computed(closed_with(sealed(job, stack, setout)), job)
            assert found is not None
            assert found.setout == setout
            assert found.stack == stack
            assert (found.job.kit, found.job.limits, found.job.tolerance, found.job.steps) == (
                job.kit, job.limits, job.tolerance, job.steps,
            )  # fmt: skip


def test_words_and_numbers_that_look_alike_are_told_apart():
    steps = (
        '\n[[step]]\nsection = "finish"\nid = "gap"\nprompt = "Gap"\nanswer = "measure"\n'
        'unit = "mm"\nexpected = 3\n'
        '\n[[step]]\nsection = "finish"\nid = "tag"\nprompt = "Tag"\nanswer = "text"\n'
        'expected = "3"\n'
    )
    job = read_job_text(JOB + steps, Path("unread"))
    stack = job.stacks[0]
    setout = set_out_stack(job, stack, {})[0]
    found = as_computed(closed_with(sealed(job, stack, setout)), job)
    assert found is not None
    assert found.job.steps == job.steps


@pytest.mark.parametrize(
    "data",
    ["text", 3, [], {}, {"job": {}, "setout": {}}, {"job": None, "setout": None}],
)  # fmt: skip
def test_what_cannot_be_read_counts_as_nothing(data: Any):
    assert as_computed(closed_with(data), read_job_text(JOB, Path("unread"))) is None


def test_a_length_that_is_no_number_counts_as_nothing():
    job = read_job_text(JOB, Path("unread"))
    setout = set_out_stack(job, job.stacks[0], {})[0]
    data = sealed(job, job.stacks[0], setout)
    for bad in ("nan", "7 m", 7200, None):
        data["setout"]["panel"]["width"] = bad
        assert as_computed(closed_with(data), job) is None


def closed_with(data: Any) -> PanelState:
    entry = Entry(
        station="shed", n=1, at=datetime(2026, 3, 2, tzinfo=UTC), by="Ada Reed", kind="close",
        data={"panel": "P1", SEALED: data}, prev="", seal="", order=0,
    )  # fmt: skip
    return PanelState(mark="P1", closed=entry)


def test_lost_records_are_built_from_what_was_sealed(as_closed: dict[str, bytes], tmp_path: Path):
    folder = tmp_path / "job"
    shutil.copytree(example_folder(), folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(text.replace("chamfer = 15", "chamfer = 20"), "utf-8")
    shutil.rmtree(folder / "record")
    build_records(opened(folder))
    assert (folder / "record" / "B-2-W16.toml").read_bytes() == as_closed["2"]
