"""Rule 9, and the plan faults of rule 12 that need no set-out."""

from decimal import Decimal
from typing import Any

import pytest
from attrs import evolve

from pourdeck.plan.checks import job_faults, panel_faults, stack_faults
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import CastIn, Limits, Opening, Panel, Person, Side, Stack
from tests.plan.jobs import job


def panel(mark: str = "W1", **changes: Any) -> Panel:
    size = {"width": Decimal(6000), "height": Decimal(3000), "thickness": Decimal(150)}
    return Panel(mark=mark, **{**size, **changes})


def stack(*panels: Panel, id: str = "A") -> Stack:
    return Stack(id=id, bed_rl=Decimal(0), panels=panels)


def opening(x: object, y: object, width: object, height: object, name: str = "D1") -> Opening:
    values = {"x": x, "y": y, "width": width, "height": height}
    return Opening(name=name, **{key: Decimal(str(value)) for key, value in values.items()})


def codes(*findings: Finding) -> list[str]:
    return [finding.code for finding in findings]


def of_panel(**changes: Any) -> tuple[Finding, ...]:
    return panel_faults(stack(panel(**changes)), 1)


HALF = Decimal("0.5")

OUTSIDE = [
    ((0, 0, 6000, 3000), ""),
    ((0, 0, 6000.5, 3000), "0.5 mm past the right"),
    ((-0.5, 0, 1000, 1000), "0.5 mm past the left"),
    ((100, -200, 1000, 1000), "200 mm past the base"),
    ((100, 2000, 1000, 1001), "1 mm past the head"),
    ((5500, 2500, 1000, 1000), "500 mm past the right and 500 mm past the head"),
    ((7000, 0, 100, 100), "1100 mm past the right"),
]


@pytest.mark.parametrize(("place", "words"), OUTSIDE)
def test_an_opening_may_touch_the_edge_and_not_pass_it(
    place: tuple[float, float, float, float], words: str
) -> None:
    found = of_panel(openings=(opening(*place),))
    assert codes(*found) == (["opening-outside"] if words else [])
    for finding in found:
        assert words in finding.message
        assert "D1" in finding.message
        assert finding.where() == {"stack": "A", "panel": 1, "mark": "W1", "table": "openings 1"}


OVERLAPS = [
    ((1000, 0, 1000, 1000), (2000, 0, 1000, 1000), False),
    ((1000, 0, 1000, 1000), (1000, 1000, 1000, 1000), False),
    ((1000, 0, 1000, 1000), (2000, 1000, 1000, 1000), False),
    ((1000, 0, 1000, 1000), (1999.5, 999.5, 1000, 1000), True),
    ((1000, 0, 1000, 1000), (1999.5, 0, 1000, 1000), True),
    ((0, 0, 3000, 3000), (1000, 1000, 100, 100), True),
    ((1000, 0, 100, 3000), (0, 1000, 3000, 100), True),
    ((1000, 500, 100, 100), (1000, 500, 100, 100), True),
]


@pytest.mark.parametrize(("one", "other", "overlap"), OVERLAPS)
def test_openings_may_touch_and_not_overlap(one: Any, other: Any, overlap: bool) -> None:
    for first, second in ((one, other), (other, one)):
        openings = (opening(*first), opening(*second, name="D2"))
        found = of_panel(openings=openings)
        assert codes(*found) == (["openings-overlap"] if overlap else [])
        for finding in found:
            assert "D1 and D2 overlap" in finding.message


def test_every_pair_of_overlapping_openings_is_named() -> None:
    three = tuple(opening(0, 0, 1000, 1000, name=name) for name in ("D1", "D2", "D3"))
    found = of_panel(openings=three)
    assert [finding.message.split(" overlap")[0] for finding in found] == [
        "Openings D1 and D2", "Openings D1 and D3", "Openings D2 and D3",
    ]  # fmt: skip


def in_face(x: object, y: object) -> CastIn:
    return CastIn(name="L1", kind="lifter", x=Decimal(str(x)), y=Decimal(str(y)))


def in_edge(edge: Side, at: object) -> CastIn:
    return CastIn(name="E1", kind="ferrule", edge=edge, at=Decimal(str(at)))


CASTINS = [
    (in_face(0, 0), False),
    (in_face(6000, 3000), False),
    (in_face(6000.5, 10), True),
    (in_face(10, -1), True),
    (in_face(10, 3000.5), True),
    (in_edge("head", 6000), False),
    (in_edge("head", 6000.5), True),
    (in_edge("left", 3000), False),
    (in_edge("left", 3001), True),
    (in_edge("right", 0), False),
    (in_edge("base", -0.5), True),
]


@pytest.mark.parametrize(("castin", "outside"), CASTINS)
def test_a_castin_lies_on_the_panel(castin: CastIn, outside: bool) -> None:
    found = of_panel(castins=(castin,))
    assert codes(*found) == (["castin-outside"] if outside else [])
    for finding in found:
        assert castin.name in finding.message
        assert finding.table == "castins 1"


DOOR = opening(900, 0, 1000, 2100)

IN_OPENING = [
    (in_face(1000, 1000), True),
    (in_face(900, 1000), False),
    (in_face(900.5, 2099.5), True),
    (in_face(1000, 2100), False),
    (in_edge("base", 900), False),
    (in_edge("base", 900.5), True),
    (in_edge("base", 1900), False),
    (in_edge("head", 1000), False),
    (in_edge("left", 1000), False),
]


@pytest.mark.parametrize(("castin", "inside"), IN_OPENING)
def test_a_castin_has_concrete_round_it(castin: CastIn, inside: bool) -> None:
    found = of_panel(castins=(castin,), openings=(DOOR,))
    assert codes(*found) == (["castin-in-opening"] if inside else [])
    for finding in found:
        assert "opening D1" in finding.message


def test_openings_are_as_drawn_and_edges_as_cast() -> None:
    # Mirrored: the door drawn from 900 to 1900 breaks the base from 4100 to 5100 as cast.
    mirrored = {"drawn_from": "outside", "face_up": "inside", "openings": (DOOR,)}
    assert codes(*of_panel(castins=(in_edge("base", 1000),), **mirrored)) == []
    assert codes(*of_panel(castins=(in_edge("base", 4101),), **mirrored)) == ["castin-in-opening"]
    assert codes(*of_panel(castins=(in_face(1000, 1000),), **mirrored)) == ["castin-in-opening"]
    notch = opening(0, 500, 300, 500)
    one = {**mirrored, "openings": (notch,)}
    assert codes(*of_panel(castins=(in_edge("left", 700),), **one)) == []
    assert codes(*of_panel(castins=(in_edge("right", 700),), **one)) == ["castin-in-opening"]


def lifts(*numbers: int | None) -> list[list[str]]:
    """The codes of each panel of a stack with these lift numbers from the bed up."""
    panels = [panel(f"W{n}", lift=lift) for n, lift in enumerate(numbers, 1)]
    one = stack(*panels)
    return [codes(*panel_faults(one, n)) for n in range(1, len(panels) + 1)]


WRONG = ["lift-order"]


@pytest.mark.parametrize(
    ("numbers", "found"),
    [
        ((4, 3, 1), [[], [], []]),
        ((1, 2, 3), [[], WRONG, WRONG]),
        ((3, 5, 4), [[], WRONG, []]),
        ((3, 3), [[], WRONG]),
        ((5, None, 6), [[], [], WRONG]),
        ((5, None, 4), [[], [], []]),
        ((None, None), [[], []]),
    ],
)
def test_lift_numbers_fall_from_the_bed_up(
    numbers: tuple[int | None, ...], found: list[list[str]]
) -> None:
    assert lifts(*numbers) == found


def test_a_wrong_lift_names_both_panels() -> None:
    (finding,) = panel_faults(stack(panel("W1", lift=1), panel("W2", lift=2)), 2)
    assert "Lift 2" in finding.message
    assert "W1, panel 1" in finding.message
    assert (finding.mark, finding.panel, finding.key) == ("W2", 2, "lift")


@pytest.mark.parametrize(("most", "found"), [(None, []), (450, []), (449, ["stack-too-high"])])
def test_a_stack_above_the_limit_is_a_warning(most: int | None, found: list[str]) -> None:
    limits = Limits(stack_height=None if most is None else Decimal(most))
    findings = stack_faults(stack(*(panel() for _ in range(3))), limits)
    assert codes(*findings) == found
    for finding in findings:
        assert finding.severity == "warning"
        assert "450 mm" in finding.message
        assert "449 mm" in finding.message
        assert finding.where() == {"stack": "A"}


def test_marks_and_lifts_are_unique_in_the_job() -> None:
    one = stack(panel("W1", lift=9), panel("W2", lift=8), panel("W1", lift=7))
    other = stack(panel("W1", lift=6), panel("w1", lift=8), panel("W4"), panel("W5"), id="B")
    whole = evolve(job(), stacks=(one, other))
    assert [(f.code, f.stack, f.panel, f.key) for f in job_faults(whole)] == [
        ("duplicate-mark", "A", 3, "mark"),
        ("duplicate-mark", "B", 1, "mark"),
        ("duplicate-lift", "B", 2, "lift"),
    ]
    messages = [finding.message for finding in job_faults(whole)]
    assert "panel 1 of stack A and on panel 3 of stack A" in messages[0]
    assert "panel 1 of stack A and on panel 1 of stack B" in messages[1]
    assert "W2, panel 2 of stack A, and of w1, panel 2 of stack B" in messages[2]


def test_a_sound_job_has_no_faults() -> None:
    whole = job()
    assert job_faults(whole) == ()
    for one in whole.stacks:
        assert stack_faults(one, whole.limits) == ()
        assert all(panel_faults(one, n) == () for n in range(1, len(one.panels) + 1))


def test_names_in_messages_are_harmless() -> None:
    name = "[/x]\x1b\u202e"
    marked = panel(
        name,
        lift=1,
        openings=(opening(-1, 0, 10, 10, name=name), opening(0, 0, 10, 10, name=name)),
        castins=(evolve(in_face(-1, 0), name=name), evolve(in_face(5, 5), name=name)),
    )
    one = stack(panel("W0", lift=1), marked, panel(name), id=name)
    found = [*panel_faults(one, 2), *job_faults(evolve(job(), stacks=(one,)))]
    assert set(codes(*found)) == {
        "opening-outside", "openings-overlap", "castin-outside", "castin-in-opening",
        "lift-order", "duplicate-mark", "duplicate-lift",
    }  # fmt: skip
    for finding in found:
        assert finding.message.isprintable()
        assert "[/x]\\x1b\\u202e" in finding.message
        assert finding.severity == "error"


def test_two_people_of_one_name_are_told_apart_by_nobody() -> None:
    people = (Person(name="Ada Reed", role="foreman"), Person(name="ada  reed", role="engineer"))
    (found,) = job_faults(evolve(job(), stacks=(), people=people))
    assert (found.code, found.is_error) == ("duplicate-person", True)
    assert "Ada Reed is foreman and ada  reed engineer" in found.message
    assert job_faults(evolve(job(), stacks=(), people=people[:1])) == ()
