"""`python -m tests.faults_seen`: puts one fault at a time into a copy of the code, and says which test sees it.

The faults are slips that somebody could make. Of each the nearest tests are tried first, and all tests only
where those pass. A fault that no test sees is a hole in the tests.
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
import tomllib
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]

NEAR_SECONDS = 600
ALL_SECONDS = 3600
"""What takes longer hangs, and that is seen."""

NOT_SEEN = "NOT SEEN"


class Fault(NamedTuple):
    """`file` below pourdeck, `right` the text in it that becomes `wrong`, `near` the tests below tests/."""

    file: str
    right: str
    wrong: str
    words: str
    near: str
    full_only: bool = False
    """Only a run in full sees it."""

    @property
    def package(self) -> str:
        return self.file.partition("/")[0].removesuffix(".py")

    def __str__(self) -> str:
        return f"{self.file}: {self.words}"


# fmt: off
FAULTS = (
    # Plan.
    Fault("plan/lengths.py", "if inches >= 12:", "if inches > 12:",
          "twelve inches after the feet are taken", "plan/test_lengths.py"),
    Fault("plan/amounts.py", "number = number if apart else _WORK.add(number, pair.zero)",
          "number = _WORK.add(number, pair.zero)",
          "a difference of temperatures gets the 32 °F too", "plan/test_amounts.py"),
    Fault("plan/checks.py", "if height <= most:", "if height < most:",
          "a stack just as high as it may be is too high", "plan/test_checks.py"),
    Fault("plan/checks.py",
          "x = panel.width - opening.x - opening.width if panel.mirrored else opening.x", "x = opening.x",
          "an opening of a mirrored panel breaks the edge as drawn", "plan/test_checks.py"),
    Fault("plan/table_checks.py", "elif band.upto <= before:", "elif band.upto < before:",
          "two bands end at one size", "plan/test_reader_faults.py"),
    Fault("plan/revision.py", "{revision.mark: revision for revision in revisions}",
          "{revision.mark: revision for revision in reversed([*revisions])}",
          "the first size change of a panel counts, not the last", "walk/test_desk.py walk/test_cancelled.py"),
    Fault("plan/poured.py", "sum(read, Decimal(0)) / len(read)", "sum(read, Decimal(0)) / 4",
          "the mean of a surface read at two corners", "setout/test_heights.py"),
    Fault("setout/trend.py", "if not 1 <= ahead <= self.count:", "if not 1 <= ahead <= self.count + 1:",
          "a line is drawn out further than it is long", "setout/test_trend.py"),
    Fault("setout/place.py", "return x + panel.shift[0], y + panel.shift[1]",
          "return x + panel.shift[0], y - panel.shift[1]",
          "a shift goes the other way up the height", "setout/test_place.py"),
    Fault("setout/offsets.py", "if low <= offset <= high:", "if low <= offset < high:",
          "the end of a bolt's band is out of it", "setout/test_offsets.py"),
    Fault("setout/anchors.py", '"head": False, "left": False}', '"head": True, "left": False}',
          "the holes of the head are counted from the wrong end", "setout/test_anchors.py"),
    Fault("setout/brackets.py", "(rules.end_max if at_corner else rules.gap_max)", "rules.gap_max",
          "a stretch at a corner needs a prop only from the gap on", "setout/test_brackets.py"),
    Fault("setout/cover.py", "while waiting and waiting[0] <= reach:", "while waiting and waiting[0] < reach:",
          "an anchor just in reach is not used", "setout/test_cover.py"),
    Fault("setout/run_search.py", "if at_least > best[0]:", "if at_least >= best[0]:",
          "as few pieces and less overrun are passed over", "setout/test_runs.py"),
    Fault("setout/fill.py", "depth + below.thickness, panels[:-1]", "depth, panels[:-1]",
          "an opening that goes on below is as deep as one panel", "setout/test_fill.py"),
    Fault("setout/quantities.py", "Decimal(8) / Decimal(3) * chamfer**3", "Decimal(4) / Decimal(3) * chamfer**3",
          "the corners of the chamfers are counted twice", "setout/test_quantities.py"),
    Fault("setout/heights.py", "else surface_below + thickness / MM_PER_M", "else below + thickness / MM_PER_M",
          "the expected top is the planned one", "setout/test_heights.py"),
    Fault("setout/level_book.py", "known.get(back.point, heights.get(back.point))",
          "heights.get(back.point, known.get(back.point))",
          "a benchmark has the height it was read at", "setout/test_level_book.py"),
    Fault("setout/cast_findings.py", "(-lap if low == 0 else low, high)", "(low, high)",
          "the least shift forgets that a form may lap", "setout/test_cast_lines.py"),
    Fault("setout/drift.py", "return (high.out.value - low.out.value) / 2",
          "return high.out.value - low.out.value",
          "a lean is twice what it is", "setout/test_drift.py"),
    Fault("pour/order.py", "if rest >= mix.least_load or not whole:", "if rest > mix.least_load or not whole:",
          "a least load is shared all the same", "pour/test_order.py"),
    Fault("pour/maturity.py", "factor(middle + rise / 2 * node)", "factor(middle + rise * node)",
          "the points of Gauss lie too far out", "pour/test_maturity.py"),
    Fault("pour/evaporation.py", "rate >= float(limit.caution)", "rate > float(limit.caution)",
          "a rate at its limit is no caution", "pour/test_evaporation.py"),
    Fault("sitelog/entries.py", 'hashlib.sha256(prev.encode("ascii") + body)', "hashlib.sha256(body)",
          "a seal does not hold the entry before", "sitelog/test_entries.py"),
    Fault("sitelog/scan.py", "return self.after_bad_line and entry.n > n + 1", "return entry.n > n + 1",
          "entries that are missing are no fault", "sitelog/test_scan.py"),
    Fault("sitelog/merge.py", "latest = max(latest, entry.at)", "latest = entry.at",
          "a clock that went back moves entries", "sitelog/test_merge.py"),
    Fault("sitelog/segment.py",
          "def _finish(self, fd: int) -> None:\n        self.finished = True\n",
          "def _finish(self, fd: int) -> None:\n",
          "a file goes on after a failed sync", "sitelog/test_failures.py"),
    Fault("sitelog/disk.py", "    if sync:\n        disk.sync_folder(path.parent)\n", "",
          "the name of a replaced file is not synced", "sitelog/test_disk.py"),
    Fault("sitelog/lock.py", "        self._log_lock.release()\n        self._lock.release()\n",
          "        self._lock.release()\n",
          "the lock on the log itself is not given back", "sitelog/test_lock.py"),
    Fault("sitelog/undo.py", "next((u for u in self._naming[key] if u.key not in self.voided), None)",
          "self._naming[key][-1]",
          "an undo that was undone still counts", "sitelog/test_undo.py"),
    Fault("sitelog/clocks.py", "if gone < -STEP:", "if gone <= -STEP:",
          "a clock set right by two seconds has jumped", "sitelog/test_clocks.py"),
    Fault("walk/gates.py", "if now >= until:", "if now > until:",
          "the gate opens a moment after its time", "walk/test_gates.py"),
    Fault("walk/holds.py", "order.index(item.before) <= here", "order.index(item.before) < here",
          "what is deferred to before a hold does not hold it", "walk/test_holds.py"),
    Fault("walk/holds.py", " | _answered_by(covered, facts.record, release)", "",
          "who answered what was put off releases it", "walk/test_holds.py"),
    Fault("walk/seals.py", "        panel.mirrored,\n", "",
          "a panel that is turned over leaves its releases", "walk/test_seals.py walk/test_holds.py"),
    Fault("walk/items.py", "return evolve(view, low=found - view.plus, high=found + view.plus)",
          "return evolve(view, low=found, high=found + view.plus)",
          "the second diagonal may only be longer", "walk/test_verdict.py walk/test_acts.py"),
    Fault("walk/steps.toml", 'when = ["mirrored", "has-openings"]', 'when = ["has-openings"]',
          "the jamb of a mirrored panel is asked of every panel", "walk/test_steps.py walk/test_conditions.py"),
    Fault("walk/out_of_tolerance.py",
          'return is_engineer(disposition.data.get("role")) and folded(disposition.by) not in did',
          'return is_engineer(disposition.data.get("role"))',
          "an engineer accepts what he measured", "walk/test_out_of_tolerance.py"),
    Fault("walk/undo.py", '"close-nonconformance", "close", "lift-release"}',
          '"close-nonconformance", "close"}',
          "the engineer's release to lift is undone by a key", "walk/test_undo.py walk/test_lifting.py"),
    Fault("walk/load_lines.py", "and gone > timedelta(minutes=float(minutes))",
          "and gone >= timedelta(minutes=float(minutes))",
          "a load just in time is late", "walk/test_pour_page.py"),
    Fault("walk/lifting.py", "reversed(stack.panels[setout.number :])", "reversed(stack.panels[setout.number + 1 :])",
          "the panel right above does not hold a lift", "walk/test_lifting.py"),
    Fault("paper/documents.py", '"y_arris": number(castin.y - chamfer)', '"y_arris": number(castin.y)',
          "a cast-in from the arris forgets the chamfer", "commands/test_documents.py"),
    Fault("paper/lifting_document.py", '"share": _number(about.share)', '"share": _number(view.factored)',
          "the share of a lifter is the whole mass", "commands/test_lifting.py"),
    Fault("paper/diary.py", 'f"{said}; {needed} needed, {data.get(\'document\', \'\')}{shown}"',
          'f"{said}; {needed} needed{shown}"',
          "the diary does not name the document of a release", "paper/test_diary.py"),
    Fault("commands/check.py", "return FAULTY if has_error(findings) else DONE",
          "return FAULTY if findings else DONE",
          "warnings end check with 1", "commands/test_exit_codes.py"),
    Fault("commands/shrink.py", "return FAULTY if has_error(resize.findings) else DONE", "return DONE",
          "a size change with errors ends with 0", "commands/test_exit_codes.py"),
    Fault("commands/log.py", "right = whole and (head is None or head.found) and not has_error(findings)",
          "right = whole and not has_error(findings)",
          "a head that is not in the log ends with 0", "commands/test_log_command.py"),
    Fault("commands/strength.py", "found = strength(desk.job, walk.record, at)",
          "found = strength(desk.job, walk.record, now)",
          "--at is not heard", "commands/test_strength.py"),
    Fault("commands/outcome.py", "sys.stderr.write(", "sys.stdout.write(",
          "notes stand in the JSON", "commands/test_exit_codes.py"),
    Fault("cli.py", '_below_zero(words[1:]) if name == "weather" else words[1:]', "words[1:]",
          "air below zero is an option", "commands/test_weather.py"),
    Fault("cli.py", "        return 130\n", "        return 1\n",
          "an interrupted command ends as one with errors", "commands/test_exit_codes.py"),
    Fault("deck/action_list.py", 'id="weather", keys=("w",)', 'id="weather", keys=("f11",)',
          "w reads no weather", "deck/test_registry.py"),
    Fault("deck/watch.py", 'key in ("enter", "space")', 'key == "enter"',
          "a space that bounces acts twice", "deck/test_watch.py"),
    Fault("deck/half_typed.py", "self.changed = not done", "self.changed = False",
          "what could not be kept is not tried again", "deck/test_half_typed.py"),
    Fault("deck/desk_shell.py", 'key = (len(self.desk.state.entries), f"{self.desk.now():%Y%m%d%H%M}")',
          'key = (len(self.desk.state.entries), "")',
          "what waits for the clock waits for the next entry", "deck/test_board_screen.py deck/test_shell.py"),
    Fault("deck/widgets/entry.py", 'stands, at = ("", 0) if self.whole else (self.text, self.cursor)',
          "stands, at = self.text, self.cursor",
          "figures are added to what stands", "deck/test_entry.py"),
    Fault("deck/widgets/entry.py", 'return "" if fits else f"You typed {self.text}',
          'return "" if self.text else f"You typed {self.text}',
          "a text that is not all in sight is taken at once", "deck/test_entry.py"),
    Fault("deck/screens/log.py", "        self._verify()\n        super().on_screen_resume()",
          "        super().on_screen_resume()",
          "the log screen says what was on disk before", "deck/test_log_screen.py"),
    Fault("deck/screens/walk.py",
          "def on_choice_field_marked(self, event: ChoiceField.Marked) -> None:\n        event.stop()\n"
          "        self.answer.keep(event.value)\n",
          "def on_choice_field_marked(self, event: ChoiceField.Marked) -> None:\n        event.stop()\n",
          "a choice that is marked is lost with the power", "deck/test_walk_resume.py"),
    Fault("deck/screens/pour.py", "that is offered.\"\"\"\n        self._show_words()\n", "that is offered.\"\"\"\n",
          "the minutes of a load stand still", "deck/test_pour_screen.py"),
)
# fmt: on

_FAILED = re.compile(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", re.MULTILINE)


class Seen(NamedTuple):
    """`by`: the first test that failed, "" where none did. `near`: it is one of the nearest."""

    by: str
    near: bool
    seconds: float


def copy_checkout(root: Path, to: Path) -> None:
    """Copy what git knows of a checkout, as it stands, with what is new; no caches come along."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=root, stdout=subprocess.PIPE, check=True, text=True,
    )  # fmt: skip
    for name in filter(None, listed.stdout.split("\0")):
        if (root / name).is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(root / name, to / name)


def environment(folder: Path, *, full: bool) -> dict[str, str]:
    """That of a run in a copy: nothing of ours comes along but the way to programs."""
    ours = ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE", "PYTEST_ADDOPTS", "FULL")
    clean = {key: value for key, value in os.environ.items() if key not in ours}
    return {**clean, "TMPDIR": str(folder), **({"FULL": "1"} if full else {})}


def run(words: Sequence[str], cwd: Path, seconds: float, *, full: bool = False) -> tuple[int, str]:
    """Exit code and output of Python in a copy; what it started is ended with it. Raises TimeoutExpired."""
    scratch = cwd.parent / "scratch"
    scratch.mkdir(exist_ok=True)
    with subprocess.Popen(
        [sys.executable, *words], cwd=cwd, env=environment(scratch, full=full), text=True,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        start_new_session=True,
    ) as process:  # fmt: skip
        try:
            output, _ = process.communicate(timeout=seconds)
        except BaseException:
            os.killpg(process.pid, signal.SIGKILL)
            raise
    return process.returncode, output


def first_failed(arguments: Sequence[str], cwd: Path, seconds: float, *, full: bool) -> str:
    """The first test that fails, "" where all pass. Raises RuntimeError where no test was run."""
    try:
        code, output = run(["-m", "pytest", "-x", "-q", *arguments], cwd, seconds, full=full)
    except subprocess.TimeoutExpired:
        return "timed out"
    if code == 0:
        return ""
    found = _FAILED.search(output)
    if found is None:
        raise RuntimeError(f"pytest {' '.join(arguments)} ended with {code}:\n{output[-2000:]}")
    return found[1]


def arguments_for_all(root: Path) -> list[str]:
    """A checkout whose settings do not spread the tests over the cores is told to."""
    settings = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    options = settings["tool"]["pytest"]["ini_options"].get("addopts", "")
    return [] if "--numprocesses" in options else ["-n", "2", "--dist", "loadfile"]


def seen(fault: Fault, base: Path, *, full: bool) -> Seen:
    """Put a fault into a copy of `base`, and try the nearest tests, then all."""
    begun, full = time.monotonic(), full or fault.full_only
    with tempfile.TemporaryDirectory(prefix="fault-", ignore_cleanup_errors=True) as name:
        work = Path(name) / "work"
        shutil.copytree(base, work)
        path = work / "pourdeck" / fault.file
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace(fault.right, fault.wrong), encoding="utf-8")
        near = ["-n0", "-p", "no:cacheprovider", "-p", "no:randomly"]
        near += [f"tests/{one}" for one in fault.near.split()]
        by = first_failed(near, work, NEAR_SECONDS, full=full)
        at_once = bool(by)
        if not by:
            by = first_failed(arguments_for_all(work), work, ALL_SECONDS, full=full)
    return Seen(by=by, near=at_once, seconds=time.monotonic() - begun)


def unfit(faults: Sequence[Fault], root: Path) -> list[str]:
    """Faults that cannot be put into a checkout: their text is not there once, or a test is missing."""
    found = []
    for fault in faults:
        path = root / "pourdeck" / fault.file
        count = path.read_text(encoding="utf-8").count(fault.right) if path.is_file() else 0
        if count != 1:
            found.append(f"{fault}: its text stands {count} times in the file")
        if fault.wrong == fault.right:
            found.append(f"{fault}: changes nothing")
        gone = [one for one in fault.near.split() if not (root / "tests" / one).exists()]
        found += [f"{fault}: there is no tests/{one}" for one in gone]
    return found


def make_ready(root: Path, base: Path) -> None:
    """Copy a checkout to `base` and compile it once. Raises RuntimeError where its own code is not run."""
    copy_checkout(root, base)
    code, output = run(["-c", "import pourdeck; print(pourdeck.__file__)"], base, NEAR_SECONDS)
    if code or Path(output.strip()) != base / "pourdeck" / "__init__.py":
        raise RuntimeError(f"another pourdeck than that of the copy is run: {output.strip()}")
    first_failed(
        ["-n0", "-p", "no:cacheprovider", "--collect-only"], base, NEAR_SECONDS, full=False
    )


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def main(argv: Sequence[str] | None = None) -> int:
    """0 where every fault is seen, 1 where one is not, 2 where one cannot be tried."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults_seen")
    parser.add_argument(
        "--root", type=Path, default=ROOT, help="another checkout (git) to try them on"
    )
    parser.add_argument(
        "--only", metavar="WORDS", default="", help="those whose file or words have these"
    )
    parser.add_argument("--full", action="store_true", help="run the tests in full")
    parser.add_argument(
        "--jobs", type=int, choices=(1, 2), default=1, help="so many faults at a time"
    )
    given = parser.parse_args(argv)
    faults = [one for one in FAULTS if given.only.casefold() in str(one).casefold()]
    if wrong := unfit(faults, given.root):
        say("\n".join(wrong))
        return 2
    begun = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="faults-", ignore_cleanup_errors=True) as name:
        base = Path(name).resolve() / "base"
        make_ready(given.root.resolve(), base)
        say("| package | fault | caught by | s |\n|---|---|---|--:|")
        every = []
        with ThreadPoolExecutor(given.jobs) as pool:
            trials = pool.map(partial(seen, base=base, full=given.full), faults)
            for fault, found in zip(faults, trials, strict=True):
                by = found.by or NOT_SEEN
                full = " (in full)" if given.full or fault.full_only else ""
                say(f"| {fault.package} | {fault} | {by}{full} | {found.seconds:.0f} |")
                every.append(found)
    near, missed = sum(one.near for one in every), sum(not one.by for one in every)
    say(
        f"{len(every)} faults: {near} seen by the nearest tests, {len(every) - near - missed} by others, "
        f"{missed} {NOT_SEEN}; {time.monotonic() - begun:.0f} s"
    )
    return int(missed > 0)


if __name__ == "__main__":
    raise SystemExit(main())
