"""Whatever anybody does in whatever order: no panel is fit or lifted without its result and the release.

What must have been there is read off the raw entries of the log, by nothing that judges it in the code.
"""

import shutil
import tempfile
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.lift_acts import Given
from pourdeck.walk.records import Act
from tests.walk.kit import CHECKER, FOREMAN, HAND
from tests.walk.lift_kit import ENGINEER, LIFT_JOB, NO_LIMIT_JOB, TESTER, Day, lift_day

PANELS = st.sampled_from([2, 2, 1])
WHO = st.sampled_from([*[ENGINEER] * 6, FOREMAN, HAND, CHECKER, TESTER, "Nobody", ""])
STRENGTHS = st.sampled_from(["0", "24.9", "25", "25.1", "40"])
NAMES = st.sampled_from(["F1", "f1", "F2"])
CURED = st.sampled_from(["field", "field", "standard"])
OFFSETS = st.sampled_from([-60 * 24, -1, 0, 0, 5])
LEAST = Decimal(25)


class Histories(RuleBasedStateMachine):
    """Acts through their functions; what comes of them is checked by the log alone."""

    limited = True

    @initialize()
    def begin(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.day: Day = lift_day(self.folder, LIFT_JOB if self.limited else NO_LIMIT_JOB)
        self.desk = self.day.crew.desk
        self.clock = self.day.crew.clock

    def teardown(self) -> None:
        if hasattr(self, "folder"):
            self.desk.close()
            shutil.rmtree(self.folder)

    def does(self, act: Act | Refusal) -> None:
        if isinstance(act, Refusal):
            assert act.title
            assert act.body
            return
        if act.kind == "lifted":
            needed = self.had(act.data["panel"])
            assert needed, "lifted without a result or a release"
        self.day.do(act)

    # What people try.

    @rule(number=PANELS, strength=STRENGTHS, name=NAMES, cured=CURED, hours=OFFSETS)
    def result(self, number: int, strength: str, name: str, cured: str, hours: int) -> None:
        at = self.clock.at + timedelta(hours=hours)
        self.day.result(number, strength, specimen=name, cured=cured, at=at)

    @rule(number=PANELS, strength=STRENGTHS, name=NAMES, cured=CURED, hours=OFFSETS, by=WHO)
    def in_a_hurry(
        self, number: int, strength: str, name: str, cured: str, hours: int, by: str
    ) -> None:
        """A result, a release by somebody, and the lift, one right after the other."""
        self.result(number, strength, name, cured, hours)
        self.release(number, by, "engineer", "25")
        self.lift(number, FOREMAN)

    @rule(number=PANELS, strength=STRENGTHS, name=NAMES)
    def spoilt(self, number: int, strength: str, name: str) -> None:
        """Right at first; then its specimen comes out otherwise, and the lift is tried all the same."""
        self.day.result(number, specimen=name)
        self.engineer_releases(number)
        self.day.result(number, strength, specimen=name)
        self.lift(number, FOREMAN)

    @rule(number=PANELS, name=NAMES, cured=CURED)
    def specimen(self, number: int, name: str, cured: str) -> None:
        self.day.specimen(number, name, cured)

    @rule(number=PANELS, by=WHO, role=st.sampled_from(["", "engineer"]), needed=STRENGTHS)
    def release(self, number: int, by: str, role: str, needed: str) -> None:
        given = Given(strength=needed, document="LD-2")
        self.does(acts.release_to_lift(self.day.view(number), by, role, "all seen", given))

    @rule(number=PANELS)
    def engineer_releases(self, number: int) -> None:
        given = Given(strength="25", document="LD-2")
        self.does(acts.release_to_lift(self.day.view(number), ENGINEER, "", "all seen", given))

    @rule(number=PANELS, by=WHO)
    def lift(self, number: int, by: str) -> None:
        self.does(acts.lifted(self.day.view(number), by))

    @rule(number=PANELS)
    def measure(self, number: int) -> None:
        self.day.crew.number = number
        walk, at = self.day.crew.walk, self.clock.at
        self.does(acts.answer(walk, "close.width/base", "3001", FOREMAN, at, "taped again"))

    @rule(number=PANELS)
    def look(self, number: int) -> None:
        seen = {"recesses": "open", "residue": "none", "face": "sound"}
        self.does(acts.look_at_exposed(self.day.view(number), seen, FOREMAN))

    @rule(by=WHO)
    def undo(self, by: str) -> None:
        self.does(self.desk.undo(by))

    @rule(by=WHO)
    def redo(self, by: str) -> None:
        self.does(self.desk.redo(by))

    @rule(hours=st.sampled_from([1, 24, 24 * 30]))
    def wait(self, hours: int) -> None:
        self.clock.later(hours=hours)

    # What must hold.

    def had(self, mark: str, until: int | None = None) -> bool:
        """Whether the log, up to an entry, holds what a lift needs: a second, plain reading of it."""
        entries = self.desk.state.entries[:until]
        voided = self.voided(entries)
        stands = [one for one in entries if one.key not in voided and one.panel == mark]
        at = self.clock.at if until is None else self.desk.state.entries[until].at
        releases = [
            one
            for one in stands
            if one.kind == "lift-release" and one.by == ENGINEER and one.data["role"] == "engineer"
        ]
        if not releases:
            return False
        needed = LEAST if self.limited else Decimal(releases[-1].data["strength"])
        taken: dict[str, str] = {}
        results: dict[str, Entry] = {}
        for one in stands:
            name = str(one.data.get("specimen", "")).casefold()
            if one.kind == "specimen":
                taken[name] = one.data["cured"]
            elif one.kind == "test":
                results[name] = one
        return any(
            taken.get(name, one.data["cured"]) == "field"
            and Decimal(one.data["strength"]) >= needed
            and datetime.fromisoformat(one.data["time"]) <= at
            and one.order < releases[-1].order
            for name, one in results.items()
        )

    @staticmethod
    def voided(entries: list[Entry]) -> set[Any]:
        """Keys of what was undone, an undo that was itself undone undoing nothing."""
        gone: set[Any] = set()
        for one in reversed(entries):
            if one.kind == "undo" and one.key not in gone:
                gone.add((one.data["station"], one.data["n"]))
        return gone

    @invariant()
    def fit_only_with_both(self) -> None:
        if not hasattr(self, "desk"):
            return
        for number in (1, 2):
            view = self.day.view(number)
            assert view.fit is (view.lifted is None and not view.missing)
            if view.fit:
                assert self.had(view.mark), view.missing
            if view.lifted is not None:
                assert self.had(view.mark, view.lifted.order), "lifted without them"
                for upper in range(number + 1, 3):
                    above = self.desk.state.entries[: view.lifted.order]
                    assert any(one.kind == "lifted" and one.panel == f"P{upper}" for one in above)
            assert (self.desk.panel_state("A", number) == "lifted") is (view.lifted is not None)


class WithoutALimit(Histories):
    limited = False


Histories.TestCase.settings = settings(max_examples=40, stateful_step_count=15, deadline=None)
WithoutALimit.TestCase.settings = settings(max_examples=25, stateful_step_count=15, deadline=None)
TestHistories = Histories.TestCase
TestWithoutALimit = WithoutALimit.TestCase
