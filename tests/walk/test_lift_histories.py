"""Whatever anybody does in whatever order: no panel is fit or lifted without its result and the release.

What must have been there is read off the raw entries of the log (`lift_reading`), by nothing that judges it
in the code. Two stations work the yard and know of each other only when they read again; entries also come in
as another program may have written them.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from pourdeck.sitelog.entries import Entry
from pourdeck.walk.lift_history import ABOVE_UNDONE, GROUND_LOST, UNFIT
from pourdeck.walk.records import Act
from tests.campaign import each_once, share
from tests.walk import lift_reading as reading
from tests.walk.kit import CHECKER, FOREMAN, HAND
from tests.walk.lift_kit import ENGINEER, NO_LIMIT_YARD, TESTER, YARD_JOB
from tests.walk.lift_yard import PLACES, Station, Yard

STATIONS = st.sampled_from(["shed", "shed", "crane"])
MARKS = st.sampled_from(["P2", "P2", "P1", "Q1"])
WHO = st.sampled_from([*[ENGINEER] * 4, FOREMAN, HAND, CHECKER, TESTER, "Nobody", ""])
ROLES = st.sampled_from(["", "engineer"])
STRENGTHS = st.sampled_from(["24.99", "24.99", "25", "25.01", "40", "0"])
NAMES = st.sampled_from(["F1", "f1", "F2"])
CURED = st.sampled_from(["field", "field", "standard"])
HOURS = st.sampled_from([-60 * 24, -1, 0, 0, 0.05])
LOOKS = st.sampled_from(["", "recesses not clean", "recesses damaged", "face damaged"])

SPOILERS = {
    "not clean": lambda yard, at, mark: yard.look(at, mark, recesses="not clean"),
    "damaged": lambda yard, at, mark: yard.look(at, mark, face="damaged"),
    "too weak after all": lambda yard, at, mark: yard.result(at, mark, "24.99"),
    "another one too weak": lambda yard, at, mark: yard.result(at, mark, "19", "F2"),
    "cured in the laboratory": lambda yard, at, mark: yard.specimen(at, mark, "f1", "standard"),
    "result taken back": lambda yard, at, mark: yard.take_back(at, mark, "test"),
    "specimen taken back": lambda yard, at, mark: yard.take_back(at, mark, "specimen"),
    "release taken back": lambda yard, at, mark: yard.take_back(at, mark, "lift-release"),
    "close taken back": lambda yard, at, mark: yard.take_back(at, mark, "close"),
    "lift above taken back": lambda yard, at, mark: yard.take_back(at, "P2", "lifted"),
    "resized": lambda yard, at, mark: yard.resize(at, mark),
    "resized below": lambda yard, at, mark: yard.resize(at, "P1"),
    "another width": lambda yard, at, mark: yard.measure(at, mark, "3001"),
    "too wide": lambda yard, at, mark: yard.measure(at, mark, "3030"),
    "passed unreleased": lambda yard, at, mark: yard.pass_hold(at, mark),
    "an answer that failed": lambda yard, at, mark: yard.fail(at, mark),
    "an answer that had failed": lambda yard, at, mark: yard.fail_before_close(at, mark),
    "nothing": lambda yard, at, mark: None,
}


class Histories(RuleBasedStateMachine):
    """Acts through their functions; what comes of them is checked by the log alone."""

    text = YARD_JOB
    asked: Decimal | None = Decimal(25)

    @initialize(hours=st.sampled_from([0, 0, 1, -1]))
    def begin(self, hours: int) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.yard = Yard(self.folder, self.text, timedelta(hours=hours))
        self.yard.judge = self.may
        self.plan = reading.Yard({"A": ("P1", "P2"), "B": ("Q1",)}, ENGINEER, self.asked)

    def teardown(self) -> None:
        if hasattr(self, "yard"):
            self.yard.close()
            shutil.rmtree(self.folder)

    def may(self, station: Station, act: Act) -> None:
        """Hold an act that was not refused to what it needed; what was written by hand is not judged."""
        entries, at = station.desk.state.entries, station.desk.now()
        mark = act.data.get("panel", "")
        if act.kind == "lifted" and act.data.get("result"):
            assert reading.fit(entries, mark, at, self.plan), f"{mark} lifted and not fit"
        if act.kind == "lift-release" and act.data.get("seen") == "all seen":
            tests = reading.results(entries, mark, at)
            asked = self.asked or Decimal(act.data["strength"])
            assert act.by == ENGINEER, "released by somebody else"
            assert any(Decimal(one.data["strength"]) >= asked for one in tests), "without a result"

    # One thing after the other.

    @rule(at=STATIONS, mark=MARKS, strength=STRENGTHS, name=NAMES, cured=CURED, hours=HOURS)
    def result(
        self, at: str, mark: str, strength: str, name: str, cured: str, hours: float
    ) -> None:
        self.yard.result(at, mark, strength, name, cured, hours)

    @rule(at=STATIONS, mark=MARKS, by=WHO, role=ROLES, needed=STRENGTHS)
    def release(self, at: str, mark: str, by: str, role: str, needed: str) -> None:
        self.yard.release(at, mark, by, role, needed)

    @rule(at=STATIONS, mark=MARKS, by=WHO)
    def lift(self, at: str, mark: str, by: str) -> None:
        self.yard.lift(at, mark, by)

    @rule(at=STATIONS, mark=MARKS, seen=LOOKS)
    def look(self, at: str, mark: str, seen: str) -> None:
        what, _, how = seen.partition(" ")
        self.yard.look(at, mark, **({what: how} if what else {}))

    @rule(at=STATIONS, mark=MARKS, what=st.sampled_from(["use-as-is", "rework", "reject"]), by=WHO)
    def dispose(self, at: str, mark: str, what: str, by: str) -> None:
        self.yard.dispose(at, mark, what, by)

    @rule(at=STATIONS, by=WHO, again=st.booleans())
    def undo(self, at: str, by: str, again: bool) -> None:
        """Through the desk: nothing that a lift rests on may go by it, and no lift may come back."""
        desk = self.yard.at[at].desk
        before, lifts = self.grounded(desk.state.entries), self.lifts(desk.state.entries).keys()
        act = desk.redo(by) if again else desk.undo(by, "a slip")
        self.yard.do(at, act)
        lost = before - self.grounded(desk.state.entries) - self.taken_back(desk.state.entries)
        assert not lost, "an undo took away what a lift rests on"
        assert self.lifts(desk.state.entries).keys() <= lifts, "lifted again by a key"

    @rule(hours=st.sampled_from([1, 24, 24 * 30]))
    def wait(self, hours: int) -> None:
        self.yard.day.crew.clock.later(hours=hours)

    @rule(at=STATIONS)
    def read_again(self, at: str) -> None:
        self.yard.read_again(at)

    # Many things at once, as on a day when everybody is in a hurry.

    @rule(
        at=STATIONS, mark=MARKS, of=MARKS, strength=STRENGTHS, cured=CURED, hours=HOURS, by=WHO,
        early=st.booleans(),
    )  # fmt: skip
    def in_a_hurry(
        self,
        at: str,
        mark: str,
        of: str,
        strength: str,
        cured: str,
        hours: float,
        by: str,
        early: bool,
    ) -> None:
        """A result, maybe of another panel, a release by somebody, maybe before it, and the lift."""
        if early:
            self.yard.release(at, mark, by, "engineer", "25")
        self.yard.result(at, of, strength, "F3", cured, hours)
        self.yard.release(at, mark, by, "engineer", "25")
        self.yard.lift(at, mark)

    @rule(at=STATIONS, other=STATIONS, mark=MARKS, how=st.sampled_from(sorted(SPOILERS)))
    def spoilt(self, at: str, other: str, mark: str, how: str) -> None:
        """Right at first; then something goes wrong, here or elsewhere, and the lift is tried.

        Then once more, where the engineer releases it anew.
        """
        self.yard.right(at, mark)
        self.yard.read_again(other)
        SPOILERS[how](self.yard, other, mark)
        if other != at:
            self.yard.read_again(at)
        self.fit_only_with_all()
        self.yard.lift(at, mark)
        self.yard.release(at, mark)
        self.fit_only_with_all()
        self.yard.lift(at, mark)

    @rule(at=STATIONS, mark=MARKS)
    def done_again(self, at: str, mark: str) -> None:
        """Lifted, taken back by a key, and done again by a key."""
        self.yard.right(at, mark)
        self.yard.lift(at, mark)
        self.undo(at, FOREMAN, False)
        self.undo(at, FOREMAN, True)

    @rule(at=STATIONS, other=STATIONS, mark=MARKS, how=st.sampled_from(sorted(SPOILERS)))
    def unheard(self, at: str, other: str, mark: str, how: str) -> None:
        """Spoil a lift where nobody hears of it before; then the logs come together."""
        self.yard.read_again(at)
        self.yard.read_again(other)
        self.yard.right(at, mark)
        SPOILERS[how](self.yard, other, mark)
        self.yard.lift(at, mark)
        self.yard.read_again(at)

    @rule(at=STATIONS, mark=MARKS, how=st.sampled_from(sorted(SPOILERS)))
    def spoilt_afterwards(self, at: str, mark: str, how: str) -> None:
        self.yard.right(at, mark)
        self.yard.lift(at, mark)
        SPOILERS[how](self.yard, at, mark)

    @rule(
        at=STATIONS,
        mark=MARKS,
        by=WHO,
        role=st.sampled_from(["engineer", "engineer", "foreman"]),
        needed=st.sampled_from(["25", "25", "1"]),
        before=st.booleans(),
    )
    def forged_release(
        self, at: str, mark: str, by: str, role: str, needed: str, before: bool
    ) -> None:
        """A release that somebody wrote into the log as it would stand there, then the lift."""
        self.yard.forge_release(at, mark, by, role, needed, before=before)
        self.yard.lift(at, mark)

    @rule(at=STATIONS, mark=MARKS)
    def forged_lift(self, at: str, mark: str) -> None:
        self.yard.write(at, "lifted", FOREMAN, panel=mark)

    # What must hold.

    def lifts(self, entries: list[Entry]) -> dict[str, Entry]:
        found = {mark: reading.standing(entries, mark, "lifted") for mark in PLACES}
        return {mark: every[-1] for mark, every in found.items() if every}

    def grounded(self, entries: list[Entry]) -> set[str]:
        lifts = self.lifts(entries)
        return {mark for mark, one in lifts.items() if reading.ground(entries, one, self.plan)}

    def taken_back(self, entries: list[Entry]) -> set[str]:
        return PLACES.keys() - self.lifts(entries).keys()

    @invariant()
    def fit_only_with_all(self) -> None:
        if not hasattr(self, "yard"):
            return
        for name in self.yard.at:
            desk = self.yard.at[name].desk
            entries, at = desk.state.entries, desk.now()
            lifts = self.lifts(entries)
            for mark in PLACES:
                view = self.yard.view(name, mark)
                assert (desk.panel_state(*PLACES[mark]) == "lifted") is (mark in lifts)
                assert view.fit is (view.lifted is None and not view.missing)
                if mark in lifts:
                    self.said_of(
                        entries,
                        lifts[mark],
                        {one.code for one in desk.findings() if one.mark == mark},
                    )
                    continue
                right = reading.fit(entries, mark, at, self.plan)
                assert right or not view.fit, f"{mark} fit without all that it needs"
                assert self.yard.apart or view.fit or not right, view.missing

    def said_of(self, entries: list[Entry], lifted: Entry, codes: set[str]) -> None:
        """A lift that was not right when it was recorded, or is not now, is an error of its panel."""
        right = reading.fit_then(entries, lifted, self.plan)
        assert right or UNFIT in codes, "lifted, not fit, and nobody says so"
        assert self.yard.apart or not right or UNFIT not in codes
        if right:
            lost = bool(codes & {ABOVE_UNDONE, GROUND_LOST})
            # A result in conflict is no ground until somebody decides, and that is an error of its own.
            in_conflict = "in-conflict" in codes
            assert in_conflict or lost is not reading.ground(entries, lifted, self.plan)


class WithoutALimit(Histories):
    text = NO_LIMIT_YARD
    asked = None


SEARCH = os.environ.get("HYPOTHESIS_PROFILE") == "search"
PHASES = tuple(Phase) if SEARCH else tuple(one for one in Phase if one is not Phase.shrink)
"""A failure is made short only where somebody looks for one: that takes minutes."""

Histories.TestCase.settings = settings(
    max_examples=share(40), stateful_step_count=12, deadline=None, phases=PHASES
)
WithoutALimit.TestCase.settings = settings(
    max_examples=share(15), stateful_step_count=12, deadline=None, phases=PHASES
)


# Each by itself on a fresh yard, so that none is left to chance.


@pytest.fixture
def machine() -> Iterator[Histories]:
    one = Histories()
    one.begin(0)
    yield one
    one.teardown()


@pytest.mark.parametrize("before", [False, True])
@pytest.mark.parametrize(
    ("by", "role", "needed"),
    [
        (ENGINEER, "engineer", "25"),
        (ENGINEER, "engineer", "1"),
        (ENGINEER, "foreman", "25"),
        (FOREMAN, "engineer", "25"),
        ("Nobody", "engineer", "25"),
    ],
)
def test_what_is_forged(machine: Histories, by: str, role: str, needed: str, before: bool) -> None:
    machine.forged_release("shed", "P2", by, role, needed, before)
    machine.fit_only_with_all()
    machine.forged_lift("shed", "P2")
    machine.fit_only_with_all()


@pytest.mark.parametrize("of", PLACES)
@pytest.mark.parametrize(
    ("strength", "cured", "hours", "by"),
    [
        ("25", "field", 0, ENGINEER),
        ("24.99", "field", 0, ENGINEER),
        ("40", "standard", 0, ENGINEER),
        ("40", "field", 0.05, ENGINEER),
        ("40", "field", -60 * 24, ENGINEER),
        ("40", "field", 0, FOREMAN),
    ],
)
def test_what_is_done_in_a_hurry(
    machine: Histories, of: str, strength: str, cured: str, hours: float, by: str
) -> None:
    for mark in ("P2", "Q1"):
        machine.in_a_hurry("shed", mark, of, strength, cured, hours, by, False)
        machine.fit_only_with_all()


@pytest.mark.parametrize("mark", PLACES)
def test_what_is_done_again(machine: Histories, mark: str) -> None:
    machine.done_again("shed", mark)
    machine.fit_only_with_all()


def test_what_is_undone_at_another_station(machine: Histories) -> None:
    """The lift above, and the result: written at one station, and at the other a lift rests on it."""
    yard = machine.yard
    yard.right("crane", "P2")
    yard.lift("crane", "P2")
    yard.read_again("shed")
    yard.right("shed", "P1")
    yard.lift("shed", "P1")
    yard.result("shed", "Q1", "30")
    yard.read_again("crane")
    machine.undo("crane", FOREMAN, False)
    yard.release("crane", "Q1")
    yard.lift("crane", "Q1")
    yard.read_again("shed")
    machine.undo("shed", FOREMAN, False)
    assert {"P1", "P2", "Q1"} == machine.lifts(yard.at["shed"].desk.state.entries).keys()
    machine.fit_only_with_all()


def test_what_lies_bare_is_not_lifted_unseen(machine: Histories) -> None:
    yard = machine.yard
    yard.right("shed", "P2")
    yard.lift("shed", "P2")
    yard.result("shed", "P1", "30")
    yard.release("shed", "P1")
    machine.fit_only_with_all()
    yard.lift("shed", "P1")
    assert machine.lifts(yard.at["shed"].desk.state.entries).keys() == {"P2"}
    yard.look("shed", "P1")
    yard.lift("shed", "P1")
    assert machine.lifts(yard.at["shed"].desk.state.entries).keys() == {"P1", "P2"}


@pytest.mark.campaign
@pytest.mark.parametrize(("how", "mark"), each_once(SPOILERS, ["P2", "P1"]))
def test_what_spoils_it_afterwards(machine: Histories, how: str, mark: str) -> None:
    machine.spoilt_afterwards("shed", mark, how)
    machine.fit_only_with_all()


@pytest.mark.campaign
@pytest.mark.parametrize(
    ("how", "mark", "other"), each_once(SPOILERS, ["P2", "P1"], ["crane", "shed"])
)
def test_what_spoils_it_before_the_lift(
    machine: Histories, how: str, mark: str, other: str
) -> None:
    machine.spoilt("shed", other, mark, how)
    machine.fit_only_with_all()


@pytest.mark.campaign
@pytest.mark.parametrize(("how", "mark"), each_once(SPOILERS, ["P2", "P1"]))
def test_what_spoils_it_unheard(machine: Histories, how: str, mark: str) -> None:
    machine.unheard("shed", "crane", mark, how)
    machine.fit_only_with_all()


TestHistories = Histories.TestCase
TestWithoutALimit = WithoutALimit.TestCase
