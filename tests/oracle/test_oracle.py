"""The program against the second reading, on generated jobs and on small ones with one odd thing.

What the rules say is read from the page alone; the runs are checked by scipy's integer program, the
fill by shapely, everything else by plain sums on fractions.
"""

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest

from pourdeck.paper.documents import setout_document
from pourdeck.plan.reader import read_job
from pourdeck.setout.panel import set_out_stack
from tests.campaign import some

from . import compare, edges
from .jobs_random import job_text
from .plan import SIDES, read
from .reading import Reading, readings
from .trial import disagreements, trial

SEEDS = range(1, 51)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(SEEDS))
def test_a_job_nobody_has_seen(seed: int) -> None:
    assert disagreements(seed) == []


def small(
    *panels: str,
    anchors: str = "end_min = 150, end_max = 1000, gap_max = 1500, clear = 150",
    units: str = "metric",
) -> str:
    """A job of one stack with an ample kit."""
    rows = "".join(
        f'[[stack.panel]]\nmark = "P{number}"\nthickness = 150\nlift = {50 - number}\n{panel}\n'
        for number, panel in enumerate(panels)
    )
    return (
        f'format = 1\n[job]\nname = "Small"\nnumber = "1"\nunits = "{units}"\n[kit]\n'
        "depths = [150]\nchamfer = 15\nholes = { first = 500, pitch = 1000 }\n"
        f"anchors = {{ {anchors} }}\noverrun = {{ min = 0, max = 1000 }}\n"
        "stock = [ { length = 1000, count = 90 } ]\n"
        'bolts = [ { name = "outer", reach = [0, 300] } ]\n'
        f'[[stack]]\nid = "A"\nbed_rl = 1\n{rows}'
    )


SMALL = {
    "the first anchor can only stand at one place, end_max being end_min": small(
        "width = 3000\nheight = 3000",
        "width = 3000\nheight = 3000",
        anchors="end_min = 150, end_max = 150, gap_max = 1500, clear = 150",
    ),
    "the first anchor can only stand between the corner's zone and an opening's": small(
        "width = 4000\nheight = 4000\nopenings = "
        '[{ name = "D1", x = 300, y = 0, width = 1600, height = 2000 }]',
        "width = 4000\nheight = 4000",
    ),
    "an opening takes a whole side that is shorter than end_max": small(
        "width = 900\nheight = 4000\nopenings = "
        '[{ name = "N1", x = 0, y = 3000, width = 900, height = 1000 }]',
        "width = 900\nheight = 4000",
    ),
    "a side is too short for any anchor": small(
        "width = 250\nheight = 4000", "width = 250\nheight = 4000"
    ),
    "two cast-ins in an edge leave one place between them": small(
        'width = 4000\nheight = 4000\ncastins = [{ name = "E1", kind = "plate", edge = "base", '
        'at = 2000 }, { name = "E2", kind = "plate", edge = "base", at = 2300 }]',
        "width = 4000\nheight = 4000",
        anchors="end_min = 150, end_max = 1900, gap_max = 500, clear = 150",
    ),
    "two panels carry one mark": small(
        "width = 4000\nheight = 4000", "width = 4000\nheight = 4000", "width = 4000\nheight = 4000"
    ).replace('"P2"', '"P1"'),
    "three openings lie over each other, the middle one shifted": small(
        'width = 4000\nheight = 4000\nopenings = [{ name = "W", x = 1000, y = 1000, width = 1000, '
        "height = 1000 }]",
        'width = 4000\nheight = 4000\nopenings = [{ name = "W", x = 1500.5, y = 500, width = 1000, '
        "height = 1000 }]",
        'width = 3900\nheight = 3900\nalign = "centre"\ndrawn_from = "outside"\n'
        'openings = [{ name = "W", x = 3000, y = 0, width = 900, height = 600 }]',
    ),
}


@pytest.mark.parametrize("odd", SMALL)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_one_odd_thing(odd: str, units: str) -> None:
    text = SMALL[odd].replace("metric", units)
    found = [line for seed in range(4) for line in trial(text, {}, Random(seed))]
    assert found == []


def _documents(folder: Path, seed: int) -> tuple[Reading, list[dict[str, Any]]]:
    text = job_text(seed)
    (folder / "job.toml").write_text(text, encoding="utf-8")
    job = read_job(folder)
    stack = max(range(len(job.stacks)), key=lambda index: len(job.stacks[index].panels))
    docs = [setout_document(one, job) for one in set_out_stack(job, job.stacks[stack], {})]
    return readings(read(text), {})[stack], json.loads(json.dumps(docs))


def _nudged(docs: list[dict[str, Any]]) -> None:
    docs[-1]["offsets"]["base"] += 0.5


def _dropped_bracket(docs: list[dict[str, Any]]) -> None:
    del next(side for side in docs[-1]["brackets"].values() if side)[0]


def _longer_run(docs: list[dict[str, Any]]) -> None:
    run = docs[0]["runs"]["base"]
    if run:
        run["pieces"].append(run["pieces"][0])
    else:
        docs[0]["runs"] = {side: {"pieces": [1], "length": 1, "overrun": 0} for side in SIDES}


def _silent(docs: list[dict[str, Any]]) -> None:
    docs[0]["findings"].append(
        {"code": "overhang", "severity": "error", "where": {"stack": "A", "panel": 1}}
    )


def _filled(docs: list[dict[str, Any]]) -> None:
    docs[0]["fill"] = [{"x": 1.0, "y": 1.0, "width": 5.0, "height": 5.0, "depth": 5.0}]


@pytest.mark.parametrize("slip", [_nudged, _dropped_bracket, _longer_run, _silent, _filled])
def test_the_comparison_sees_a_slip(
    tmp_path: Path, slip: Callable[[list[dict[str, Any]]], None]
) -> None:
    reading, docs = _documents(tmp_path, 6)

    def found() -> list[str]:
        lines = list(compare.levels_of_extra(reading, docs))
        for number, doc in enumerate(docs, 1):
            lines += compare.setout(reading, number, doc)
        return lines

    assert found() == []
    slip(docs)
    assert found() != []


def test_fewest_added_positions_by_hand() -> None:
    """A side of 4 m, nothing standing, at most 1 m from corners and 1.5 m apart: 1, 2.5 and 3 m."""
    kit = read(job_text(1)).kit
    kit = kit.__class__(**{**vars(kit), "end_max": Fraction(1000), "gap_max": Fraction(1500)})
    zones = [(-edges.FAR, Fraction(150)), (Fraction(3850), edges.FAR)]
    assert edges.cover(kit, Fraction(4000), zones, []).missing == 3
    assert edges.cover(kit, Fraction(4000), zones, [Fraction(1000), Fraction(3000)]).missing == 1
    blocked = [zones[0], (Fraction(900), Fraction(2500)), zones[1]]
    propped = edges.cover(kit, Fraction(4000), blocked, [])
    assert propped.props == [(Fraction(900), Fraction(2500))]
    assert propped.missing == 2
