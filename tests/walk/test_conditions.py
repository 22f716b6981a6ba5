"""Every condition, where it holds and where it does not."""

import pytest

from pourdeck.walk.steps import CONDITIONS, holds
from tests.walk.kit import HEAD, JOB, KIT, LIMITS, STACK, context_of, job_of

NO_BENCHMARK = HEAD.replace('benchmark = { name = "TBM", rl = 100.000 }', "")

WITH_THINGS = JOB.replace(
    'rev = "B"\n[[stack.panel]]\nmark = "P2"\nwidth = 3000',
    """rev = "B"
openings = [ { name = "D1", x = 900, y = 0, width = 900, height = 2100 } ]
castins = [ { name = "L1", kind = "lifter", x = 500, y = 2500 } ]
drawn_from = "outside"
[[stack.panel]]
mark = "P2"
width = 2800""",
)

STRENGTH = JOB.replace(
    "climb = { hours = 18 }",
    'climb = { strength = 10, hours = 18 }\nsources = { climb = "note 14" }',
)

# An opening that breaks the base edge of the panel below over more than a bracket can span.
WIDE_DOOR = JOB.replace(
    'rev = "B"\n[[stack.panel]]\nmark = "P2"',
    """rev = "B"
openings = [ { name = "D1", x = 600, y = 0, width = 1900, height = 2100 } ]
[[stack.panel]]
mark = "P2\"""",
)

# A step of 600 mm at the right: holes every 1000 mm leave the new corners without a bracket.
EXTRA = JOB.replace("pitch = 1000", "pitch = 2000").replace("end_max = 1000", "end_max = 600")


@pytest.mark.parametrize(
    ("condition", "text", "number", "expected"),
    [
        ("first", JOB, 1, True), ("first", JOB, 2, False),
        ("not-first", JOB, 2, True), ("not-first", JOB, 1, False),
        ("last", JOB, 2, True), ("last", JOB, 1, False),
        ("not-last", JOB, 1, True), ("not-last", JOB, 2, False),
        ("shrinks", WITH_THINGS, 2, True), ("shrinks", JOB, 2, False), ("shrinks", JOB, 1, False),
        ("has-openings", WITH_THINGS, 1, True), ("has-openings", WITH_THINGS, 2, False),
        ("has-cast-ins", WITH_THINGS, 1, True), ("has-cast-ins", WITH_THINGS, 2, False),
        ("fills", WITH_THINGS, 2, True), ("fills", WITH_THINGS, 1, False),
        ("mirrored", WITH_THINGS, 1, True), ("mirrored", WITH_THINGS, 2, False),
        ("has-benchmark", JOB, 1, True),
        ("has-benchmark", NO_BENCHMARK + KIT + LIMITS + STACK, 1, False),
        ("climb-strength", STRENGTH, 2, True), ("climb-strength", STRENGTH, 1, False),
        ("climb-strength", JOB, 2, False),
        ("prop", WIDE_DOOR, 2, True), ("prop", JOB, 2, False),
        ("extra-anchors", EXTRA, 1, True), ("extra-anchors", JOB, 1, False),
    ],
)  # fmt: skip
def test_a_condition(condition: str, text: str, number: int, expected: bool) -> None:
    assert holds([condition], context_of(job_of(text), number)) is expected


def test_missing_anchors_come_with_a_poured_panel_below() -> None:
    from pourdeck.plan.records import Poured, Sides
    from pourdeck.setout.panel import set_out_stack
    from tests.walk.kit import evolve_context

    job = job_of()
    nothing = Sides((), (), (), ())
    poured = {"P1": Poured(mark="P1", anchors=nothing, extra_anchors=nothing)}
    bare = set_out_stack(job, job.stacks[0], poured)[1]
    context = context_of(job, 2)
    assert not holds(["missing-anchors"], context)
    assert holds(["missing-anchors"], evolve_context(context, bare))


def test_all_must_hold() -> None:
    context = context_of(job_of(), 1)
    assert holds([], context)
    assert holds(["first", "not-last"], context)
    assert not holds(["first", "last"], context)
    with pytest.raises(KeyError):
        holds(["sometimes"], context)


def test_every_condition_is_tried() -> None:
    tried = {mark.args[1][n][0] for mark in test_a_condition.pytestmark for n in range(28)}  # type: ignore[attr-defined]
    assert tried | {"missing-anchors"} == CONDITIONS.keys()
