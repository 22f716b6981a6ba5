"""A computer's clock that is set: gates that count hours wait until a person confirms the time."""

from datetime import timedelta
from pathlib import Path

from attrs import define, field

from pourdeck.paper.diary import diary_line
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, HAND, JOB, Clock, Crew, NoSync, open_desk, refused
from tests.walk.strength_kit import CLIMB, ESTIMATE, TEXT

HOURS_ONLY = JOB
STRIP = JOB.replace("climb = { hours = 18 }", "climb = { hours = 18 }\nstrip = { hours = 12 }")


@define
class Computer:
    """Its clock, and the seconds it has run, which no hand moves."""

    folder: Path
    clock: Clock = field(factory=Clock)
    set_by: timedelta = field(factory=timedelta)
    boot: str = "one"

    def steady(self) -> float:
        return (self.clock.at - self.set_by).timestamp()

    def put(self, **by: float) -> None:
        """Set the clock by so much."""
        self.clock.later(**by)
        self.set_by += timedelta(**by)

    def open(self, text: str = HOURS_ONLY, **more: object) -> Crew:
        self.folder.mkdir(exist_ok=True)
        desk = open_desk(
            self.folder,
            text,
            self.clock,
            monotonic=self.steady,
            boot=self.boot,
            disk=NoSync(),
            **more,
        )
        return Crew(desk, self.clock)


def poured(folder: Path, text: str = HOURS_ONLY) -> tuple[Computer, Crew]:
    """A computer on which the first panel was just poured; its forms are still on."""
    computer = Computer(folder)
    one = computer.open(text)
    one.go_to("finish")
    return computer, one


def gate(desk: Desk) -> str:
    found = desk.walk("A", 2).gate
    return f"{found.title} {found.body}" if found else ""


def clock_findings(desk: Desk) -> list[str]:
    return [str(one.message) for one in desk.findings() if one.code == "clock"]


def confirm(one: Crew) -> None:
    one.do(acts.confirm_time(one.desk.clocks(), FOREMAN, one.clock.at))


def test_hours_by_which_a_clock_was_put_forward_make_no_panel_ready(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    one.clock.later(hours=15)
    computer.put(hours=4)
    assert "4 h 0 min by which a clock was set are not counted" in gate(one.desk)
    assert one.desk.panel_state("A", 2) == "waiting"
    assert "went forward 4 h 0 min before no." in clock_findings(one.desk)[0]
    one.clock.later(hours=2, minutes=50)
    assert gate(one.desk)
    one.clock.later(minutes=10)
    assert gate(one.desk) == "", "the 18 hours have truly passed"


def test_a_person_confirms_the_time_and_the_hours_count(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    computer.put(hours=19)
    assert gate(one.desk)
    confirm(one)
    assert gate(one.desk) == ""
    assert clock_findings(one.desk) == []
    last = one.desk.state.last
    assert last is not None
    assert (last.kind, last.by, last.clock) == ("clock", FOREMAN, "forward 68400 s")
    refused(acts.confirm_time(one.desk.clocks(), FOREMAN, one.clock.at))


def test_it_is_known_in_the_next_run_and_after_an_act(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    one.desk.close()
    computer.put(hours=19)
    one = computer.open()
    assert "went forward 19 h 0 min" in clock_findings(one.desk)[0]
    assert gate(one.desk)
    one.do(acts.note(one.walk, None, "windy", FOREMAN))
    assert one.desk.state.entries[-1].clock.startswith("forward")
    assert gate(one.desk)
    one.desk.close()
    one = computer.open()
    assert gate(one.desk)
    look = computer.open(read_only=True)
    assert gate(look.desk)
    confirm(one)
    one.desk.close()
    assert gate(computer.open().desk) == ""


def test_a_night_asleep_and_a_new_start_are_no_jump(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    one.clock.later(hours=18)
    assert clock_findings(one.desk) == []
    assert gate(one.desk) == ""
    one.desk.close()
    computer.boot, computer.set_by = "two", computer.set_by + timedelta(days=3)
    one = computer.open()
    one.do(acts.note(one.walk, None, "started again", FOREMAN))
    assert clock_findings(one.desk) == []
    computer.put(minutes=2)
    assert clock_findings(one.desk) == []


def test_a_clock_that_went_back_is_shown_and_counts_no_hour_twice(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    computer.put(hours=-3)
    assert "went back 3 h 0 min" in clock_findings(one.desk)[0]
    computer.put(hours=3)
    one.clock.later(hours=18)
    assert gate(one.desk) == "", "set back and put right again"
    assert clock_findings(one.desk) == []


def test_put_forward_recorded_and_put_right_leaves_nothing_out(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    computer.put(hours=19)
    one.do(acts.note(one.walk, None, "windy", FOREMAN))
    computer.put(hours=-19)
    assert len(clock_findings(one.desk)) == 2
    one.clock.later(hours=17, minutes=50)
    assert gate(one.desk)
    one.clock.later(minutes=10)
    assert gate(one.desk) == ""
    confirm(one)
    assert clock_findings(one.desk) == []


def test_what_was_measured_and_forms_off_wait_as_well(tmp_path: Path) -> None:
    """At 20 °C N40 has 10 MPa after 27.8 h (EN 1992-1-1, B.10): measured for 24 h, it has not."""
    from pourdeck.walk.strength_acts import temperature

    computer, one = poured(tmp_path / "measured", TEXT.replace(CLIMB, ESTIMATE))
    for _ in range(12):
        one.do(temperature(one.walk, "20", "now", FOREMAN, one.clock.at))
        one.clock.later(hours=2)
    computer.put(hours=4)
    one.do(temperature(one.walk, "20", "now", FOREMAN, one.clock.at))
    assert "by which a clock was set" in gate(one.desk)

    computer, one = poured(tmp_path / "strip", STRIP)
    one.go_to("close")
    computer.put(hours=12)
    act = acts.answer(one.walk, "close.stripped", "arris whole", FOREMAN, one.clock.at)
    assert isinstance(act, Act)
    assert act.data["verdict"] == "fail"
    assert "12 h 0 min by which a clock was set are not counted" in act.says
    one.clock.later(hours=12)
    assert one.answer("close.stripped", "arris whole").data["verdict"] == "pass"


def test_a_computer_that_is_behind_another_opens_no_gate_too_early(tmp_path: Path) -> None:
    """The shed sees what the office wrote three days from now: one of the two clocks is wrong."""
    job = tmp_path / "job"
    office = Computer(tmp_path, Clock(Clock().at + timedelta(days=3)))
    first = office.open(station="office", state_folder=tmp_path / "theirs")
    first.go_to("ready")
    shed = Computer(tmp_path)
    one = shed.open()
    one.go_to("finish")
    flagged = [entry.clock for entry in one.desk.state.entries if entry.clock]
    assert len(flagged) == 1
    assert flagged[0].startswith("behind 259")
    one.clock.later(hours=19)
    assert "are not counted" in gate(one.desk)
    confirm(one)
    assert gate(one.desk) == ""
    assert clock_findings(one.desk) == []
    assert (job / "log/shed.jsonl").exists()


def test_another_computers_jump_is_told_and_holds_nothing_here(tmp_path: Path) -> None:
    theirs = Computer(tmp_path)
    one = theirs.open(station="office", state_folder=tmp_path / "theirs")
    one.go_to("finish")
    theirs.put(hours=1)
    one.do(acts.note(one.walk, None, "put forward", HAND))
    mine = Computer(tmp_path, Clock(theirs.clock.at - theirs.set_by + timedelta(hours=18)))
    found = mine.open().desk
    assert [one.severity for one in found.findings() if one.code == "clock"] == ["warning"]
    assert gate(found) == ""


def test_a_confirmed_time_is_taken_back_by_a_key(tmp_path: Path) -> None:
    computer, one = poured(tmp_path)
    computer.put(hours=19)
    confirm(one)
    entry = one.desk.state.last
    assert entry is not None
    assert diary_line(entry) == f"it is {one.clock.at - timedelta(seconds=7):%H:%M}"
    one.do(one.desk.undo(FOREMAN))
    assert "went forward 19 h 0 min" in clock_findings(one.desk)[0]
    assert gate(one.desk)
