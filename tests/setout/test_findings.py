"""Try what the messages of the set-out say, whatever people have typed as a mark or a name."""

from decimal import Decimal

import pytest

from pourdeck.plan.messages import Finding, Refusal
from pourdeck.plan.records import Limits, Poured, Sides
from pourdeck.setout.resize import Resize, resize
from tests.plan_findings import job_findings

from .builders import bolts, job, kit, opening, panel, pile

NASTY = "W\x1b[31m\u202e\n[/x] [A-1]"
NOTHING: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())


def everything_wrong() -> tuple[Finding, ...]:
    """Each of the set-out's own findings, with a mark and a bolt that mean harm."""
    wide = opening("D", 1000, 0, 4000, 2000)
    held = kit(brackets=1, bolts=bolts((NASTY, 0, 160), ("far", 170, 300)))
    stacks = [
        pile(panel(mark=NASTY, openings=(wide,)), panel(mark=f"{NASTY}2"), stack_id="A"),
        pile(
            panel(mark=f"{NASTY}3"),
            panel(7000, 8000, mark=f"{NASTY}4", shift=(-5, 165)),
            stack_id="B",
        ),
        pile(
            panel(mark=f"{NASTY}5", thickness=160),
            panel(200_000, 100, mark=f"{NASTY}6"),
            stack_id="C",
        ),
        pile(panel(mark=f"{NASTY}7"), panel(mark=f"{NASTY}8"), stack_id="D"),
    ]
    log = {f"{NASTY}7": Poured(mark=f"{NASTY}7", anchors=NOTHING, extra_anchors=NOTHING)}
    return job_findings(job(stacks, held), log)


def test_each_finding_of_the_set_out_is_there() -> None:
    assert {one.code for one in everything_wrong()} >= {
        "overhang",
        "out-of-reach",
        "no-form",
        "short-of-forms",
        "extra-anchors",
        "short-of-anchors",
        "needs-prop",
        "short-of-brackets",
    }


def test_no_message_holds_what_does_not_print() -> None:
    """Marks and names come out as literal text, escapes and directions of writing made visible."""
    assert [one.code for one in everything_wrong() if not one.message.isprintable()] == []


def test_a_refused_size_names_the_mark_harmlessly() -> None:
    stack = pile(panel(mark=NASTY), panel())
    log = {NASTY: Poured(mark=NASTY, anchors=NOTHING, extra_anchors=NOTHING)}
    for refused in (
        resize(job(stack), stack, 1, log, width=Decimal(7000)),
        resize(job(stack), stack, 1, {}, width=Decimal(0)),
        resize(job(stack), stack, 1, {}, thickness=Decimal(20)),
    ):
        assert isinstance(refused, Refusal)
        assert refused.title.isprintable()
        assert refused.body.isprintable()


def test_a_fault_of_an_option_is_harmless() -> None:
    stack = pile(panel(), panel(mark="W2"), panel(mark=NASTY))
    found = resize(job(stack), stack, 2, {}, width=Decimal(7100))
    assert isinstance(found, Resize)
    faults = [one.fault for one in found.options if one.fault]
    assert any("[/x]" in fault for fault in faults)
    assert all(fault.isprintable() for fault in faults)


@pytest.mark.parametrize("code", ["opening-outside", "overhang", "out-of-reach", "stack-too-high"])
def test_messages_of_an_imperial_job_are_in_feet_and_inches(code: str) -> None:
    outside = opening("D", 7000, 0, 900, 900)
    stack = pile(panel(), panel(6000, 8700, openings=(outside,), shift=(-100, 0)))
    limits = Limits(stack_height=Decimal(200))
    messages = [
        found.message
        for found in job_findings(job(stack, units="imperial", limits=limits), {})
        if found.code == code
    ]
    assert messages
    for message in messages:
        assert " mm" not in message
        assert '"' in message
