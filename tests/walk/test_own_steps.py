"""The job's own items, and built-in ones it leaves out."""

from pathlib import Path

import pytest

from pourdeck.walk.steps import step_findings, template, with_own_steps
from tests.walk.kit import FOREMAN, HAND, JOB, crew, job_of

OWN = """
[[step]]
section = "ready"
id = "hose"
prompt = "Read the tag of the pump hose"
answer = "text"
[[step]]
section = "finish"
id = "edge"
prompt = "Lay the long straightedge"
answer = "measure"
unit = "mm"
expected = 0
plus = 2.5
minus = 0
source = "spec 5.9"
second = true
[[step]]
section = "ready"
id = "radio"
prompt = "Try the radio to the crane"
choices = ["heard", "silent"]
expected = "heard"
"""

DROP = """
[[step]]
drop = "forms.chamfer"
reason = "no chamfer on this job"
[[step]]
drop = "pour.start"
reason = "we never do"
"""


def test_own_items_stand_last_in_their_section(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB + OWN)
    ready = one.walk.section("ready")
    assert ready is not None
    assert [item.key for item in ready.items][-2:] == ["ready.own-hose", "ready.own-radio"]
    edge = one.item("finish.own-edge")
    assert (edge.kind, edge.unit, edge.low, edge.high, edge.source, edge.second) == (
        "measure", "mm", 0, 2.5, "spec 5.9", True,
    )  # fmt: skip
    assert one.item("ready.own-radio").good == ("heard",)


@pytest.mark.parametrize(
    ("typed", "verdict"), [("0", "pass"), ("2.5", "pass"), ("2.6", "fail"), ("-0.1", "fail")]
)
def test_own_measures_are_judged_by_their_own_limits(
    tmp_path: Path, typed: str, verdict: str
) -> None:
    one = crew(tmp_path, JOB + OWN)
    one.go_to("finish")
    assert one.answer("finish.own-edge", typed, HAND).data["verdict"] == verdict


def test_an_own_choice_passes_by_what_is_expected(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB + OWN)
    one.go_to("ready")
    assert one.answer("ready.own-radio", "silent").data["verdict"] == "fail"
    assert one.answer("ready.own-radio", "heard", why="new battery").data["verdict"] == "pass"
    assert one.answer("ready.own-hose", "tag 4").data["verdict"] == "recorded"


def test_a_dropped_item_is_gone_and_its_reason_is_shown(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB + DROP)
    forms = one.walk.section("forms")
    assert forms is not None
    assert one.walk.find("forms.chamfer") is None
    (dropped,) = forms.dropped
    assert (dropped.item, dropped.reason) == ("forms.chamfer", "no chamfer on this job")
    assert dropped.prompt == "Look at the chamfer strip, once round"


def test_what_the_panels_state_hangs_on_cannot_be_dropped(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB + DROP)
    assert one.item("pour.start").kept
    (finding,) = [found for found in one.desk.findings() if found.code == "unused-step"]
    assert finding.severity == "warning"
    assert "pour.start cannot be dropped" in finding.message


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ('section = "roof"\nid = "a"\nprompt = "Look"\nanswer = "text"', "no section roof"),
        ('drop = "forms.chamfr"\nreason = "none"', "no item forms.chamfr to drop"),
        ('section = "ready"\nid = "a"\nprompt = "Look"', "gives no choices"),
        ('section = "ready"\nid = "a"\nprompt = "Look"\nchoices = ["x"]\nexpected = "y"', "none of"),
        (
            'section = "ready"\nid = "a"\nprompt = "Look"\nanswer = "count"\nexpected = "y"',
            "must be a number",
        ),
        (OWN.partition("[[step]]")[2].partition("[[step]]")[0] * 1 + OWN, "stands twice"),
    ],
)  # fmt: skip
def test_what_changes_nothing_is_found(step: str, said: str) -> None:
    job = job_of(f"{JOB}\n[[step]]\n{step}")
    (finding,) = step_findings(job, template())
    assert said in finding.message


def test_own_items_make_another_template() -> None:
    plain, own = job_of(), job_of(JOB + OWN)
    assert with_own_steps(template(), plain.steps) is template()
    assert with_own_steps(template(), own.steps).digest != template().digest


def test_a_release_names_the_template_it_rests_on(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB + OWN)
    one.end_section("drawing")
    (entry,) = one.walk.record.releases["drawing"]
    assert entry.data["template"] == with_own_steps(template(), one.desk.plan.steps).digest
    assert one.walk.template == entry.data["template"]
    assert entry.by != FOREMAN
