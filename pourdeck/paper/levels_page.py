"""The level book of a panel as a page for people."""

from decimal import Decimal

from rich.console import Console

from pourdeck.paper.console import Lengths, say, table, title
from pourdeck.plan.lengths import format_rl
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Units
from pourdeck.setout.levels import Run
from pourdeck.walk.level_page import LevelPage, Line, SetUpPage
from pourdeck.walk.levels import FORM_TOP
from pourdeck.walk.records import Walk
from pourdeck.walk.words import CORNER_NAMES

SHORT = {"back": "back", "inter": "inter", "fore": "fore"}
"""Sights as the columns of a level book are headed."""

VERDICTS = {"pass": "pass", "fail": "FAIL", "recorded": ""}


def levels_page(console: Console, walk: Walk, page: LevelPage) -> None:
    """Set-ups with their readings, whether they close, both ways to the form tops, what comes next."""
    units, lengths = walk.job.units, Lengths(walk.job.units)
    bench = f"{literal(page.benchmark.name)} {_rl(page.benchmark.rl, units)}"
    say(console, f"{literal(walk.mark)}: level book, benchmark {bench}", "bold")
    for setup in page.setups:
        _setup(console, setup, units, lengths)
    for run in page.runs:
        say(console, run_words(page, run, units))
    _corners(console, page, units, lengths)
    if page.next_mark is not None:
        title(console, f"Form tops of {literal(page.next_mark)}")
        expected = "its surface below is not levelled yet"
        if page.next_expected is not None:
            expected = f"expected {_rl(page.next_expected, units)}"
        say(console, f"planned {_rl(page.next_planned, units)}, {expected}")


def _rl(value: Decimal | None, units: Units) -> str:
    return "" if value is None else format_rl(value, units)


def setup_words(setup: SetUpPage, units: Units) -> str:
    """`Set-up 2 on peg, height of instrument 102.700 m`."""
    back = setup.lines[0]
    if setup.view is None:
        return f"Set-up {setup.number}: read the staff on {back.name} first"
    height = setup.view.instrument
    known = f"height of instrument {_rl(height, units)}" if height is not None else "no height"
    return f"Set-up {setup.number} on {back.name} {_rl(setup.view.rl, units)}, {known}"


def run_words(page: LevelPage, run: Run, units: Units) -> str:
    """Sums and misclose of a run in a sentence."""
    numbers = [setup.number for setup in run.setups]
    which = (
        f"Set-up {numbers[0]}" if len(numbers) == 1 else f"Set-ups {numbers[0]} to {numbers[-1]}"
    )
    if run.rise is None:
        return f"{which}: no foresight yet, not closed."
    back, fore, rise = (_rl(one, units) for one in (run.backsights, run.foresights, run.rise))
    sums = f"{which}: ΣBS {back} − ΣFS {fore} = {rise}"
    if run.misclose is None:
        return f"{sums}; not closed on {literal(page.benchmark.name)}."
    lengths = Lengths(units)
    word = "closes" if page.closes(run) else "DOES NOT CLOSE"
    allowed = lengths.whole(page.misclose)
    return f"{sums}; {word}, misclose {off_text(run.misclose, units)}, ± {allowed} allowed."


def off_text(value: Decimal, units: Units) -> str:
    """Show how far off a height is, mm or inches, with its sign."""
    text = Lengths(units).whole(value, decimals=1)
    return f"+{text}" if value > 0 else text


def _setup(console: Console, setup: SetUpPage, units: Units, lengths: Lengths) -> None:
    title(console, setup_words(setup, units))
    rows = [_row(line, units) for line in setup.lines if not _spare(line)]
    spare = [line for line in setup.lines if _spare(line)]
    if spare:
        first, last = (line.name.removeprefix("form top at ") for line in (spare[0], spare[-1]))
        name = f"form top at {first} to {last}"
        rows.append((SHORT["inter"], name, _rl(spare[0].should, units), "", "", "", ""))
    if any(line.again for line in setup.lines):
        say(console, "again: recorded before its set-up changed; record it again.")
    heads = ("sight", "point", ">should read", ">reads", ">RL", ">off", "")
    table(console, heads, rows)


def _spare(line: Line) -> bool:
    """A form top at a bracket that was not read: nothing asks for it, and all are to read the same."""
    at_bracket = line.point.startswith(FORM_TOP) and "-" in line.point
    return at_bracket and line.reading is None


def _row(line: Line, units: Units) -> tuple[str, ...]:
    verdict = line.verdict
    words = "again" if line.again else VERDICTS.get(verdict or "", "")
    return (
        SHORT[line.kind],
        line.name,
        _rl(line.should, units),
        _rl(line.reading, units),
        _rl(line.rl, units) if line.reading is not None else "",
        "" if line.off is None else off_text(line.off, units),
        words,
    )


def _corners(console: Console, page: LevelPage, units: Units, lengths: Lengths) -> None:
    title(console, "Form tops by staff and by gauge from the surface below")
    rows = [
        (
            CORNER_NAMES[one.corner],
            _rl(one.form_top, units),
            _rl(one.by_gauge, units),
            "" if one.difference is None else off_text(one.difference, units),
            f"{_rl(one.below, units)} {one.below_from}",
            _rl(one.surface, units),
            "" if one.thickness is None else lengths.whole(one.thickness, decimals=1),
        )
        for one in page.corners
    ]
    heads = ("corner", ">by staff", ">by gauge", ">differ", "surface below", ">surface", ">thick")
    table(console, heads, rows)
    differ = [one for one in page.corners if one.difference is not None]
    if page.level is None:
        say(console, "No limit given for the difference.")
    elif differ:
        most = page.level.plus
        over = [one for one in differ if not -most <= (one.difference or 0) <= most]
        many = "No corner differs" if not over else "1 corner differs"
        if len(over) > 1:
            many = f"{len(over)} corners differ"
        band, source = lengths.whole(page.level.plus), literal(page.source or "")
        say(console, f"{many} by more than {band}, {source}.")
