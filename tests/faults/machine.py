"""A state machine over walk, stations and faults: hypothesis looks for a history that the model forbids."""

from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.faults.promise import Promise, workplace
from tests.faults.world import STAGES, SYNC_NAMES, Computer, World

who = st.sampled_from("abc")
some = st.integers(0, 8)


class Site(RuleBasedStateMachine):
    """Do what people do at three computers, and what happens to the files between them."""

    def __init__(self) -> None:
        super().__init__()
        self._workplace = workplace()
        self.folder = self._workplace.__enter__()
        self.world: World | None = None
        self.cloned = False

    def teardown(self) -> None:
        try:
            if self.world is not None:
                self.world.heal()
        finally:
            if self.world is not None:
                self.world.close()
            self._workplace.__exit__(None, None, None)

    @property
    def here(self) -> World:
        assert self.world is not None
        return self.world

    def _at(self, name: str) -> Computer:
        return self.here.computers[name]

    @initialize(stage=st.sampled_from(STAGES), days=st.sampled_from([0, 3, -3]))
    def begin(self, stage: str, days: int) -> None:
        self.world = World(self.folder, stage)
        self.here.jump(self._at("b"), 24 * days)

    @rule(one=who, pick=st.integers(0, 1), other=st.integers(1, 3))
    def answer(self, one: str, pick: int, other: int) -> None:
        """Answer or correct; of a few items, so that it is often the same one."""
        self.here.answer(self._at(one), pick, other)

    @rule(one=who, pick=some)
    def defer(self, one: str, pick: int) -> None:
        self.here.defer(self._at(one), pick)

    @rule(one=who)
    def undo(self, one: str) -> None:
        self.here.undo(self._at(one))

    @rule(one=who, width=st.sampled_from([2900, 2950, 3000]))
    def revise(self, one: str, width: int) -> None:
        self.here.revise(self._at(one), width)

    @rule(one=who)
    def work_on(self, one: str) -> None:
        """Through the pour, the as-cast values and the close, step by step."""
        self.here.work_on(self._at(one))

    @rule(one=who)
    def sign(self, one: str) -> None:
        self.here.sign(self._at(one))

    @rule(one=who)
    def shut(self, one: str) -> None:
        self.here.shut(self._at(one))

    @rule(one=who)
    def reopen(self, one: str) -> None:
        self.here.open(self._at(one))

    @rule(one=who)
    def follow(self, one: str) -> None:
        self.here.follow(self._at(one))

    @rule(one=who, hours=st.sampled_from([-72, -1, 4, 72]))
    def clock_jumps(self, one: str, hours: int) -> None:
        self.here.jump(self._at(one), hours)

    @rule(one=who, left=st.floats(0, 1))
    def crash(self, one: str, left: float) -> None:
        self.here.crash(self._at(one), left)

    @rule(source=who, to=who)
    def merge(self, source: str, to: str) -> None:
        self._bring(source, to)

    @rule(source=who, to=who, only=some, part=st.floats(0, 1))
    def arrive_in_part(self, source: str, to: str, only: int, part: float) -> None:
        self._bring(source, to, only=only, part=part)

    @rule(source=who, to=who, only=some, name=st.integers(0, len(SYNC_NAMES) - 1))
    def come_as_a_copy(self, source: str, to: str, only: int, name: int) -> None:
        self._bring(source, to, only=only, sync_name=name)

    def _bring(self, source: str, to: str, **how: float) -> None:
        if source != to:
            self.here.bring(self._at(source), self._at(to), **how)  # type: ignore[arg-type]

    @precondition(lambda self: not self.cloned)
    @rule(one=who, pick=some, lines=st.integers(0, 6))
    def restore_an_old_copy(self, one: str, pick: int, lines: int) -> None:
        names = sorted(self._at(one).files())
        self.here.restore(self._at(one), names[pick % len(names)], lines)

    @rule(one=who)
    def put_back(self, one: str) -> None:
        self.here.put_back(self._at(one))

    @rule(one=who)
    def hold_out(self, one: str) -> None:
        self.here.hold_out(self._at(one))

    @rule(one=who)
    def go_on(self, one: str) -> None:
        self.here.go_on(self._at(one))

    @precondition(lambda self: not self.cloned)
    @rule(one=st.sampled_from("ab"))
    def clone(self, one: str) -> None:
        """The third computer gets the disk of another, and its files wait in a backup."""
        self.cloned = True
        self.here.clone(self._at(one), "c")

    @invariant()
    def as_the_model_says(self) -> None:
        if self.world is not None:
            for one in self.here.computers.values():
                self.here.check(one)


def _search(case: str, folder: Path) -> int:
    """So many histories of so many steps. A failing one is printed with its steps."""
    histories, steps = map(int, case.split("x"))
    run_state_machine_as_test(
        Site,
        settings=settings(
            max_examples=histories,
            stateful_step_count=steps,
            deadline=None,
            # To make a failing history shorter takes many minutes: its steps are told as they are.
            phases=[Phase.generate],
            derandomize=True,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    return histories


PROMISES = (
    Promise(
        name="machine",
        words="walk, stations, clocks, crashes, old copies in any order: as the model says",
        cases=lambda full: ["500x40" if full else "15x25"],
        attempt=_search,
    ),
)
