"""`python -m tests.faults_seen`: one fault at a time in a copy of the code, and the test that sees it.

The faults are slips that somebody could make. The nearest tests are tried first, all tests only where those
pass. A fault that none sees is a hole in the tests; one that shows in a full run alone is marked so.
"""

import argparse
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
NEAR_SECONDS, ALL_SECONDS = 600, 3600
"""Limit the seconds a run may take: a longer one hangs, and that is seen."""


class Fault(NamedTuple):
    """`right` stands once in `file`, below pourdeck, and becomes `wrong`; `near`: tests, below tests/."""

    file: str
    right: str
    wrong: str
    words: str
    near: str
    full_only: bool = False

    def __str__(self) -> str:
        return f"{self.file.partition('/')[2] or self.file}: {self.words}"


# fmt: off
FAULTS = (
    Fault("plan/lengths.py", "if inches >= 12:", "if inches > 12:",
          "twelve inches after the feet are taken", "plan/test_lengths.py"),
    Fault("plan/amounts.py", "number = number if apart else _WORK.add(number, pair.zero)",
          "number = _WORK.add(number, pair.zero)",
          "a difference of temperatures gets the 32 °F too", "plan/test_amounts.py"),
    Fault("plan/checks.py",
          "x = panel.width - opening.x - opening.width if panel.mirrored else opening.x", "x = opening.x",
          "an opening of a mirrored panel breaks the edge as drawn", "plan/test_checks.py"),
    Fault("plan/table_checks.py", "elif band.upto <= before:", "elif band.upto < before:",
          "two bands end at one size", "plan/test_reader_faults.py"),
    Fault("plan/records.py", "revision for revision in revisions}",
          "revision for revision in [*revisions][::-1]}",
          "the first size change counts", "walk/test_desk.py"),

    Fault("setout/place.py", "if low <= offset <= high:", "if low <= offset < high:",
          "the end of a bolt's band is out of it", "setout/test_offsets.py"),
    Fault("setout/anchors.py", '"head": False, "left": False}', '"head": True, "left": False}',
          "holes of the head are counted from the wrong end", "setout/test_anchors.py"),
    Fault("setout/anchors.py", "(rules.end_max if at_corner else rules.gap_max)", "rules.gap_max",
          "a stretch at a corner needs a prop from the gap on only", "setout/test_brackets.py"),
    Fault("setout/anchors.py", "and start < merged[-1][1]:", "and start <= merged[-1][1]:",
          "no anchor between stretches that touch", "setout/test_brackets.py"),
    Fault("setout/joints.py", "extras = NOTHING if cast_below is None else cast_below.extra_anchors",
          "extras = NOTHING", "extra anchors that were cast carry nothing", "setout/test_brackets.py"),
    Fault("setout/run_search.py", "if at_least > best[0]:", "if at_least >= best[0]:",
          "runs with less overrun are passed over", "setout/test_runs.py"),
    Fault("setout/place.py", "depth + below.thickness, panels[:-1]", "depth, panels[:-1]",
          "an opening that goes on below is one panel deep", "setout/test_fill.py"),
    Fault("setout/panel.py", "else surface_below + thickness", "else below + thickness",
          "the expected top is the planned one", "setout/test_heights.py"),
    Fault("setout/levels.py", "known.get(back.point, heights.get(back.point))",
          "heights.get(back.point, known.get(back.point))",
          "a benchmark has the height it was read at", "setout/test_level_book.py"),
    Fault("setout/adjust.py", "normal.variance(row) / self.sigma**2", "normal.variance(row) / self.sigma",
          "how well a tape is checked holds for σ = 1 mm only", "setout/test_what_shows.py"),
    Fault("setout/joints.py", "(-lap if low == 0 else low, high)", "(low, high)",
          "the least shift forgets that a form may lap", "setout/test_cast_lines.py"),
    Fault("setout/drift.py", "if not 1 <= ahead <= self.count:", "if not 1 <= ahead <= self.count + 1:",
          "a line is drawn out further than it is long", "setout/test_trend.py"),
    Fault("setout/resize.py", "one.moved_bolts,\n                one.largest_offset,",
          "one.largest_offset,\n                one.moved_bolts,",
          "alignments are ranked by offset before bolts", "setout/test_resize.py"),

    Fault("pour/fresh.py", "if rest >= mix.least_load or", "if rest > mix.least_load or",
          "a least load is shared all the same", "pour/test_order.py"),
    Fault("pour/maturity.py", "factor(middle + rise / 2 * node)", "factor(middle + rise * node)",
          "the points of Gauss lie too far out", "pour/test_maturity.py"),

    Fault("sitelog/entries.py", 'hashlib.sha256(prev.encode("ascii") + body)', "hashlib.sha256(body)",
          "a seal does not hold the entry before", "sitelog/test_entries.py"),
    Fault("sitelog/scan.py", "return self.after_bad_line and entry.n > n + 1", "return entry.n > n + 1",
          "missing entries are no fault", "sitelog/test_scan.py"),
    Fault("sitelog/scan.py", 'if b"\\0" in tail:', "if False:",
          "zeros in the place of saved entries are a torn line", "sitelog/test_known.py"),
    Fault("sitelog/union.py", "free = [one for one in going if all(map(self._is_done, one.before))]",
          "free = going", "the clock decides over what was seen", "sitelog/test_merge.py"),
    Fault("sitelog/union.py", 'f"{chain}{FORK}{entry.seal[:6]}"', "chain",
          "the branches of a fork are one", "sitelog/test_merge.py"),
    Fault("sitelog/panel_state.py", "seen = [one for one in front if entry.had_seen(one[0])]", "seen = front",
          "the later of two answers stands, whoever had seen what", "sitelog/test_conflicts.py"),
    Fault("sitelog/known.py", "if not any(_has(entries, head) for entries in branches):",
          "if not branches:", "yesterday's file is taken for today's", "sitelog/test_known.py"),
    Fault("sitelog/own.py", "mine = {base: files for base, files in families.items() if _owner(files) == installation}",
          "mine = families", "two computers write one file", "sitelog/test_own.py"),
    Fault("sitelog/disk.py", "def _finish(self, fd: int) -> None:\n        self.finished = True\n",
          "def _finish(self, fd: int) -> None:\n",
          "a file goes on after a failed sync", "sitelog/test_failures.py"),
    Fault("sitelog/state.py", "next((u for u in self._naming[key] if u.key not in self.voided), None)",
          "self._naming[key][-1]", "an undo that was undone counts", "sitelog/test_undo.py"),
    Fault("sitelog/panel_state.py", '_NO_START = frozenset({"note", "revise", ', '_NO_START = frozenset({"note", ',
          "a size change starts a walk", "sitelog/test_state.py"),
    Fault("sitelog/state.py", "[entry for entry in self.revisions if entry.panel != mark]", "self.revisions",
          "an undone size change stays in force", "sitelog/test_state.py"),

    Fault("walk/panel_walk.py", "if now - out >= until:", "if now - out > until:",
          "the gate opens a moment late", "walk/test_gates.py"),
    Fault("walk/strength.py", "if ended <= one.at <= at", "if one.at <= at",
          "a result from before the pour shows the lift", "walk/test_lifting.py"),
    Fault("walk/holds.py", "order.index(item.before) <= here", "order.index(item.before) < here",
          "what is due before a hold does not hold it", "walk/test_holds.py"),
    Fault("walk/holds.py", " | _answered_by(covered, facts.record, release)", "",
          "who answered what was put off releases it", "walk/test_holds.py"),
    Fault("walk/holds.py", "        panel.mirrored,\n", "",
          "a panel that is turned over keeps its releases", "walk/test_seals.py"),
    Fault("walk/items.py", 'return "failed" if verdict == "fail" and not follow_up else',
          'return "failed" if verdict == "fail" else',
          "a follow-up settles nothing", "walk/test_board.py"),
    Fault("walk/items.py", "low=found - view.plus, high=found", "low=found, high=found",
          "the second diagonal may only be longer", "walk/test_acts.py"),
    Fault("walk/targets.py", 'name = "width" if instance', 'name = "height" if instance',
          "all sides have the band of the height", "commands/test_log_care.py"),
    Fault("walk/answers.py", '"replaces_station": entry.station, "why"', '"why"',
          "a correction does not name its station", "walk/test_desk.py"),
    Fault("walk/answers.py", "return recent >= FAST_ANSWERS - 1", "return recent >= FAST_ANSWERS",
          "the fifth fast answer is not fast yet", "walk/test_holds.py"),
    Fault("walk/clock.py", "for fold in (0, 1):", "for fold in (0,):",
          "an hour that comes twice is the first one", "walk/test_load_acts.py"),
    Fault("walk/steps.toml", 'when = ["mirrored", "has-openings"]', 'when = ["has-openings"]',
          "every panel is asked for its jamb", "walk/test_steps.py"),
    Fault("walk/signoffs.py", '"covers": hold.digest,', '"covers": "",',
          "a release does not seal what it covers", "walk/test_holds.py"),
    Fault("walk/out_of_tolerance.py", " and folded(disposition.by) not in did", "",
          "an engineer accepts what he measured", "walk/test_out_of_tolerance.py"),
    Fault("walk/acts.py", '"close", "lift-release"}', '"close"}',
          "a release to lift is undone by a key", "walk/test_undo.py"),
    Fault("walk/pour_acts.py", "if after.mix is None and", "if load.mix is None and",
          "a mix read with the begin does not count", "walk/test_load_acts.py"),
    Fault("walk/clock.py", "if first.n < jump.n <= second.n:", "if first.n < jump.n < second.n:",
          "a clock set back at the later entry is not heard", "walk/test_load_acts.py"),
    Fault("walk/lifting.py", "stack.panels[setout.number :])", "stack.panels[setout.number + 1 :])",
          "the panel right above does not hold a lift", "walk/test_lifting.py"),
    Fault("walk/lift_seals.py", 'data.get("as_cast") != as_cast_digest(record)', '"as_cast" not in data',
          "a size measured since leaves the release", "walk/test_lifting.py"),
    Fault("walk/lift_seals.py", "if revision.panel in under and", "if revision.panel == mark and",
          "a size change below leaves the release", "walk/test_lift_histories.py", full_only=True),
    Fault("walk/lift_seals.py", "seen = looks[-1].data", "seen = looks[0].data",
          "recesses that were cleaned keep a panel down", "walk/test_lift_ground.py"),
    Fault("walk/expand.py", "y, fill.width, fill.height, fill.depth)", "y, fill.width, fill.height)",
          "a fill that got deeper keeps its answer", "test_example_story.py"),

    Fault("paper/documents.py", '"y_arris": number(castin.y - chamfer)', '"y_arris": number(castin.y)',
          "y from the arris forgets the chamfer", "commands/test_documents.py"),
    Fault("paper/documents.py", "seat_document(level.before)", "seat_document(level.after)",
          "before a size change is after it", "oracle/test_oracle.py"),
    Fault("paper/lifting.py", '"share": maybe(found.share)', '"share": maybe(view.factored)',
          "a lifter's share is the whole mass", "commands/test_lifting.py"),

    Fault("commands/check.py", "return FAULTY if has_error(findings)", "return FAULTY if findings",
          "warnings end check with 1", "commands/test_exit_codes.py"),
    Fault("commands/ascast.py", '"fail" for key in values)', '"fail" for key in judged if key)',
          "values of yesterday end ascast with 1", "commands/test_recording.py"),
    Fault("commands/log.py", "right = report.whole and (head is None or head.found) and",
          "right = report.whole and",
          "a head that is not in the log ends with 0", "commands/test_log_command.py"),
    Fault("commands/strength.py", "found = strength(desk.job, walk.record, at, out)",
          "found = strength(desk.job, walk.record, now, out)", "--at is not heard", "commands/test_strength.py"),
    Fault("commands/outcome.py", "sys.stderr.write(", "sys.stdout.write(",
          "notes stand in the JSON", "commands/test_exit_codes.py"),
    Fault("cli.py", "        return 130\n", "        return 1\n",
          "a command that was stopped ends as one with errors", "commands/test_exit_codes.py"),

    Fault("deck/actions.py", 'id="weather", keys=("w",)', 'id="weather", keys=("f11",)',
          "w reads no weather", "deck/test_registry.py"),
    Fault("deck/shell.py", 'key in ("enter", "space")', 'key == "enter"',
          "a space that bounces acts twice", "deck/test_watch.py"),
    Fault("deck/shell.py", "self.changed = not done", "self.changed = False",
          "what could not be kept is not tried again", "deck/test_half_typed.py"),
    Fault("deck/desk_shell.py", 'f"{self.desk.now():%Y%m%d%H%M}")', '"")',
          "what waits for the clock waits on", "deck/test_shell.py"),
    Fault("deck/widgets/field.py", "low, high = sorted(self.selection) if self.typing else",
          "low, high = (self.cursor_position,) * 2 if self.typing else",
          "figures are added to what stands", "deck/test_field.py"),
    Fault("deck/widgets/field.py",
          'is said of them is another."""\n        self._redraw()\n', 'is said of them is another."""\n',
          "a field says Enter to the mouse", "deck/test_touch.py"),
    Fault("deck/widgets/choice.py", "elif self._clock() - self._marked_at >= BOUNCE:", "else:",
          "a click that bounces takes", "deck/test_walk_mouse.py"),
    Fault("deck/widgets/row_list.py", "self._repaint(before[0], index)", "self._repaint(index)",
          "the row that was marked stays painted so", "deck/test_shell.py"),
    Fault("deck/widgets/frame.py", "if (words, time, who) != (self.words, self.time, self.who):",
          "self.who = who\n        if (words, time) != (self.words, self.time):",
          "who is on deck now is not painted", "deck/test_dialogs.py"),
    Fault("deck/widgets/frame.py", "            self.counts = counts\n            self.refresh()\n",
          "            self.counts = counts\n", "what is owed is not painted", "deck/test_walk_screen.py"),
    Fault("deck/screens/pour_place.py", "repaint_rows(self, changed_rows(before, after))", "pass",
          "a load that changed is not painted", "deck/test_pour_screen.py"),
    Fault("deck/widgets/prose.py", "self.refresh(layout=True)", "self.refresh()",
          "words get no other line", "deck/test_walk_card.py"),
    Fault("deck/screens/base.py", "deferred=counts.deferred, failed=counts.failed",
          "deferred=counts.failed, failed=counts.deferred",
          "deferred and failed change places", "deck/test_disposition.py"),
    Fault("deck/screens/log.py", "        self._verify()\n        super().on_screen_resume()",
          "        super().on_screen_resume()", "files are not read again", "deck/test_log_screen.py"),
    Fault("deck/screens/walk.py", "self.answer.keep(event.value)", "pass",
          "a marked choice is lost with the power", "deck/test_walk_resume.py"),
    Fault("deck/screens/walk.py", "#left, WalkScreen.-narrow #left {", "#left {",
          "a narrow window cuts the steps", "deck/test_walk_mouse.py"),
    Fault("deck/screens/resize.py", "place < len(SIZES) else", "place + 1 < len(SIZES) else",
          "Enter goes past the thickness", "deck/test_touch.py"),
    Fault("deck/screens/lift.py", "        self._show_card(self.view)\n", "",
          "the card stays that of the panel before", "deck/test_lift_screen.py"),
    Fault("walk/authority.py", "    if at >= began:", "    if at.year >= began.year:",
          "a letter older than what it is about counts", "walk/test_taken_back.py"),
    Fault("walk/acts.py", "if name not in {folded(one) for one in given if one} and not is_engineer(role):",
          "if not name:", "anybody takes back what somebody answered for", "walk/test_taken_back.py"),
    Fault("walk/lift_seals.py", "        if entry.order <= release.order:",
          "        if entry.key in state.voided or entry.order <= release.order:",
          "a low result that was taken back was never there", "walk/test_taken_back.py"),
    Fault("walk/signoffs.py", 'word_for("close-panel", by, "", walk.job, word=word)',
          'word_for("accept", by, "x", walk.job, word=word)',
          "whoever may accept a failure closes", "walk/test_taken_back.py deck/test_closing.py"),
    Fault("walk/strength.py", "if began <= one.at <= at and", "if poured <= one.at <= at and",
          "frost while concrete is placed is none", "walk/test_taken_back.py"),
    Fault("deck/form.py", "about = next((one for one in asked if key in (one.id, one.quantity.moment)), None)",
          "about = None", "what is refused is said under the form", "deck/test_hand.py"),
    Fault("deck/screens/levels.py", "order[order.index(one.key) + 1 :]", "order",
          "the mark of the level book goes back", "deck/test_hand.py"),
)
# fmt: on

_FAILED = re.compile(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", re.MULTILINE)


class Seen(NamedTuple):
    """`by`: the first test that failed, "" where none did; `near`: one of the nearest."""

    by: str
    near: bool
    seconds: float


def copy_checkout(root: Path, to: Path) -> None:
    """Copy what git knows of a checkout, and what is new in it, as it stands; no caches."""
    words = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(words, cwd=root, capture_output=True, check=True, text=True)
    for name in filter(None, listed.stdout.split("\0")):
        if (root / name).is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(root / name, to / name)


def run(words: Sequence[str], cwd: Path, seconds: float, *, full: bool = False) -> tuple[int, str]:
    """Exit code and output of Python in a copy. Raises TimeoutExpired, and what was started is ended."""
    ours = ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE", "PYTEST_ADDOPTS", "FULL")
    env = {key: value for key, value in os.environ.items() if key not in ours}
    # Every worker must collect the same tests in the same order.
    env |= {"TMPDIR": str(cwd.parent), "PYTHONHASHSEED": "0", **({"FULL": "1"} if full else {})}
    with subprocess.Popen(
        [sys.executable, *words], cwd=cwd, env=env, text=True, start_new_session=True,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    ) as process:  # fmt: skip
        try:
            output, _ = process.communicate(timeout=seconds)
        except BaseException:
            os.killpg(process.pid, signal.SIGKILL)
            raise
    return process.returncode, output


def first_failed(words: Sequence[str], cwd: Path, seconds: float, *, full: bool) -> str:
    """The first test that fails, "" where all pass. Raises RuntimeError where none could be tried."""
    try:
        code, output = run(["-m", "pytest", "-x", "-q", *words], cwd, seconds, full=full)
    except subprocess.TimeoutExpired:
        return "timed out"
    found = _FAILED.search(output)
    if code == 1 and found is not None:
        return found[1]
    if code != 0:
        raise RuntimeError(f"pytest {' '.join(words)} ended with {code}:\n{output[-2000:]}")
    return ""


def all_words(root: Path) -> list[str]:
    """Where the settings of a checkout do not spread its tests over the cores, they are spread here."""
    settings = (root / "pyproject.toml").read_text(encoding="utf-8")
    return [] if "--numprocesses" in settings else ["-n", "2", "--dist", "loadfile"]


def seen(fault: Fault, base: Path, *, full: bool) -> Seen:
    """Put a fault into a copy of `base`, and try the nearest tests, then all."""
    begun = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="fault-", ignore_cleanup_errors=True) as name:
        work = Path(name).resolve() / "work"
        shutil.copytree(base, work)
        path = work / "pourdeck" / fault.file
        text = path.read_text(encoding="utf-8").replace(fault.right, fault.wrong)
        path.write_text(text, encoding="utf-8")
        words = ["-n0", "-p", "no:cacheprovider", "-p", "no:randomly"]
        words += [f"tests/{one}" for one in fault.near.split()]
        by = near = first_failed(words, work, NEAR_SECONDS, full=full or fault.full_only)
        if not near:
            by = first_failed(all_words(work), work, ALL_SECONDS, full=full or fault.full_only)
    return Seen(by, bool(near), time.monotonic() - begun)


def unfit(fault: Fault, root: Path) -> str:
    """Why a fault cannot be put into a checkout, "" where it can."""
    path = root / "pourdeck" / fault.file
    text = path.read_text(encoding="utf-8") if path.is_file() else ""
    if (count := text.count(fault.right)) != 1:
        return f"{fault.file}, {fault.words}: the text stands {count} times in the file\n"
    if path.suffix == ".py":
        compile(text.replace(fault.right, fault.wrong), path, "exec")
    gone = [one for one in fault.near.split() if not (root / "tests" / one).exists()]
    return f"{fault.file}, {fault.words}: there is no {', '.join(gone)}\n" if gone else ""


def make_ready(root: Path, base: Path) -> None:
    """Copy a checkout to `base`, and compile it. Raises RuntimeError where another pourdeck is run."""
    copy_checkout(root, base)
    _, output = run(["-c", "import pourdeck; print(pourdeck.__file__)"], base, NEAR_SECONDS)
    if Path(output.strip()) != base / "pourdeck" / "__init__.py":
        raise RuntimeError(f"not the pourdeck of the copy is run, but {output}")
    words = ["-m", "pytest", "-n0", "-p", "no:cacheprovider", "--collect-only", "-q"]
    run(words, base, NEAR_SECONDS)


def main(argv: Sequence[str] | None = None) -> int:
    """0 where every fault is seen, 1 where one is not, 2 where one cannot be tried."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults_seen")
    parser.add_argument("--root", type=Path, default=ROOT, help="another checkout to try them on")
    parser.add_argument("--only", metavar="WORDS", default="", help="those that are named so")
    parser.add_argument("--full", action="store_true", help="run the tests in full")
    parser.add_argument("--jobs", type=int, choices=(1, 2), default=1, help="so many at a time")
    given = parser.parse_args(argv)
    wanted = given.only.casefold()
    faults = [one for one in FAULTS if wanted in f"{one.file} {one.words}".casefold()]
    if wrong := "".join(unfit(one, given.root) for one in faults):
        sys.stdout.write(wrong)
        return 2
    begun, every = time.monotonic(), []
    with tempfile.TemporaryDirectory(prefix="faults-", ignore_cleanup_errors=True) as name:
        base = Path(name).resolve() / "base"
        make_ready(given.root.resolve(), base)
        sys.stdout.write("| package | fault | caught by | s |\n|---|---|---|--:|\n")
        with ThreadPoolExecutor(given.jobs) as pool:
            trials = pool.map(partial(seen, base=base, full=given.full), faults)
            for fault, found in zip(faults, trials, strict=True):
                every.append(found)
                package = fault.file.partition("/")[0].removesuffix(".py")
                full = ", in full" if given.full or fault.full_only else ""
                by = f"{found.by or 'NOT SEEN'}{full}"
                sys.stdout.write(f"| {package} | {fault} | {by} | {found.seconds:.0f} |\n")
                sys.stdout.flush()
    near, missed = sum(one.near for one in every), sum(not one.by for one in every)
    sys.stdout.write(
        f"{len(every)} faults: {near} seen by the nearest tests, {len(every) - near - missed} by "
        f"others, {missed} NOT SEEN; {time.monotonic() - begun:.0f} s\n"
    )
    return int(missed > 0)


if __name__ == "__main__":
    raise SystemExit(main())
