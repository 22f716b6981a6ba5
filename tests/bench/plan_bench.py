"""Reading and judging a large plan, and changing one size in it."""

import subprocess
import sys
from decimal import Decimal
from itertools import count
from pathlib import Path

from attrs import evolve

from pourdeck.plan.messages import Refusal
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.adjust import Corners, adjust
from pourdeck.setout.panel import set_out_stack, stack_findings
from pourdeck.setout.resize import Resize, resize
from pourdeck.walk.desk import Desk
from tests.bench.environment import environment
from tests.bench.generate import write_job
from tests.bench.history import BEGAN, open_desk
from tests.bench.table import Row, Skipped, in_turns
from tests.example_crew import Clock

LEAST = "import attrs, sys, tomllib; tomllib.load(open(sys.argv[1], 'rb'))"
STACKS, PANELS = 60, 8


def check_command(work: Path, root: Path) -> Row | Skipped:
    """`pourdeck check` as people run it, beside Python, attrs and a parser on the same file."""
    what = f"check {STACKS} stacks of {PANELS}"
    job = write_job(work / "large", STACKS, PANELS)
    ours = [sys.executable, "-m", "pourdeck", "check", str(job), "--json"]
    least = [sys.executable, "-c", LEAST, str(job / "job.toml")]
    env = environment(work)

    def run(command: list[str]) -> int:
        done = subprocess.run(command, cwd=root, env=env, capture_output=True, check=False)
        return done.returncode

    # The first of each only warms the caches of the system.
    if run(ours) != 0:
        return Skipped(what=what, why="the command does not work yet")
    run(least)
    seconds, other = in_turns(9, lambda: run(ours), lambda: run(least))
    return Row(
        what=what,
        beside="Python, attrs, the TOML parser",
        unit="s",
        ours=seconds,
        other=other,
        most=0.6,
        most_ratio=3,
    )


def adjustment() -> Row:
    """One panel's corners from its six tapes, each time of lengths that were not seen before."""
    planned: Corners = {"bl": (0, 0), "br": (7200, 0), "hr": (7200, 8700), "hl": (0, 8700)}
    tapes = dict.fromkeys(("width_base", "width_head"), Decimal(7203))
    tapes |= dict.fromkeys(("height_left", "height_right"), Decimal(8699))
    tapes |= dict.fromkeys(("diagonal_bl_hr", "diagonal_br_hl"), Decimal(11294))
    tenths = count(1)

    def change() -> None:
        tapes["width_base"] = 7200 + Decimal(next(tenths) % 60) / 10
        if isinstance(found := adjust(planned, tapes, Decimal(1), "metric"), Refusal):
            raise TypeError(found)

    change()
    (seconds,) = in_turns(301, change)
    return Row(what="corners of a panel from six tapes", unit="ms", ours=1000 * seconds, most=2)


def size_change(work: Path) -> list[Row]:
    """A size changed: set-out and findings anew, and all that the Size change screen shows."""
    return [
        _recompute(work, STACKS, PANELS, goal=20),
        _recompute(work, 10, PANELS),
        _recompute(work, 10, 4),
        _recompute(work, 10, 16),
        _nine_alignments(work, STACKS, PANELS),
    ]


def _recompute(work: Path, stacks: int, panels: int, goal: float | None = None) -> Row:
    job, stack = _middle(work, stacks, panels)
    before = stack.panels[1]
    steps = count(1)

    def change() -> None:
        after = evolve(before, width=before.width - next(steps))
        revised = evolve(stack, panels=(stack.panels[0], after, *stack.panels[2:]))
        set_out_stack(job, revised, {})
        stack_findings(job, revised, {})

    change()
    (seconds,) = in_turns(31, change)
    what = f"recompute and findings, {stacks} stacks of {panels}"
    return Row(what=what, unit="ms", ours=1000 * seconds, most=goal)


def _nine_alignments(work: Path, stacks: int, panels: int) -> Row:
    """Before, after, findings and the ways out, each time to a size that was not seen before."""
    job, stack = _middle(work, stacks, panels)
    width = stack.panels[1].width
    steps = count(1)

    def change() -> None:
        found = resize(job, stack, 2, {}, width=width - next(steps))
        if not isinstance(found, Resize):
            raise TypeError(found)

    change()
    (seconds,) = in_turns(31, change)
    what = f"the same, with before and nine alignments, {stacks} stacks of {panels}"
    return Row(what=what, unit="ms", ours=1000 * seconds, most=20)


def _middle(work: Path, stacks: int, panels: int) -> tuple[Job, Stack]:
    """The job and a stack in the middle of it, whose second panel changes."""
    job = read_job(write_job(work / f"job-{stacks}x{panels}", stacks, panels))
    return job, job.stacks[len(job.stacks) // 2]


def recorded_change(work: Path) -> Row:
    """Measure a recorded size change: log synced, then plan in force and findings of the whole job."""
    folder = write_job(work / "revised", STACKS, PANELS)
    desk = open_desk(folder, work / "state", Clock(BEGAN))
    try:
        return _recorded(desk)
    finally:
        desk.close()


def _recorded(desk: Desk) -> Row:
    stack = desk.plan.stacks[30]
    width = stack.panels[1].width
    steps = count(1)
    changes: list[Resize] = []

    def work_out() -> None:
        found = desk.resize(stack.id, 2, width=width - next(steps))
        if not isinstance(found, Resize):
            raise TypeError(found)
        changes.append(found)

    def record() -> None:
        act = desk.revise(changes[-1], by="M. Tallow", reason="drawing S-410 rev D")
        if isinstance(act, Refusal):
            raise TypeError(act)
        desk.record(act)
        desk.set_outs(stack.id)
        desk.findings()

    desk.findings()
    _, seconds = in_turns(21, work_out, record)
    what = f"recorded, set out anew, findings of all {STACKS} stacks"
    return Row(what=what, unit="ms", ours=1000 * seconds, most=20)
