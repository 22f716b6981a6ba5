"""Times of a panel in their order: refused by acts both ways, reported of a log that has them wrong.

Which time comes after which is the order of the work: common practice, no source.
"""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from attrs import evolve

from pourdeck.plan.messages import Finding, Refusal, Spot
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState, fold
from pourdeck.walk import acts
from pourdeck.walk.pour_acts import read_weather, write_delay, write_load
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import result, specimen, temperature
from pourdeck.walk.strength_import import Import, temperatures_read
from pourdeck.walk.times import NAMES, ORDERS, Doubt, Order, time_findings
from tests.campaign import share
from tests.walk.kit import ALONE, FOREMAN, JOB, crew, on_second, open_desk, refused

OWN = """
[[step]]
section = "finish"
id = "saw-cut"
prompt = "Time the saw cut was made"
answer = "time"
[[step]]
section = "close"
id = "covered"
prompt = "Time the panel was covered"
answer = "time"
"""
DAY = datetime(2026, 3, 4, tzinfo=UTC)
NOW = DAY.replace(hour=23, minute=30)
SPOT = Spot(stack="A", panel=1, mark="P1")
WEATHER = {"concrete": "20", "air": "18", "humidity": "55", "wind": "9"}


def at(hour: float) -> datetime:
    return DAY + timedelta(hours=hour)


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    """The walk of a panel whose pour is over; what its log says is put in by each test."""
    one = crew(tmp_path_factory.mktemp("times"), JOB + OWN)
    one.go_to("close")
    walk = one.walk
    one.desk.close()
    return walk


class Log:
    """Hold what the log says of a panel and its neighbours, made up entry by entry."""

    def __init__(self) -> None:
        self.record = PanelState(mark="P1")
        self.below = PanelState(mark="P0")
        self.above = PanelState(mark="P2")
        self.n = 0

    def add(self, kind: str, when: datetime, of: PanelState | None = None, **data: Any) -> None:
        """An entry that is written down at `when`."""
        self.n += 1
        record = of or self.record
        entry = Entry(
            station="shed", n=self.n, at=when, by=FOREMAN, kind=kind,
            data={"panel": record.mark, **data}, prev="", seal="", order=self.n,
        )  # fmt: skip
        fold(record, entry)

    def time(self, what: str, when: datetime) -> None:
        """A time of the table, recorded as it happened."""
        text = when.isoformat()
        if what in ("below-end", "end"):
            of = self.below if what == "below-end" else None
            self.add("pour-end", when, of, time=text, volume="1.3")
        elif what in ("above-start", "start"):
            self.add("pour-start", when, self.above if what == "above-start" else None, time=text)
        elif what in ("batched", "arrived", "begun", "ended"):
            self.add("load", when, load=1, values={what: text})
        elif what in ITEMS:
            self.add("answer", when, item=ITEMS[what], value=text)
        elif what == "weather":
            self.add("weather", when, time=text, **WEATHER)
        elif what == "reading":
            self.add("temperatures", when, readings=[[text, "20"]], **{"from": "typed"})
        elif what == "delay-from":
            self.add("note", when, item=None, text="rain", **{"from": text})
        elif what == "specimen":
            self.add("specimen", when, specimen="C1", cured="field", load=1, time=text)
        elif what == "test":
            data = {"specimen": "C1", "cured": "field", "strength": "26", "time": text}
            self.add("test", when, **data)
        elif what == "stripped":
            self.add("answer", when, item="close.stripped", value="arris whole")
        elif what == "released":
            self.add("release", when, hold="pour")
        elif what == "as-cast":
            self.add("as-cast", when, values={"width_base": "3000"})
        else:
            self.add(what, when)

    def walk(self, walk: Walk) -> Walk:
        return evolve(walk, record=self.record, below=self.below, above=self.above)

    def findings(self) -> list[Finding]:
        return list(time_findings(SPOT, self.record, self.below, (), UTC))

    def wrong(self) -> list[str]:
        return [one.message for one in self.findings() if one.code == "times-out-of-order"]


ITEMS = {
    "cure": "finish.cure-start",
    "finish": "finish.own-saw-cut",
    "close-item": "close.own-covered",
}

Doing = Callable[[Walk, str], Act | Refusal]


def _load(key: str) -> Doing:
    return lambda walk, text: write_load(walk, 1, {key: text}, FOREMAN, NOW, "so it was")


def _item(key: str) -> Doing:
    return lambda walk, text: acts.answer(walk, key, text, FOREMAN, NOW, "so it was")


def _weather(walk: Walk, text: str) -> Act | Refusal:
    return read_weather(walk, WEATHER, text, FOREMAN, NOW, "so it was")


def _delay(walk: Walk, text: str) -> Act | Refusal:
    return write_delay(walk, "rain", text, "", FOREMAN, NOW, "so it was")


def _reading(walk: Walk, text: str) -> Act | Refusal:
    return temperature(walk, "20", text, FOREMAN, NOW, "so it was")


def _specimen(walk: Walk, text: str) -> Act | Refusal:
    load = "1" if walk.record.loads else ""
    return specimen(walk, "C1", "field", load, text, FOREMAN, NOW, "so it was")


def _test(walk: Walk, text: str) -> Act | Refusal:
    return result(walk, "C1", "26", text, FOREMAN, NOW, "so it was")


DO: dict[str, Doing] = {
    "start": _item("pour.start"),
    "end": _item("pour.end"),
    **{key: _load(key) for key in ("batched", "arrived", "begun", "ended")},
    **{what: _item(key) for what, key in ITEMS.items()},
    "weather": _weather,
    "delay-from": _delay,
    "reading": _reading,
    "specimen": _specimen,
    "test": _test,
}
"""The act that records each time, now, late in the evening."""

REFUSED = [one for one in ORDERS if one.refused]
TYPED_LATER = [one for one in REFUSED if one.later in DO]
TYPED_EARLIER = [
    one for one in REFUSED if one.earlier in DO and one.later != "close" and one.same != "delay"
]
"""A closed panel takes no time at all. Both times of a delay are recorded at once."""


def name(order: Order) -> str:
    return f"{order.earlier}-{order.later}"


def log_for(order: Order, **times: datetime) -> Log:
    """A log with what both acts need beside the pair: a pour that began, and a specimen without its time."""
    log = Log()
    if "start" not in (order.earlier, order.later):
        log.time("start", at(0))
    if "test" in (order.earlier, order.later) and order.earlier != "specimen":
        log.add("specimen", at(0), specimen="C1", cured="field", load=None)
    for what, when in times.items():
        log.time(what.replace("_", "-"), when)
    return log


def test_every_row_is_about_times_that_have_a_name() -> None:
    assert {what for one in ORDERS for what in (one.earlier, one.later)} == set(NAMES)
    assert len({name(one) for one in ORDERS}) == len(ORDERS)
    sealed = {"close", "lift-release", "lifted"}
    covered = {name(one) for one in (*TYPED_LATER, *TYPED_EARLIER)}
    rest = [one for one in REFUSED if name(one) not in covered and one.same != "delay"]
    assert all(one.later in sealed for one in rest), rest


@pytest.mark.parametrize("order", TYPED_LATER, ids=name)
def test_the_later_is_refused_where_it_is_too_early(worked: Walk, order: Order) -> None:
    early = at(10) - order.early - timedelta(hours=1)
    log = log_for(order, **{order.earlier.replace("-", "_"): at(10)})
    if name(order) == "begun-end":
        log.time("ended", at(10))
    walk = log.walk(worked)
    found = refused(DO[order.later](walk, early.isoformat()))
    assert not isinstance(found, Doubt)
    assert f"{early:%H:%M}" in found.title
    assert "10:00" in found.title
    assert " before " in found.title
    assert isinstance(DO[order.later](walk, at(10).isoformat()), Act)


@pytest.mark.parametrize("order", TYPED_EARLIER, ids=name)
def test_the_earlier_is_refused_where_it_is_too_late(worked: Walk, order: Order) -> None:
    late = at(10) + order.early + timedelta(hours=1)
    log = log_for(order, **{order.later.replace("-", "_"): at(10)})
    if order.earlier == "start":
        log.time("start", at(1))
    if order.earlier == "specimen":
        log.add("specimen", at(0), specimen="C1", cured="field", load=None)
    walk = log.walk(worked)
    found = refused(DO[order.earlier](walk, late.isoformat()))
    assert not isinstance(found, Doubt)
    assert f"{late:%H:%M}" in found.title
    assert "10:00" in found.title
    assert " after " in found.title
    assert isinstance(DO[order.earlier](walk, at(10).isoformat()), Act)


@pytest.mark.parametrize("order", [one for one in REFUSED if one.later != "above-start"], ids=name)
def test_a_log_that_has_them_wrong_is_reported(order: Order) -> None:
    """`end-above-start` is `below-end-start` of the panel above."""
    wrong = Log()
    early = at(10) - order.early - timedelta(hours=1)
    if order.same == "delay":
        wrong.add("note", at(12), item=None, text="rain", **{
            "from": at(10).isoformat(), "to": early.isoformat()})  # fmt: skip
    else:
        wrong.time(order.earlier, at(10))
        wrong.time(order.later, early)
    (message,) = wrong.wrong()
    assert f"04 Mar {early:%H:%M}" in message
    assert "04 Mar 10:00" in message
    (found,) = (one for one in wrong.findings() if one.code == "times-out-of-order")
    assert (found.is_error, found.stack, found.panel, found.mark) == (True, "A", 1, "P1")
    if order.same != "delay":
        right = Log()
        right.time(order.earlier, at(10))
        right.time(order.later, at(10.5))
        assert right.wrong() == []


@pytest.mark.parametrize("order", [one for one in ORDERS if one.odd], ids=name)
def test_an_odd_gap_is_asked_about_and_kept_with_a_reason(worked: Walk, order: Order) -> None:
    assert order.odd is not None
    if order.same == "delay":

        def do(hours: timedelta, why: str) -> Act | Refusal:
            over = (at(1) + hours).isoformat()
            return write_delay(
                worked_walk, "rain", at(1).isoformat(), over, FOREMAN, NOW + hours, why
            )
    else:

        def do(hours: timedelta, why: str) -> Act | Refusal:
            return _typed(worked_walk, order.later, (at(1) + hours).isoformat(), NOW + hours, why)

    log = log_for(order)
    if order.same != "delay":
        log.time(order.earlier, at(1))
    worked_walk = log.walk(worked)
    minute = timedelta(minutes=1)
    usual = do(order.odd, "")
    assert isinstance(usual, Act), usual
    assert "doubted" not in usual.data
    doubt = do(order.odd + minute, "")
    assert isinstance(doubt, Doubt), doubt
    assert "01:00" in doubt.title
    kept = do(order.odd + minute, "rain")
    assert isinstance(kept, Act), kept
    assert (kept.data["doubted"], kept.data["why"]) == (True, "rain")
    if order.same != "delay":
        log.time(order.later, at(1) + order.odd + minute)
        codes = [one.code for one in log.findings()]
        assert codes == ["odd-times"]
        assert not log.findings()[0].is_error


def _typed(walk: Walk, what: str, text: str, now: datetime, why: str) -> Act | Refusal:
    if what in ("end", "cure"):
        # Its item stands as answered in the walk that the log was put into.
        key = "pour.end" if what == "end" else ITEMS["cure"]
        sections = walk.sections
        item = walk.find(key)
        assert item is not None
        fresh = tuple(
            evolve(one, items=tuple(evolve(each, entry=None) if each is item else each for each in one.items))
            for one in sections
        )  # fmt: skip
        return acts.answer(evolve(walk, sections=fresh), key, text, FOREMAN, now, why)
    if what in ("arrived", "begun", "ended"):
        return write_load(walk, 1, {what: text}, FOREMAN, now, why)
    if what == "weather":
        return read_weather(walk, WEATHER, text, FOREMAN, now, why)
    load = "1" if walk.record.loads else ""
    return specimen(walk, "C1", "field", load, text, FOREMAN, now, why)


def test_times_of_the_same_minute_are_in_order(worked: Walk) -> None:
    """A time that was read off the clock has seconds; one that is typed has none."""
    log = Log()
    log.time("start", at(1))
    log.time("end", at(10) + timedelta(seconds=40))
    assert isinstance(_item("finish.cure-start")(log.walk(worked), at(10).isoformat()), Act)
    found = _item("finish.cure-start")(
        log.walk(worked), (at(10) - timedelta(minutes=1)).isoformat()
    )
    assert refused(found).title == "Cure start 09:59 is before the end of the pour, 10:00."


def test_what_is_read_off_a_clock_that_was_set_back_is_taken(worked: Walk) -> None:
    log = Log()
    log.time("start", at(1))
    log.time("end", at(10))
    act = acts.answer(log.walk(worked), "finish.cure-start", "now", FOREMAN, at(9.5), "so it was")
    assert isinstance(act, Act)


def test_readings_that_were_pasted_are_judged_as_typed_ones_are(worked: Walk) -> None:
    from decimal import Decimal

    log = Log()
    log.time("start", at(10))
    rows = tuple((at(hour), Decimal(20)) for hour in (9, 11))
    pasted = Import(readings=rows, changed=0, said=(), gaps=(), unit="°C")  # type: ignore[arg-type]
    found = refused(temperatures_read(log.walk(worked), pasted, "pasted", FOREMAN, NOW))
    assert found.title == "Temperature reading 09:00 is before the start of the pour, 10:00."


def test_loads_and_specimens_are_not_mixed_up(worked: Walk) -> None:
    """The times of another load, and the test of another specimen, are no bounds."""
    log = Log()
    log.time("start", at(1))
    log.time("arrived", at(10))
    log.add("load", at(2), load=2, values={"batched": at(2).isoformat()})
    early = write_load(log.walk(worked), 2, {"arrived": at(3).isoformat()}, FOREMAN, NOW)
    assert isinstance(early, Act)
    log.time("test", at(9))
    late = specimen(log.walk(worked), "C2", "field", "2", at(10).isoformat(), FOREMAN, NOW)
    assert isinstance(late, Act)


def test_a_delay_keeps_its_times(worked: Walk) -> None:
    log = Log()
    log.time("start", at(1))
    walk = log.walk(worked)
    back = write_delay(walk, "pump blocked", "09:40", "09:05", FOREMAN, NOW)
    assert refused(back).title == "End of the delay 09:05 is before the start of the delay, 09:40."
    act = write_delay(walk, "pump blocked", "09:05", "09:40", FOREMAN, NOW)
    assert isinstance(act, Act)
    assert act.data["text"] == "pump blocked, 09:05 to 09:40"
    assert act.data["from"] == "2026-03-04T09:05:00+00:00"
    only = write_delay(walk, "rain", "", "09:40", FOREMAN, NOW)
    assert isinstance(only, Act)
    assert only.data["text"] == "rain, to 09:40"


def test_what_was_to_come_when_it_was_written_is_reported() -> None:
    """Two clocks may differ by two minutes; common practice, no source."""
    for minutes, wrong in ((2, 0), (3, 1)):
        log = Log()
        when = at(10) + timedelta(minutes=minutes)
        log.add("pour-start", at(10), time=when.isoformat())
        assert len(log.wrong()) == wrong


def test_one_slip_is_said_of_the_nearest_pair_alone() -> None:
    log = Log()
    for what, hour in (("start", 7), ("batched", 6), ("begun", 8), ("ended", 9), ("end", 10)):
        log.time(what, at(hour))
    log.time("cure", at(5))
    (message,) = log.wrong()
    assert message.startswith(
        "Cure start 04 Mar 05:00 is before the end of the pour, 04 Mar 10:00."
    )


def test_a_walk_knows_the_panels_below_and_above(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    two.answer("drawing.mark", "P2")
    assert two.walk.below is two.desk.state.panels["P1"]
    assert two.desk.walk("A", 1).above is two.desk.state.panels["P2"]
    assert two.walk.above is two.desk.walk("A", 1).below is None
    early = read_weather(two.walk, WEATHER, "2026-03-02 05:00", FOREMAN, two.clock.at)
    assert "before the end of the pour of the panel below" in refused(early).title


def test_check_reports_what_another_hand_wrote(tmp_path: Path) -> None:
    one = crew(tmp_path, ALONE)
    one.go_to("finish")
    assert not _codes(one.desk.findings())
    data = {"panel": "P1", "item": "finish.cure-start", "value": "2026-03-02T05:00:00+00:00"}
    more = {"typed": "05:00", "unit": "", "verdict": "recorded", "expected": None, "tolerance": None,
            "source": ""}  # fmt: skip
    one.desk.record(Act(kind="answer", by=FOREMAN, data={**data, **more}, says=""))
    assert _codes(one.desk.findings()) == ["times-out-of-order"]
    one.desk.close()
    again = open_desk(tmp_path, ALONE, one.clock)
    assert _codes(again.findings()) == ["times-out-of-order"]


def _codes(findings: tuple[Finding, ...]) -> list[str]:
    return [one.code for one in findings if "times" in one.code]


@pytest.mark.parametrize("seed", range(share(60)))
def test_no_sequence_of_acts_leaves_times_out_of_order(worked: Walk, seed: int) -> None:
    random, log = Random(seed), Log()
    log.time("start", at(8))
    taken = 0
    for _ in range(60):
        what = random.choice(list(DO))
        when = at(random.choice([6, 8, 9, 10, 12, 16]) + random.randrange(180) / 60)
        act = DO[what](log.walk(worked), when.isoformat())
        if isinstance(act, Act):
            taken += 1
            data = {key: value for key, value in act.data.items() if key != "panel"}
            log.add(act.kind, NOW, **data)
        assert log.wrong() == []
    assert taken > 10
