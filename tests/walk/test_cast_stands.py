"""A poured panel is what its pour recorded, whatever the plan says afterwards."""

from decimal import Decimal
from pathlib import Path

from pourdeck.plan.messages import Refusal
from pourdeck.walk.desk import Desk
from tests.walk.kit import ENGINEER, JOB, WITH_ENGINEER, Crew, crew, deaf, open_desk

THINNER = JOB.replace("thickness = 150\nlift = 2", "thickness = 175\nlift = 2")


def codes(desk: Desk) -> list[str]:
    return [finding.code for finding in desk.findings()]


def poured_then(tmp_path: Path, text: str) -> Desk:
    one = crew(tmp_path)
    one.go_to("pour")
    one.pass_item("pour.start")
    assert codes(one.desk) == []
    one.desk.close()
    return open_desk(tmp_path, text)


def test_what_was_cast_counts_and_the_plan_is_said_to_differ(tmp_path: Path) -> None:
    desk = poured_then(tmp_path, THINNER)
    (finding,) = [one for one in desk.findings() if one.code == "plan-differs-from-cast"]
    assert (finding.severity, finding.stack, finding.panel, finding.mark) == (
        "warning",
        "A",
        1,
        "P1",
    )
    assert "thickness 150 mm, not 175 mm" in finding.message
    assert desk.job.stacks[0].panels[0].thickness == 150
    assert desk.set_outs("A")[1].heights.below == Decimal("101.000")


def test_a_plan_that_differs_before_the_pour_is_simply_the_plan(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("pour")
    one.desk.close()
    desk = open_desk(tmp_path, THINNER, one.clock)
    assert codes(desk) == []
    assert desk.job.stacks[0].panels[0].thickness == 175


def test_a_size_change_that_another_station_undoes_after_the_pour_changes_nothing_cast(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path, WITH_ENGINEER, station="office")
    change = one.desk.resize("A", 1, width=Decimal(2900))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=ENGINEER, reason="rev C"))
    shed = Crew(open_desk(tmp_path, WITH_ENGINEER, one.clock), one.clock)
    deaf(one.desk)
    shed.go_to("pour")
    shed.pass_item("pour.start")
    one.do(one.desk.undo(ENGINEER, "a slip"))
    one.desk.close()
    shed.desk.close()
    desk = open_desk(tmp_path)
    assert desk.job.stacks[0].panels[0].width == 2900
    assert "plan-differs-from-cast" in codes(desk)


def test_a_mark_that_the_plan_lost_is_named_with_what_the_log_has_of_it(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_item("drawing.mark")
    one.desk.close()
    desk = open_desk(tmp_path, JOB.replace('mark = "P1"', 'mark = "P9"'))
    (finding,) = [one for one in desk.findings() if one.code == "mark-lost"]
    assert (finding.severity, finding.mark) == ("warning", "P1")
    assert finding.message.startswith("The log has 1 entry of P1, and the plan has no panel")
