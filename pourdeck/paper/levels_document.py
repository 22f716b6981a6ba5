"""The level book of a panel as a JSON document and as a part of the panel record."""

from pourdeck.paper.documents import Document, maybe, number
from pourdeck.paper.record_values import entry_name, exact, height
from pourdeck.plan.messages import literal
from pourdeck.setout.levels import KINDS, CornerHeights, Run
from pourdeck.walk.level_page import BY_STAFF, LevelPage, Line, level_page
from pourdeck.walk.records import Walk


def levels_document(walk: Walk, page: LevelPage) -> Document:
    """Heights and readings m; off, misclose, depth, difference and thickness mm. Not rounded."""
    return {
        "job": walk.job.name,
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "benchmark": {"name": page.benchmark.name, "rl": number(page.benchmark.rl)},
        "setups": [
            {
                "setup": setup.number,
                "on": setup.lines[0].name,
                "rl": maybe(setup.view.rl if setup.view else None),
                "backsight": maybe(setup.view.backsight if setup.view else None),
                "instrument": maybe(setup.view.instrument if setup.view else None),
                "sights": [_line(line) for line in setup.lines if line.kind != "back"],
            }
            for setup in page.setups
        ],
        "runs": [_run(page, run) for run in page.runs],
        "corners": [_corner(one) for one in page.corners],
        "next": {
            "mark": page.next_mark,
            "planned": maybe(page.next_planned),
            "expected": maybe(page.next_expected),
        },
    }


def _line(line: Line) -> Document:
    return {
        "sight": line.kind,
        "point": line.name,
        "should_read": maybe(line.should),
        "reading": maybe(line.reading),
        "rl": maybe(line.rl),
        "wanted": maybe(line.wanted),
        "off": maybe(line.off),
        "verdict": line.verdict,
    }


def _run(page: LevelPage, run: Run) -> Document:
    return {
        "setups": [setup.number for setup in run.setups],
        "backsights": number(run.backsights),
        "foresights": number(run.foresights),
        "rise": maybe(run.rise),
        "misclose": maybe(run.misclose),
        "closes": page.closes(run),
    }


def _corner(one: CornerHeights) -> Document:
    return {
        "corner": one.corner,
        "form_top": maybe(one.form_top),
        "below": maybe(one.below),
        "below_from": one.below_from,
        "depth": maybe(one.depth),
        "by_gauge": maybe(one.by_gauge),
        "difference": maybe(one.difference),
        "surface": maybe(one.surface),
        "thickness": maybe(one.thickness),
    }


def levels_record(walk: Walk) -> Document:
    """Give what the record of a panel keeps of its level book: every reading, each run, both heights.

    Heights of the surface below count only where they were read here: the log of the panel below may
    still grow.
    """
    page = level_page(walk, None)
    if page is None or not page.runs:
        return {}
    return {
        "benchmark": page.benchmark.name,
        "benchmark_rl": height(page.benchmark.rl),
        "reading": [_read(line) for line in page.lines if line.entry is not None],
        "run": [
            {
                "setups": ", ".join(str(setup.number) for setup in run.setups),
                "backsights": height(run.backsights),
                "foresights": height(run.foresights),
                "misclose": None if run.misclose is None else exact(run.misclose),
            }
            for run in page.runs
        ],
        "corner": [
            _both(one) for one in page.corners if walk.number == 1 or one.below_from == BY_STAFF
        ],
    }


def _read(line: Line) -> Document:
    entry = line.entry
    data = entry.data if entry else {}
    return {
        "setup": line.setup,
        "sight": KINDS[line.kind],
        "point": line.name,
        "reading": None if line.reading is None else height(line.reading),
        "rl": None if line.rl is None else height(line.rl),
        "off": None if line.off is None else exact(line.off),
        "why": data.get("why"),
        "by": entry.by if entry else None,
        "at": entry.at if entry else None,
        "entry": entry_name(entry),
    }


def _both(one: CornerHeights) -> Document:
    return {
        "corner": literal(one.corner),
        "form_top": None if one.form_top is None else height(one.form_top),
        "below": None if one.below is None else height(one.below),
        "by_gauge": None if one.by_gauge is None else height(one.by_gauge),
        "difference": None if one.difference is None else exact(one.difference),
        "thickness": None if one.thickness is None else exact(one.thickness),
    }
