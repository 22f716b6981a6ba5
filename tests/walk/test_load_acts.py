"""Writing down a load: in any order, what is refused and what would allow it, what is put right."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.clock import read_time
from pourdeck.walk.loads import loads_of
from pourdeck.walk.pour_acts import read_weather, turn_away, write_load
from pourdeck.walk.pour_findings import minutes
from pourdeck.walk.pour_page import jump_words
from pourdeck.walk.records import Act
from pourdeck.walk.strength_acts import specimen
from tests.walk.kit import CHECKER, FOREMAN, HAND, Clock, Crew, crew, refused
from tests.walk.pour_kit import POUR_JOB, at_the_pour, begun, do, load, page, whole


def test_a_load_is_put_together_from_what_was_written_down(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    (found,) = loads_of(one.walk.record)
    assert (found.docket, found.mix, found.volume) == ("D-1", "N40/20", Decimal("6.0"))
    assert (found.slump, found.temperature) == (Decimal(80), Decimal(21))
    assert found.batched is not None
    assert found.ended is not None
    assert found.ended - found.batched == timedelta(minutes=40)
    assert page(one).placed == Decimal("6.0")


@pytest.mark.parametrize("first", ["ended", "slump", "arrived", "volume", "water"])
def test_in_any_order(tmp_path: Path, first: str) -> None:
    typed = {
        "docket": "7", "mix": "n40/20", "arrived": "now", "slump": "80", "volume": "6", "ended": "now",
        "begun": "now", "water": "10",
    }  # fmt: skip
    one = begun(tmp_path)
    do(one, 1, docket="7", mix="N40/20")
    by = {"water_by": "driver"} if first == "water" else {}
    do(one, 1, **{first: typed[first]}, **by)
    for key in ("arrived", "begun", "slump", "volume", "ended"):
        if key != first:
            do(one, 1, **{key: typed[key]})
    assert page(one).lines[0].state == "placed"


def test_another_mix_may_only_be_turned_away(tmp_path: Path) -> None:
    """Trade guides: read the mix code on the docket before discharge."""
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N32/20", volume="6.0", batched="now", arrived="now")
    assert page(one).lines[0].state == "stopped"
    assert page(one).lines[0].next == "rejected"
    for key in ("begun", "ended"):
        refusal = refused(load(one, 1, **{key: "now"}))
        assert "N32/20" in refusal.title
        assert "N40/20" in refusal.title
        assert "Turn it away" in refusal.body
    one.do(turn_away(one.walk, 1, "wrong mix", FOREMAN, one.clock.at))
    assert (page(one).placed, page(one).rejected) == (Decimal(0), Decimal("6.0"))
    assert "turned away" in refused(load(one, 1, begun="now")).title


def test_the_mix_is_compared_whatever_case_and_spaces(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="  n40/20 ")
    do(one, 1, begun="now")


def test_an_unread_mix_is_read_first(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1")
    assert "nobody has read the mix" in refused(load(one, 1, begun="now")).title
    do(one, 1, mix="N40/20", begun="now")


def test_a_wrong_mix_and_its_begin_in_one_go_are_refused(tmp_path: Path) -> None:
    one = begun(tmp_path)
    refused(load(one, 1, docket="D-1", mix="N32/20", begun="now"))
    assert loads_of(one.walk.record) == ()


def test_without_a_name_of_the_mix_nothing_is_stopped(tmp_path: Path) -> None:
    one = begun(tmp_path, POUR_JOB.replace('name = "N40/20"\n', ""))
    do(one, 1, docket="D-1")
    do(one, 1, begun="now")
    assert page(one).lines[0].state == "placing"


def test_a_docket_that_was_misread_is_a_finding_once_it_is_in_the_form(tmp_path: Path) -> None:
    """Allow to write down what happened; nobody gets to it by beginning a wrong load."""
    one = begun(tmp_path)
    whole(one, 1)
    refused(load(one, 1, mix="N32/20"))
    do(one, 1, mix="N32/20", why="misread")
    (finding,) = page(one).findings
    assert (finding.code, finding.severity) == ("wrong-mix", "error")


def test_nothing_is_begun_before_the_release_and_the_start(tmp_path: Path) -> None:
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    do(one, 1, docket="D-1", mix="N40/20", arrived="now")
    refusal = refused(load(one, 1, begun="now"))
    assert "“Release to pour” is not released" in refusal.title
    assert "Walk" in refusal.body
    one.end_section("ready")
    refusal = refused(load(one, 1, begun="now"))
    assert "the pour has not begun" in refusal.title
    assert "pour start" in refusal.body
    one.answer("pour.start", "now")
    do(one, 1, begun="now")


def test_a_hold_that_was_passed_unreleased_lets_concrete_in(tmp_path: Path) -> None:
    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    one.pass_section("ready")
    one.do(acts.pass_unreleased(one.walk, "pour", "rain is coming", FOREMAN))
    one.answer("pour.start", "now")
    do(one, 1, docket="D-1", mix="N40/20")
    do(one, 1, begun="now")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"slump": "400"}, "above 304.8"),
        ({"slump": "-5"}, "slump"),
        ({"temperature": "250"}, "above 70"),
        ({"temperature": "-30"}, "below -10"),
        ({"volume": "60"}, "above 20"),
        ({"volume": "0"}, "below"),
        ({"volume": "6,000"}, "volume"),
        ({"water": "20"}, "Nobody named"),
        ({"batched": "25:00"}, "is not a time"),
        ({"arrived": "2099-01-01 07:00"}, "still to come"),
        ({"docket": "   "}, "Nothing written"),
        ({"docket": "x" * 61}, "too many"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, typed: Mapping[str, str], says: str) -> None:
    one = begun(tmp_path)
    refusal = refused(load(one, 1, **typed))
    assert says.lower() in f"{refusal.title} {refusal.body}".lower()
    assert refusal.body
    assert loads_of(one.walk.record) == ()


def test_times_of_a_load_come_one_after_the_other(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", batched="now")
    one.clock.later(hours=1)
    do(one, 1, arrived="now")
    early = f"{one.clock.at - timedelta(minutes=30):%H:%M}"
    refusal = refused(load(one, 1, begun=early))
    assert refusal.title.startswith("Load 1 begun")
    assert "before load 1 arrived" in refusal.title
    before = f"{one.clock.at - timedelta(minutes=90):%H:%M}"
    assert "before load 1 batched" in refused(load(one, 1, arrived=before, why="slip")).title


def test_corrections_say_why_and_both_stay(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", slump="80")
    assert "Say why" in refused(load(one, 1, slump="90")).body
    assert "nothing changes" in refused(load(one, 1, slump="80")).title
    entry = do(one, 1, slump="90", docket="D-1", why="misread")
    assert entry.data["values"] == {"slump": "90"}
    assert entry.data["why"] == "misread"
    assert one.walk.record.loads[0].data["values"]["slump"] == "80"
    assert loads_of(one.walk.record)[0].slump == Decimal(90)


def test_loads_are_numbered_one_after_the_other(tmp_path: Path) -> None:
    one = begun(tmp_path)
    refusal = refused(load(one, 3, docket="D-3"))
    assert "no load 3" in refusal.title
    assert "load 1" in refusal.body


def test_what_is_in_the_form_is_not_turned_away(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    refusal = refused(turn_away(one.walk, 1, "too stiff", FOREMAN, one.clock.at))
    assert "in the form" in refusal.title
    assert "volume" in refusal.body
    assert page(one).placed == Decimal("6.0")


def test_a_reason_for_turning_away_can_be_put_right(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1")
    refused(turn_away(one.walk, 1, " ", FOREMAN, one.clock.at))
    one.do(turn_away(one.walk, 1, "too old", FOREMAN, one.clock.at))
    refused(turn_away(one.walk, 1, "too hot", FOREMAN, one.clock.at))
    one.do(turn_away(one.walk, 1, "too hot", FOREMAN, one.clock.at, "wrong key"))
    assert loads_of(one.walk.record)[0].rejected == "too hot"


def test_nothing_goes_in_after_the_end_of_the_pour(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1", mix="N40/20", volume="9.4")
    do(one, 1, begun="now")
    one.clock.later(minutes=20)
    do(one, 1, ended="now")
    one.pass_section("pour")
    one.clock.later(minutes=30)
    do(one, 2, docket="D-2", mix="N40/20")
    assert "is after the end of the pour" in refused(load(one, 2, begun="now")).title
    do(one, 1, slump="85")


def test_a_closed_panel_takes_no_loads(tmp_path: Path) -> None:
    one = crew(tmp_path, POUR_JOB)
    one.cast()
    for act in (
        load(one, 1, docket="D-1"),
        read_weather(one.walk, {}, "now", FOREMAN, one.clock.at),
    ):
        assert "is closed" in refused(act).title


def test_a_panel_that_waits_takes_no_loads(tmp_path: Path) -> None:
    two = POUR_JOB + POUR_JOB[POUR_JOB.index("[[stack.panel]]") :].replace('"P1"', '"P2"').replace(
        "lift = 2", "lift = 1"
    )
    one = crew(tmp_path, two, number=2)
    refusal = refused(load(one, 1, docket="D-1"))
    assert "P2" in refusal.title
    assert "P1" in refusal.body


def test_nobody_unknown_writes_loads(tmp_path: Path) -> None:
    one = begun(tmp_path)
    assert "not among the people" in refused(load(one, 1, by="Nobody", docket="D-1")).title


def test_an_undone_load_is_gone(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    one.do(one.desk.undo(FOREMAN, "a slip"))
    assert page(one).lines[0].state == "placing"


# Specimens and weather.


def test_specimens_are_offered_to_the_walk(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    for name in ("C 1", "C 2"):
        one.do(specimen(one.walk, name, "field", "1", "now", HAND, one.clock.at))
    assert [(one.name, one.load) for one in page(one).specimens] == [("C 1", 1), ("C 2", 1)]
    assert one.item("pour.samples").offered == "C 1, C 2"


def test_a_specimen_of_a_load_that_was_turned_away_is_refused(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="D-1")
    one.do(turn_away(one.walk, 1, "too old", FOREMAN, one.clock.at))
    act = specimen(one.walk, "C1", "field", "1", "now", HAND, one.clock.at)
    assert "turned away" in refused(act).title


def test_the_weather_of_a_published_example(tmp_path: Path) -> None:
    """Concrete International Q&A: 31 °C concrete, 27 °C air, 50 %, 19 km/h: 1.15 kg/m²/h by Uno's formula."""
    one = begun(tmp_path)
    typed = {"concrete": "31", "air": "27", "humidity": "50", "wind": "19"}
    one.do(read_weather(one.walk, typed, "now", FOREMAN, one.clock.at))
    (reading,) = page(one).weather
    assert f"{reading.rate:.2f}" == "1.15"
    assert reading.verdict == "act"
    assert any("retarder" in words for words in reading.advice)
    assert [finding.code for finding in page(one).findings] == ["evaporation"]


@pytest.mark.parametrize(
    ("key", "typed", "says"),
    [
        ("humidity", "140", "above 100 %"), ("wind", "-4", "Mean wind"), ("air", "250", "above 60"),
        ("concrete", "", "Concrete"), ("wind", "4 m", "Mean wind"), ("humidity", "0.4", "0.4 % cannot be"),
    ],
)  # fmt: skip
def test_weather_that_cannot_be(tmp_path: Path, key: str, typed: str, says: str) -> None:
    one = begun(tmp_path)
    values = {"concrete": "31", "air": "27", "humidity": "50", "wind": "19", key: typed}
    refusal = refused(read_weather(one.walk, values, "now", FOREMAN, one.clock.at))
    assert says in refusal.title
    assert one.walk.record.weather == []


# Clocks.

HOBART = ZoneInfo("Australia/Hobart")
"""IANA: clocks go back from 03:00 to 02:00 on 5 April 2026, and ahead from 02:00 to 03:00 on 4 October."""


def _at(*when: int, fold: int = 0) -> datetime:
    return datetime(*when, tzinfo=HOBART, fold=fold)  # type: ignore[arg-type,misc]


@pytest.mark.parametrize(
    ("typed", "now", "utc"),
    [
        (
            "02:50",
            _at(2026, 4, 5, 2, 10, fold=1),
            "15:50",
        ),  # the first 02:50; the second is to come
        ("02:05", _at(2026, 4, 5, 2, 10, fold=1), "16:05"),  # twice over: the later one
        ("02:05", _at(2026, 4, 5, 2, 10), "15:05"),
        ("01:30", _at(2026, 4, 5, 3, 10), "14:30"),
        ("23:50", _at(2026, 4, 5, 0, 10), "12:50"),  # last night
    ],
)
def test_an_hour_that_comes_twice(typed: str, now: datetime, utc: str) -> None:
    found = read_time(typed, now)
    assert isinstance(found, datetime), found
    assert f"{found.astimezone(UTC):%H:%M}" == utc


def test_an_hour_that_never_was() -> None:
    found = read_time("02:30", _at(2026, 10, 4, 3, 20))
    assert isinstance(found, Refusal)
    assert "never was" in found.title
    assert isinstance(read_time("2026-10-04 02:30", _at(2026, 10, 4, 3, 20)), Refusal)


def test_an_hour_is_still_to_come_though_the_clock_shows_it() -> None:
    """02:40 is read at the first 02:30 of the two."""
    found = read_time("2026-04-05 02:40", _at(2026, 4, 5, 2, 30))
    assert isinstance(found, Refusal)


def _night(folder: Path, *when: int, fold: int = 0, start: str = "now") -> Crew:
    """At the pour in Hobart, at that hour of the night."""
    text = POUR_JOB.replace('zone = "Etc/UTC"', 'zone = "Australia/Hobart"')
    one = at_the_pour(folder, text)
    one.desk.close()
    return begun_at(folder, text, _at(*when, fold=fold), start)


def begun_at(folder: Path, text: str, at: datetime, start: str = "now") -> Crew:
    from tests.walk.kit import open_desk

    clock = Clock(at.astimezone(UTC))
    one = Crew(open_desk(folder, text, clock), clock)
    one.answer("pour.start", start)
    return one


def _typed(one: Crew, number: int, **typed: str) -> None:
    from pourdeck.walk.pour_acts import write_load

    act = write_load(one.walk, number, typed, FOREMAN, one.desk.now())
    assert isinstance(act, Act), act
    one.desk.record(act)


def test_minutes_are_true_when_clocks_go_back(tmp_path: Path) -> None:
    """Placed by 02:45 summer time; the next begun at 02:10 by the new time: 25 minutes later."""
    one = _night(tmp_path, 2026, 4, 5, 2, 45, start="02:30")
    _typed(one, 1, docket="1", mix="N40/20", volume="6", batched="02:20")
    _typed(one, 1, begun="02:30")
    _typed(one, 1, ended="02:45")
    one.clock.later(minutes=25)
    assert f"{one.desk.now():%H:%M}" == "02:10"
    _typed(one, 2, docket="2", mix="N40/20", batched="02:40")
    _typed(one, 2, begun="02:10")
    first, second = page(one).lines
    assert first.age == timedelta(minutes=25)
    assert second.gap == timedelta(minutes=25)
    assert second.age is not None
    assert minutes(second.age) == 30
    assert not page(one).findings or all(f.code == "load-volume" for f in page(one).findings)


def test_minutes_go_over_midnight(tmp_path: Path) -> None:
    one = _night(tmp_path, 2026, 5, 5, 0, 20, start="2026-05-04T23:55+10:00")
    _typed(one, 1, docket="1", mix="N40/20", volume="6", batched="23:10", arrived="23:50")
    _typed(one, 1, begun="23:55", ended="00:15")
    assert page(one).lines[0].age == timedelta(minutes=65)


def test_a_clock_set_back_an_hour_changes_no_order_and_no_duration(tmp_path: Path) -> None:
    """The computer's clock, not summer time: what was read off it before and after is compared truly."""
    ticks = [0.0]
    one = at_the_pour(tmp_path, monotonic=lambda: ticks[0])

    def later(minutes: float) -> None:
        ticks[0] += minutes * 60
        one.clock.later(minutes=minutes)

    ticks[0] += 7
    one.answer("pour.start", "now")
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now")
    later(10)
    do(one, 1, begun="now")
    later(15)
    do(one, 1, ended="now")
    later(20)
    one.clock.later(hours=-1)
    do(one, 2, docket="2", mix="N40/20", volume="3", arrived="now")
    do(one, 2, begun="now")
    later(5)
    do(one, 2, ended="now")
    first, second = page(one).lines
    assert (first.number, second.number) == (1, 2)
    assert first.age == timedelta(minutes=25)
    assert second.gap == timedelta(minutes=20)
    (jumped,) = page(one).jumped
    assert jumped.by == timedelta(hours=1)


class Timed:
    """A crew whose computer knows how long it has truly been."""

    def __init__(self, folder: Path) -> None:
        self.ticks = 0.0
        self.crew = at_the_pour(folder, monotonic=lambda: self.ticks)
        self.to_the_minute()
        self.crew.answer("pour.start", "now")

    def later(self, minutes: float) -> None:
        self.ticks += minutes * 60
        self.crew.clock.later(minutes=minutes)

    def to_the_minute(self) -> None:
        """As times are typed."""
        self.later(1 - self.crew.clock.at.second / 60)

    def ago(self, minutes: float) -> str:
        return f"{self.crew.clock.at - timedelta(minutes=minutes):%H:%M}"

    def set_back(self, minutes: float = 60) -> None:
        self.crew.clock.later(minutes=-minutes)

    def write(self, number: int, **typed: str) -> Act | Refusal:
        one = self.crew
        jumps = one.desk.jumps()
        act = write_load(one.walk, number, typed, FOREMAN, one.clock.at, "read again", jumps=jumps)
        if isinstance(act, Act):
            one.desk.record(act)
        return act


def test_what_was_late_is_late_after_the_clock_was_set_back(tmp_path: Path) -> None:
    """The batch time is off the docket: the minutes go on from what they were when it was set back."""
    timed = Timed(tmp_path)
    one = timed.crew
    timed.later(100)
    timed.to_the_minute()
    do(one, 1, docket="1", mix="N40/20", volume="6", batched=timed.ago(85))
    do(one, 1, begun="now")
    timed.later(6)
    late = timedelta(minutes=91)
    assert page(one).lines[0].age == late
    # Before anything is written the deck sees it too, and says so.
    timed.set_back()
    assert page(one).lines[0].age == late
    assert [finding.code for finding in page(one).findings] == ["discharge-late"]
    (said,) = jump_words(page(one))
    assert "CLOCK SET BACK 60 min" in said
    timed.later(2)
    assert isinstance(timed.write(1, ended="now"), Act)
    assert page(one).lines[0].age == timedelta(minutes=93)
    assert [finding.code for finding in page(one).findings] == ["discharge-late"]
    # Nor does it go away with the entry that told of it.
    undone = one.desk.undo(FOREMAN, "a slip")
    assert isinstance(undone, Act)
    one.desk.record(undone)
    assert len(page(one).jumped) == 1
    assert page(one).lines[0].age == timedelta(minutes=93)


def test_a_time_from_before_the_jump_can_still_be_written(tmp_path: Path) -> None:
    """It is still to come by the clock now, and was read off it before."""
    timed = Timed(tmp_path)
    one = timed.crew
    timed.later(100)
    do(one, 1, docket="1", mix="N40/20", volume="6", batched=timed.ago(60))
    do(one, 1, begun=timed.ago(30))
    before = timed.ago(10)
    timed.set_back()
    assert isinstance(timed.write(1, ended=before), Act)
    (line,) = page(one).lines
    assert line.age == timedelta(minutes=50)
    # What is put right is on the clock of what stood.
    assert isinstance(timed.write(1, begun=timed.ago(25 - 60)), Act)
    assert page(one).lines[0].age == timedelta(minutes=50)
    assert isinstance(timed.write(1, ended=timed.ago(40 - 60)), Refusal)


def test_the_pour_can_end_after_the_clock_was_set_back(tmp_path: Path) -> None:
    timed = Timed(tmp_path)
    one = timed.crew
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now", begun="now")
    timed.later(5)
    timed.set_back()
    assert isinstance(timed.write(1, ended="now"), Act)
    one.pass_section("pour")
    assert one.walk.record.pour_end is not None
    assert page(one).lines[0].age == timedelta(minutes=5)


def test_two_jumps_and_what_is_between_them(tmp_path: Path) -> None:
    timed = Timed(tmp_path)
    one = timed.crew
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now", begun="now")
    timed.later(10)
    timed.set_back(30)
    assert isinstance(timed.write(1, ended="now"), Act)
    timed.later(10)
    timed.set_back(45)
    assert isinstance(timed.write(2, docket="2", mix="N40/20", volume="3", batched="now"), Act)
    timed.later(5)
    assert isinstance(timed.write(2, begun="now"), Act)
    first, second = page(one).lines
    assert first.age == timedelta(minutes=10)
    assert second.gap == timedelta(minutes=15)
    assert second.age == timedelta(minutes=5)
    assert len(page(one).jumped) == 2


def test_a_later_load_of_a_load_before_the_jump_may_still_end(tmp_path: Path) -> None:
    """Its end is earlier than its begin by the clock: it is written as it happens, so it is taken."""
    ticks = [0.0]
    one = at_the_pour(tmp_path, monotonic=lambda: ticks[0])
    ticks[0] += 7
    one.answer("pour.start", "now")
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now")
    do(one, 1, begun="now")
    ticks[0] += 600
    one.clock.later(minutes=10)
    one.clock.later(hours=-1)
    do(one, 1, ended="now")
    assert page(one).lines[0].age == timedelta(minutes=10)


def test_the_checker_writes_too(tmp_path: Path) -> None:
    one = begun(tmp_path)
    act = load(one, 1, by=CHECKER.upper(), docket="D-1")
    assert isinstance(act, Act)
    assert act.by == CHECKER


def test_weather_stays_in_the_order_in_which_it_was_read(tmp_path: Path) -> None:
    timed = Timed(tmp_path)
    one = timed.crew
    for wind, back in (("5", 0), ("10", 0), ("20", 60)):
        timed.later(30)
        timed.set_back(back)
        typed = {"concrete": "24", "air": "30", "humidity": "40", "wind": wind}
        act = read_weather(one.walk, typed, "now", FOREMAN, one.clock.at)
        assert isinstance(act, Act)
        one.desk.record(act)
    readings = page(one).weather
    assert [reading.weather.wind for reading in readings] == [5, 10, 20]
    assert readings[2].at < readings[1].at
    assert readings[2].even - readings[1].even == timedelta(minutes=30)
