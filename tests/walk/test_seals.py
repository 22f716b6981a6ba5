"""Try what a release covers of the set-out: what the office changes of it takes the release back."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from pourdeck.plan.records import Sides
from pourdeck.setout.record import SetOut
from pourdeck.walk.holds import setout_digest
from tests.walk.kit import JOB, context_of, crew, job_of, open_desk

FEATURES = """rev = "B"
openings = [ { name = "D1", x = 900, y = 0, width = 900, height = 2100 } ]
castins = [
  { name = "L1", kind = "lifter", x = 600, y = 2400 },
  { name = "E1", kind = "ferrule", edge = "head", at = 800 },
]
"""
FIRST = JOB.index('rev = "B"')
WITH_FEATURES = JOB[:FIRST] + FEATURES + JOB[FIRST + len('rev = "B"\n') :]


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ('rev = "B"', 'rev = "C"'),
        ("x = 900, y = 0", "x = 950, y = 0"),
        ("x = 600, y = 2400", "x = 600, y = 2450"),
        ("at = 800", "at = 850"),
    ],
)
def test_a_plan_that_changes_takes_back_what_was_released_on_it(
    tmp_path: Path, written: str, instead: str
) -> None:
    """The hold of the bed covers no item that names any of these: it is the set-out that it rests on."""
    one = crew(tmp_path, WITH_FEATURES)
    one.go_to("surface")
    one.desk.close()
    again = open_desk(tmp_path, WITH_FEATURES, one.clock).walk("A", 1).hold("as-cast-below")
    assert again is not None
    assert (again.state, again.lapse) == ("released", None), "the same plan read again"
    assert WITH_FEATURES.count(written) >= 1
    changed = open_desk(tmp_path, WITH_FEATURES.replace(written, instead, 1), one.clock)
    walk = changed.walk("A", 1)
    hold = walk.hold("as-cast-below")
    assert hold is not None
    assert hold.lapse == "the set-out or the items it covers have changed"
    drawing = walk.hold("drawing")
    assert drawing is not None
    assert drawing.state == "void"
    locked = walk.find("surface.swept")
    assert locked is not None
    assert locked.state == "locked"


def test_what_a_changed_plan_makes_void_is_named(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("strip")
    one.desk.close()
    smaller = JOB.replace("width = 3000\nheight = 3000", "width = 2900\nheight = 2900", 1)
    hold = open_desk(tmp_path, smaller, one.clock).walk("A", 1).hold("drawing")
    assert hold is not None
    assert hold.lapse == (
        "no longer valid: “Read the width off the drawing”, “Read the height off the drawing”"
    )


def seated() -> SetOut:
    """The second panel, with an opening and cast-ins, as it sits on the first."""
    second = WITH_FEATURES.rindex('rev = "B"')
    return context_of(job_of(WITH_FEATURES[:second] + FEATURES), 2).setout


def opening(**more: Any) -> dict[str, Any]:
    return {"openings": (evolve(seated().openings[0], **more),)}


def castin(index: int, **more: Any) -> dict[str, Any]:
    found = list(seated().castins)
    found[index] = evolve(found[index], **more)
    return {"castins": tuple(found)}


MM = Decimal(1)
COVERED: dict[str, dict[str, Any]] = {
    "another panel": {"panel": {"mark": "P9"}},
    "revision": {"panel": {"rev": "C"}},
    "no revision": {"panel": {"rev": None}},
    "the face that is up, and with it the one drawn": {
        "panel": {"face_up": "outside", "drawn_from": "outside"}
    },
    "the face that is drawn": {"panel": {"drawn_from": "outside"}},
    "width": {"panel": {"width": 3000 + MM}},
    "height": {"panel": {"height": 3000 + MM}},
    "thickness": {"panel": {"thickness": 150 + MM}},
    "chamfer": {"chamfer": Decimal(20)},
    "place along": {"position": (MM, Decimal(0))},
    "place across": {"position": (Decimal(0), MM)},
    "offset": {"offsets": Sides(Decimal(0), MM, Decimal(0), Decimal(0))},
    "bolt": {"bolts": Sides("outer", "inner", "outer", "outer")},
    "no bolt": {"bolts": Sides("outer", None, "outer", "outer")},
    "no opening": {"openings": ()},
    "opening's name": opening(name="D2"),
    "opening along": opening(x=901),
    "opening across": opening(y=MM),
    "opening's width": opening(width=901),
    "opening's height": opening(height=2101),
    "no cast-in": {"castins": ()},
    "cast-in's name": castin(0, name="L2"),
    "cast-in's kind": castin(0, kind="brace"),
    "cast-in along": castin(0, x=601),
    "cast-in across": castin(0, y=2401),
    "cast-in's edge": castin(1, edge="left"),
    "cast-in along its edge": castin(1, at=801),
}
FREE: dict[str, dict[str, Any]] = {
    "where it is lifted": {"panel": {"lift": 9}},
    "what it must carry": {"anchors": Sides((MM,), (), (), ())},
    "what it must have added": {"extra_anchors": Sides((MM,), (), (), ())},
    "a warning": {"findings": ()},
    "an anchor of the panel below": {"brackets": Sides((), (), (), ())},
}


def changed(more: dict[str, Any]) -> SetOut:
    found = seated()
    return evolve(found, **{**more, "panel": evolve(found.panel, **more.get("panel", {}))})


@pytest.mark.parametrize("more", COVERED.values(), ids=COVERED)
def test_what_was_seen_of_a_set_out_is_sealed(more: dict[str, Any]) -> None:
    assert setout_digest(changed(more)) != setout_digest(seated())


@pytest.mark.parametrize("more", FREE.values(), ids=FREE)
def test_what_a_panel_carries_for_the_one_above_is_not(more: dict[str, Any]) -> None:
    assert setout_digest(changed(more)) == setout_digest(seated())


def test_a_number_is_sealed_by_its_value_not_by_how_it_was_written() -> None:
    shown = evolve(seated().panel, width=Decimal("3000.00"))
    assert setout_digest(evolve(seated(), panel=shown)) == setout_digest(seated())
