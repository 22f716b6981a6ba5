"""The example jobs: found, whole, and holding the cases they are meant to show."""

from decimal import Decimal

import pytest

from pourdeck.example import IMPERIAL, METRIC, example_folder
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Job
from pourdeck.setout.panel import findings_of_set_outs, set_out_stack, stack_findings
from pourdeck.setout.record import SetOut
from tests.plan_findings import job_findings

SIXTEENTH = Decimal("1.5875")


@pytest.fixture(scope="module")
def metric() -> Job:
    return read_job(example_folder(METRIC))


@pytest.fixture(scope="module")
def metric_set_outs(metric: Job) -> list[SetOut]:
    return [one for stack in metric.stacks for one in set_out_stack(metric, stack, {})]


@pytest.fixture(scope="module")
def imperial() -> Job:
    return read_job(example_folder(IMPERIAL))


def test_a_job_that_is_not_there_is_named():
    with pytest.raises(FileNotFoundError, match="no example job nowhere"):
        example_folder("nowhere")


def test_findings_are_the_same_read_off_the_set_outs(metric: Job):
    for stack in metric.stacks:
        setouts = set_out_stack(metric, stack, {})
        assert findings_of_set_outs(metric, stack, setouts) == stack_findings(metric, stack, {})


def test_metric_job_has_only_the_warnings_it_is_meant_to_show(metric: Job):
    found = [(one.severity, one.code, one.mark, one.side) for one in job_findings(metric, {})]
    assert found == [
        ("warning", "extra-anchors", "W07", "base"),
        ("warning", "extra-anchors", "W09", "right"),
        ("warning", "extra-anchors", "W09", "left"),
        ("warning", "extra-anchors", "W11", "base"),
        ("warning", "needs-prop", "W32", "base"),
    ]


def test_metric_job_has_four_stacks_of_fourteen_to_eighteen_panels(metric: Job):
    assert [stack.id for stack in metric.stacks] == ["A", "B", "C", "D"]
    assert 14 <= sum(len(stack.panels) for stack in metric.stacks) <= 18


def test_metric_job_shows_every_case(metric: Job, metric_set_outs: list[SetOut]):
    bolts = {bracket.bolt for one in metric_set_outs for bracket in one.all_brackets()}
    assert bolts == {"outer", "inner"}
    assert any(one.panel.align == "centre" for one in metric_set_outs if one.below)
    assert any(one.mirrored and one.openings and one.castins for one in metric_set_outs)
    assert any(fill.depth > one.below.thickness for one in metric_set_outs for fill in one.fill)
    assert any(one.below and one.below.thickness != one.panel.thickness for one in metric_set_outs)
    assert any(one.props for one in metric_set_outs)
    assert any(any(one.extra_anchors.values()) for one in metric_set_outs)
    kinds = {castin.kind for one in metric_set_outs for castin in one.castins}
    assert kinds >= {"lifter", "brace", "plate", "dowel", "conduit"}
    castins = [castin for one in metric_set_outs for castin in one.castins]
    assert any(castin.edge and castin.kind == "lifter" for castin in castins)


def test_every_panel_can_be_formed_with_the_kit(metric_set_outs: list[SetOut], imperial: Job):
    others = [one for stack in imperial.stacks for one in set_out_stack(imperial, stack, {})]
    for one in (*metric_set_outs, *others):
        assert all(one.runs.values()), one.mark


def test_imperial_job_is_small_and_free_of_errors(imperial: Job):
    assert imperial.units == "imperial"
    assert 4 <= sum(len(stack.panels) for stack in imperial.stacks) <= 6
    assert not [one for one in job_findings(imperial, {}) if one.is_error]


def test_imperial_sizes_are_whole_sixteenths(imperial: Job):
    for stack in imperial.stacks:
        for panel in stack.panels:
            lengths = [panel.width, panel.height, panel.thickness, *panel.shift]
            for opening in panel.openings:
                lengths += [opening.x, opening.y, opening.width, opening.height]
            for item in panel.castins:
                lengths += [at for at in (item.x, item.y, item.at) if at is not None]
            assert [length for length in lengths if length % SIXTEENTH] == [], panel.mark
