"""The desk: what it opens, what it keeps, and that keeping it changes nothing."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.plan.messages import JobFaulty, JobUnreadable, Refusal
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.state import replay
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.panel_walk import panel_state
from pourdeck.walk.plan_in_force import revisions_of
from pourdeck.walk.records import Act, Walk
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    JOB,
    MORNING,
    WITH_ENGINEER,
    Clock,
    Crew,
    NoSync,
    crew,
    job_of,
    on_second,
    open_desk,
    refused,
)

TWO_STACKS = JOB + JOB[JOB.index("[[stack]]") :].replace('id = "A"', 'id = "B"').replace(
    '"P', '"Q'
).replace("lift = 2", "lift = 4").replace("lift = 1", "lift = 3")


def afresh(desk: Desk, stack: str, number: int) -> Walk:
    """Work the walk out with nothing kept, from the log replayed."""
    other = object.__new__(Desk)
    other.__dict__.update(desk.__dict__)
    other.state = replay([evolve(entry) for entry in desk.state.entries])
    other.job = desk.plan
    other._setouts, other._walks, other._waits, other._findings = {}, {}, {}, {}
    other._poured = None
    other._revise_plan()
    return other.walk(stack, number)


def test_a_job_is_opened_without_a_log_and_nothing_is_made(tmp_path: Path) -> None:
    desk = open_desk(tmp_path, read_only=True)
    assert desk.read_only
    assert desk.messages == ()
    assert desk.head == (0, None)
    assert desk.holder is None
    assert desk.walk("A", 1).panel_state == "ready"
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["job", "job.toml"]


def test_a_reader_records_nothing(tmp_path: Path) -> None:
    desk = open_desk(tmp_path, read_only=True)
    act = acts.answer(desk.walk("A", 1), "drawing.mark", "P1", FOREMAN, MORNING)
    assert isinstance(act, Act)
    with pytest.raises(NotSaved):
        desk.record(act)
    assert desk.walk("A", 1).answered == 0


def test_a_second_writer_reads_only_and_is_told_who_writes(tmp_path: Path) -> None:
    first = open_desk(tmp_path, host="shed-pc", user="ada")
    second = open_desk(tmp_path)
    assert second.read_only
    assert second.holder is not None
    assert second.holder.user == "ada"
    assert "open already" in second.messages[0]
    first.close()


def test_what_is_not_saved_changes_nothing(tmp_path: Path) -> None:
    class Full(NoSync):
        full = False

        def write(self, fd: int, data: bytes | memoryview) -> int:
            if self.full:
                raise OSError(28, "No space left on device")
            return super().write(fd, data)

    disk = Full()
    one = crew(tmp_path, disk=disk)
    one.pass_item("drawing.mark")
    before, entries = one.walk, len(one.desk.state.entries)
    disk.full = True
    with pytest.raises(NotSaved):
        one.pass_item("drawing.rev")
    assert one.walk is before
    assert len(one.desk.state.entries) == entries
    disk.full = False
    one.pass_item("drawing.rev")
    assert one.item("drawing.rev").state == "done"


def test_bad_plans_pass_through(tmp_path: Path) -> None:
    with pytest.raises(JobUnreadable):
        Desk.open(tmp_path / "none", station="shed", clock=Clock(), state_folder=tmp_path)
    with pytest.raises(JobFaulty):
        open_desk(tmp_path, JOB.replace("lift = 1", 'lift = "one"'))
    with pytest.raises(ValueError, match="station"):
        open_desk(tmp_path, station="No Such!")


def test_the_clock_is_that_of_the_site(tmp_path: Path) -> None:
    text = JOB.replace("Etc/UTC", "Australia/Hobart")
    one = crew(tmp_path, text)
    assert one.desk.now() == MORNING
    # 06:00 UTC on 2 March is 17:00 in Hobart, at +11 in summer time.
    assert one.desk.now().isoformat() == "2026-03-02T17:00:00+11:00"
    assert one.pass_item("drawing.mark").at.utcoffset() == one.desk.now().utcoffset()


def test_damage_is_said_and_found(tmp_path: Path) -> None:
    one = crew(tmp_path)
    for key in ("drawing.mark", "drawing.rev", "drawing.face-up"):
        one.pass_item(key)
    one.desk.close()
    path = tmp_path / "job" / "log" / "shed.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], lines[2].replace(b"drawing", b"drowning"), *lines[3:]]))
    desk = open_desk(tmp_path)
    assert desk.read_only
    assert any("shed.jsonl, line 3" in message for message in desk.messages)
    found = [finding for finding in desk.findings() if finding.file]
    assert found
    assert found[0].is_error
    assert found[0].line == 3


def test_a_torn_last_line_elsewhere_is_a_warning(tmp_path: Path) -> None:
    gate = crew(tmp_path, station="gate")
    gate.pass_item("drawing.mark")
    gate.pass_item("drawing.rev")
    gate.desk.close()
    path = tmp_path / "job" / "log" / "gate.jsonl"
    path.write_bytes(path.read_bytes()[:-40])
    desk = open_desk(tmp_path, state_folder=tmp_path / "another computer")
    assert not desk.read_only
    assert [finding.code for finding in desk.findings()] == ["log-torn"]
    assert "not all there" in desk.messages[0]
    assert desk.walk("A", 1).answered == 1


def test_what_is_kept_is_what_would_be_worked_out_anew(tmp_path: Path) -> None:
    one = crew(tmp_path, TWO_STACKS)
    other = Crew(one.desk, one.clock, stack="B")
    one.go_to("forms")
    other.pass_item("drawing.mark")
    change = one.desk.resize("A", 1, width=Decimal(3200))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=FOREMAN, reason="rev C"))
    one.pass_item("drawing.width")
    one.do(one.desk.undo(FOREMAN, "a slip"))
    for stack, number in (("A", 1), ("A", 2), ("B", 1), ("B", 2)):
        assert one.desk.walk(stack, number) == afresh(one.desk, stack, number)
    assert one.walk.setout.panel.width == 3200


def test_a_change_leaves_the_set_outs_of_other_stacks_alone(tmp_path: Path) -> None:
    desk = open_desk(tmp_path, TWO_STACKS)
    before = desk.set_outs("B")
    desk.walk("B", 1)
    change = desk.resize("A", 2, width=Decimal(2900))
    assert not isinstance(change, Refusal)
    act = desk.revise(change, by=FOREMAN, reason="rev C")
    assert isinstance(act, Act)
    desk.record(act)
    assert desk.set_outs("B") is before
    assert desk.walk("B", 1).job is desk.job
    assert desk.set_outs("A")[1].panel.width == 2900
    assert desk.plan.stacks[0].panels[1].width == 3000
    assert desk.job.stacks[0].panels[1].width == 2900


def test_two_panels_of_one_mark_are_both_kept_up_to_date(tmp_path: Path) -> None:
    one = crew(tmp_path, TWO_STACKS.replace('"Q1"', '"P1"'))
    other = Crew(one.desk, one.clock, stack="B")
    assert "duplicate-mark" in {finding.code for finding in one.desk.findings()}
    assert other.walk.answered == 0
    one.pass_item("drawing.mark")
    assert other.walk == afresh(one.desk, "B", 1)
    assert other.walk.answered == 1


def test_size_changes_build_on_each_other_and_survive(tmp_path: Path) -> None:
    one = crew(tmp_path)
    for sizes in ({"width": Decimal("2900.5")}, {"height": Decimal(2800)}):
        change = one.desk.resize("A", 2, **sizes)
        assert not isinstance(change, Refusal)
        one.do(one.desk.revise(change, by=FOREMAN, reason="rev C"))
    panel = one.desk.job.stacks[0].panels[1]
    assert (panel.width, panel.height) == (Decimal("2900.5"), 2800)
    one.desk.close()
    again = open_desk(tmp_path)
    assert again.job.stacks[0].panels[1] == panel


def test_a_size_change_of_a_panel_that_is_gone_is_kept_and_reported(tmp_path: Path) -> None:
    one = crew(tmp_path)
    change = one.desk.resize("A", 2, width=Decimal(2900))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=FOREMAN, reason="rev C"))
    one.desk.close()
    desk = open_desk(tmp_path, JOB.replace('mark = "P2"', 'mark = "P3"'))
    (finding,) = desk.findings()
    assert (finding.code, finding.severity, finding.mark) == ("revision-lost", "warning", "P2")
    assert desk.job.stacks[0].panels[1].width == 3000


def test_a_size_change_in_the_log_that_names_less_keeps_the_rest() -> None:
    job = job_of()
    entries = replay(()).entries
    assert revisions_of(job, entries) == []


def test_two_stations_are_one_site(tmp_path: Path) -> None:
    gate = crew(tmp_path, station="gate")
    gate.pass_item("drawing.mark")
    shed = Crew(open_desk(tmp_path, clock=gate.clock), gate.clock)
    assert shed.item("drawing.mark").by == FOREMAN
    entry = shed.answer("drawing.mark", "P1", why="read it again")
    assert (entry.station, entry.data["replaces_station"]) == ("shed", "gate")
    kinds = [entry.kind for entry in shed.desk.state.entries]
    assert kinds == ["start", "answer", "start", "answer"]


def test_an_entry_whose_clock_is_behind_the_others_is_taken_in_order(tmp_path: Path) -> None:
    gate = crew(tmp_path, station="gate")
    gate.clock.later(hours=2)
    gate.pass_item("drawing.mark")
    slow = Clock()
    shed = Crew(open_desk(tmp_path, clock=slow), slow)
    shed.walk  # noqa: B018 - so that something is kept
    shed.pass_item("drawing.rev")
    shed.pass_item("drawing.face-up")
    assert shed.walk == afresh(shed.desk, "A", 1)
    assert shed.walk.answered == 3


def test_findings_of_the_plan_in_force(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    assert one.desk.findings() == ()
    change = one.desk.resize("A", 2, width=Decimal(3100))
    assert not isinstance(change, Refusal)
    assert "overhang" in {finding.code for finding in change.findings}
    refusal = refused(one.desk.revise(change, by=FOREMAN, reason="rev C"))
    assert "a size that leaves errors" in refusal.title
    one.do(one.desk.revise(change, by=ENGINEER, reason="rev C"))
    assert "overhang" in {finding.code for finding in one.desk.findings()}


def test_states_agree_with_the_walk(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    for number in (1, 2):
        assert two.desk.panel_state("A", number) == two.desk.walk("A", number).panel_state
    two.go_to("pour")
    assert two.desk.panel_state("A", 2) == "released"
    record = two.desk.state.panel("P1")
    assert panel_state(record, gate_open=True, released=False) == "cast"


def test_a_stack_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(KeyError):
        open_desk(tmp_path).set_outs("Z")


def test_entries_hold_only_text_and_lists(tmp_path: Path) -> None:
    """Write what any program can read: no number that could be rounded."""
    two = on_second(tmp_path)
    two.go_to("finish")
    for entry in two.desk.state.entries:
        text = json.dumps(entry.data)
        assert json.loads(text) == entry.data
        numbers = {key for key, value in entry.data.items() if isinstance(value, float)}
        assert not numbers


def test_a_release_of_a_stranger_is_refused_by_name(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    assert (
        "people of this job"
        in refused(acts.release(one.walk, "drawing", "Zed", "", "looked")).title
    )
    one.do(acts.release(one.walk, "drawing", CHECKER.upper(), "", "looked"))
    assert one.walk.record.releases["drawing"][0].by == CHECKER
