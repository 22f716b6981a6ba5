"""Pours that nobody planned: whatever is written down in whatever order, numbers and rules hold."""

import tempfile
from decimal import Decimal
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from pourdeck.deck.paint import plain
from pourdeck.deck.views.pour import gauge_line
from pourdeck.paper.pour_document import pour_document
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.loads import loads_of
from pourdeck.walk.pour_acts import turn_away, write_load
from pourdeck.walk.records import Act
from tests.campaign import share
from tests.walk.kit import FOREMAN, Crew
from tests.walk.pour_kit import at_the_pour
from tests.walk.test_desk import afresh

NUMBERS = st.integers(min_value=1, max_value=5)
MIXES = st.sampled_from(["N40/20", "n40/20", "N32/20", "N40/20 F"])
TIMES = st.sampled_from(["batched", "arrived", "begun", "ended"])


class PourDay(RuleBasedStateMachine):
    """`right`: volumes of what went into the form, told apart by a second reading of what was taken."""

    one: Crew

    @initialize()
    def ready(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.one = at_the_pour(Path(self.folder.name))
        self.in_form: set[int] = set()
        self.misread: set[int] = set()

    def teardown(self) -> None:
        if hasattr(self, "one"):
            self.one.desk.close()
            self.folder.cleanup()

    def try_it(self, act: Act | Refusal) -> bool:
        self.one.clock.later(minutes=3)
        if isinstance(act, Refusal):
            assert act.title
            assert act.body
            return False
        self.one.desk.record(act)
        return True

    def write(self, number: int, why: str = "", **typed: str) -> bool:
        walk, now = self.one.walk, self.one.clock.at
        return self.try_it(write_load(walk, number, typed, FOREMAN, now, why))

    @precondition(lambda self: self.one.walk.record.pour_start is None)
    @rule()
    def start(self) -> None:
        now = self.one.clock.at
        self.try_it(acts.answer(self.one.walk, "pour.start", "now", FOREMAN, now))

    @rule(number=NUMBERS, mix=MIXES, why=st.sampled_from(["", "misread"]))
    def read_mix(self, number: int, mix: str, why: str) -> None:
        done = self.write(number, why, docket=f"D-{number}", mix=mix)
        if done and number in self.in_form:
            assert why
            self.misread.add(number)

    @rule(number=NUMBERS, key=TIMES)
    def time(self, number: int, key: str) -> None:
        before = {one.number: one for one in loads_of(self.one.walk.record)}.get(number)
        done = self.write(number, **{key: "now"})
        if done and key in ("begun", "ended"):
            assert self.one.walk.record.pour_start is not None
            assert before is not None
            assert (before.mix or "").casefold() == "n40/20"
            assert before.rejected is None
            self.in_form.add(number)

    @rule(number=NUMBERS, tenths=st.integers(min_value=1, max_value=90))
    def volume(self, number: int, tenths: int) -> None:
        self.write(number, "read again", volume=str(Decimal(tenths) / 10))

    @rule(number=NUMBERS, slump=st.integers(min_value=0, max_value=300))
    def slump(self, number: int, slump: int) -> None:
        self.write(number, "tested again", slump=str(slump))

    @rule(number=NUMBERS)
    def away(self, number: int) -> None:
        now = self.one.clock.at
        done = self.try_it(turn_away(self.one.walk, number, "not needed", FOREMAN, now))
        assert not (done and number in self.in_form)

    @rule()
    def undo(self) -> None:
        # Only what was written of a load: an undone release or start is another story.
        last = self.one.desk.state.last
        if last is None or last.kind != "load":
            return
        self.try_it(self.one.desk.undo(FOREMAN, "a slip"))
        loads = loads_of(self.one.walk.record)
        self.in_form = {one.number for one in loads if one.begun or one.ended}
        self.misread = {one.number for one in loads if one.wrong_mix(self.one.walk.job.mix)}

    @invariant()
    def a_wrong_mix_is_never_in_the_form(self) -> None:
        """But where a docket was misread, which is an error for everybody to see."""
        page = self.one.desk.pour("A", 1)
        wrong = {one.number for one in page.lines if one.taken and one.wrong}
        assert wrong <= self.misread
        errors = [one for one in page.findings if one.code == "wrong-mix" and one.is_error]
        assert len(errors) == len(wrong)

    @invariant()
    def the_screen_has_the_numbers_of_the_document(self) -> None:
        page = self.one.desk.pour("A", 1)
        found = pour_document(self.one.walk, page)
        assert found["placed"] == float(page.placed)
        assert found["left"] == float(page.left)
        assert found["rejected"] == float(page.rejected)
        assert f"Placed {page.placed:.1f} of" in plain(gauge_line(page, self.one.walk.job, 80))

    @invariant()
    def the_numbers_are_those_of_the_loads(self) -> None:
        page = self.one.desk.pour("A", 1)
        loads = loads_of(self.one.walk.record)
        placed = sum(
            (one.volume or Decimal(0) for one in loads if one.number in self.in_form), Decimal(0)
        )
        assert page.placed == placed
        assert page.left == max(page.volume - placed, Decimal(0))
        away = sum((one.volume or Decimal(0) for one in loads if one.rejected), Decimal(0))
        assert page.rejected == away
        total = sum(page.rest, Decimal(0))
        if page.left > 0:
            wanted = page.volume * Decimal("1.04") - page.placed - page.coming
            assert max(wanted, Decimal(0)) <= total < max(wanted, Decimal(0)) + Decimal("0.2")
        else:
            assert total == 0

    @invariant()
    def a_replay_gives_the_same(self) -> None:
        assert self.one.walk == afresh(self.one.desk, "A", 1)


TestPourDay = PourDay.TestCase
TestPourDay.settings = settings(
    max_examples=share(15),
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
